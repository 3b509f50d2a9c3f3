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

// EmbeddedText is the text of a scenario that comes with the program.
func EmbeddedText(name string) ([]byte, error) {
	return embeddedText("scenario", "embedded/", embeddedNames, name)
}

// LoadEmbedded reads a scenario that comes with the program.
func LoadEmbedded(name string) (*Scenario, error) {
	text, err := EmbeddedText(name)
	if err != nil {
		return nil, err
	}
	return Parse(name, text)
}

// Starter is a new scenario with comments, to be changed.
func Starter() []byte { return slices.Clone(starter) }

// EmbeddedStudies names the studies that come with the program.
func EmbeddedStudies() []string { return slices.Clone(embeddedStudies) }

// EmbeddedStudyText is the text of a study that comes with the program.
func EmbeddedStudyText(name string) ([]byte, error) {
	return embeddedText("study", "embedded/studies/", embeddedStudies, name)
}

// LoadEmbeddedStudy reads a study that comes with the program.
func LoadEmbeddedStudy(name string) (*Study, error) {
	text, err := EmbeddedStudyText(name)
	if err != nil {
		return nil, err
	}
	return readStudy(name, "", text)
}

// embeddedText reads one of the embedded files that have these names.
func embeddedText(noun, folder string, names []string, name string) ([]byte, error) {
	if !slices.Contains(names, name) {
		return nil, fmt.Errorf("no %s %q comes with the program; there are %s", noun, name, strings.Join(names, ", "))
	}
	return embeddedFiles.ReadFile(folder + name + ".yaml")
}
