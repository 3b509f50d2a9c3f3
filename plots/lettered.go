package plots

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"golang.org/x/image/font/sfnt"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// ErrLetters refuses a figure some of whose names could not be read.
var ErrLetters = errors.New("the font of PDF and PNG figures lacks letters that SVG keeps")

// lettered is a canvas that notes the letters that its fonts lack. The libraries
// leave them out without a word.
type lettered struct {
	vg.Canvas
	lacking []rune
}

// FillString draws a text, and notes what of it cannot be seen.
func (c *lettered) FillString(f font.Face, at vg.Point, text string) {
	for _, r := range text {
		if !has(f, r) && !slices.Contains(c.lacking, r) {
			c.lacking = append(c.lacking, r)
		}
	}
	c.Canvas.FillString(f, at, text)
}

// drawLettered draws the figure where fonts are those of the program.
func (f *Figure) drawLettered(on vg.Canvas) error {
	c := &lettered{Canvas: on}
	f.draw(newPage(c, f.width, f.height))
	if len(c.lacking) == 0 {
		return nil
	}
	const most = 12
	var named []string
	for _, r := range c.lacking[:min(most, len(c.lacking))] {
		named = append(named, string(r))
	}
	more := ""
	if len(c.lacking) > most {
		more = fmt.Sprintf(" and %d more", len(c.lacking)-most)
	}
	return fmt.Errorf("%w: %s%s", ErrLetters, strings.Join(named, " "), more)
}

// has tells whether a font has a letter.
func has(f font.Face, r rune) bool {
	var buffer sfnt.Buffer
	glyph, err := f.Face.GlyphIndex(&buffer, r)
	return err == nil && glyph != 0
}

// had is what a font has of a text, and how many letters of it the font lacks.
func had(f font.Face, text string) (of string, lacking int) {
	of = strings.Map(func(r rune) rune {
		if has(f, r) {
			return r
		}
		lacking++
		return -1
	}, text)
	return of, lacking
}
