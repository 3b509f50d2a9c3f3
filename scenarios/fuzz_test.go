package scenarios

import (
	"errors"
	"math/rand/v2"
	"strings"
	"testing"
)

// texts are the scenarios that come with the program, and the one the error
// tests spoil.
func texts(t testing.TB) [][]byte {
	all := [][]byte{[]byte(sound), Starter()}
	for _, name := range Embedded() {
		data, err := embeddedFiles.ReadFile("embedded/" + name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, data)
	}
	return all
}

// soundOrSorry holds that a text makes a whole house, or a list of mistakes
// with their places.
func soundOrSorry(t testing.TB, data []byte) {
	t.Helper()
	s, err := Parse("f.yaml", data)
	if err == nil {
		h := s.House()
		if h.Schedule == nil || h.Climate.Mains == nil || len(h.Fixtures) == 0 || len(h.Layouts) == 0 {
			t.Fatalf("a house with parts missing from\n%s", data)
		}
		for _, l := range h.Layouts {
			if l.Network == nil || (l.Pump != nil) != (len(l.Network.Return) > 0) {
				t.Fatalf("a layout with parts missing from\n%s", data)
			}
		}
		return
	}
	var all Errors
	if !errors.As(err, &all) || len(all) == 0 {
		t.Fatalf("%T is not a list of mistakes", err)
	}
	lines := 2 + strings.Count(string(data), "\n") + strings.Count(string(data), "\r") +
		strings.Count(string(data), "\u0085") + strings.Count(string(data), "\u2028") + strings.Count(string(data), "\u2029")
	for _, m := range all {
		if m.Line < 1 || m.Column < 1 || m.Line > lines || m.What == "" || m.Right == "" {
			t.Errorf("%#v from\n%s", m, data)
		}
	}
}

// TestSpoilt reads scenarios with a few characters changed, dropped or doubled:
// nearer to a user's slips than what fuzzing finds.
func TestSpoilt(t *testing.T) {
	const marks = "0123456789:{}[],-&*!|>'\"#% \n\t"
	r := rand.New(rand.NewPCG(1, 2))
	seeds := texts(t)
	for range 400 {
		d := append([]byte(nil), seeds[r.IntN(len(seeds))]...)
		for range 1 + r.IntN(4) {
			i := r.IntN(len(d))
			switch r.IntN(4) {
			case 0:
				d[i] = byte(r.IntN(256))
			case 1:
				d = append(d[:i], d[i+1:]...)
			case 2:
				j := min(len(d), i+r.IntN(200))
				d = append(d[:j:j], d[i:]...)
			case 3:
				d[i] = marks[r.IntN(len(marks))]
			}
		}
		soundOrSorry(t, d)
	}
}

func FuzzParse(f *testing.F) {
	for _, data := range texts(f) {
		f.Add(data)
	}
	for _, text := range []string{"", "a: &x [*x]", "layouts: [{like: a, name: a}]", "? [a]\n: b", "name: !!binary aa==", "\ufeffname: x"} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, data []byte) { soundOrSorry(t, data) })
}
