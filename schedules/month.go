package schedules

// MonthDays are the days of the months, January first, of the year that all
// schedules are of: 365 days, without a leap day. It is not to be changed.
var MonthDays = [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
