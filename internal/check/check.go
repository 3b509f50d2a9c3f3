// Package check holds numbers against those that tests expect.
package check

import (
	"fmt"
	"math"
)

// T is what a check needs of a test, or of a rapid one.
type T interface {
	Helper()
	Errorf(format string, args ...any)
}

// Within holds got to want within an absolute tolerance and refuses NaN; what it is may be
// said.
func Within(t T, want, got, tolerance float64, what ...any) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.9g is %+.3g off the expected %.9g; %.3g allowed", fmt.Sprint(what...), got, got-want, want, tolerance)
	}
}

// Alike holds got to want within a relative tolerance and refuses NaN.
func Alike(t T, want, got, relative float64, what ...any) {
	t.Helper()
	Within(t, want, got, relative*math.Abs(want), what...)
}
