package main

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"path/filepath"
	"strings"
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
	Encoding  string       `json:"encoding,omitempty"` // of text
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

// describe makes the description of a run's files.
func (o *outcome) describe(files []file, datasets []dataset, years *yearTable) ([]byte, error) {
	p := newDataPackage("pipelag-run", o.Scenario.Name, o.Version, "Hot-water use, waiting, losses and energy of each piping layout, over "+counted(o.Years, "simulated year")+".")
	titles := map[string]string{"summary.json": "The whole result, with the prices and efficiencies behind its money, carbon and net numbers", takeoffName: "What each layout comes to before any year: lengths, stored water, pressures, limits, places", scenarioFile: "The scenario that was run", reportName: "The result as a page to read"}
	of := make(map[string]*dataset)
	for i := range datasets {
		for _, f := range formats {
			of[datasets[i].name+f.ending] = &datasets[i]
		}
	}
	for _, f := range files {
		sum := sha256.Sum256(f.text)
		p.add(f.name, cmp.Or(titles[f.name], companionTitle), len(f.text), sum[:], of[f.name])
	}
	for _, f := range years.files {
		p.add(f.name, "", f.size, f.sum.Sum(nil), f.of)
	}
	return encodeJSON(p)
}

// companionTitle is that of a file that the scenario names.
const companionTitle = "A file that the scenario names"

func newDataPackage(name, title, version, description string) *dataPackage {
	return &dataPackage{
		Schema: "https://datapackage.org/profiles/2.0/datapackage.json", Name: name, Title: title, Version: version,
		Description: description + " Units are in the names of columns and in their unit property; empty means unknown.",
	}
}

// add describes a file; one that holds a dataset takes its title and columns.
func (p *dataPackage) add(name, title string, size int, sum []byte, d *dataset) {
	media := map[string]string{"json": "application/json", "yaml": "application/yaml", "csv": "text/csv", "html": "text/html", "parquet": "application/vnd.apache.parquet"}
	ending := filepath.Ext(name)
	format := strings.TrimPrefix(ending, ".")
	if media[format] == "" {
		format = "csv" // a file that a scenario names is one, whatever it is called
	}
	r := resource{
		Name: strings.TrimSuffix(name, ending), Path: name, Title: title, Format: format,
		MediaType: media[format], Encoding: "utf-8", Bytes: size, Hash: "sha256:" + hex.EncodeToString(sum),
	}
	if format == "parquet" {
		r.Name, r.Encoding = r.Name+"-parquet", ""
	}
	if d != nil {
		r.Type, r.Title = "table", d.title
		r.Schema = &tableSchema{PrimaryKey: d.key}
		for _, c := range d.columns {
			r.Schema.Fields = append(r.Schema.Fields, field{c.name, string(c.kind), c.unit, c.meaning})
		}
	}
	p.Resources = append(p.Resources, r)
}
