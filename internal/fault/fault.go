// Package fault makes errors of the faults of the program itself.
package fault

import (
	"errors"
	"fmt"
	"path"
	"runtime"
	"strings"
)

// Err is any fault.
var Err = errors.New("the program is at fault, not what it was given; report this line, the command and the files that it read")

// Catch makes an Err of a panic, with where it came from, in one line. It is to be
// deferred by itself in each goroutine that computes: a panic is caught in its own
// goroutine or ends the program, with a trace and whatever exit code.
func Catch(err *error) {
	if what := recover(); what != nil {
		*err = fmt.Errorf("%w: %v; at %s", Err, what, way())
	}
}

// mostPlaces is how much of the way is told: enough to find it.
const mostPlaces = 12

// way is where in the program a panic came from, the innermost place first.
func way() string {
	callers := make([]uintptr, 64)
	frames := runtime.CallersFrames(callers[:runtime.Callers(3, callers)]) // not this, nor Catch
	var places []string
	for {
		frame, more := frames.Next()
		if !strings.HasPrefix(frame.Function, "runtime.") {
			folder, file := path.Split(frame.File)
			places = append(places, fmt.Sprintf("%s/%s:%d", path.Base(folder), file, frame.Line))
		}
		if !more || len(places) == mostPlaces {
			return strings.Join(places, " < ")
		}
	}
}
