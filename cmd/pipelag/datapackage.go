package main

import (
	"crypto/sha256"
	"encoding/hex"
	"path/filepath"
)

// dataPackage describes a folder of results by the open Data Package standard,
// version 2: what is in it, and the name, type, unit and meaning of every column.
type dataPackage struct {
	Schema      string     `json:"$schema"`
	Name        string     `json:"name"`
	Title       string     `json:"title"`
	Description string     `json:"description"`
	Version     string     `json:"version"`
	Resources   []resource `json:"resources"`
}

type resource struct {
	Name      string       `json:"name"`
	Type      string       `json:"type,omitempty"` // table for tables
	Path      string       `json:"path"`
	Title     string       `json:"title"`
	Format    string       `json:"format"`
	MediaType string       `json:"mediatype"`
	Encoding  string       `json:"encoding"`
	Bytes     int          `json:"bytes"`
	Hash      string       `json:"hash"`
	Schema    *tableSchema `json:"schema,omitempty"`
}

type tableSchema struct {
	Fields     []field  `json:"fields"`
	PrimaryKey []string `json:"primaryKey"`
}

type field struct {
	Name        string `json:"name"`
	Type        string `json:"type"`
	Unit        string `json:"unit,omitempty"`
	Description string `json:"description"`
}

// describe makes the description of the files.
func (o *outcome) describe(files []file, datasets []dataset) ([]byte, error) {
	p := dataPackage{
		Schema:      "https://datapackage.org/profiles/2.0/datapackage.json",
		Name:        "pipelag-run",
		Title:       o.Scenario.Name,
		Description: "Hot-water use, waiting, losses and energy of each piping layout, over " + counted(o.Years, "simulated year") + ". Units are in the names of columns and in their unit property; empty means unknown.",
		Version:     o.Version,
	}
	media := map[string]string{"json": "application/json", "yaml": "application/yaml", "csv": "text/csv", "html": "text/html"}
	titles := map[string]string{"summary.json": "The whole result", takeoffName: "What each layout comes to before any year: lengths, stored water, pressures, limits, places", "scenario.yaml": "The scenario that was run", reportName: "The result as a page to read"}
	schemas := make(map[string]*tableSchema)
	for _, d := range datasets {
		s := &tableSchema{PrimaryKey: d.key}
		for _, c := range d.columns {
			s.Fields = append(s.Fields, field{c.name, c.kind, c.unit, c.meaning})
		}
		schemas[d.name+".csv"], titles[d.name+".csv"] = s, d.title
	}
	for _, f := range files {
		format := filepath.Ext(f.name)[1:]
		sum := sha256.Sum256(f.text)
		r := resource{
			Name: f.name[:len(f.name)-len(format)-1], Path: f.name, Title: titles[f.name],
			Format: format, MediaType: media[format], Encoding: "utf-8",
			Bytes: len(f.text), Hash: "sha256:" + hex.EncodeToString(sum[:]), Schema: schemas[f.name],
		}
		if r.Schema != nil {
			r.Type = "table"
		}
		p.Resources = append(p.Resources, r)
	}
	return encodeJSON(p)
}
