package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"pipelag/plots"
	"pipelag/studies/store"
	"pipelag/units"
)

type figureOptions struct {
	formats []string
	width   string
	units   string
	out     string
	json    bool
	quiet   quietFlag
}

// everyKind stands for all figures that there is material for.
const everyKind = "all"

func newFigureCommand() *cobra.Command {
	var o figureOptions
	kinds, needs := plots.Kinds()
	list := ""
	for i := range kinds {
		list += fmt.Sprintf("  %-12s %s\n", kinds[i], "from "+needs[i])
	}
	c := &cobra.Command{
		Use:   "figure KIND RESULT...",
		Short: "Draw a figure for an article from results that are there",
		Long: `Draw a figure that can go into an article as it is, with the data behind it as CSV and
its caption as text beside it. The kinds, and what each is drawn from:

` + list + `  ` + fmt.Sprintf("%-12s", everyKind) + ` each of those that RESULT can give

RESULT is a folder that run, study or target --out wrote, its summary.json or target.json,
or what trace --json (one opening, or a day) or takeoff --json printed, saved to a file.
Several of one house make one set: a layout has the same colour in all of its figures. The
scenario and the takeoff beside a result are those of its folder. A plan is drawn of each
layout whose pipes have places, as plan-1, plan-2, ... by the layout's number.

What sensitivity and target show, only a study finds. Of a study there is a figure for each
answer whose spread it apportions, as sensitivity-purged_L-1 of the first layout and
sensitivity-purged_L-2-1 of the difference of the second from it; and one for all that a
limit saves, as target-water_L of all homes and target-2-water_L of the first group. The
limit is one on stored volume, unless what target --out wrote says another.`,
		Example: `  pipelag figure waits results
  pipelag figure all results --width two --format svg --format pdf --out figures
  pipelag figure months results --units both
  pipelag trace --layout 1 --fixture 'kitchen sink' --json > one.json
  pipelag trace --layout 3 --fixture 'kitchen sink' --json > three.json
  pipelag figure tap one.json three.json
  pipelag takeoff house.yaml --json > takeoff.json
  pipelag figure plan takeoff.json --width two
  pipelag study tubes --out tubes
  pipelag figure sensitivity tubes
  pipelag target stock --on wait --by storeys --out curves
  pipelag figure target curves`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) < 2 {
				return fmt.Errorf("%s takes a kind and at least 1 result; the kinds are: %s; %s", c.CommandPath(), strings.Join(kinds, "; "), everyKind)
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			return figure(c.Context(), args[0], args[1:], &o, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	f := c.Flags()
	f.StringArrayVar(&o.formats, "format", []string{"svg"}, "`FORMAT` of the picture: svg, pdf or png (300 dpi); may be given again")
	f.StringVar(&o.width, "width", "one", "`COLUMNS` of a page that the figure is wide: one (88 mm) or two (180 mm)")
	f.StringVar(&o.units, "units", "us", "`SYSTEM` of the axes: us, si, or both (si on the opposite sides,\nand in columns of its own in the data)")
	f.StringVar(&o.out, "out", ".", "`FOLDER` to write into; made if it is not there")
	o.quiet.bind(c)
	f.BoolVar(&o.json, "json", false, "JSON instead of text: the files and the caption of each figure")
	return c
}

// asked are the formats asked for, each once.
func (o *figureOptions) asked() (formats []plots.Format, err error) {
	for _, text := range o.formats {
		format, err := plots.ParseFormat(text)
		if err != nil {
			return nil, fmt.Errorf("--format: %w", err)
		}
		if !slices.Contains(formats, format) {
			formats = append(formats, format)
		}
	}
	return formats, nil
}

// dress reads how all figures of the set are to look.
func (o *figureOptions) dress(set *plots.Set) (err error) {
	if set.Width, err = plots.ParseWidth(o.width); err != nil {
		return fmt.Errorf("--width: %w", err)
	}
	if set.Opposite = o.units == "both"; !set.Opposite {
		if set.System, err = units.ParseSystem(o.units); err != nil {
			return fmt.Errorf("--units: %w, or both", err)
		}
	}
	return nil
}

// figureDocument is a figure that was written, for other programs.
type figureDocument struct {
	Kind    string   `json:"kind"`
	Files   []string `json:"files"`
	Caption string   `json:"caption"`
}

// maker says which command makes what a kind lacks, where studies are mistaken for
// other results or others for studies.
func (m *material) maker(kind string) string {
	kinds, _ := plots.Kinds()
	switch {
	case kind == sensitivityKind:
		return "; pipelag study --out makes it"
	case kind == targetKind:
		return "; pipelag study --out or pipelag target --out makes it"
	case (m.study != nil || m.limit != nil) && slices.Contains(kinds, kind):
		return "; pipelag run --out makes a result, pipelag trace --json a trace, pipelag takeoff --json a takeoff"
	}
	return ""
}

func figure(ctx context.Context, kind string, paths []string, o *figureOptions, stdout, stderr io.Writer) error {
	notices := o.quiet.notices(stderr)
	formats, err := o.asked()
	if err != nil {
		return err
	}
	var set plots.Set
	if err := o.dress(&set); err != nil {
		return err
	}
	found, err := readMaterial(paths)
	if err != nil {
		return err
	}
	set = found.set(set)
	kinds, all := []string{kind}, kind == everyKind
	var without error // why what lies beside the result is not had
	if all || !slices.Contains(found.Kinds(), kind) {
		without = found.addBeside(kind, set.System)
	}
	var damaged store.Damaged
	switch {
	case errors.As(without, &damaged):
		return without
	case all && without != nil:
		explain(ctx, notices, without)
	}
	if all || kind == planKind {
		for _, why := range found.unplanned {
			fmt.Fprintf(notices, "pipelag: no plan of %s\n", why)
		}
	}
	if all {
		kinds = found.Kinds()
	}
	var files []file
	documents := []figureDocument{}
	for _, kind := range kinds {
		drawn, err := found.Draw(kind, set)
		if all && errors.Is(err, plots.ErrNoData) {
			fmt.Fprintf(notices, "pipelag: no figure %q: %v\n", kind, err)
			continue
		}
		switch {
		case err != nil && without != nil && kind == targetKind:
			return fmt.Errorf("figure %q: %w", kind, without)
		case err != nil && without != nil:
			return fmt.Errorf("%w; %w", err, without)
		case err != nil && !slices.Contains(found.Kinds(), kind):
			return fmt.Errorf("%w%s", err, found.maker(kind))
		case err != nil:
			return err
		}
		var others []plots.Drawn // in the other system, for their data
		if set.Opposite {
			other := set
			other.System, other.Opposite = units.SI, false
			if others, err = found.Draw(kind, other); err != nil {
				return err
			}
		}
		for i, f := range drawn {
			d := figureDocument{Kind: kind, Caption: f.Caption()}
			header, rows := f.Data()
			if others != nil {
				header, rows = withSI(header, rows, others[i].Figure)
			}
			made, err := figureFiles(f, header, rows, formats)
			if err != nil {
				return err
			}
			for _, f := range made {
				d.Files = append(d.Files, filepath.Join(o.out, f.name))
			}
			files, documents = append(files, made...), append(documents, d)
		}
	}
	if err := placeIn(ctx, o.out, files); err != nil {
		return err
	}
	if o.json {
		return writeJSON(stdout, documents)
	}
	var b bytes.Buffer
	for i, d := range documents {
		if i > 0 {
			b.WriteByte('\n')
		}
		writeNote(&b, "", strings.Join(d.Files, ", "))
		writeNote(&b, "", d.Caption)
	}
	return write(stdout, b.Bytes())
}
