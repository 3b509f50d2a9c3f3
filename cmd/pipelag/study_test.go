package main

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

// described FOLDER: every file that the folder's description names is there with
// its size and hash, its tables are whole, and every other file but the pieces and
// the manifest is named.
func described(ts *testscript.TestScript, _ bool, args []string) {
	var p dataPackage
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(filepath.Join(args[0], "datapackage.json"))), &p))
	named := map[string]bool{"datapackage.json": true, "study.json": true, "pieces": true}
	for _, r := range p.Resources {
		named[r.Path] = true
		text := ts.ReadFile(filepath.Join(args[0], r.Path))
		sum := sha256.Sum256([]byte(text))
		if r.Bytes != len(text) || r.Hash != "sha256:"+hex.EncodeToString(sum[:]) {
			ts.Fatalf("%s is not the file described", r.Path)
		}
		if strings.HasSuffix(r.Path, ".csv") && r.Title != companionTitle {
			if strings.Count(text, "\n") > 1 {
				wholeTable(ts, r, text)
			}
			wholeParquet(ts, r, text, ts.ReadFile(filepath.Join(args[0], strings.TrimSuffix(r.Path, ".csv")+".parquet")))
		}
	}
	found, err := os.ReadDir(ts.MkAbs(args[0]))
	ts.Check(err)
	for _, f := range found {
		if !named[f.Name()] {
			ts.Fatalf("%s is not described", f.Name())
		}
	}
}

// samefolder A B: the folders hold the same files with the same bytes.
func samefolder(ts *testscript.TestScript, _ bool, args []string) {
	a, err := folderBytes(ts.MkAbs(args[0]))
	ts.Check(err)
	b, err := folderBytes(ts.MkAbs(args[1]))
	ts.Check(err)
	for name, text := range a {
		if b[name] != text {
			ts.Fatalf("%s differs", name)
		}
	}
	if len(a) != len(b) || len(a) == 0 {
		ts.Fatalf("%d and %d files", len(a), len(b))
	}
}

// folderBytes are the files below a folder with their bytes.
func folderBytes(root string) (map[string]string, error) {
	files := make(map[string]string)
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(name)
		files[strings.TrimPrefix(name, root)] = string(text)
		return err
	})
	return files, err
}

// stopped NAME PATTERN ARG...: pipelag with these arguments is sent the signal
// once a file of the pattern is there, before it has ended. TERM ends it with
// exit code 130 and a word on what is kept; KILL asks nobody.
func stopped(ts *testscript.TestScript, _ bool, args []string) {
	var stderr strings.Builder
	c := exec.Command(filepath.Join(filepath.SplitList(ts.Getenv("PATH"))[0], "pipelag"), args[2:]...)
	c.Dir, c.Stderr, c.Env = ts.MkAbs("."), &stderr, []string{"PATH=" + ts.Getenv("PATH")}
	ts.Check(c.Start())
	for late := time.Now().Add(60 * time.Second); ; time.Sleep(time.Millisecond) {
		if found, _ := filepath.Glob(ts.MkAbs(args[1])); len(found) > 0 {
			break
		}
		if time.Now().After(late) {
			ts.Check(c.Process.Kill())
			ts.Fatalf("no %s", args[1])
		}
	}
	ts.Check(c.Process.Signal(map[string]os.Signal{"TERM": syscall.SIGTERM, "KILL": syscall.SIGKILL}[args[0]]))
	err := c.Wait()
	switch kept := "pipelag: interrupted; what was finished is in cut, and the same command goes on from there\n"; {
	case args[0] == "KILL" && err == nil:
		ts.Fatalf("it had ended before it was killed")
	case args[0] == "TERM" && (exitCode(ts, err) != codeInterrupted || stderr.String() != kept):
		ts.Fatalf("%v: %s", err, stderr.String())
	}
}
