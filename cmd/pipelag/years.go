package main

import (
	"strconv"

	"pipelag/sim"
	"pipelag/studies/tables"
)

// yearTable is the table of every year of every layout, written as the years are
// done, so that it may be larger than memory.
type yearTable struct {
	dataset
	layouts []string
	year    int // the last that was written
	files   []*tableFile
}

// newYearTable begins the table of a house in a folder of results; no folder, no
// table.
func newYearTable(f *folder, h *sim.House) (*yearTable, error) {
	if f == nil {
		return nil, nil
	}
	t := &yearTable{dataset: dataset{
		name: "years", title: "Each year of each layout; the same year is the same wishes and weather under every layout", key: []string{"layout", "year"},
		columns: append([]column{layoutColumn, {"year", tables.Integer, "", "number of the year, from 1"}}, quantityColumns(h.Rates.Currency, ", in that year")...),
	}}
	for i := range h.Layouts {
		t.layouts = append(t.layouts, h.Layouts[i].Network.Name)
	}
	for _, format := range formats {
		file, err := newTableFile(f.partial, &t.dataset, format.ending, format.begin)
		if err != nil {
			t.discard()
			return nil, failed(err)
		}
		t.files = append(t.files, file)
	}
	return t, nil
}

// add writes the next year.
func (t *yearTable) add(layouts []sim.Values) error {
	t.year++
	for i, name := range t.layouts {
		row := append([]string{name, strconv.Itoa(t.year)}, quantities(layouts[i])...)
		for _, f := range t.files {
			if err := f.writer.Row(row); err != nil {
				return err
			}
		}
	}
	return nil
}

// end ends the table, whole.
func (t *yearTable) end() error {
	for _, f := range t.files {
		if err := f.end(); err != nil {
			return failed(err)
		}
	}
	return nil
}

// discard closes and removes what has not ended.
func (t *yearTable) discard() {
	for _, f := range t.files {
		f.Discard()
	}
}
