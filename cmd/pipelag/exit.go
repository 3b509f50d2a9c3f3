package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"syscall"

	"pipelag/internal/fault"
	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/studies/store"
)

// Exit codes. An error that says nothing of its code is the user's to mend: the
// command line or a file is wrong; but for a fault of the program, a disk that is full
// or broken, and a piece of a study that was damaged there.
const (
	codeDone        = 0
	codeUnmet       = 1 // a check or a target is not met
	codeWrong       = 2 // the command or the input is wrong
	codeFailed      = 3 // the run failed
	codeInterrupted = 130
)

// coded is an error that asks for an exit code.
type coded struct {
	error
	code int
}

// Unwrap is the error without its code.
func (c coded) Unwrap() error { return c.error }

// failed marks an error that no other command line or input would mend. Where a house
// has too little pressure to be lived in, another would.
func failed(err error) error {
	if err == nil || errors.Is(err, sim.ErrNoWater) {
		return err
	}
	return coded{err, codeFailed}
}

func codeOf(ctx context.Context, err error) int {
	var c coded
	var damaged store.Damaged
	switch {
	case err == nil:
		return codeDone
	case interrupted(ctx, err):
		return codeInterrupted
	case errors.As(err, &c):
		return c.code
	case errors.Is(err, fault.Err), errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT), errors.Is(err, syscall.EIO), errors.As(err, &damaged):
		return codeFailed
	}
	return codeWrong
}

func interrupted(ctx context.Context, err error) bool {
	return ctx.Err() != nil && errors.Is(err, context.Canceled)
}

// explain says on standard error what went wrong, each of several causes on a line
// of its own. Mistakes in a file stand one a line too, each beginning with its
// place, where editors look for it.
func explain(ctx context.Context, stderr io.Writer, err error) {
	var mistakes scenarios.Errors
	var finished kept
	switch {
	case err == nil:
	case interrupted(ctx, err) && errors.As(err, &finished):
		fmt.Fprintf(stderr, "pipelag: interrupted; what was finished is in %s, and the same command goes on from there\n", finished.path)
	case interrupted(ctx, err):
		fmt.Fprintln(stderr, "pipelag: interrupted; nothing was written")
	case parts(err) != nil:
		for _, part := range parts(err) {
			explain(ctx, stderr, part)
		}
	case errors.As(err, &mistakes):
		fmt.Fprintf(stderr, "pipelag: %s found\n%v\n", counted(len(mistakes), "mistake"), mistakes)
	default:
		fmt.Fprintf(stderr, "pipelag: %v\n", err)
	}
}

// parts are the errors that one joins: a line each, or mistakes apart from what is
// told with them.
func parts(err error) []error {
	if c, ok := err.(coded); ok {
		err = c.error
	}
	joined, ok := err.(interface{ Unwrap() []error })
	if !ok {
		return nil
	}
	var mistakes scenarios.Errors
	all := joined.Unwrap()
	if errors.As(err, &mistakes) || err.Error() == errors.Join(all...).Error() {
		return all
	}
	return nil
}

// counted is a number with its noun.
func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
