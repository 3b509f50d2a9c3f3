package schedules

// DaysPerYear are the days of the year that all schedules are of and that is
// simulated: one without a leap day or a change of clocks.
const DaysPerYear = 365

// MonthDays are the days of its months, January first. It is not to be changed.
var MonthDays = [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
