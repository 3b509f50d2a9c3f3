package main

import (
	"context"
	"os"
	"os/signal"
	"slices"
	"sync"
	"syscall"
)

// interruption is the context of a command, which a signal ends. Signals are heeded from
// when it is first looked at: until then nothing is begun that must be ended in order,
// and they end the program at once, wherever it waits, as a second one does later.
type interruption struct {
	context.Context
	heeded func() context.Context
}

func newInterruption() interruption {
	return interruption{context.Background(), sync.OnceValue(func() context.Context {
		// One that the program was told to ignore, as nohup does, stays ignored.
		signals := slices.DeleteFunc([]os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP}, signal.Ignored)
		ctx, stop := signal.NotifyContext(context.Background(), signals...)
		context.AfterFunc(ctx, stop)
		return ctx
	})}
}

// Done is closed by a signal.
func (i interruption) Done() <-chan struct{} { return i.heeded().Done() }

// Err tells whether one has come.
func (i interruption) Err() error { return i.heeded().Err() }
