package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"pipelag/sim/verify"
)

type verifyOptions struct {
	groups []string
	json   bool
}

func newVerifyCommand() *cobra.Command {
	var o verifyOptions
	names, about := verify.Groups()
	groups := ""
	for i, name := range names {
		groups += fmt.Sprintf("\n  %-10s %s", name, about[i])
	}
	c := &cobra.Command{
		Use:   "verify",
		Short: "Hold the program itself against published and exact values",
		Long: `Hold the program itself against published and exact values, one line each: what it is,
the published value, the computed one, by how much they differ, how much is allowed,
the verdict, and where the published value comes from: whether that source was read or
the value is recalled from memory, derived, computed by other means, or common practice.

A value from memory is shown and cannot fail. So is one whose source is known to be
about something a little different; the note to its source says what. Exit code 1 if
any check fails.

Groups:` + groups,
		Example: `  pipelag verify
  pipelag verify --group exact --group measured
  pipelag verify --json > verify.json`,
		Args: count(0, 0, "argument"),
		RunE: func(c *cobra.Command, _ []string) error {
			return runVerify(c.Context(), &o, c.OutOrStdout())
		},
	}
	c.Flags().StringArrayVar(&o.groups, "group", nil, "only the checks of group `NAME`; may be given again")
	bindJSON(c, &o.json)
	return c
}

// verification is all checks for other programs.
type verification struct {
	Version string        `json:"version"`
	Passed  int           `json:"passed"`
	Failed  int           `json:"failed"`
	Shown   int           `json:"shown"` // and not judged
	Checks  []verify.Line `json:"checks"`
}

func newVerification(lines []verify.Line) *verification {
	v := &verification{Version: version(), Checks: lines}
	for _, l := range lines {
		switch l.Verdict {
		case verify.Pass:
			v.Passed++
		case verify.Fail:
			v.Failed++
		case verify.Shown:
			v.Shown++
		}
	}
	return v
}

func runVerify(ctx context.Context, o *verifyOptions, stdout io.Writer) error {
	lines, err := verify.Run(ctx, o.groups...)
	switch {
	case errors.Is(err, verify.ErrGroup):
		return fmt.Errorf("--group: %w", err)
	case err != nil:
		return failed(err)
	}
	v := newVerification(lines)
	if o.json {
		err = writeJSON(stdout, v)
	} else {
		err = write(stdout, v.page())
	}
	if err != nil {
		return err
	}
	return v.unmet()
}

// unmet is an error if a check has failed.
func (v *verification) unmet() error {
	if v.Failed == 0 {
		return nil
	}
	return coded{fmt.Errorf("%d of %s failed", v.Failed, counted(len(v.Checks), "check")), codeUnmet}
}

func (v *verification) page() []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "pipelag %s\n", v.Version)
	names, about := verify.Groups()
	var sources footnotes
	checks := v.Checks
	for i, name := range names {
		for k := 0; len(checks) > 0 && checks[0].Group == name; k++ {
			if k == 0 {
				fmt.Fprintf(&b, "\nGroup %s: %s\n", name, about[i])
			}
			n := 1
			for n < len(checks) && checks[n].Subject == checks[0].Subject {
				n++
			}
			checkSheet(checks[:n], &sources).write(&b)
			checks = checks[n:]
		}
	}
	b.WriteString("\nSources\n")
	for i, text := range sources {
		writeNote(&b, fmt.Sprintf("%3d  ", i+1), text)
	}
	read := 0
	for _, l := range v.Checks {
		if l.Status == "read" {
			read++
		}
	}
	fmt.Fprintf(&b, "\n%s: %d passed, %d failed, %d shown and not judged; the source of %d was read\n",
		counted(len(v.Checks), "check"), v.Passed, v.Failed, v.Shown, read)
	return b.Bytes()
}

// checkSheet shows the checks of one subject; a unit that all share is told once.
func checkSheet(checks []verify.Line, sources *footnotes) *sheet {
	s := &sheet{title: capital(checks[0].Subject), heads: []string{"published", "computed", "off by", "within", "verdict", "source"}}
	shared := !slices.ContainsFunc(checks, func(l verify.Line) bool { return l.Unit != checks[0].Unit })
	if shared {
		s.title += inUnit(checks[0].Unit)
	}
	for _, l := range checks {
		label := "  " + l.Quantity
		if !shared {
			label += inUnit(l.Unit)
		}
		s.add(label, checkCells(l, sources))
	}
	return s
}

func inUnit(unit string) string {
	if unit == "-" || unit == "1" {
		return ""
	}
	return ", " + unit
}

func checkCells(l verify.Line, sources *footnotes) []cell {
	source := l.Title
	if l.Note != "" {
		source += "; " + l.Note
	}
	within := cell{}
	if l.Tolerance != nil {
		within.number = deviation(*l.Tolerance, l.Relative)
	}
	off := deviation(l.Deviation, l.Relative)
	if l.Tolerance != nil && math.Abs(l.Deviation) < *l.Tolerance/1000 {
		off = deviation(0, l.Relative) // a matter of rounding
	}
	if l.Deviation > 0 && strings.Trim(off, "0. %") != "" {
		off = "+" + off
	}
	return []cell{
		{significant(l.Published), ""},
		{significant(l.Computed), ""},
		{off, ""},
		within,
		{"", string(l.Verdict)},
		{l.Status, " " + sources.mark(source)},
	}
}

// deviation is a share in per cent, or a difference in the value's own unit.
func deviation(x float64, relative bool) string {
	if relative {
		return rounded(100*x, -2) + " %"
	}
	return strconv.FormatFloat(x, 'g', 2, 64)
}

// significant is a number to five figures, without those that say nothing.
func significant(x float64) string { return strconv.FormatFloat(x, 'g', 5, 64) }
