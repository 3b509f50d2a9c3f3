package scenarios

import (
	"embed"
	"fmt"
	"slices"
	"strings"
)

//go:embed embedded/*.yaml embedded/studies/*.yaml
var embeddedFiles embed.FS

//go:embed starter.yaml
var starter []byte

// embeddedStudies are the embedded studies.
var embeddedStudies = []string{"tubes", "manifold", "stock"}

// embeddedNames are the embedded scenarios, the one to begin with first.
var embeddedNames = []string{
	"courtyard", "townhouse", "flat", "hillside", "planned",
	"terrace", // one loop under every control
	// one house with each heater
	"cottage-electric", "cottage-gas", "cottage-heat-pump", "cottage-solar", "cottage-wood", "cottage-tankless-gas", "cottage-tankless-electric",
}

// Embedded names the scenarios that come with the program, the one that is run
// when none is named first.
func Embedded() []string { return slices.Clone(embeddedNames) }

// LoadEmbedded reads a scenario that comes with the program.
func LoadEmbedded(name string) (*Scenario, error) {
	data, err := embeddedFiles.ReadFile("embedded/" + name + ".yaml")
	if err != nil {
		return nil, fmt.Errorf("no scenario %q comes with the program; there are %s", name, strings.Join(embeddedNames, ", "))
	}
	return Parse(name, data)
}

// Starter is a new scenario with comments, to be changed.
func Starter() []byte { return slices.Clone(starter) }

// EmbeddedStudies names the studies that come with the program.
func EmbeddedStudies() []string { return slices.Clone(embeddedStudies) }

// LoadEmbeddedStudy reads a study that comes with the program.
func LoadEmbeddedStudy(name string) (*Study, error) {
	data, err := embeddedFiles.ReadFile("embedded/studies/" + name + ".yaml")
	if err != nil {
		return nil, fmt.Errorf("no study %q comes with the program; there are %s", name, strings.Join(embeddedStudies, ", "))
	}
	return readStudy(name, "", data)
}
