package main

import (
	"io"

	"github.com/vbauerster/mpb/v8"
	"github.com/vbauerster/mpb/v8/decor"
)

// progress is a bar of years lived or runs made, on a terminal only; elsewhere it
// writes nothing.
type progress struct {
	bars *mpb.Progress
	bar  *mpb.Bar
}

func newProgress(stderr io.Writer, total int, noun string) *progress {
	bars := mpb.New(mpb.WithOutput(stderr), mpb.WithWidth(60))
	return &progress{bars, bars.AddBar(
		int64(total),
		mpb.PrependDecorators(decor.CountersNoUnit("%d of %d "+noun+"s")),
		mpb.AppendDecorators(decor.OnComplete(decor.AverageETA(decor.ET_STYLE_GO), "")),
		mpb.BarRemoveOnComplete(),
	)}
}

func (p *progress) reach(years int) { p.bar.SetCurrent(int64(years)) }

// reachOf is reach for a total that becomes known on the way.
func (p *progress) reachOf(done, total int) {
	p.bar.SetTotal(int64(total), false)
	p.bar.SetCurrent(int64(done))
}

// end takes the bar away, full or not.
func (p *progress) end() {
	p.bar.Abort(true)
	p.bars.Wait()
}
