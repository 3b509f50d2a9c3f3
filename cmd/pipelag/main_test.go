package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"syscall"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"pipelag": main})
}

// tinyHouse is a house of one tap, quick to simulate. Scripts know it as $TINY.
const tinyHouse = "../../studies/testdata/tiny.yaml"

func TestScripts(t *testing.T) {
	tiny, err := filepath.Abs(tinyHouse)
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                "testdata/script",
		RequireUniqueNames: true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("TINY", tiny)
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits":  exits,
			"signal": signalled,
			"waits":  waits,
			"keys":   keys,
			"whole":  whole,

			"recomputed": recomputed,
			"nets":       nets,
			"described":  described,
			"samefolder": samefolder,
			"stopped":    stopped,
			"tracekeys":  tracekeys,
			"verifykeys": verifykeys,

			"takeoffkeys": takeoffkeys,
		},
	})
}

// exits CODE ARG...: pipelag with these arguments ends with this exit code.
func exits(ts *testscript.TestScript, _ bool, args []string) {
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	if got := exitCode(ts, ts.Exec("pipelag", args[1:]...)); got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

func exitCode(ts *testscript.TestScript, err error) int {
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		ts.Fatalf("did not run: %v", err)
	}
	if exit == nil {
		return 0
	}
	return exit.ExitCode()
}

// signal NAME PATTERN ARG...: pipelag with these arguments, sent the signal once
// a file of the pattern is there, ends with exit code 130 within seconds, says
// so and leaves no such file.
func signalled(ts *testscript.TestScript, _ bool, args []string) {
	signals := map[string]syscall.Signal{"INT": syscall.SIGINT, "TERM": syscall.SIGTERM, "HUP": syscall.SIGHUP}
	pattern := ts.MkAbs(args[1])
	stderr := ts.MkAbs("stderr.txt")
	f, err := os.Create(stderr)
	ts.Check(err)
	defer f.Close()
	c := exec.Command(filepath.Join(filepath.SplitList(ts.Getenv("PATH"))[0], "pipelag"), args[2:]...)
	c.Dir, c.Stderr, c.Env = ts.MkAbs("."), f, []string{"PATH=" + ts.Getenv("PATH")}
	ts.Check(c.Start())
	ended := make(chan error, 1)
	go func() { ended <- c.Wait() }()
	for late := time.After(20 * time.Second); ; time.Sleep(10 * time.Millisecond) {
		if found, _ := filepath.Glob(pattern); len(found) > 0 {
			break
		}
		select {
		case err := <-ended:
			ts.Fatalf("ended by itself: %v", err)
		case <-late:
			ts.Check(c.Process.Kill())
			ts.Fatalf("no %s", pattern)
		default:
		}
	}
	ts.Check(c.Process.Signal(signals[args[0]]))
	select {
	case err := <-ended:
		if got := exitCode(ts, err); got != codeInterrupted {
			ts.Fatalf("exit code %d", got)
		}
	case <-time.After(20 * time.Second):
		ts.Check(c.Process.Kill())
		ts.Fatalf("still running 20 s after the signal")
	}
	if found, _ := filepath.Glob(pattern); len(found) > 0 {
		ts.Fatalf("left %v", found)
	}
	if got := ts.ReadFile(stderr); got != "pipelag: interrupted; nothing was written\n" {
		ts.Fatalf("said %q", got)
	}
}

// waits PIPE ARG...: pipelag with these arguments, which make it read from a named pipe
// into which nobody writes, is ended by a signal as soon as it comes.
func waits(ts *testscript.TestScript, _ bool, args []string) {
	pipe := ts.MkAbs(args[0])
	ts.Check(syscall.Mkfifo(pipe, 0o600))
	c := exec.Command(filepath.Join(filepath.SplitList(ts.Getenv("PATH"))[0], "pipelag"), args[1:]...)
	c.Dir, c.Env = ts.MkAbs("."), []string{"PATH=" + ts.Getenv("PATH")}
	ts.Check(c.Start())
	var writer int
	var err error
	for range 2000 { // until it reads
		if writer, err = syscall.Open(pipe, syscall.O_WRONLY|syscall.O_NONBLOCK, 0); err == nil {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	if err != nil {
		ts.Check(c.Process.Kill())
		ts.Fatalf("nobody reads from %s: %v", pipe, err)
	}
	defer syscall.Close(writer)
	ts.Check(c.Process.Signal(syscall.SIGTERM))
	late := time.AfterFunc(20*time.Second, func() { c.Process.Kill() })
	defer late.Stop()
	c.Wait()
	if status := c.ProcessState.Sys().(syscall.WaitStatus); !status.Signaled() || status.Signal() != syscall.SIGTERM {
		ts.Fatalf("ended otherwise: %v", c.ProcessState)
	}
}
