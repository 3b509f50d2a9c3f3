package report_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/plots"
	"pipelag/plots/report"
)

func cooling(tb testing.TB, name string) *plots.Figure {
	f, err := plots.NewCooldown(plots.Set{Scenario: "House", Version: "0.0.0"}, []plots.Cooling{{Name: name, Time: []float64{0, 60}, Temperature: []float64{50, 40}}})
	require.NoError(tb, err)
	return f
}

// whole is a report with something in every part.
func whole(tb testing.TB) *report.Report {
	takeoff := &report.Table{
		Title: "Takeoff", Note: "As drawn.",
		Columns: []report.Column{{Name: "Tube"}, {Name: "Where", Text: true}, {Name: "Length", Unit: "m"}},
		Rows:    [][]report.Cell{{{Text: "copper", Order: 1}, {Text: "crawlspace"}, {Text: "12", Beneath: "± 1", Order: 12}}},
	}
	return &report.Report{
		Title:    "House",
		Asked:    []report.Item{{Name: "House", Text: "one"}},
		Answer:   []string{"First.", "Second."},
		Tables:   []report.Table{{Title: "A year", Columns: []report.Column{{Name: "Layout"}, {Name: "Wait", Unit: "s"}}, Rows: [][]report.Cell{{{Text: "a"}, {Text: "–", Order: math.NaN()}}}}},
		Figures:  []report.Figure{{Title: "Cooling", Figure: cooling(tb, "copper")}},
		Layouts:  []report.Layout{{Name: "trunk", Plan: cooling(tb, "trunk"), Takeoff: takeoff}, {Name: "home run", Takeoff: takeoff}},
		Details:  []report.Table{*takeoff},
		Cautions: []string{"Hot."},
		Assumed:  []report.Assumption{{Path: "heater.loss", Value: "2 W/K", Why: "common practice, no source"}},
		Origin:   report.Origin{Command: "pipelag run", Version: "0.0.0", Seed: "1", Sources: []report.Source{{Name: "scenario", SHA256: "00", Text: "name: House\n"}}},
	}
}

func page(t *testing.T, r *report.Report) string {
	var b bytes.Buffer
	require.NoError(t, r.Write(&b))
	return b.String()
}

// headings are those of the page's parts, in order.
func headings(text string) (found []string) {
	for _, m := range regexp.MustCompile(`<h2 id="[a-z]+">(.*?)</h2>`).FindAllStringSubmatch(text, -1) {
		found = append(found, m[1])
	}
	return found
}

func TestParts(t *testing.T) {
	text := page(t, whole(t))
	require.Equal(t, []string{
		"What was asked", "The answer", "The comparison", "Figures", "Plans and takeoffs", "In detail",
		"Cautions", "What was assumed", "How to get the same again",
	}, headings(text))
	for _, want := range []string{
		"First. Second.", `aria-describedby="figure-1-text"`, `<title id="plan-1-title">Plan of trunk</title>`,
		`data-order="12"`, `data-order=""`, "<small>± 1</small>", "common practice, no source", "name: House",
	} {
		require.Contains(t, text, want)
	}
	require.Equal(t, 2, strings.Count(text, "<svg "))
	require.Equal(t, text, page(t, whole(t)), "the same report is the same bytes")

	// What is not given has no heading.
	bare := page(t, &report.Report{Title: "House", Answer: []string{"First."}})
	require.Equal(t, []string{"The answer", "How to get the same again"}, headings(bare))
}

// TestWellFormed reads the page as XML, the parts that HTML alone allows aside:
// every element that is opened is closed, in order.
func TestWellFormed(t *testing.T) {
	text := regexp.MustCompile(`(?s)<script>.*</script>|<meta[^>]*>|<link[^>]*>`).ReplaceAllString(page(t, whole(t)), "")
	d := xml.NewDecoder(strings.NewReader(text))
	d.Strict = false
	var open []string
	for {
		token, err := d.RawToken()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		switch e := token.(type) {
		case xml.StartElement:
			open = append(open, e.Name.Local)
		case xml.EndElement:
			require.NotEmpty(t, open)
			require.Equal(t, open[len(open)-1], e.Name.Local)
			open = open[:len(open)-1]
		}
	}
	require.Empty(t, open)
}

// TestEscaped puts markup wherever a scenario's words can come.
func TestEscaped(t *testing.T) {
	const evil = `</title></svg></script><b id="evil">"'&`
	r := whole(t)
	r.Title, r.Asked[0].Text, r.Answer[0], r.Cautions[0] = evil, evil, evil, evil
	r.Tables[0].Title, r.Tables[0].Columns[1].Name, r.Tables[0].Rows[0][0].Text = evil, evil, evil
	r.Figures[0] = report.Figure{Title: evil, Figure: cooling(t, evil)}
	r.Layouts[0].Name, r.Layouts[0].Plan = evil, cooling(t, evil)
	r.Assumed[0] = report.Assumption{Path: evil, Value: evil, Why: evil}
	r.Origin = report.Origin{Command: evil, Version: evil, Seed: evil, Sources: []report.Source{{Name: evil, SHA256: evil, Text: evil}}}
	text := page(t, r)
	require.NotContains(t, text, `<b id`)
	require.Equal(t, 1, strings.Count(text, "</script>"))
	require.Equal(t, 2, strings.Count(text, "</svg>"))
}

func TestRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(*report.Report)
		want  string
	}{
		"no title":  {func(r *report.Report) { r.Title = "" }, "needs a title and an answer"},
		"no answer": {func(r *report.Report) { r.Answer = nil }, "needs a title and an answer"},
		"no column": {func(r *report.Report) { r.Tables[0].Columns = nil }, `table "A year" has no columns`},
		"short row": {func(r *report.Report) { r.Layouts[0].Takeoff.Rows[0] = nil }, `table "Takeoff", row 1: 0 cells for 3 columns`},
		"infinite":  {func(r *report.Report) { r.Details[0].Rows[0][2].Order = math.Inf(1) }, `the order of "12" is infinite`},
	} {
		t.Run(name, func(t *testing.T) {
			r := whole(t)
			c.spoil(r)
			var b bytes.Buffer
			require.ErrorContains(t, r.Write(&b), c.want)
			require.Zero(t, b.Len())
		})
	}
}

func BenchmarkReport(b *testing.B) {
	r := whole(b)
	b.ReportAllocs()
	for b.Loop() {
		if err := r.Write(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}
