package fault

import (
	"regexp"
	"testing"
)

func third(list []int) int { return list[2] }

func guarded(list []int) (got int, err error) {
	defer Catch(&err)
	return third(list), nil
}

func TestCatch(t *testing.T) {
	if got, err := guarded([]int{1, 2, 3}); got != 3 || err != nil {
		t.Error(got, err)
	}
	_, err := guarded(nil)
	want := regexp.MustCompile(`^the program is at fault, not what it was given; report this line, the command and the files that it read: ` +
		`runtime error: index out of range \[2\] with length 0; at fault/fault_test.go:8 < fault/fault_test.go:12 < fault/fault_test.go:\d+ < testing/testing.go:\d+$`)
	if err == nil || !want.MatchString(err.Error()) {
		t.Errorf("%v", err)
	}
}
