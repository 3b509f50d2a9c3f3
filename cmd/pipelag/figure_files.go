package main

import (
	"bytes"
	"encoding/csv"
	"slices"

	"pipelag/plots"
)

// figureFiles are a figure in each format, the data behind it and its caption.
func figureFiles(f plots.Drawn, header []string, rows [][]string, formats []plots.Format) ([]file, error) {
	var files []file
	for _, format := range formats {
		var b bytes.Buffer
		if err := f.Write(&b, format); err != nil {
			return nil, err
		}
		files = append(files, file{f.Name + "." + format.String(), b.Bytes()})
	}
	var b bytes.Buffer
	if err := csv.NewWriter(&b).WriteAll(append([][]string{header}, rows...)); err != nil {
		return nil, err
	}
	return append(files, file{f.Name + ".csv", b.Bytes()}, file{f.Name + ".txt", []byte(f.Caption() + "\n")}), nil
}

// withSI adds to a figure's data the columns that the same figure drawn in SI has
// otherwise: under their own names, or with _si where a name has no unit in it.
func withSI(header []string, rows [][]string, si *plots.Figure) ([]string, [][]string) {
	siHeader, siRows := si.Data()
	for k, name := range siHeader {
		same := func(row, siRow []string) bool { return row[k] == siRow[k] }
		if name == header[k] {
			if slices.EqualFunc(rows, siRows, same) {
				continue
			}
			name += "_si"
		}
		header = append(header, name)
		for i := range rows {
			rows[i] = append(rows[i], siRows[i][k])
		}
	}
	return header, rows
}
