package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"slices"

	"pipelag/plots"
)

// figureFiles are a figure in each format, the data behind it and its caption.
func figureFiles(f plots.Drawn, header []string, rows [][]string, formats []plots.Format) ([]file, error) {
	var files []file
	for _, format := range formats {
		picture, err := pictured(f.Figure, format)
		if errors.Is(err, plots.ErrLetters) {
			return nil, fmt.Errorf("figure %q: %w; give --format svg", f.Name, err)
		}
		if err != nil {
			return nil, err
		}
		files = append(files, file{f.Name + "." + format.String(), picture})
	}
	var b bytes.Buffer
	if err := csv.NewWriter(&b).WriteAll(append([][]string{header}, rows...)); err != nil {
		return nil, failed(err)
	}
	return append(files, file{f.Name + ".csv", b.Bytes()}, file{f.Name + ".txt", []byte(f.Caption() + "\n")}), nil
}

// pictured is a figure in a format. That names have letters which the format cannot
// show is the user's to mend.
func pictured(f *plots.Figure, format plots.Format) ([]byte, error) {
	var b bytes.Buffer
	err := f.Write(&b, format)
	if errors.Is(err, plots.ErrLetters) {
		return nil, err
	}
	return b.Bytes(), failed(err)
}

// drawn is a figure in the format of the ending of --figure's file.
func drawn(figure *plots.Figure, path string) ([]byte, error) {
	format, err := figureFormat(path)
	if err != nil {
		return nil, err
	}
	picture, err := pictured(figure, format)
	if errors.Is(err, plots.ErrLetters) {
		return nil, fmt.Errorf("--figure %s: %w; let the name end in .svg", path, err)
	}
	return picture, err
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
