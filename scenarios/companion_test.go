package scenarios

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestCompanions keeps a scenario with the files that it names in one folder, where it
// reads as the same scenario, of the same hash, and is kept the same again.
func TestCompanions(t *testing.T) {
	for _, c := range []struct {
		name, limits, record string // as the scenario names them
		kept                 [2]string
		as                   string // how the kept text names the record
	}{
		{"beside", "limits.csv", "draws.csv", [2]string{"limits.csv", "draws.csv"}, "{record: draws.csv} # a week"},
		{"of one name", "a/own.csv", "'b/own.csv'", [2]string{"own.csv", "record-own.csv"}, "{record: record-own.csv} # a week"},
		{"above", "../own.csv", `"../other.csv"`, [2]string{"own.csv", "other.csv"}, "{record: other.csv} # a week"},
		{"as results are called", "Annual.csv", "b/months.CSV", [2]string{"limits-Annual.csv", "record-months.CSV"}, "{record: record-months.CSV} # a week"},
		{"as both are", "record-runs.csv", "runs.csv", [2]string{"record-runs.csv", "record-record-runs.csv"}, "{record: record-record-runs.csv} # a week"},
		{"escaped", "own.csv", `"b/\x6fwn.csv"`, [2]string{"own.csv", "record-own.csv"}, "record: record-own.csv\n"},
		{"without an ending", "b/own", "b/runs", [2]string{"own", "record-runs"}, "{record: record-runs} # a week"},
	} {
		t.Run(c.name, func(t *testing.T) {
			top := t.TempDir()
			folder := filepath.Join(top, "house")
			write := func(path, text string) {
				t.Helper()
				if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			record := strings.ReplaceAll(strings.Trim(c.record, `'"`), `\x6f`, "o")
			write(filepath.Join(folder, c.limits), ownLimits)
			write(filepath.Join(folder, record), recorded)
			write(filepath.Join(folder, "a.yaml"), strings.Replace(sound, "layouts:", "limits: {file: "+c.limits+"} # ä\ndraws: {record: "+c.record+"} # a week\nlayouts:", 1))
			s, err := Load(filepath.Join(folder, "a.yaml"))
			if err != nil {
				t.Fatal(err)
			}
			if len(s.Companions) != 2 || [2]string{s.Companions[0].Name, s.Companions[1].Name} != c.kept {
				t.Fatalf("companions are %+v", s.Companions)
			}
			if string(s.Companions[0].Text) != ownLimits || string(s.Companions[1].Text) != recorded {
				t.Errorf("companions hold other texts")
			}
			if !strings.Contains(s.Source, c.as) {
				t.Errorf("the text kept has no %q:\n%s", c.as, s.Source)
			}
			write(filepath.Join(top, "kept", "scenario.yaml"), s.Source)
			for _, k := range s.Companions {
				write(filepath.Join(top, "kept", k.Name), string(k.Text))
			}
			if err := os.RemoveAll(folder); err != nil {
				t.Fatal(err)
			}
			again, err := Load(filepath.Join(top, "kept", "scenario.yaml"))
			if err != nil {
				t.Fatal(err)
			}
			if again.SHA256 != s.SHA256 || again.Source != s.Source || !slices.EqualFunc(again.Companions, s.Companions, func(a, b Companion) bool { return a.Name == b.Name }) {
				t.Errorf("kept and read again it is another scenario")
			}
		})
	}
}
