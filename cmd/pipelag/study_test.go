package main

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

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
		if strings.HasSuffix(r.Path, ".csv") {
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
	a, b := folderBytes(ts, args[0]), folderBytes(ts, args[1])
	for name, text := range a {
		if b[name] != text {
			ts.Fatalf("%s differs", name)
		}
	}
	if len(a) != len(b) || len(a) == 0 {
		ts.Fatalf("%d and %d files", len(a), len(b))
	}
}

func folderBytes(ts *testscript.TestScript, path string) map[string]string {
	root := ts.MkAbs(path)
	files := make(map[string]string)
	ts.Check(filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(name)
		files[strings.TrimPrefix(name, root)] = string(text)
		return err
	}))
	return files
}
