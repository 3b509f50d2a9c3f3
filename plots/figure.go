// Package plots draws results as figures that can go into an article as they
// are, with the data behind each and a caption.
//
// A constructor checks what it is given, copies it and refuses what cannot be
// drawn; a Figure that exists can be written. Figures read results and compute
// nothing but sums and shares of them.
//
// Not modelled: letters that the font lacks in PDF and PNG, which are refused;
// titles, and what is outside the Windows-1252 characters, as text in PDF, where
// they are outlines.
package plots

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgpdf"
	"gonum.org/v1/plot/vg/vgsvg"
)

// Format is a kind of file.
type Format uint8

// The formats.
const (
	SVG Format = iota
	PDF
	PNG // 300 dots per inch
)

var formats = []string{"svg", "pdf", "png"}

// ParseFormat reads the ending of a file's name.
func ParseFormat(text string) (Format, error) {
	i := slices.Index(formats, text)
	if i < 0 {
		return 0, fmt.Errorf("unknown format %q; %s", text, known("formats", formats))
	}
	return Format(i), nil
}

// String is the ending of the format's files.
func (f Format) String() string { return formats[f] }

// printed is the resolution of a PNG [dots per inch].
const printed = 300

// Figure is a figure, its data and its caption. The same figure is written as
// the same bytes every time.
type Figure struct {
	width, height vg.Length
	caption       string
	header        []string
	rows          [][]string
	draw          func(*page)
}

// Caption says what the figure shows, of which scenario, years, seed and
// version.
func (f *Figure) Caption() string { return f.caption }

// Data is the table behind the figure. Columns are named with their units.
func (f *Figure) Data() (header []string, rows [][]string) {
	rows = make([][]string, len(f.rows))
	for i := range f.rows {
		rows[i] = slices.Clone(f.rows[i])
	}
	return slices.Clone(f.header), rows
}

// Write draws the figure. What would lack letters is refused as ErrLetters; SVG
// never is, as whatever shows it has fonts of its own.
func (f *Figure) Write(w io.Writer, format Format) error {
	switch format {
	case SVG:
		c := vgsvg.NewWith(vgsvg.UseWH(f.width, f.height))
		f.draw(newPage(c, f.width, f.height))
		var b bytes.Buffer
		if _, err := c.WriteTo(&b); err != nil {
			return err
		}
		// Where the font is not installed, those of the same widths stand in.
		// Text of the figure cannot match: its quotes are escaped.
		const from, to = `style="font-family:Liberation Sans;`, `style="font-family:'Liberation Sans',Arial,Helvetica,sans-serif;`
		text := bytes.ReplaceAll(b.Bytes(), []byte(from), []byte(to))
		// Pictures fill their place, and are PNG, which the library calls otherwise.
		text = bytes.ReplaceAll(text, []byte(`<image x=`), []byte(`<image preserveAspectRatio="none" x=`))
		_, err := w.Write(bytes.ReplaceAll(text, []byte(`xlink:href="data:image/jpg;`), []byte(`xlink:href="data:image/png;`)))
		return err
	case PDF:
		c := pdfCanvas{vgpdf.New(f.width, f.height)}
		if err := f.drawLettered(c); err != nil {
			return err
		}
		_, err := c.WriteTo(w)
		return err
	case PNG:
		c := vgimg.NewWith(vgimg.UseWH(f.width, f.height), vgimg.UseDPI(printed), vgimg.UseBackgroundColor(white))
		if err := f.drawLettered(c); err != nil {
			return err
		}
		_, err := vgimg.PngCanvas{Canvas: c}.WriteTo(w)
		return err
	}
	return fmt.Errorf("unknown format %d; %s", format, known("formats", formats))
}

// newPage is a page over a canvas, white all over.
func newPage(c vg.Canvas, width, height vg.Length) *page {
	p := &page{draw.NewCanvas(c, width, height)}
	p.fill(p.Rectangle, white)
	return p
}

// finite refuses what cannot be drawn.
func finite(what string, values ...float64) error {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("%s holds %g; it must be a number", what, v)
		}
	}
	return nil
}

// drawable refuses an interval that cannot be drawn. Limits may both be
// unknown, which is how a result says that one year gives none.
func drawable(what string, mean, low, high float64) error {
	if math.IsNaN(low) && math.IsNaN(high) {
		return finite(what, mean)
	}
	if err := finite(what, mean, low, high); err != nil {
		return err
	}
	if low > mean || mean > high {
		return fmt.Errorf("%s lies at %g, outside its interval from %g to %g", what, mean, low, high)
	}
	return nil
}

// ErrNoData refuses a figure of nothing; an error that is it may say more.
var ErrNoData = errors.New("there is nothing to draw")

// number writes a value of the data; what is unknown is left empty.
func number(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return strconv.FormatFloat(x, 'g', 6, 64)
}

// column names a column with its unit.
func column(name, unit string) string {
	return name + "_" + strings.NewReplacer("°", "", "/", "_per_", " ", "_").Replace(unit)
}
