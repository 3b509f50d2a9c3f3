package main

import "io"

func (t *takenOff) writePlan(o *takeoffOptions, notices io.Writer) error { return nil }
