package plots

import "gonum.org/v1/plot/vg"

// grid sets panels of one height out in rows, from the top left of a page.
type grid struct {
	panels, across   int
	left, right      vg.Length // room beside a row
	head, tall, foot vg.Length // a panel, and the room above and below it
}

// columns is how many panels to set side by side, at most so many, for rows of
// like length.
func columns(panels, most int) int {
	rows := (panels + most - 1) / most
	return (panels + rows - 1) / rows
}

func (g *grid) each() vg.Length { return g.head + g.tall + g.foot }

// height is that of the page.
func (g *grid) height() vg.Length {
	return vg.Length((g.panels+g.across-1)/g.across)*g.each() + 2
}

// begins tells whether panel k is the first of its row.
func (g *grid) begins(k int) bool { return k%g.across == 0 }

// ends tells whether panel k is the last of its row.
func (g *grid) ends(k int) bool { return k%g.across == g.across-1 || k == g.panels-1 }

// panel is panel k, with room between it and the next.
func (g *grid) panel(p *page, k int, room vg.Length) panel {
	wide := (p.Max.X - g.left - g.right) / vg.Length(g.across)
	x := g.left + vg.Length(k%g.across)*wide
	top := p.Max.Y - vg.Length(k/g.across)*g.each() - g.head
	return newPanel(p, x, x+wide-room, top-g.tall, top)
}
