package plots

import (
	"image"
	"time"

	"codeberg.org/go-pdf/fpdf"
	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/encoding/charmap"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgpdf"
)

// A PDF holds its date, and lists its fonts in the order of a map, unless told
// otherwise; the library takes both from these defaults only.
func init() {
	fpdf.SetDefaultCreationDate(time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC))
	fpdf.SetDefaultModificationDate(time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC))
	fpdf.SetDefaultCatalogSort(true)
}

// pdfCanvas mends what the library does not do for text and pictures in PDF.
type pdfCanvas struct{ *vgpdf.Canvas }

// FillString draws text at a point, in the encoding that the font of a PDF has.
// The library embeds one font file whatever the number of fonts, so that bold and
// plain would look alike: bold text, which is titles alone, is drawn as outlines,
// and so is what has letters outside the encoding.
func (c pdfCanvas) FillString(f font.Face, at vg.Point, text string) {
	latin, err := charmap.Windows1252.NewEncoder().String(text)
	if err != nil || f.Font.Weight == xfont.WeightBold {
		c.Fill(outlines(f, at, text))
		return
	}
	c.Canvas.FillString(f, at, latin)
}

// DrawImage draws a picture, which the library would turn upside down.
func (c pdfCanvas) DrawImage(r vg.Rectangle, picture image.Image) {
	box := picture.Bounds()
	turned := image.NewNRGBA(box)
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			turned.Set(x, box.Max.Y-1-(y-box.Min.Y), picture.At(x, y))
		}
	}
	c.Canvas.DrawImage(r, turned)
}

// outlines are the letters of a text as paths.
func outlines(f font.Face, at vg.Point, text string) vg.Path {
	var path vg.Path
	var buffer sfnt.Buffer
	em := fixed.Int26_6(f.Face.UnitsPerEm())
	scale := f.Font.Size / vg.Length(em)
	point := func(p fixed.Point26_6) vg.Point {
		return vg.Point{X: at.X + scale*vg.Length(p.X), Y: at.Y - scale*vg.Length(p.Y)}
	}
	for _, r := range text {
		glyph, err := f.Face.GlyphIndex(&buffer, r)
		if err != nil {
			continue
		}
		segments, err := f.Face.LoadGlyph(&buffer, glyph, em, nil)
		if err != nil {
			continue
		}
		for i, s := range segments {
			switch s.Op {
			case sfnt.SegmentOpMoveTo:
				if i > 0 {
					path.Close()
				}
				path.Move(point(s.Args[0]))
			case sfnt.SegmentOpLineTo:
				path.Line(point(s.Args[0]))
			case sfnt.SegmentOpQuadTo:
				path.QuadTo(point(s.Args[0]), point(s.Args[1]))
			case sfnt.SegmentOpCubeTo:
				path.CubeTo(point(s.Args[0]), point(s.Args[1]), point(s.Args[2]))
			}
		}
		if len(segments) > 0 {
			path.Close()
		}
		if advance, err := f.Face.GlyphAdvance(&buffer, glyph, em, xfont.HintingNone); err == nil {
			at.X += scale * vg.Length(advance)
		}
	}
	return path
}
