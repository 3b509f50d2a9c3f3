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
	signals := map[string]syscall.Signal{"INT": syscall.SIGINT, "TERM": syscall.SIGTERM}
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
