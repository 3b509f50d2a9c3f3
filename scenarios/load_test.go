package scenarios

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const recorded = `start,fixture,kind,flow_L_per_min,duration_s
2026-01-05T07:00:00+01:00,kitchen sink,washing,5,60
2026-01-06T08:00:00+01:00,hall shower,washing,7,300
`

// TestRecord reads draws from a file beside the scenario's.
func TestRecord(t *testing.T) {
	folder := t.TempDir()
	write := func(name, text string) string {
		t.Helper()
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	path := write("a.yaml", strings.Replace(sound, "layouts:", "draws: {record: draws.csv}\nlayouts:", 1))

	_, err := Load(path)
	var all Errors
	if !errors.As(err, &all) || len(all) != 1 || all[0].Line != 12 || all[0].Column != 17 {
		t.Errorf("a record that is not there gives %v", err)
	}

	csv := write("draws.csv", recorded)
	s, err := Load(path)
	if err != nil {
		t.Fatal(err)
	}
	if got := s.House().Schedule.Year(1, 0).Day(4, nil); len(got) != 1 || got[0].Fixture != 0 {
		t.Errorf("5 January has %+v", got)
	}
	if len(s.Warnings()) == 0 {
		t.Error("two days stand for a year without a warning")
	}

	write("draws.csv", strings.Replace(recorded, ",300", ",301", 1))
	if other, err := Load(path); err != nil || other.SHA256 == s.SHA256 {
		t.Errorf("another record has the same hash (%v)", err)
	}

	write("draws.csv", strings.Replace(recorded, "kitchen sink", "kitchen zinc", 1))
	if _, err := Load(path); !errors.As(err, &all) || all[0].File != csv || all[0].Line != 2 || all[0].Column != 27 {
		t.Errorf("a fixture the house does not have gives %v", err)
	}
}

func TestLoadRefuses(t *testing.T) {
	if _, err := Load(filepath.Join(t.TempDir(), "none.yaml")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a file that is not there gives %v", err)
	}
	large := filepath.Join(t.TempDir(), "large.yaml")
	if err := os.WriteFile(large, make([]byte, 50<<20), 0o644); err != nil {
		t.Fatal(err)
	}
	_, err := Load(large)
	if want := large + ":1:1: the file is larger than 256 kB; a scenario or a study is far smaller; is this the right file?"; err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
}
