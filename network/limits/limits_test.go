package limits

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pipelag/network/tubes"
)

const columns = "quantity,material,use,size,above,value,flow,code,clause,source,status,note\n"

func TestStandardBook(t *testing.T) {
	b := Standard()
	assert.Equal(t, []string{"CDA", "IRC", "maker", "Chicago", "IPC", "Minnesota", "WaterSense", "IECC", "UPC"}, b.Sources())
	for _, l := range b {
		assert.NotEmpty(t, l.Source, "%s of %s", l.Quantity, l.Code)
		assert.Contains(t, []string{"read", "memory"}, l.Status)
	}
	// Of each quantity one value in SI, by hand.
	for q, want := range map[Quantity]float64{Length: 15.24, StoredVolume: 1.892706e-3, DrawnVolume: 2.271247e-3, Resistance: 0.528, InsulatedStart: 2.4384} {
		got := b.Of(q, "")[0].Value
		assert.LessOrEqual(t, math.Abs(got/want-1), 1e-6, q.String())
	}
	bath := b.Of(Pressure, "bath")
	require.Len(t, bath, 1)
	assert.LessOrEqual(t, math.Abs(bath[0].Value/137895.1-1), 1e-6, "20 psi")
	assert.LessOrEqual(t, math.Abs(bath[0].Flow/2.523608e-4-1), 1e-6, "4 gpm")
}

func TestJudge(t *testing.T) {
	ceiling := Limit{Quantity: Length, Value: 10, Status: "read"}
	floor := Limit{Quantity: Pressure, Value: 10, Status: "user"}
	recalled := Limit{Quantity: Length, Value: 10, Status: "memory"}
	cases := []struct {
		name  string
		limit Limit
		found float64
		want  Outcome
	}{
		{"below a ceiling", ceiling, 9, Met},
		{"at a ceiling", ceiling, 10, Met},
		{"above a ceiling", ceiling, 10.01, Broken},
		{"NaN under a ceiling", ceiling, math.NaN(), Broken},
		{"above a floor", floor, 11, Met},
		{"below a floor", floor, 9.99, Broken},
		{"NaN over a floor", floor, math.NaN(), Broken},
		{"recalled", recalled, 99, Unjudged},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, c.limit.Judge(c.found, c.limit.Value).Outcome) })
	}
}

func TestVelocitiesAreTheMostParticular(t *testing.T) {
	codes := func(kind string, hot float64) map[string]float64 {
		tube, err := tubes.Find(kind, "1/2")
		require.NoError(t, err)
		found := make(map[string]float64)
		for _, l := range Standard().Velocities(tube, hot) {
			found[l.Code] = math.Round(l.Value/0.3048*1000) / 1000
		}
		return found
	}
	assert.Equal(t, map[string]float64{"CDA": 5, "IRC": 8, "Chicago": 8}, codes("copper L", 50))
	assert.Equal(t, map[string]float64{"CDA": 3, "IRC": 8, "Chicago": 8}, codes("copper L", 61))
	assert.Equal(t, map[string]float64{"maker": 10, "Chicago": 8}, codes("CPVC", 50))
	assert.Equal(t, map[string]float64{"Chicago": 8}, codes("PEX", 50))
}

func TestCodes(t *testing.T) {
	b, err := Standard().Codes("watersense", "UPC")
	require.NoError(t, err)
	assert.Equal(t, []string{"WaterSense", "UPC"}, b.Sources())
	_, err = Standard().Codes("Babel")
	assert.ErrorContains(t, err, `no limits of "Babel"; there are those of CDA, IRC`)
}

func TestReadUsersOwn(t *testing.T) {
	b, err := Read(strings.NewReader("\ufeff" + columns + "stored volume,,,,,1 L,,Town,by-law 7,by-law 7 of 2024,user,\n"))
	require.NoError(t, err)
	require.Len(t, b, 1)
	assert.Equal(t, Limit{Quantity: StoredVolume, Value: 1e-3, Code: "Town", Clause: "by-law 7", Source: "by-law 7 of 2024", Status: "user"}, b[0])
	assert.Equal(t, Broken, append(Standard(), b...).Of(StoredVolume, "bath")[2].Judge(1.1e-3, 1e-3).Outcome)
}

func TestReadRefuses(t *testing.T) {
	cases := map[string]struct{ text, want string }{
		"empty":            {"", "no rows"},
		"no rows":          {columns, "no rows"},
		"other columns":    {"a,b,c,d,e,f,g,h,i,j,k,l\n", "line 1: the columns are"},
		"few columns":      {"a,b\n1\n", "limits: line 1: the columns are a,b; they must be quantity,material,"},
		"too few cells":    {columns + "length,1\n", "limits: line 2: 2 cells; give 12, one for each column, if empty"},
		"a quote":          {columns + "length,a\"\n", "limits: line 2: bare \" in non-quoted-field"},
		"unknown quantity": {columns + "colour,,,,,1 m,,a,b,c,user,\n", `line 2: unknown quantity "colour"; write one of velocity`},
		"bare number":      {columns + "length,,,,,50,,a,b,c,user,\n", "has no unit"},
		"wrong unit":       {columns + "length,,,,,50 gal,,a,b,c,user,\n", "a volume"},
		"not a number":     {columns + "insulation resistance,,,,,NaN m2 K/W,,a,b,c,user,\n", "is not a finite number"},
		"infinite":         {columns + "insulation resistance,,,,,Inf m2 K/W,,a,b,c,user,\n", "is not a finite number"},
		"no flow":          {columns + "pressure,,shower,,,8 psi,-3 gpm,a,b,c,user,\n", `line 2: a limit at "-3 gpm"; a fixture takes above 0 and up to 60 L/min`},
		"too much flow":    {columns + "pressure,,shower,,,8 psi,300 gpm,a,b,c,user,\n", `a limit at "300 gpm"`},
		"above no water":   {columns + "velocity,copper,,,-140 F,8 ft/s,,a,b,c,user,\n", `line 2: a limit above "-140 F"; hot water lies between 0 C and 100 C`},
		"resistance text":  {columns + "insulation resistance,,,,,thick,,a,b,c,user,\n", "write a thermal resistance with its unit"},
		"nothing":          {columns + "length,,,,,0 m,,a,b,c,user,\n", "it lies above 0"},
		"no clause":        {columns + "length,,,,,5 m,,a,,c,user,\n", "without code, clause or status"},
		"no size":          {columns + "length by size,,,,,5 m,,a,b,c,user,\n", "without a size"},
		"unknown use":      {columns + "pressure,,kitchen sink,,,5 psi,,a,b,c,user,\n", `line 2: unknown use "kitchen sink"; write one of bath, bidet, clothes washer, dishwasher, kitchen, laundry sink, lavatory, shower, or nothing for any`},
		"use of a tube":    {columns + "insulation resistance,,shower,,,0.5 m2 K/W,,a,b,c,user,\n", `unknown use "shower"; write one of outside conditioned space, buried, to a manifold, in a loop, or nothing for any`},
		"use of velocity":  {columns + "velocity,,shower,,,5 ft/s,,a,b,c,user,\n", `use of "shower" for velocity, which does not go by it; leave it empty`},
		"unknown material": {columns + "velocity,coper,,,,5 ft/s,,a,b,c,user,\n", `unknown material "coper"; write one of copper, PEX, CPVC, `},
		"material":         {columns + "length,copper,,,,5 m,,a,b,c,user,\n", `material of "copper" for length, which does not go by it; leave it empty`},
		"size with unit":   {columns + "length by size,,,3/4 in,,5 m,,a,b,c,user,\n", `no nominal size "3/4 in"; write inches without the unit, such as 3/4 or 1-1/4`},
		"metric size":      {columns + "insulation resistance,,,22x1,,0.5 m2 K/W,,a,b,c,user,\n", `no nominal size "22x1"; write inches`},
		"size of velocity": {columns + "velocity,,,3/4,,5 ft/s,,a,b,c,user,\n", `size of "3/4" for velocity, which does not go by it`},
		"above a length":   {columns + "length,,,,140 F,5 m,,a,b,c,user,\n", `above of "140 F" for length, which does not go by it`},
		"flow of a length": {columns + "length,,,,,5 m,4 gpm,a,b,c,user,\n", `flow of "4 gpm" for length, which does not go by it`},
		"unknown status":   {columns + "length,,,,,5 m,,a,b,c,Memory,\n", `unknown status "Memory"; write one of read, derived, computed, memory, user`},
		"bad temperature":  {columns + "velocity,,,,hot,5 m/s,,a,b,c,user,\n", "does not begin with a number"},
		"bad flow":         {columns + "pressure,,,,,5 psi,lots,a,b,c,user,\n", "does not begin with a number"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			_, err := Read(strings.NewReader(c.text))
			assert.ErrorContains(t, err, c.want)
		})
	}
	_, err := Read(strings.NewReader(columns + "length,,,,,50,,a,b,c,user,\ncolour,,,,,1 m,,a,b,c,user,\n"))
	assert.ErrorContains(t, err, "line 2")
	assert.ErrorContains(t, err, "line 3")
}

func TestNominal(t *testing.T) {
	for size, want := range map[string]float64{"3/4": 0.01905, "1-1/4": 0.03175, "2": 0.0508} {
		got, known := Nominal(size)
		assert.True(t, known)
		assert.LessOrEqual(t, math.Abs(got-want), 1e-12, size)
	}
	for _, size := range []string{"22x1", "16 × 2", "", "thick"} {
		_, known := Nominal(size)
		assert.False(t, known, size)
	}
}

// 3/8 in by name, however narrow its wall leaves it; by the bore of 3/8 in PEX, 8.89 mm, where
// a size is no nominal one (EN 1057 and EN ISO 15875 give the outside less two walls).
func TestUndersized(t *testing.T) {
	for _, c := range []struct {
		kind, size string
		want       bool
	}{
		{"PEX", "1/4", true},
		{"PEX", "3/8", false},
		{"copper L", "1/4", true},
		{"copper L", "3/8", false},
		{"copper EN 1057", "10x0.6", true},
		{"copper EN 1057", "12x1", false},
		{"PEX EN ISO 15875", "12x1.7", true},
		{"PEX EN ISO 15875", "16x2", false},
	} {
		tube, err := tubes.Find(c.kind, c.size)
		require.NoError(t, err)
		assert.Equal(t, c.want, Undersized(tube), "%s %s", c.kind, c.size)
	}
}

func FuzzRead(f *testing.F) {
	f.Add(columns + "stored volume,,,,,1 L,,Town,by-law 7,by-law 7 of 2024,user,\n")
	f.Add(string(limitTable))
	f.Fuzz(func(t *testing.T, text string) {
		b, err := Read(strings.NewReader(text))
		if err != nil {
			return
		}
		for _, l := range b {
			if !(l.Value > 0) || math.IsInf(l.Value, 0) || math.IsNaN(l.Above) || math.IsNaN(l.Flow) {
				t.Errorf("accepted %+v", l)
			}
		}
	})
}
