package records

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pipelag/schedules"
	"pipelag/schedules/household"
	"pipelag/schedules/patterns"
)

var home = []schedules.Fixture{
	{Name: "sink", Use: schedules.Kitchen, Flow: 1.2e-4, Usable: 40.6},
	{Name: "shower, hall", Use: schedules.Shower, Flow: 1.3e-4, Usable: 40.6},
	{Name: "basin", Use: schedules.Lavatory, Flow: 0.8e-4, Usable: 38},
	{Name: "bath", Use: schedules.Bath, Flow: 2.5e-4, Usable: 40.6},
	{Name: "dishwasher", Use: schedules.Dishwasher, Flow: 1e-4, Usable: 45},
}

var origin = time.Date(2026, 1, 1, 0, 0, 0, 0, time.FixedZone("", -7*3600))

func year(y schedules.Year) (days [][]schedules.Wish) {
	for d := range schedules.DaysPerYear {
		days = append(days, y.Day(d, nil))
	}
	return days
}

func roundTrip(t require.TestingT, y schedules.Year) {
	var b bytes.Buffer
	require.NoError(t, Write(&b, y, home, origin))
	l, err := Read(&b, "log.csv", home)
	require.NoError(t, err)
	require.Equal(t, year(y), year(l.Year(1, 0)))
}

func TestHouseholdsComeBack(t *testing.T) {
	for name, c := range map[string]household.Config{
		"typical":    {People: 3, Fixtures: home},
		"away":       {People: 3, Fixtures: home, Vacations: []household.Vacation{{Start: 355, Days: 20}}},
		"population": {People: 2, Fixtures: home, Population: true, Total: household.Benchmark},
	} {
		t.Run(name, func(t *testing.T) {
			h, err := household.New(c)
			require.NoError(t, err)
			roundTrip(t, h.Year(4, 2))
		})
	}
}

func TestPatternsComeBack(t *testing.T) {
	for _, name := range patterns.Names() {
		p, err := patterns.New(name, home)
		require.NoError(t, err)
		roundTrip(t, p)
	}
}

// few is a year of draws made up by rapid: one a day at most.
type few map[int]schedules.Wish

func (f few) Day(d int, into []schedules.Wish) []schedules.Wish {
	if w, ok := f[d]; ok {
		return append(into, w)
	}
	return into
}

// Any draw a log may hold comes back to the last bit.
func TestAnythingComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := few{}
		for _, half := range append(rapid.SliceOfN(rapid.IntRange(1, 181), 0, 5).Draw(t, "days"), 0, 182) {
			d := 2 * half // so that no draw meets another
			i := rapid.IntRange(0, len(home)-1).Draw(t, "fixture")
			w := schedules.Wish{
				Fixture: i, Use: home[i].Use,
				Kind:   schedules.Kind(rapid.IntRange(0, 3).Draw(t, "kind")),
				Start:  float64(int64(d)*86400e6+rapid.Int64Range(0, 86400e6-1).Draw(t, "microseconds")) / 1e6,
				Flow:   rapid.Float64Range(1e-6, 1.9e-3).Draw(t, "flow"),
				Usable: rapid.Float64Range(0, 100).Draw(t, "usable"),
			}
			if w.Kind != schedules.Appliance {
				w.Mixed = rapid.Float64Range(0, 100).Draw(t, "mixed")
			}
			switch w.Kind {
			case schedules.Washing:
				w.Duration = rapid.Float64Range(0.001, 14400).Draw(t, "duration")
				w.Patience = rapid.Float64Range(0, 3600).Draw(t, "patience")
				w.StepIn = rapid.Float64Range(0, 3600).Draw(t, "step in")
			case schedules.Brief:
				w.Duration = rapid.Float64Range(0.001, 14400).Draw(t, "duration")
				w.HotShare = rapid.Float64Range(0, 1).Draw(t, "hot share")
			default:
				w.Volume = rapid.Float64Range(1e-6, 14400*w.Flow).Filter(func(v float64) bool { return v <= 2 }).Draw(t, "volume")
			}
			f[d] = w
		}
		roundTrip(t, f)
	})
}

const header = "start,fixture,kind,flow_L_per_min,duration_s,volume_L,temperature_C\n"

func TestErrors(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "x:1:1: the file is empty; its first line names the columns"},
		{"no rows", header, "x:2:1: no draws; a log needs at least one"},
		{"unknown column", "start,fixture,kind,flow_L_per_min,duration_s,colour\n", `x:1:46: column "colour" is unknown`},
		{"missing column", "start,fixture,flow_L_per_min,duration_s\n", `x:1:1: column "kind" is missing`},
		{"twice", "start,start,fixture,kind,flow_L_per_min,duration_s\n", `x:1:7: column "start" stands here twice`},
		{"no amount", "start,fixture,kind,flow_L_per_min\n", `"duration_s" or "volume_L" is missing`},
		{"no zone", header + "2026-01-01T00:00:00,sink,brief,3,10,,\n", `x:2:1: start "2026-01-01T00:00:00" is no time`},
		{"another age", header + "0026-01-01T00:00:00Z,sink,brief,3,10,,\n", `is not of this age`},
		{"fixture", header + "2026-01-01T00:00:00Z,tub,brief,3,10,,\n", `x:2:22: fixture "tub" is not in the house; there are sink, shower, hall`},
		{"kind", header + "2026-01-01T00:00:00Z,sink,long,3,10,,\n", `x:2:27: kind "long" is no kind`},
		{"NaN", header + "2026-01-01T00:00:00Z,sink,brief,NaN,10,,\n", `x:2:33: flow_L_per_min "NaN" must be from 0.01 to 120`},
		{"infinity", header + "2026-01-01T00:00:00Z,sink,brief,3,+Inf,,\n", `x:2:35: duration_s "+Inf" must be from 0.001 to 14400`},
		{"negative", header + "2026-01-01T00:00:00Z,sink,brief,-3,10,,\n", `flow_L_per_min "-3" must be from`},
		{"absurd", header + "2026-01-01T00:00:00Z,sink,brief,3,1e9,,\n", `duration_s "1e9" must be from`},
		{"words", header + "2026-01-01T00:00:00Z,sink,brief,three,10,,\n", `flow_L_per_min "three" is not a number`},
		{"hexadecimal", header + "2026-01-01T00:00:00Z,sink,brief,0x1p2,10,,\n", `flow_L_per_min "0x1p2" is not a decimal number`},
		{"both", header + "2026-01-01T00:00:00Z,sink,brief,3,10,1,\n", `x:2:38: volume_L "1" is given beside a duration`},
		{"neither", header + "2026-01-01T00:00:00Z,sink,brief,3,,,\n", `x:2:1: neither duration_s nor volume_L is given`},
		{"endless", header + "2026-01-01T00:00:00Z,sink,filling,0.1,,500,40\n", `would take 83.3 h at that flow`},
		{"no meaning", header + "2026-01-01T00:00:00Z,dishwasher,appliance,3,,4,60\n", `temperature_C "60" has no meaning`},
		{"cells", header + "2026-01-01T00:00:00Z,sink\n", "x:2:1: 2 cells; the first line has 7"},
		{"quote", header + "2026-01-01T00:00:00Z,si\"nk,brief,3,10,,\n", `x:2:24: bare " in non-quoted`},
		{"order", header + "2026-01-01T00:05:00Z,sink,brief,3,10,,\n2026-01-01T00:04:00Z,basin,brief,3,10,,\n", "x:3:1: starts before the draw of line 2"},
		{"duplicate", header + strings.Repeat("2026-01-01T00:05:00Z,sink,brief,3,10,,\n", 2), "x:3:1: sink starts again at the time of line 2"},
		{"overlap", header + "2026-01-01T00:05:00Z,sink,brief,3,10,,\n2026-01-01T00:05:04Z,sink,brief,3,10,,\n", "x:3:1: sink is still running from line 2 for another 6 s"},
		{"too long", header + "2026-01-01T00:05:00Z,sink,brief,3,10,,\n2027-01-01T00:00:00Z,sink,brief,3,10,,\n", "x:3:1: is 365 days or more after the first day"},
		{"two places", header + "2026-01-01T00:05:00Z,sink,brief,3,10,,\n2026-01-01T09:00:00+08:00,sink,brief,3,10,,\n", "x:3:1: its zone is more than an hour from another"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Read(strings.NewReader(c.text), "x", home)
			require.ErrorContains(t, err, c.want)
		})
	}
}

func TestAllErrorsAtOnce(t *testing.T) {
	_, err := Read(strings.NewReader(header+
		"yesterday,tub,brief,-1,10,,\n"+
		"2026-01-01T00:00:00Z,sink,brief,3,10,,\n"+
		"2026-01-01T00:00:00Z,sink,brief,3,10,,400\n"), "x", home)
	require.EqualError(t, err, `x:2:1: start "yesterday" is no time; write 2026-01-31T07:15:02+01:00, with its zone
x:2:11: fixture "tub" is not in the house; there are sink, shower, hall, basin, bath, dishwasher
x:2:21: flow_L_per_min "-1" must be from 0.01 to 120
x:4:39: temperature_C "400" must be from 0 to 100`)
	_, err = Read(strings.NewReader(header+strings.Repeat("bad,sink,brief,3,10,,\n", 5000)), "x", home)
	require.Equal(t, 101, strings.Count(err.Error(), "\n")+1)
	require.ErrorContains(t, err, "x: more than 100 errors")
}

// On the last Sunday of October the hour from two to three comes twice. Half an hour
// lies between these draws, in the order of the offsets.
func TestSummerTimeEnds(t *testing.T) {
	l, err := Read(strings.NewReader(header+
		"2026-10-25T02:45:00+02:00,sink,brief,3,10,,\n"+
		"2026-10-25T02:15:00+01:00,sink,brief,3,10,,\n"), "x", home)
	require.NoError(t, err)
	day := l.Day(31+28+31+30+31+30+31+31+30+24, nil)
	require.Len(t, day, 2)
	require.Equal(t, 1800.0, day[1].Start-day[0].Start)
	require.Equal(t, 2.25*3600, day[1].Start-float64(297*86400), "by standard time")
}

func TestCommas(t *testing.T) {
	for _, apart := range []string{";", "\t"} {
		_, err := Read(strings.NewReader(strings.ReplaceAll(header, ",", apart)), "x", home)
		require.EqualError(t, err, "x:1:1: cells are set apart by semicolons or tabs; set them apart by commas, with points in numbers")
	}
}

func TestOneDayRepeats(t *testing.T) {
	l, err := Read(strings.NewReader(header+"2026-03-01T07:00:00Z,sink,brief,3,10,,\n"), "x", home)
	require.NoError(t, err)
	require.Equal(t, []string{"x: the log covers 1 day; it is repeated to fill the year"}, l.Warnings())
}

func TestShortLogsRepeat(t *testing.T) {
	l, err := Read(strings.NewReader(header+
		"2026-03-01T07:00:00Z,sink,brief,3,10,,\n"+
		"2026-03-03T08:00:00Z,basin,brief,3,10,,\n"), "x", home)
	require.NoError(t, err)
	require.Equal(t, 3, l.Days())
	require.Equal(t, []string{"x: the log covers 3 days; they are repeated to fill the year"}, l.Warnings())
	const march = 31 + 28
	for d := range schedules.DaysPerYear {
		wishes := l.Day(d, nil)
		switch (d - march + 300) % 3 {
		case 0:
			require.Equal(t, float64(d*86400+7*3600), wishes[0].Start)
		case 1:
			require.Empty(t, wishes)
		default:
			require.Equal(t, float64(d*86400+8*3600), wishes[0].Start)
		}
	}
}

// A year has 365 days here: in one of 366, days keep their month and day, and what was
// drawn on 29 February is left out.
func TestLeapYears(t *testing.T) {
	read := func(from time.Time, days int) (*Log, error) {
		var b strings.Builder
		b.WriteString(header)
		for d := range days {
			fmt.Fprintf(&b, "%s,sink,brief,3,10,,\n", from.AddDate(0, 0, d).Format(time.RFC3339))
		}
		return Read(strings.NewReader(b.String()), "x", home)
	}
	seven := func(year int, month time.Month, day int) time.Time {
		return time.Date(year, month, day, 7, 0, 0, 0, time.UTC)
	}
	const (
		leftOut = "x: draws of 29 February, and into it, are left out, for a simulated year has 365 days: 1 of them"
		first   = 31 + 28 // of March
	)
	for _, c := range []struct {
		name        string
		from        time.Time
		days        int
		first, span int
		warnings    []string
	}{
		{"new year's eve of a leap year", seven(2028, 12, 31), 1, 364, 1, []string{"x: the log covers 1 day; it is repeated to fill the year"}},
		{"over that new year", seven(2028, 12, 31), 2, 364, 2, []string{"x: the log covers 2 days; they are repeated to fill the year"}},
		{"March of a leap year", seven(2028, 3, 1), 31, first, 31, []string{"x: the log covers 31 days; they are repeated to fill the year"}},
		{"round 29 February", seven(2028, 2, 28), 3, first - 1, 2, []string{leftOut, "x: the log covers 2 days; they are repeated to fill the year"}},
		{"from 29 February", seven(2028, 2, 29), 2, first, 1, []string{leftOut, "x: the log covers 1 day; it is repeated to fill the year"}},
		{"a whole leap year", seven(2028, 1, 1), 366, 0, 365, []string{leftOut}},
		{"up to 29 February", seven(2027, 3, 1), 366, first, 365, []string{leftOut}},
		{"after 29 February", seven(2028, 3, 1), 365, first, 365, nil},
		{"no leap year", seven(2100, 1, 1), 365, 0, 365, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, err := read(c.from, c.days)
			require.NoError(t, err)
			require.Equal(t, c.first, l.First())
			require.Equal(t, c.span, l.Days())
			require.Equal(t, c.warnings, l.Warnings())
			for i := range c.span {
				d := (c.first + i) % schedules.DaysPerYear
				wishes := l.Day(d, nil)
				require.Len(t, wishes, 1)
				require.Equal(t, float64(d*86400+7*3600), wishes[0].Start)
			}
		})
	}
	l, err := Read(strings.NewReader(header+"2028-02-28T23:58:00Z,sink,brief,3,600,,\n2028-03-01T00:01:00Z,sink,brief,3,300,,\n"), "x", home)
	require.NoError(t, err)
	require.Len(t, l.Day(first, nil), 1, "the draw that would still run on 1 March")
	require.Contains(t, l.Warnings(), leftOut)
	_, err = read(seven(2028, 1, 1), 367)
	require.EqualError(t, err, "x:368:1: is 365 days or more after the first day; cut the log into years")
	_, err = read(seven(2028, 2, 29), 1)
	require.EqualError(t, err, "x:2:1: all draws are on 29 February, which a simulated year of 365 days lacks; add those of other days")
}

// A log over the new year keeps its days where they are in the calendar.
func TestLogsOverTheNewYear(t *testing.T) {
	var b strings.Builder
	b.WriteString(header)
	for d := range 360 {
		fmt.Fprintf(&b, "%s,sink,brief,3,10,,\n", time.Date(2025, 12, 1+d, 6, 0, 0, 0, time.UTC).Format(time.RFC3339))
	}
	l, err := Read(strings.NewReader(b.String()), "x", home)
	require.NoError(t, err)
	require.Empty(t, l.Warnings())
	empty := 0
	for d := range schedules.DaysPerYear {
		wishes := l.Day(d, nil)
		if len(wishes) == 0 {
			empty++
			continue
		}
		require.Equal(t, float64(d*86400+6*3600), wishes[0].Start)
	}
	require.Equal(t, 5, empty)
}

func TestWarnings(t *testing.T) {
	l, err := Read(strings.NewReader(header+
		"2026-03-01T07:00:00Z,sink,brief,30,10,,\n"+
		"2026-03-08T07:00:00Z,basin,brief,3,10,,\n"), "x", home)
	require.NoError(t, err)
	require.Equal(t, []string{
		"x:2: sink runs at 30 L/min, rated 7.2",
		"x:3: no draw for 7.0 days before this",
		"x: the log covers 8 days; they are repeated to fill the year",
	}, l.Warnings())
}

// Whatever is read without error is written and read again as it was.
func FuzzRead(f *testing.F) {
	sample, err := os.ReadFile("testdata/week.csv")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(sample))
	f.Add(header + "2026-10-25T02:45:00+02:00,\"shower, hall\",washing,8,300,,41\n")
	f.Add(header + "2026-01-01T00:00:00Z,bath,filling,1e1,,1.5e2,\n\"")
	f.Fuzz(func(t *testing.T, text string) {
		l, err := Read(strings.NewReader(text), "x", home)
		if err != nil {
			if l != nil || !strings.HasPrefix(err.Error(), "x") {
				t.Fatalf("%v, %v", l, err)
			}
			return
		}
		var b bytes.Buffer
		if err := Write(&b, l, home, origin); err != nil {
			t.Fatal(err)
		}
		for d, wishes := range year(l) {
			for _, w := range wishes {
				if !(w.Start >= float64(d)*dayLength && w.Start < float64(d+1)*dayLength && w.Flow > 0 && length(w) > 0) {
					t.Fatalf("day %d: %+v", d, w)
				}
			}
		}
	})
}

func ExampleRead() {
	file, err := os.Open("testdata/week.csv")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer file.Close()
	l, err := Read(file, "week.csv", home)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(l.Days(), "days,", len(l.Day(0, nil)), "draws on the first of January")
	fmt.Println(l.Warnings()[1])
	// Output:
	// 7 days, 3 draws on the first of January
	// week.csv: the log covers 7 days; they are repeated to fill the year
}
