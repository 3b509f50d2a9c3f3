package plots

import (
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/recorder"
)

// textWatch is a canvas that notes where texts and lines stand.
type textWatch struct {
	recorder.Canvas
	seen  []standing
	lines [][]vg.Point // strokes, of straight pieces
}

// Stroke notes a line.
func (w *textWatch) Stroke(p vg.Path) {
	var line []vg.Point
	for _, c := range p {
		line = append(line, c.Pos)
	}
	w.lines = append(w.lines, line)
}

// standing is a text and the room its letters take.
type standing struct {
	vg.Rectangle
	text string
}

// FillString notes a text.
func (w *textWatch) FillString(f font.Face, at vg.Point, text string) {
	const above, below = 0.72, 0.2 // of the size: capitals, and tails of letters
	w.seen = append(w.seen, standing{vg.Rectangle{
		Min: vg.Point{X: at.X, Y: at.Y - below*f.Font.Size},
		Max: vg.Point{X: at.X + f.Width(text), Y: at.Y + above*f.Font.Size},
	}, text})
}

// whole is the room of a text written on one line or on two that follow each other;
// nil if there is none.
func (w *textWatch) whole(text string) *vg.Rectangle {
	for i, a := range w.seen {
		if a.text == text {
			return &a.Rectangle
		}
		if i > 0 && w.seen[i-1].text+" "+a.text == text {
			b := w.seen[i-1].Rectangle
			return &vg.Rectangle{Min: vg.Point{X: min(a.Min.X, b.Min.X), Y: a.Min.Y}, Max: vg.Point{X: max(a.Max.X, b.Max.X), Y: b.Max.Y}}
		}
	}
	return nil
}
