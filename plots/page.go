package plots

import (
	"cmp"
	"image/color"
	"slices"
	"strings"
	"unicode"

	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Sizes of type as printed; nothing is smaller than small.
const (
	plain = vg.Length(7)
	small = vg.Length(6.2)
	line  = vg.Length(8.4) // from one baseline to the next
)

// Strokes as printed.
const (
	dataLine = vg.Length(1.1)
	fineLine = vg.Length(0.5)
)

var faces = font.NewCache(liberation.Collection())

// page is what a figure is drawn on, from its lower left corner.
type page struct{ draw.Canvas }

// letters are how a text looks and to which side of its point it stands.
type letters struct {
	size   vg.Length
	colour color.Color
	bold   bool
	across float64 // share of its width that lies left of the point
}

var (
	label = letters{size: plain, colour: ink}
	title = letters{size: plain, colour: ink, bold: true}
	note  = letters{size: small, colour: muted}
)

func (l letters) centred() letters { l.across = 0.5; return l }
func (l letters) right() letters   { l.across = 1; return l }
func (l letters) in(c color.Color) letters {
	l.colour = c
	return l
}

func (l letters) face() font.Face {
	f := font.Font{Typeface: "Liberation", Variant: "Sans"}
	if l.bold {
		f.Weight = xfont.WeightBold
	}
	return faces.Lookup(f, l.size)
}

// width is that of a text. Letters that the font lacks, which another then shows
// in SVG, are taken to be as wide as they are tall, as those of Chinese are.
func (l letters) width(text string) vg.Length {
	f := l.face()
	had, n := had(f, text)
	return f.Width(had) + vg.Length(n)*l.size
}

// text writes one line whose baseline runs through the point.
func (p *page) text(x, y vg.Length, text string, l letters) {
	if text == "" {
		return
	}
	// What cannot be printed has no place in SVG either.
	text = strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return ' '
		}
		return r
	}, text)
	f := l.face()
	p.SetColor(l.colour)
	p.FillString(f, vg.Point{X: x - vg.Length(l.across)*l.width(text), Y: y}, text)
}

// centreText writes one line whose small letters are centred on y.
func (p *page) centreText(x, y vg.Length, text string, l letters) {
	p.text(x, y-0.34*l.size, text, l)
}

// centreLines writes lines that are centred on y together.
func (p *page) centreLines(x, y vg.Length, lines []string, l letters) {
	y += vg.Length(len(lines)-1) * l.size * 1.1 / 2
	for _, text := range lines {
		p.centreText(x, y, text, l)
		y -= l.size * 1.1
	}
}

func (p *page) fill(r vg.Rectangle, c color.Color) {
	p.FillPolygon(c, []vg.Point{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}})
}

// dot is a data point, set off from what lies beneath it.
func (p *page) dot(x, y vg.Length, c color.Color) {
	at := vg.Point{X: x, Y: y}
	p.DrawGlyphNoClip(draw.GlyphStyle{Color: white, Radius: 2.7, Shape: draw.CircleGlyph{}}, at)
	p.DrawGlyphNoClip(draw.GlyphStyle{Color: c, Radius: 2, Shape: draw.CircleGlyph{}}, at)
}

// spot is a data point with an interval, whose whiskers run into it.
func (p *page) spot(x, y vg.Length, c color.Color) {
	p.DrawGlyphNoClip(draw.GlyphStyle{Color: c, Radius: 1.5, Shape: draw.CircleGlyph{}}, vg.Point{X: x, Y: y})
}

// ring marks a value that is set apart from others.
func (p *page) ring(x, y vg.Length, c color.Color) {
	p.DrawGlyphNoClip(draw.GlyphStyle{Color: c, Radius: 2, Shape: draw.CircleGlyph{}}, vg.Point{X: x, Y: y})
	p.DrawGlyphNoClip(draw.GlyphStyle{Color: white, Radius: 1.2, Shape: draw.CircleGlyph{}}, vg.Point{X: x, Y: y})
}

// yesNo writes an answer of the data.
func yesNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}

// wrap breaks a text into lines of like length no wider than width. What does
// not fit in the lines allowed is cut, and so shown.
func (l letters) wrap(text string, width vg.Length, lines int) []string {
	best := l.broken(text, width, lines)
	whole := strings.Join(best, " ")
	for w := width - 2; w > 0; w -= 2 {
		narrower := l.broken(text, w, lines)
		if len(narrower) > len(best) || strings.Join(narrower, " ") != whole {
			break
		}
		best = narrower
	}
	return best
}

func (l letters) broken(text string, width vg.Length, lines int) []string {
	var out []string
	rest := words(text)
	for len(rest) > 0 {
		n := 1
		for n < len(rest) && l.width(strings.Join(rest[:n+1], " ")) <= width {
			n++
		}
		if len(out) == lines-1 {
			n = len(rest)
		}
		out = append(out, l.cut(strings.Join(rest[:n], " "), width))
		rest = rest[n:]
	}
	return out
}

// words are what a line may be broken between: a number stays with its unit.
func words(text string) []string {
	var out []string
	number := false
	for _, w := range strings.Fields(text) {
		before := number
		if number = strings.Trim(w, "0123456789./") == ""; before && !number {
			out[len(out)-1] += " " + w
		} else {
			out = append(out, w)
		}
	}
	return out
}

// cut shortens a line to a width.
func (l letters) cut(text string, width vg.Length) string {
	if l.width(text) <= width {
		return text
	}
	runes := []rune(text)
	for len(runes) > 1 && l.width(string(runes)+"…") > width {
		runes = runes[:len(runes)-1]
	}
	return strings.TrimRight(string(runes), " ,") + "…"
}

// inOrder are the places of heights, the least first.
func inOrder(heights []vg.Length) []int {
	order := make([]int, len(heights))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(heights[a], heights[b]) })
	return order
}

// spread moves things of some height from the middles they want until none
// overlap, as little as it takes, within low to high where there is room.
// Clusters of neighbours settle at the mean of what they want.
func spread(wanted, heights []vg.Length, low, high vg.Length) []vg.Length {
	order := inOrder(wanted)
	type cluster struct {
		from, n int
		height  vg.Length
		sum     vg.Length // of the lower edges wanted, less each one's place in the cluster
	}
	start := func(c cluster) vg.Length {
		return max(min(c.sum/vg.Length(c.n), high-c.height), low)
	}
	var clusters []cluster
	for k, i := range order {
		clusters = append(clusters, cluster{k, 1, heights[i], wanted[i] - heights[i]/2})
		for m := len(clusters); m > 1; m = len(clusters) {
			a, b := clusters[m-2], clusters[m-1]
			if start(a)+a.height <= start(b) {
				break
			}
			clusters = append(clusters[:m-2], cluster{a.from, a.n + b.n, a.height + b.height, a.sum + b.sum - a.height*vg.Length(b.n)})
		}
	}
	out := make([]vg.Length, len(wanted))
	for _, c := range clusters {
		edge := start(c)
		for _, i := range order[c.from : c.from+c.n] {
			out[i] = edge + heights[i]/2
			edge += heights[i]
		}
	}
	return out
}
