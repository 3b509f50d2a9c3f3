package main

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"
)

func TestSheet(t *testing.T) {
	s := &sheet{title: "Title", heads: []string{"1", "wide head"}}
	s.add("a", []cell{{"2410", "±50"}, {"(1", "±2)"}})
	s.add("long", []cell{{"0", ""}, {"-12", "±345"}})
	var b bytes.Buffer
	s.write(&b)
	const want = `
Title
         1     wide head
a     2410±50     (1±2)
long     0       -12±345
`
	if got := b.String(); strings.TrimSpace(got) != strings.TrimSpace(want) {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// TestSheetTurns holds a sheet of more columns than fit to be continued below,
// each column once.
func TestSheetTurns(t *testing.T) {
	s := &sheet{title: "Title"}
	var cells []cell
	for i := range 25 {
		s.heads = append(s.heads, strings.Repeat("h", 3)+string(rune('a'+i)))
		cells = append(cells, cell{"12345", "±678"})
	}
	s.add("a fixture of name é", cells)
	var b bytes.Buffer
	s.write(&b)
	for _, line := range strings.Split(b.String(), "\n") {
		if utf8.RuneCountInString(line) > pageWidth {
			t.Errorf("%d characters: %s", utf8.RuneCountInString(line), line)
		}
	}
	for _, head := range s.heads {
		if n := strings.Count(b.String(), head); n != 1 {
			t.Errorf("%s stands %d times", head, n)
		}
	}
	if n := strings.Count(b.String(), "12345±678"); n != 25 {
		t.Errorf("%d cells of 25", n)
	}
}

func TestNote(t *testing.T) {
	var b bytes.Buffer
	writeNote(&b, "- ", strings.Repeat("word ", 30))
	lines := strings.Split(strings.TrimSpace(b.String()), "\n")
	if len(lines) != 2 || !strings.HasPrefix(lines[0], "- word") || !strings.HasPrefix(lines[1], "  word") || len(lines[0]) > pageWidth {
		t.Errorf("%q", lines)
	}
}

func TestCapital(t *testing.T) {
	for text, want := range map[string]string{"waiting": "Waiting", "étage": "Étage", "2 floors": "2 floors", "層": "層"} {
		if got := capital(text); got != want {
			t.Errorf("%q becomes %q", text, got)
		}
	}
}
