package schedules

// Beginning is a schedule that ends after a number of days of each year.
type Beginning struct {
	Schedule
	Days int
}

type shortYear struct {
	Year
	days int
}

// Year is the beginning of a year of the schedule.
func (b Beginning) Year(seed uint64, replicate int) Year {
	return shortYear{b.Schedule.Year(seed, replicate), b.Days}
}

// Day is a day of that beginning, or nothing.
func (y shortYear) Day(d int, into []Wish) []Wish {
	if d >= y.days {
		return into
	}
	return y.Year.Day(d, into)
}
