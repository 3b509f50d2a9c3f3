//go:build browser

package main

import (
	"bytes"
	"cmp"
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"

	"pipelag/scenarios"
)

// reports are pages of a run, of traces and of a study, of a house and of factors
// whose names try to be markup. Some runs of the study fail.
func reports(t *testing.T) map[string]string {
	s, err := scenarios.LoadEmbedded("flat")
	require.NoError(t, err)
	text := strings.NewReplacer(
		"name: One-bedroom flat", `name: "<b id=broken>Flat</b> & <script>throw 1</script>"`,
		"  - name: as found", `  - name: "as found <img src=http://127.0.0.1:9/x.png> \"as is\""`,
	).Replace(s.Source)
	folder := t.TempDir()
	house := filepath.Join(folder, "house.yaml")
	require.NoError(t, os.WriteFile(house, []byte(text), 0o666))
	run := func(args ...string) {
		var stderr bytes.Buffer
		require.Equal(t, codeDone, execute(t.Context(), args, new(bytes.Buffer), &stderr), stderr.String())
	}
	results := filepath.Join(folder, "results")
	run("run", house, "--years", "2", "--out", results)
	opening, day := filepath.Join(folder, "opening.html"), filepath.Join(folder, "day.html")
	run("trace", house, "--layout", "1", "--fixture", "shower", "--rest", "20min", "--report", opening)
	run("trace", house, "--layout", "1", "--fixture", "shower", "--day", "3", "--report", day)
	study := filepath.Join(folder, "study.yaml")
	require.NoError(t, os.WriteFile(study, []byte(studyOfFlat), 0o666))
	studied := filepath.Join(folder, "studied")
	run("study", study, "--out", studied)
	return map[string]string{"study": filepath.Join(studied, reportName), "run": filepath.Join(results, reportName), "opening": opening, "day": day}
}

// studyOfFlat is a study of that house, for indices, with costs of building.
const studyOfFlat = `name: "Study of <b id=broken>Flat</b>"
scenario: house.yaml
sampling: sensitivity
samples: 12
questions: [purged_L, wait_h, heater_kWh, cost]
factors:
  "<script>throw 2</script> setpoint": {path: heater.setpoint, values: [45 C, 55 C, 60 C]}
  usable: {path: fixtures.shower.usable, values: [40 C, 50 C], shares: [70 %, 30 %]}
  mains: {path: climate.mains.mean, from: 48 F, to: 70 F}
costs:
  'as found <img src=http://127.0.0.1:9/x.png> "as is"': 900 USD
  home run, 3/8: 1100 USD
  home run, 3/8, insulated: 1400 USD
`

// browser is a page open in Chromium, with all that it complains of and fetches.
type browser struct {
	context.Context
	mu      sync.Mutex
	wrong   []string
	fetched []string
}

func open(t *testing.T, path string) *browser {
	options := append(slices.Clone(chromedp.DefaultExecAllocatorOptions[:]), chromedp.NoSandbox)
	allocated, stop := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(stop)
	ctx, closed := chromedp.NewContext(allocated)
	t.Cleanup(closed)
	b := &browser{Context: ctx}
	require.NoError(t, chromedp.Listen(ctx, func(event any) {
		b.mu.Lock()
		defer b.mu.Unlock()
		switch e := event.(type) {
		case *runtime.EventExceptionThrown:
			b.wrong = append(b.wrong, e.ExceptionDetails.Text)
		case *runtime.EventConsoleAPICalled:
			b.wrong = append(b.wrong, "console."+string(e.Type))
		case *log.EventEntryAdded:
			b.wrong = append(b.wrong, e.Entry.Text)
		case *network.EventRequestWillBeSent:
			b.fetched = append(b.fetched, e.Request.URL)
		}
	}))
	b.do(t, chromedp.EmulateViewport(1200, 800), chromedp.Navigate("file://"+path))
	return b
}

// do does something on the page, in good time.
func (b *browser) do(t *testing.T, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	ctx, late := context.WithTimeout(b, 20*time.Second)
	defer late()
	require.NoError(t, chromedp.Do(ctx, steps...))
}

// ask evaluates an expression of the page.
func ask[T any](t *testing.T, b *browser, expression string) T {
	t.Helper()
	answer, err := chromedp.Run(b, chromedp.Evaluate[T](expression))
	require.NoError(t, err)
	return answer
}

func TestReportInBrowser(t *testing.T) {
	for name, path := range reports(t) {
		t.Run(name, func(t *testing.T) {
			b := open(t, path)
			requireAlone(t, b, path)
			requireSpoken(t, b)
			if name == "study" {
				requireStudied(t, b)
			}
			if name == "run" {
				requireBuilt(t, b)
			}
			if name != "day" { // which has no table
				requireSorts(t, b)
			}
			requireFits(t, b)
			requireReadable(t, b)
			require.Empty(t, b.wrong)
		})
	}
}

// requireAlone: the page needs nothing but itself, and names stay text.
func requireAlone(t *testing.T, b *browser, path string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	require.NotEmpty(t, b.fetched)
	for _, url := range b.fetched {
		require.True(t, url == "file://"+path || strings.HasPrefix(url, "data:"), url)
	}
}

// requireSpoken: each picture has a name and a description, each name of a
// scenario is text and no markup.
func requireSpoken(t *testing.T, b *browser) {
	require.Equal(t, 1, ask[int](t, b, `document.scripts.length`))
	require.Equal(t, 0, ask[int](t, b, `document.querySelectorAll("#broken, main img").length`))
	require.Contains(t, ask[string](t, b, `document.querySelector("h1").textContent`), "<b id=broken>Flat</b>")
	require.Positive(t, ask[int](t, b, `document.querySelectorAll("figure svg[role=img]").length`))
	require.Empty(t, ask[[]string](t, b, `Array.from(document.querySelectorAll("svg"), s =>
		["aria-labelledby", "aria-describedby"].every(a => document.getElementById(s.getAttribute(a))?.textContent) ? "" : s.outerHTML.slice(0, 200)).filter(s => s)`))
	require.Empty(t, ask[[]string](t, b, `(() => { const seen = new Set(); return Array.from(document.querySelectorAll("[id]"), e => e.id).filter(id => seen.has(id) || !seen.add(id)); })()`), "ids given twice")
}

// requireStudied: the parts of a study are there, and runs that failed.
func requireStudied(t *testing.T, b *browser) {
	captions := ask[[]string](t, b, `Array.from(document.querySelectorAll("caption"), c => c.textContent)`)
	require.Subset(t, captions, []string{"A year, all cases", "Water purged a year, by factor", "Runs that failed", "How the cases spread"})
	titles := ask[[]string](t, b, `Array.from(document.querySelectorAll(".figures h3"), h => h.textContent)`)
	require.Subset(t, titles, []string{"What a layout changes in a year", "What spreads water purged (home run, 3/8 less as found <img src=http://127.0.0.1:9/x.png> \"as is\")", "A limit on stored water: water saved"})
}

// requireBuilt: each layout has its plan, drawn within its box, and its takeoff,
// which sorts.
func requireBuilt(t *testing.T, b *browser) {
	require.Equal(t, []string{"true true 4", "true true 4", "true true 4"}, ask[[]string](t, b, `Array.from(document.querySelectorAll(".layout"), l => {
		const svg = l.querySelector("figure svg"), box = svg.getBoundingClientRect(), drawn = svg.querySelector("path, polyline, line").getBoundingClientRect();
		return [drawn.width > 0, box.width > 200 && box.height > 200, l.querySelector("table").tBodies[0].rows.length].join(" ");
	})`))
	ranks := func() []float64 {
		return ask[[]float64](t, b, `(() => {
			const table = document.querySelector(".layout table");
			const k = Array.from(table.tHead.rows[0].cells).findIndex(c => c.textContent.startsWith("Cold start"));
			table.tHead.rows[0].cells[k].querySelector("button").click();
			return Array.from(table.tBodies[0].rows, r => Number(r.cells[k].dataset.order));
		})()`)
	}
	rising, falling := ranks(), ranks()
	require.True(t, slices.IsSorted(rising) && rising[0] > 0 && rising[3] > rising[0], "%v", rising)
	slices.Reverse(falling)
	require.Equal(t, rising, falling)
}

// orders are the ranks of the rows of the first table by its second column, and
// what the head says of it.
func orders(t *testing.T, b *browser) (ranks []float64, head string) {
	return ask[[]float64](t, b, `Array.from(document.querySelector("table").tBodies[0].rows, r => Number(r.cells[1].dataset.order))`),
		ask[string](t, b, `document.querySelector("thead th:nth-child(2)").getAttribute("aria-sort")`)
}

// requireSorts: a table sorts when a column's name is clicked, and from the
// keyboard alone.
func requireSorts(t *testing.T, b *browser) {
	falling := func(a, b float64) int { return cmp.Compare(b, a) }
	b.do(t, chromedp.Click(chromedp.CSS("thead th:nth-child(2) button")))
	ranks, head := orders(t, b)
	require.True(t, slices.IsSorted(ranks), "%v", ranks)
	require.Equal(t, "ascending", head)
	b.do(t, chromedp.Click(chromedp.CSS("thead th:nth-child(2) button")))
	ranks, head = orders(t, b)
	require.True(t, slices.IsSortedFunc(ranks, falling), "%v", ranks)
	require.Equal(t, "descending", head)
	require.Contains(t, ask[string](t, b, `document.getElementById("said").textContent`), "sorted by")

	b.do(t, chromedp.Navigate(ask[string](t, b, `location.href`)))
	for range 2 {
		b.do(t, chromedp.KeyEvent(kb.Tab))
	}
	require.Equal(t, "BUTTON", ask[string](t, b, `document.activeElement.tagName`))
	for _, key := range []struct{ press, want string }{{kb.Enter, "ascending"}, {" ", "descending"}} {
		b.do(t, chromedp.KeyEvent(key.press))
		_, head = orders(t, b)
		require.Equal(t, key.want, head)
	}
}

// requireFits: on a telephone nothing reaches beyond the screen or hides in a
// box that scrolls.
func requireFits(t *testing.T, b *browser) {
	ask[int](t, b, `Array.from(document.querySelectorAll("details"), d => d.open = true).length`)
	for _, pixels := range []int64{360, 700, 1200} {
		b.do(t, chromedp.EmulateViewport(pixels, 800))
		require.LessOrEqual(t, ask[int64](t, b, `document.documentElement.scrollWidth`), pixels)
		require.Empty(t, ask[[]string](t, b, `Array.from(document.querySelectorAll("main, main *:not(svg *)")).filter(e =>
			e.getBoundingClientRect().right > innerWidth + 0.5 || e.clientWidth > 0 && e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).display != "inline"
		).map(e => e.tagName + " " + e.className + " " + e.textContent.slice(0, 60))`), "at %d px", pixels)
	}
}

// leastContrast is what text must have against its ground.
// Source: W3C, Web Content Accessibility Guidelines 2.2, success criterion 1.4.3
// (4.5:1), with its definition of relative luminance; from memory.
const leastContrast = 4.5

const contrasts = `(() => {
	const channel = v => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
	const parse = c => c.match(/[\d.]+/g).map(Number);
	const luminance = c => 0.2126 * channel(c[0]) + 0.7152 * channel(c[1]) + 0.0722 * channel(c[2]);
	const ground = e => {
		for (; e; e = e.parentElement) {
			const c = parse(getComputedStyle(e).backgroundColor);
			if (c.length == 3 || c[3] > 0) return c;
		}
		return [255, 255, 255];
	};
	let least = 21;
	for (const e of document.querySelectorAll("h1, h2, h3, p, dt, dd, li, small, code, pre, caption, figcaption, th, td, button, .why")) {
		const a = luminance(parse(getComputedStyle(e).color)), b = luminance(ground(e));
		least = Math.min(least, (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05));
	}
	return least;
})()`

// requireReadable: text stands out from its ground in light and in dark, and the
// dark page is dark.
func requireReadable(t *testing.T, b *browser) {
	for _, scheme := range []string{"light", "dark"} {
		_, err := chromedp.Call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
		require.NoError(t, err)
		require.GreaterOrEqual(t, ask[float64](t, b, contrasts), leastContrast, scheme)
		dark := ask[bool](t, b, `getComputedStyle(document.body).backgroundColor.match(/\d+/g).every(v => v < 64)`)
		require.Equal(t, scheme == "dark", dark)
	}
	pdf, err := chromedp.Run(b, chromedp.PrintToPDF())
	require.NoError(t, err)
	require.True(t, bytes.HasPrefix(pdf, []byte("%PDF")))
}
