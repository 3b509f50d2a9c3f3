// Package exact holds problems about water in pipes whose answers are known
// exactly. A program that moves water and heat by steps is held against them.
//
// Each function states one problem and gives it with its answer. All have
// constant properties; how conductances and dispersion follow from tubes and
// flows is not their subject.
package exact

import "fmt"

// Problem is a question with an exact answer.
type Problem struct {
	Name    string
	Formula string
	Value   float64 // the answer
	Unit    string  // of the answer, - for a share
	Source  string
	Status  string // of the source: read, memory, or derived from first principles
}

// require stops a caller who asks for what cannot be; it refuses NaN.
func require(holds bool, name string, value float64) {
	if !holds {
		panic(fmt.Sprintf("exact: %s is %g", name, value))
	}
}
