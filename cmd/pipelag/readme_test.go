package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pipelag/scenarios"
	"pipelag/studies"
	"pipelag/units"
)

var update = flag.Bool("update", false, "write README.md's excerpt of the output anew")

const readmePath = "../../README.md"

func readme(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile(readmePath)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// blocks are the code blocks of a language, and where each one's text begins.
func blocks(text, language string) (found []string, at []int) {
	for _, m := range regexp.MustCompile("(?ms)^```"+language+"\n(.*?)^```$").FindAllStringSubmatchIndex(text, -1) {
		found, at = append(found, text[m[2]:m[3]]), append(at, m[2])
	}
	return found, at
}

// section is what stands below a heading.
func section(t *testing.T, text, heading string) string {
	t.Helper()
	_, below, ok := strings.Cut(text, "\n## "+heading+"\n")
	if !ok {
		t.Fatalf("README.md has no %q", heading)
	}
	below, _, _ = strings.Cut(below, "\n## ")
	return below
}

// TestREADMEExcerpt runs what README.md says to run and holds its excerpt and
// the figures in its prose against the output.
func TestREADMEExcerpt(t *testing.T) {
	text := readme(t)
	run, _ := blocks(section(t, text, "Run it"), "sh")
	if len(run) != 1 || run[0] != "go run ./cmd/pipelag run\n" {
		t.Fatalf("to run: %q", run)
	}
	var stdout, stderr bytes.Buffer
	if code := execute(context.Background(), []string{"run"}, &stdout, &stderr); code != codeDone || stderr.Len() > 0 {
		t.Fatalf("exit code %d: %s", code, stderr.String())
	}
	excerpt, _, ok := strings.Cut(stdout.String(), "\nDraws that end")
	if !ok {
		t.Fatal("the output has no Draws that end")
	}
	found, at := blocks(text, "text")
	if len(found) != 1 {
		t.Fatalf("%d blocks of text", len(found))
	}
	if *update {
		text = text[:at[0]] + excerpt + text[at[0]+len(found[0]):]
		if err := os.WriteFile(readmePath, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	} else if found[0] != excerpt {
		t.Errorf("the excerpt is not what the command prints, which is\n%s", excerpt)
	}

	purged := inTable(t, excerpt, "water purged, gal") / 365
	left := inTable(t, excerpt, "left running, gal") / 365
	waste := 9.8 * math.Pow(3, 0.43) // ANSI/RESNET/ICC 301, read as quoted; the house has three bedrooms
	for _, want := range []string{
		fmt.Sprintf("purges %s of water a day, and %s with what is left running", daily(purged, 1), daily(purged+left, 1)),
		daily(waste, 1) + " a day for three bedrooms",
	} {
		if !strings.Contains(strings.Join(strings.Fields(text), " "), want) {
			t.Errorf("README.md does not say: %s", want)
		}
	}
}

// daily is a volume in gallons as README.md writes it.
func daily(gallons float64, decimals int) string {
	perLitre := units.US.Convert(0.001, units.Volume)
	return fmt.Sprintf("%.*f gal (%.0f L)", decimals, gallons, gallons/perLitre)
}

// inTable is the first layout's mean in a row of the output.
func inTable(t *testing.T, table, label string) float64 {
	t.Helper()
	m := regexp.MustCompile(`(?m)^` + label + ` +([\d.]+)±`).FindStringSubmatch(table)
	if m == nil {
		t.Fatalf("no %q in\n%s", label, table)
	}
	x, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// TestREADMECommands runs every other command of README.md, in order and in one
// folder; the test command is the one that runs this test.
func TestREADMECommands(t *testing.T) {
	text := readme(t)
	test, _ := blocks(section(t, text, "Test it"), "sh")
	if len(test) != 1 || test[0] != "go test ./...\n" {
		t.Fatalf("to test: %q", test)
	}
	folder := t.TempDir()
	all, _ := blocks(text, "sh")
	for _, line := range strings.Split(strings.Join(all, ""), "\n") {
		command := strings.Replace(line, "go run ./cmd/pipelag", "pipelag", 1)
		if line == "" || command == "pipelag run" || line+"\n" == test[0] { // the run is that of TestREADMEExcerpt
			continue
		}
		c := exec.Command("bash", "-c", command)
		c.Dir = folder
		if out, err := c.CombinedOutput(); err != nil {
			t.Errorf("%s: %v\n%s", command, err, out)
		}
	}
	if _, err := os.Stat(filepath.Join(folder, "results", "datapackage.json")); err != nil {
		t.Error(err)
	}
}

// TestREADMEScenario holds the scenario and the study shown to be sound ones.
func TestREADMEScenario(t *testing.T) {
	shown, _ := blocks(readme(t), "yaml")
	if len(shown) != 2 {
		t.Fatalf("%d scenarios and studies", len(shown))
	}
	if _, err := scenarios.Parse("README.md", []byte(shown[0])); err != nil {
		t.Error(err)
	}
	path := filepath.Join(t.TempDir(), "README.yaml")
	if err := os.WriteFile(path, []byte(shown[1]), 0o666); err != nil {
		t.Fatal(err)
	}
	s, err := scenarios.LoadStudy(path)
	if err != nil {
		t.Fatal(err)
	}
	cases, err := studies.NewCases(s, 20)
	if err != nil {
		t.Fatal(err)
	}
	if err := cases.Check(); err != nil {
		t.Error(err)
	}
}

// TestREADMELinks holds every file that README.md and DEVELOPERS.md point to be
// there.
func TestREADMELinks(t *testing.T) {
	link := regexp.MustCompile(`\]\(([^)#]+)\)`)
	for _, page := range []string{readmePath, "../../DEVELOPERS.md"} {
		text, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range link.FindAllStringSubmatch(string(text), -1) {
			if strings.HasPrefix(m[1], "https://") {
				continue
			}
			if _, err := os.Stat(filepath.Join("..", "..", m[1])); err != nil {
				t.Errorf("%s: %v", page, err)
			}
		}
	}
}
