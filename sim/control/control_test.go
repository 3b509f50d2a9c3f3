package control

import (
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pipelag/internal/check"
	"pipelag/schedules"
)

var update = flag.Bool("update", false, "write the golden logs anew")

// line is a return line's end that goes exponentially towards a temperature
// while the pump runs and towards another while it rests: when it reaches any
// temperature is known exactly.
type line struct {
	temp, since float64
	hot, cold   float64 // [°C]
	fast, slow  float64 // time constants [s]
}

func (l *line) at(t float64, running bool) float64 {
	to, tau := l.cold, l.slow
	if running {
		to, tau = l.hot, l.fast
	}
	return to + (l.temp-to)*math.Exp(-(t-l.since)/tau)
}

// reaches is when it gets to a temperature.
func (l *line) reaches(goal float64, running bool) float64 {
	to, tau := l.cold, l.slow
	if running {
		to, tau = l.hot, l.fast
	}
	if x := (l.temp - to) / (goal - to); x >= 1 {
		return l.since + tau*math.Log(x)
	}
	return math.Inf(1)
}

// follow lives through days with a control on such a line, calls and draws, and
// returns the log of starts and stops and the time it ran.
func follow(c *Control, l line, calls, draws []float64, until float64) (log string, ran float64) {
	var text strings.Builder
	running := false
	began := 0.0
	note := func(now float64) {
		if c.Running() == running {
			return
		}
		temp := l.at(now, running)
		l.temp, l.since = temp, now
		running = c.Running()
		word := "stops"
		if running {
			word, began = "starts", now
		} else {
			ran += now - began
		}
		d := int((now + 1e-6) / day)
		fmt.Fprintf(&text, "day %d %.3s %s %-6s %5.2f °C\n", d, (firstDay+time.Weekday(d%7))%7, clock(now-float64(d)*day), word, temp)
	}
	now := 0.0
	c.See(0, Return, l.temp)
	c.See(0, FarEnd, l.temp)
	note(0)
	for {
		next := min(until, c.Next(now))
		if goal, ok := c.Watched(); ok {
			next = min(next, l.reaches(goal, false))
		}
		if c.Running() && !math.IsInf(c.stop, 1) {
			next = min(next, max(now, l.reaches(c.stop, true)))
		}
		if len(calls) > 0 {
			next = min(next, calls[0])
		}
		if len(draws) > 0 {
			next = min(next, draws[0])
		}
		now = next
		if now >= until {
			return text.String(), ran
		}
		temp := l.at(now, running)
		if goal, ok := c.Watched(); ok && math.Abs(temp-goal) < 1e-9 {
			temp = goal
		}
		if c.Running() && math.Abs(temp-c.stop) < 1e-9 {
			temp = c.stop
		}
		c.See(now, Return, temp)
		c.See(now, FarEnd, temp)
		for len(draws) > 0 && draws[0] <= now {
			c.Saw(now)
			draws = draws[1:]
		}
		c.Advance(now)
		for len(calls) > 0 && calls[0] <= now {
			c.Call(now, temp)
			calls = calls[1:]
		}
		note(now)
	}
}

func at(d, h, m float64) float64 { return d*day + h*hour + m*60 }

var usual = line{temp: 20, hot: 50, cold: 20, fast: 100, slow: 3000}

// The times are those of the clock, or follow from the exponentials: from 20 to
// 45 °C takes 100 ln 6 = 179.2 s, from 45 to 35 °C 3000 ln(25/15) = 1532.5 s, and
// from 35 to 45 °C 100 ln 3 = 109.9 s.
func TestLogs(t *testing.T) {
	morning := Window{6 * hour, 8*hour + 30*60, On(time.Monday, time.Tuesday, time.Wednesday, time.Thursday, time.Friday)}
	late := Window{22 * hour, 1 * hour, On(time.Saturday)}
	warm := Aquastat{35, 45}
	draws := []float64{}
	for d := 0.0; d < 3; d++ {
		draws = append(draws, at(d, 7, 10), at(d, 7, 20))
	}
	cases := []struct {
		name         string
		rule         Rule
		calls, draws []float64
		days         float64
	}{
		{"continuous", Continuous{}, nil, nil, 1},
		{"clock", Clock{Windows: []Window{morning, late}}, nil, nil, 9},
		{"aquastat", warm, nil, nil, 0.1},
		{"clock and aquastat", Clock{Windows: []Window{morning}, Aquastat: &warm}, nil, nil, 1.5},
		{"demand", Demand{Rise: 10, Warm: 40, MaxRun: 300, Dead: 60}, []float64{at(0, 7, 0), at(0, 7, 1), at(0, 7, 1.5), at(0, 7, 2), at(0, 20, 0)}, nil, 1},
		{"demand never warm", Demand{Rise: 40, Warm: 60, MaxRun: 240}, []float64{at(0, 7, 0), at(0, 7, 5)}, nil, 1},
		{"learning", Learning{Days: 2, Least: 0.9, Lead: 600}, nil, draws, 6},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			k, err := New(c.rule)
			require.NoError(t, err)
			log, _ := follow(k, usual, c.calls, c.draws, c.days*day)
			path := filepath.Join("testdata", strings.ReplaceAll(c.name, " ", "_")+".log")
			if *update {
				require.NoError(t, os.WriteFile(path, []byte(log), 0o644))
			}
			want, err := os.ReadFile(path)
			require.NoError(t, err)
			require.Equal(t, string(want), log)
		})
	}
}

// The dead band against the exact times, to a microsecond.
func TestDeadBand(t *testing.T) {
	c, err := New(Aquastat{35, 45})
	require.NoError(t, err)
	warming, cooling, again := 100*math.Log(6), 3000*math.Log(25.0/15), 100*math.Log(3)
	log, ran := follow(c, usual, nil, nil, warming+10*(cooling+again)+1)
	check.Within(t, warming+10*again, ran, 1e-6)
	require.Equal(t, 11, strings.Count(log, "starts"))
	require.Equal(t, 11, strings.Count(log, "stops"))
}

// A cell's temperature is that of its middle: the rise is passed between the middles of
// two cells, of which the second is foreseen. It can be foreseen wrongly, and what stands
// is seen at once.
func TestStopsWithinCell(t *testing.T) {
	for name, c := range map[string]struct{ before, foreseen, after, cell, off float64 }{
		"late in the cell":           {39, 40.2, 40.2, 10, 95 + 10*1/1.2},
		"early: foreseen":            {39.9, 41, 41, 10, 95 + 10*0.1/1.1},
		"early: foreseen for late":   {39.9, 40.05, 41, 10, 100},
		"early: not foreseen":        {39.9, 39.9, 41, 10, 100},
		"standing: not foreseen":     {39, 39, 45, 0, 100},
		"in the first that it meets": {20, 39.9, 60, 10, 95 + 10*20/40.0},
	} {
		t.Run(name, func(t *testing.T) {
			k, err := New(Demand{Rise: 20, Warm: 60, MaxRun: 500})
			require.NoError(t, err)
			k.Call(0, 20)
			k.Pass(90, FarEnd, c.before, c.foreseen, 10)
			if off := k.Next(90); off > 100 {
				k.Pass(100, FarEnd, c.after, c.after, c.cell)
			}
			check.Within(t, c.off, k.Next(100), 1e-9)
			k.Advance(k.Next(100))
			require.False(t, k.Running())
		})
	}
}

// The first cell to pass after a call is on its way from the water at the sensor then.
func TestStopsInFirstCell(t *testing.T) {
	k, err := New(Demand{Rise: 5, Warm: 60, MaxRun: 500})
	require.NoError(t, err)
	k.Call(100, 20)
	k.Pass(100, FarEnd, 30, 50, 10)
	check.Within(t, 100+5*5/10.0, k.Next(100), 1e-9)
}

// In any week a clock is open for the sum of its windows and Next never stands still.
func TestClockRuns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var k Clock
		for range rapid.IntRange(1, 4).Draw(t, "windows") {
			k.Windows = append(k.Windows, Window{
				From: float64(rapid.IntRange(0, 86399).Draw(t, "from")), To: float64(rapid.IntRange(1, 86400).Draw(t, "to")),
				Days: Days(rapid.IntRange(1, 127).Draw(t, "days")),
			})
		}
		c, err := New(k)
		if err != nil { // windows that overlap or have no length
			if say := err.Error(); !strings.Contains(say, "still open") && !strings.Contains(say, "from and to") {
				t.Fatal(say)
			}
			return
		}
		want := 0.0
		for _, s := range k.spans() {
			want += s.to - s.from
		}
		sum := 0.0
		for now := 0.0; now < 3*week; {
			next := min(c.Next(now), 3*week)
			if next <= now {
				t.Fatalf("stands still at %g", now)
			}
			if c.Running() {
				sum += max(min(next, 2*week)-max(now, week), 0)
			}
			now = next
			c.Advance(now)
		}
		if !(math.Abs(sum-want) < 1e-3) {
			t.Fatalf("ran %g s of a week, windows are %g s", sum, want)
		}
	})
}

func TestRefusals(t *testing.T) {
	window := func(from, to float64, days Days) Clock { return Clock{Windows: []Window{{from, to, days}}} }
	cases := map[string]struct {
		rule Rule
		says string
	}{
		"off below on":       {Aquastat{45, 35}, "not above on"},
		"off at on":          {Aquastat{45, 45}, "not above on"},
		"aquastat NaN":       {Aquastat{math.NaN(), 45}, "aquastat, on"},
		"no window":          {Clock{}, "no window"},
		"no day":             {window(0, 3600, 0), "no weekday"},
		"no length":          {window(3600, 3600, Everyday), "a whole day is 00:00 to 24:00"},
		"beyond the day":     {window(3600, 90000, Everyday), "to 90000 s"},
		"overlap":            {Clock{Windows: []Window{{6 * hour, 9 * hour, Everyday}, {8 * hour, 10 * hour, On(time.Monday)}}}, "from Monday 06:00 is still open when that from Monday 08:00"},
		"overlap past night": {Clock{Windows: []Window{{22 * hour, 7 * hour, On(time.Wednesday)}, {6 * hour, 8 * hour, On(time.Thursday)}}}, "from Wednesday 22:00"},
		"clock's aquastat":   {Clock{Windows: []Window{{0, day, Everyday}}, Aquastat: &Aquastat{45, 35}}, "not above on"},
		"no rise":            {Demand{Warm: 40, MaxRun: 300}, "rise"},
		"no longest run":     {Demand{Rise: 5, Warm: 40}, "longest run"},
		"endless run":        {Demand{Rise: 5, Warm: 40, MaxRun: math.Inf(1)}, "longest run"},
		"no memory":          {Learning{Least: 1}, "memory"},
		"no threshold":       {Learning{Days: 7}, "least draws"},
		"lead of a day":      {Learning{Days: 7, Least: 1, Lead: day}, "lead"},
		"learning, aquastat": {Learning{Days: 7, Least: 1, Aquastat: &Aquastat{45, 35}}, "not above on"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			_, err := New(c.rule)
			require.ErrorContains(t, err, c.says)
		})
	}
	require.ErrorContains(t, Button{Likelihood: 2}.Check(), "likelihood")
	require.ErrorContains(t, Motion{False: -1}.Check(), "false calls")
}

func TestCalls(t *testing.T) {
	var wishes []schedules.Wish
	for i := range 400 {
		wishes = append(wishes, schedules.Wish{Fixture: i % 5, Kind: schedules.Kind(i % 4), Start: 3*day + 100 + float64(i)*200})
	}
	b := Button{Lead: 120, Likelihood: 0.7}
	calls := b.Calls(1, 0, 3, wishes, []float64{-1})
	require.Equal(t, -1.0, calls[0], "appends")
	require.IsIncreasing(t, calls)
	require.Equal(t, 3*day, calls[1], "not before the day")
	// Binomial, 300 draws: within four standard deviations.
	check.Within(t, 210, float64(len(calls)-1), 4*math.Sqrt(300*0.7*0.3))
	require.Equal(t, calls, b.Calls(1, 0, 3, wishes, []float64{-1}))

	m := Motion{Lead: 30, Likelihood: 0, False: 40}
	sum := 0
	for d := range 100 {
		for _, c := range m.Calls(1, 0, d, wishes[:1], nil) {
			require.True(t, c >= float64(d)*day+awake && c < float64(d)*day+asleep)
			sum++
		}
	}
	check.Within(t, 4000, float64(sum), 4*math.Sqrt(4000), "Poisson")
	require.Empty(t, m.Calls(1, 0, 0, nil, nil), "nobody there")
	m.Likelihood, m.False = 1, 0
	require.Len(t, m.Calls(1, 0, 3, wishes, nil), 300)
}

func ExampleControl() {
	c, err := New(Clock{
		Windows:  []Window{{From: 6 * hour, To: 9 * hour, Days: Everyday}},
		Aquastat: &Aquastat{On: 38, Off: 43},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	opens := c.Next(0)
	c.See(opens, Return, 21)
	c.Advance(opens)
	fmt.Println(opens/hour, c.Running())
	c.See(opens+90, Return, 44)
	c.Advance(c.Next(opens + 90))
	on, _ := c.Watched()
	fmt.Println(c.Running(), on)
	// Output:
	// 6 true
	// false 38
}

func BenchmarkNext(b *testing.B) {
	c, err := New(Clock{Windows: []Window{{6 * hour, 9 * hour, Everyday}, {17 * hour, 22 * hour, Everyday}}})
	require.NoError(b, err)
	b.ReportAllocs()
	now := 0.0
	for b.Loop() {
		now = c.Next(now)
		c.Advance(now)
	}
}
