package scenarios

import (
	"bytes"
	"flag"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

var update = flag.Bool("update", false, "write scenario.schema.json anew")

const schemaFile = "scenario.schema.json"

func TestSchemaFile(t *testing.T) {
	if *update {
		if err := os.WriteFile(schemaFile, Schema(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	text, err := os.ReadFile(schemaFile)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(text, Schema()) {
		t.Error("the schema file is out of date; run go generate in scenarios")
	}
}

func compile(t *testing.T, text []byte) *jsonschema.Schema {
	t.Helper()
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	if err := compiler.AddResource(schemaFile, document); err != nil {
		t.Fatal(err)
	}
	compiled, err := compiler.Compile(schemaFile)
	if err != nil {
		t.Fatal(err)
	}
	return compiled
}

// holds holds a schema against every text of a kind that comes with the program,
// in a folder, and a sound one; and against that one spoilt.
func holds(t *testing.T, text []byte, folder string, names []string, sound string, spoilt map[string][2]string) {
	t.Helper()
	compiled := compile(t, text)
	good := map[string][]byte{"sound": []byte(sound)}
	for _, name := range names {
		data, err := embeddedFiles.ReadFile(folder + name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		good[name] = data
	}
	for name, data := range good {
		if err := compiled.Validate(plain(t, data)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, bad := range spoilt {
		if compiled.Validate(plain(t, []byte(strings.Replace(sound, bad[0], bad[1], 1)))) == nil {
			t.Errorf("%s: the schema accepts it", name)
		}
	}
}

func TestSchemaHolds(t *testing.T) {
	holds(t, Schema(), "embedded/", Embedded(), sound, map[string][2]string{
		"unknown key":     {"flow: 1.5 gpm", "flwo: 1.5 gpm"},
		"no unit":         {"flow: 1.5 gpm", "flow: 1.5"},
		"wrong dimension": {"volume: 50 gal", "volume: 50 psi"},
		"people":          {"people: 3", "people: 13"},
		"no heater":       {"heater: {", "climatic: {"},
		"use":             {"use: kitchen", "use: cooking"},
		"two coordinates": {"[2 ft, 30 ft, 0 ft]", "[2 ft, 30 ft]"},
	})
	if err := compile(t, Schema()).Validate(plain(t, Starter())); err != nil {
		t.Errorf("starter: %v", err)
	}
}

func TestStudySchemaHolds(t *testing.T) {
	holds(t, StudySchema(), "embedded/studies/", EmbeddedStudies(), soundStudy, map[string][2]string{
		"unknown key":     {"samples: 20", "sampels: 20"},
		"a share":         {"40 %, 60 %", "0.4, 0.6"},
		"a sampling":      {"sampling: halton", "sampling: sobol"},
		"no path":         {"path: heater.setpoint, ", ""},
		"a cost":          {"900 USD", "900"},
		"no factors":      {"factors:", "facts:"},
		"a list of lists": {"[3/8, 1/2]", "[[3/8], [1/2]]"},
	})
}

// plain is a YAML text as encoding/json would have it.
func plain(t *testing.T, data []byte) any {
	t.Helper()
	r := newReader("plain", scenarioBegin)
	root := r.tree(data)
	if err := r.err(); err != nil {
		t.Fatal(err)
	}
	var convert func(n *node) any
	convert = func(n *node) any {
		switch n.shape {
		case mapping:
			m := map[string]any{}
			for i, key := range n.keys {
				m[key.text] = convert(n.items[i])
			}
			return m
		case list:
			var l []any
			for _, item := range n.items {
				l = append(l, convert(item))
			}
			return l
		case empty:
			return nil
		}
		if x, err := strconv.ParseFloat(n.text, 64); err == nil {
			return x
		}
		if b, err := strconv.ParseBool(n.text); err == nil {
			return b
		}
		return n.text
	}
	return convert(root)
}
