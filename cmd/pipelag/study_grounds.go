package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"pipelag/sim"
	"pipelag/studies/store"
)

// grounds are what a study stands on besides its file: they are kept with the
// runs, so that no house need be made to tell them.
type grounds struct {
	Scenario documentScenario `json:"scenario"`
	Warnings []string         `json:"warnings"`
	Assumed  []assumption     `json:"assumptions"`
}

// grounds are the scenario's as it is before anything is varied.
func (j *studyJob) grounds() ([]byte, error) {
	house := j.base.House()
	house.Layouts = slices.DeleteFunc(slices.Clone(house.Layouts), func(l sim.Layout) bool {
		return !slices.Contains(j.cases.Study.Layouts, l.Network.Name)
	})
	g := grounds{Warnings: append([]string{}, j.base.Warnings(house.Layouts...)...), Assumed: append([]assumption{}, assumed(j.base.Assumed, &house)...)}
	g.Scenario.Name, g.Scenario.SHA256 = j.base.Name, j.base.SHA256
	return encodeJSON(g)
}

func readGrounds(f *store.Folder) (*grounds, error) {
	path := filepath.Join(f.Path, assumedFile)
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	g := new(grounds)
	if err := json.Unmarshal(text, g); err != nil {
		return nil, fmt.Errorf("%s is torn: %w; run the study again with this folder, and it is written anew", path, err)
	}
	return g, nil
}
