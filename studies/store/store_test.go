package store

import (
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"pipelag/sim"
)

func manifest(cases int) Manifest {
	return Manifest{Version: "1", Study: "abcdef0123456789", Name: "A study", Cases: cases, Replicates: 2}
}

// fill makes every part that a folder lacks.
func fill(t *testing.T, f *Folder) {
	t.Helper()
	parts, err := f.Missing(func(runs []Run) bool { return len(runs) == f.Manifest.Replicates })
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range parts {
		var runs []Run
		for i := p.First; i <= p.Last; i++ {
			for r := range f.Manifest.Replicates {
				runs = append(runs, Run{Case: i, Replicate: r, Layouts: []Layout{{Name: "a", Annual: sim.Values{sim.Purged: float64(i)}}}})
			}
		}
		if err := f.Fill(p, runs); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.Settle(); err != nil {
		t.Fatal(err)
	}
}

func open(t *testing.T, path string, m Manifest) *Folder {
	t.Helper()
	f, err := Open(path, m)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// shards makes those of a study, each in its folder.
func shards(t *testing.T, of, cases int) []string {
	t.Helper()
	base := t.TempDir()
	var paths []string
	for k := range of {
		m := manifest(cases)
		m.Shard = &Shard{k + 1, of}
		path := filepath.Join(base, m.Shard.Folder())
		fill(t, open(t, path, m))
		paths = append(paths, path)
	}
	return paths
}

// TestSpans: pieces hold every case once, in order, whatever the size of the
// study.
func TestSpans(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := Manifest{Cases: rapid.IntRange(1, 300_000).Draw(t, "cases"), Replicates: rapid.IntRange(1, 1000).Draw(t, "replicates")}
		next := 0
		for _, s := range m.spans() {
			if s.First != next || s.Last < s.First || (s.Last-s.First+1)*m.Replicates > max(256, m.Replicates) {
				t.Fatalf("%+v after %d", s, next-1)
			}
			next = s.Last + 1
		}
		if next != m.Cases {
			t.Fatalf("%d of %d cases", next, m.Cases)
		}
	})
}

// TestDealt: every piece belongs to exactly one shard.
func TestDealt(t *testing.T) {
	for of := 1; of < 9; of++ {
		for piece := range 40 {
			owners := 0
			for k := range of {
				if (&Shard{k + 1, of}).holds(piece) {
					owners++
				}
			}
			if owners != 1 {
				t.Fatalf("piece %d has %d owners of %d", piece, owners, of)
			}
		}
	}
}

// TestOwn: the cases of all shards are those of the study.
func TestOwn(t *testing.T) {
	for _, cases := range []int{1, 7, 3000} {
		sum := 0
		for k := range 4 {
			m := manifest(cases)
			m.Shard = &Shard{k + 1, 4}
			sum += m.Own()
		}
		if m := manifest(cases); sum != cases || m.Own() != cases {
			t.Errorf("%d of %d cases", sum, cases)
		}
	}
}

// TestUnsound: a manifest whose numbers nobody writes is refused, before as much is made
// of them.
func TestUnsound(t *testing.T) {
	path := shards(t, 2, 4)[0]
	name := filepath.Join(path, "study.json")
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range [][2]string{
		{`"cases": 4`, `"cases": 0`},
		{`"cases": 4`, `"cases": 900000000000`},
		{`"cases": 4`, `"cases": 1000001`},
		{`"replicates": 2`, `"replicates": -2`},
		{`"replicates": 2`, `"replicates": 10001`},
		{`"of": 2`, `"of": -3`},
		{`"of": 2`, `"of": 0`},
		{`"of": 2`, `"of": 999999999999`},
		{`"number": 1`, `"number": 3`},
		{`"number": 1`, `"number": 0`},
	} {
		changed := strings.Replace(string(text), c[0], c[1], 1)
		if changed == string(text) {
			t.Fatalf("no %s in\n%s", c[0], text)
		}
		if err := os.WriteFile(name, []byte(changed), 0o644); err != nil {
			t.Fatal(err)
		}
		want := name + " is no description of a study's results; put back the one that was written, or name another folder"
		if _, err := Read(path); err == nil || err.Error() != want {
			t.Errorf("%s: %v", c[1], err)
		}
	}
}

// TestLongerPieces: a study that grows so much that its pieces get longer takes
// its old ones over.
func TestLongerPieces(t *testing.T) {
	path := t.TempDir()
	fill(t, open(t, path, manifest(600)))
	grown := open(t, path, manifest(1100))
	parts, err := grown.Missing(func(runs []Run) bool { return len(runs) == 2 })
	if err != nil || len(parts) != 550 {
		t.Fatalf("%d parts (%v)", len(parts), err)
	}
	have, err := grown.Have(parts[3])
	if err != nil || len(have) != 4 || have[2].Case != 7 {
		t.Fatalf("%+v (%v)", have, err)
	}
	fill(t, grown)
	n := 0
	if err := grown.Each(func(r *Run) error {
		if r.Case != n/2 || r.Layouts[0].Annual[sim.Purged] != float64(r.Case) {
			t.Fatalf("%+v at %d", r, n)
		}
		n++
		return nil
	}); err != nil || n != 2200 {
		t.Fatalf("%d runs (%v)", n, err)
	}
	if present, err := grown.present(); err != nil || len(present) != 550 {
		t.Errorf("%d pieces are left (%v)", len(present), err)
	}
}

// TestDamage: a piece of which a byte is changed, or that is cut, is refused by
// name, unless the byte bears nothing on the text.
func TestDamage(t *testing.T) {
	path := t.TempDir()
	f := open(t, path, manifest(2))
	fill(t, f)
	piece := f.piece(span{0, 0})
	whole, err := os.ReadFile(piece)
	if err != nil {
		t.Fatal(err)
	}
	read := func(text []byte) (runs []Run, err error) {
		t.Helper()
		if err := os.WriteFile(piece, text, 0o644); err != nil {
			t.Fatal(err)
		}
		err = f.Each(func(r *Run) error { runs = append(runs, *r); return nil })
		return runs, err
	}
	want, err := read(whole)
	if err != nil {
		t.Fatal(err)
	}
	refused := 0
	for i := range whole {
		if _, err := read(whole[:i]); err == nil || !strings.HasPrefix(err.Error(), "piece "+piece+": ") || !strings.HasSuffix(err.Error(), "; remove this file and run the study again: only its runs are made anew") {
			t.Errorf("cut at byte %d: %v", i, err)
		}
		changed := slices.Clone(whole)
		changed[i] ^= 0x10
		if got, err := read(changed); err != nil {
			refused++
		} else if !reflect.DeepEqual(got, want) {
			t.Errorf("changed at byte %d: %+v", i, got)
		}
	}
	if refused < len(whole)-12 {
		t.Errorf("only %d of %d changes are noticed", refused, len(whole))
	}
}

// TestReasonKept: why a layout is unlike the first is kept by name, for later versions
// may number the reasons otherwise, and is read back; nothing is kept where it is alike.
func TestReasonKept(t *testing.T) {
	run := Run{Layouts: []Layout{{Name: "a"}, {Name: "b", Unlike: sim.ServesLess}, {Name: "c", Unlike: sim.ThroughCold}}}
	piece, err := encodePiece("s", span{}, []Run{run})
	if err != nil {
		t.Fatal(err)
	}
	z, err := gzip.NewReader(bytes.NewReader(piece))
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	if got := regexp.MustCompile(`"unlike":[^,]*`).FindAllString(string(text), -1); !slices.Equal(got, []string{`"unlike":"serves less"`, `"unlike":"cold line"`}) {
		t.Errorf("kept %q", got)
	}
	if got, err := decodePiece(bytes.NewReader(piece), "s", span{}); err != nil || !reflect.DeepEqual(got, []Run{run}) {
		t.Errorf("%+v (%v)", got, err)
	}
}

// TestChanged: results are not mixed with those of another study, nor lost to
// one that asks for less.
func TestChanged(t *testing.T) {
	path := t.TempDir()
	m := manifest(3)
	m.Precision = "purged_L=5"
	fill(t, open(t, path, m))
	for name, c := range map[string]struct {
		change func(*Manifest)
		want   string
	}{
		"study":      {func(m *Manifest) { m.Study = "0123" }, `it holds results of another study, "A study", or of this one before it was changed (abcdef012345, now 0123); name another folder, so that nothing is lost or mixed: one grows by replicates, by samples of halton or sensitivity, and by --limit, and by nothing else`},
		"version":    {func(m *Manifest) { m.Version = "2" }, `it was made by version 1 of the program, this is 2; name another folder, so that nothing is lost or mixed`},
		"cases":      {func(m *Manifest) { m.Cases = 2 }, `it holds 3 cases and 2 are asked for; ask for as many at least, or name another folder`},
		"replicates": {func(m *Manifest) { m.Replicates = 1 }, `it holds 2 replicates and 1 are asked for; ask for as many at least, or name another folder`},
		"shard":      {func(m *Manifest) { m.Shard = &Shard{1, 2} }, `it holds the whole study; name another folder`},
		"precision":  {func(m *Manifest) { m.Precision = "cost=1" }, `its replicates stop at precision "purged_L=5" and "cost=1" is asked for; ask for the same or none, or name another folder`},
	} {
		changed := m
		c.change(&changed)
		if _, err := Open(path, changed); err == nil || err.Error() != path+": "+c.want {
			t.Errorf("%s: got  %v\nwant %s", name, err, c.want)
		}
		if f, err := Read(path); err != nil || f.Manifest != m {
			t.Errorf("%s: the folder is changed: %+v %v", name, f, err)
		}
	}
	all := t.TempDir()
	fill(t, open(t, all, manifest(3)))
	if _, err := Open(all, m); err == nil || err.Error() != all+`: all of its replicates are wanted, and precision "purged_L=5" is asked for; ask for none, or name another folder` {
		t.Error(err)
	}
	other := t.TempDir()
	if err := os.WriteFile(filepath.Join(other, "thesis.tex"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(other, m); err == nil || !strings.Contains(err.Error(), "it holds files and no study.json") {
		t.Error(err)
	}
}

// TestOpenedAtOnce: all who open a new folder at the same time may use it.
func TestOpenedAtOnce(t *testing.T) {
	for range 50 {
		path := filepath.Join(t.TempDir(), "results")
		done := make(chan error)
		for range 4 {
			go func() {
				_, err := Open(path, manifest(3))
				done <- err
			}()
		}
		for range 4 {
			if err := <-done; err != nil {
				t.Fatal(err)
			}
		}
	}
}

// TestGrownAtOnce: two may take over the pieces of a study that has grown; the one
// that is done first removes them while the other is about to read them.
func TestGrownAtOnce(t *testing.T) {
	f := open(t, t.TempDir(), manifest(1100))
	pieces := filepath.Join(f.Path, piecesName)
	for _, err := range []error{
		os.Symlink("gone", filepath.Join(pieces, span{1, 1}.name())), // is listed and not there
		os.WriteFile(filepath.Join(pieces, ".nfs0001"), nil, 0o644),  // a network's disk makes one of a file that is removed while it is open
		f.Fill(Part{span{0, 0}}, []Run{{Case: 0}}),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	if have, err := f.Have(Part{span{0, 1}}); err != nil || len(have) != 1 {
		t.Errorf("%+v (%v)", have, err)
	}
}

// TestMergeRefuses names each shard that is missing, unfinished, torn, twice
// there or foreign, and leaves nothing behind.
func TestMergeRefuses(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(t *testing.T, paths []string) []string
		want  string
	}{
		{"missing", func(_ *testing.T, p []string) []string { return p[:2] }, "shard 3/3 is missing"},
		{"two missing", func(_ *testing.T, p []string) []string { return p[1:2] }, "shard 1/3 is missing\nshard 3/3 is missing"},
		{"duplicate", func(_ *testing.T, p []string) []string { return append(p, p[1]) }, "P2 and P2 are both shard 2/3"},
		{"foreign", func(t *testing.T, p []string) []string { return append(p[:2], shards(t, 3, 8)[2]) }, "OTHER is foreign: it is not one of 3 shards of the study that P1 is of\nshard 3/3 is missing"},
		{"unfinished", func(t *testing.T, p []string) []string {
			if err := os.Remove(filepath.Join(p[0], "pieces", span{3, 3}.name())); err != nil {
				t.Fatal(err)
			}
			return p
		}, "shard 1/3: P1 is not finished; run the study again with this folder, and it goes on where it was"},
		{"torn", func(t *testing.T, p []string) []string {
			if err := os.Truncate(filepath.Join(p[1], "pieces", span{1, 1}.name()), 60); err != nil {
				t.Fatal(err)
			}
			return p
		}, "shard 2/3: piece P2/pieces/000000001-000000001.jsonl.gz: is torn: unexpected EOF; remove this file and run the study again: only its runs are made anew"},
		{"no shard", func(t *testing.T, p []string) []string { return []string{t.TempDir()} }, "OTHER holds no results of a study: there is no study.json"},
	} {
		t.Run(c.name, func(t *testing.T) {
			paths := shards(t, 3, 7)
			names := strings.NewReplacer(paths[0], "P1", paths[1], "P2", paths[2], "P3")
			given := c.spoil(t, slices.Clone(paths))
			into := filepath.Join(t.TempDir(), "merged")
			_, err := Merge(given, func(m Manifest) (*Folder, error) { return Open(into, m) })
			if err == nil {
				t.Fatal("it is merged")
			}
			got := names.Replace(err.Error())
			if !slices.Contains(paths, given[len(given)-1]) {
				got = strings.ReplaceAll(got, given[len(given)-1], "OTHER")
			}
			if got != c.want {
				t.Errorf("got\n%s\nwant\n%s", got, c.want)
			}
			if _, err := os.Stat(into); err == nil {
				t.Error("something is left behind")
			}
		})
	}
}

// TestDiscarded: a file that is not kept leaves what was there, and nothing
// beside it.
func TestDiscarded(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "a")
	if err := writeText(path, []byte("old")); err != nil {
		t.Fatal(err)
	}
	p, err := Begin(path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := p.WriteString("half of the n"); err != nil {
		t.Fatal(err)
	}
	p.Discard()
	text, err := os.ReadFile(path)
	left, _ := os.ReadDir(folder)
	if err != nil || string(text) != "old" || len(left) != 1 {
		t.Errorf("%q, %d files (%v)", text, len(left), err)
	}
}

// TestSwept: a file that another run swept away is not in its place, whatever older
// one is; a text is written again.
func TestSwept(t *testing.T) {
	f := open(t, t.TempDir(), manifest(3))
	fill(t, f)
	p, err := Begin(filepath.Join(f.Path, manifestName))
	if err != nil {
		t.Fatal(err)
	}
	defer p.Discard()
	if err := f.Settle(); err != nil {
		t.Fatal(err)
	}
	if err := p.Keep(); !errors.Is(err, ErrSwept) {
		t.Error(err)
	}
	done := make(chan struct{})
	go func() {
		defer close(done)
		for i := range 500 {
			if err := f.Write(strconv.Itoa(i), []byte("whole")); err != nil {
				t.Error(err)
			}
		}
	}()
	for range 500 {
		if err := f.Settle(); err != nil {
			t.Error(err)
		}
	}
	<-done
	for i := range 500 {
		if text, err := os.ReadFile(filepath.Join(f.Path, strconv.Itoa(i))); err != nil || string(text) != "whole" {
			t.Error(string(text), err)
		}
	}
}

// TestNamesAreNoPatterns: folders are what they are called, whatever a shell would
// take their names for.
func TestNamesAreNoPatterns(t *testing.T) {
	for _, name := range []string{"a[", "a[1]", "a*", `a\b`} {
		path := filepath.Join(t.TempDir(), name)
		if err := os.Mkdir(path, 0o777); err != nil {
			t.Fatal(err)
		}
		m := manifest(3)
		m.Shard = &Shard{1, 1}
		shard := filepath.Join(path, m.Shard.Folder())
		f := open(t, shard, m)
		left, err := Begin(filepath.Join(shard, "torn"))
		if err != nil {
			t.Fatal(err)
		}
		defer left.Close()
		fill(t, f)
		if _, err := os.Stat(left.Name()); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("%s: what was half-written is left (%v)", name, err)
		}
		if found, err := Shards([]string{path}); err != nil || !slices.Equal(found, []string{shard}) {
			t.Errorf("%s: shards %q (%v)", name, found, err)
		}
	}
}

func TestParseShard(t *testing.T) {
	if s, err := ParseShard("3/8"); err != nil || *s != (Shard{3, 8}) || s.Folder() != "shard-3-of-8" {
		t.Error(s, err)
	}
	for _, text := range []string{"", "3", "0/8", "9/8", "-1/8", "3/8/9", "a/b", "1/200000"} {
		if _, err := ParseShard(text); err == nil {
			t.Errorf("%q is taken", text)
		}
	}
}

// FuzzPiece: whatever stands in a piece is its runs or an error.
func FuzzPiece(f *testing.F) {
	text, err := encodePiece("s", span{0, 1}, []Run{{Case: 0}, {Case: 1, Cause: "none"}})
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	f.Fuzz(func(t *testing.T, data []byte) {
		if runs, err := decodePiece(strings.NewReader(string(data)), "s", span{0, 1}); err == nil && len(runs) != 2 {
			t.Fatalf("%d runs", len(runs))
		}
	})
}

func BenchmarkPiece(b *testing.B) {
	b.ReportAllocs()
	runs := make([]Run, 256)
	for i := range runs {
		runs[i] = Run{Case: i, Layouts: slices.Repeat([]Layout{{Name: "trunk and branch", Fixtures: make([]Fixture, 8)}}, 3)}
	}
	for range b.N {
		if _, err := encodePiece("s", span{0, 255}, runs); err != nil {
			b.Fatal(err)
		}
	}
}
