package tubes

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

//go:embed testdata/volume_per_length.csv
var volumeTable []byte

// The code table gives ounces per foot; the catalogue only diameters.
func TestVolumeAgainstCodeTable(t *testing.T) {
	rows, err := readRows(volumeTable, "kind", "size", "oz_per_ft", "source", "status", "note")
	require.NoError(t, err)
	var missing []string
	checked, worst := 0, 0.0
	for _, r := range rows {
		tube, err := Find(r[0], r[1])
		if err != nil {
			missing = append(missing, r[0]+" "+r[1])
			continue
		}
		printed, err := strconv.ParseFloat(r[2], 64)
		require.NoError(t, err)
		const ounce, foot = 29.5735295625e-6, 0.3048 // exact by definition [m³], [m]
		deviation := tube.Volume()/(printed*ounce/foot) - 1
		limit := 0.01
		if tube.Kind == "PEX-AL-PEX" {
			// The column of the code table is 5 to 12 % off the standard's nominal
			// bores; the two are known not to be the same product.
			limit = 0.12
		} else {
			worst = max(worst, math.Abs(deviation))
		}
		if !(math.Abs(deviation) <= limit) {
			t.Errorf("%s %s: %.4f L/m is %+.1f %% off the printed %s oz/ft", r[0], r[1], tube.Volume()*1e3, deviation*100, r[2])
		}
		checked++
	}
	assert.Equal(t, []string{"PEX-AL-PEX 1-1/4", "PEX-AL-PEX 1-1/2", "PEX-AL-PEX 2"}, missing, "sizes without a known bore")
	assert.Equal(t, len(rows)-3, checked)
	t.Logf("%d sizes, largest deviation but for PEX-AL-PEX %.2f %%", checked, worst*100)
}

// The printed litres per metre of an EN ISO 21003 maker's table (read).
func TestVolumeOfMultilayer(t *testing.T) {
	for size, printed := range map[string]float64{"16x2": 0.113, "20x2": 0.201, "26x3": 0.314} {
		tube, err := Find("multilayer", size)
		require.NoError(t, err)
		assert.InEpsilon(t, printed, tube.Volume()*1e3, 0.005, size)
	}
}

// The printed grams per metre of the same table (read) against the effective
// density, which is the mean of the three.
func TestMassOfMultilayer(t *testing.T) {
	for size, printed := range map[string]float64{"16x2": 125, "20x2": 170, "26x3": 300} {
		tube, err := Find("multilayer", size)
		require.NoError(t, err)
		area := math.Pi * (tube.Outside*tube.Outside - tube.Inside*tube.Inside) / 4
		assert.InEpsilon(t, printed, area*tube.Material.Density*1e3, 0.05, size)
	}
}

func TestCatalogueIsWhole(t *testing.T) {
	assert.Equal(t, []string{
		"copper K", "copper L", "copper M", "PEX", "CPVC", "PEX-AL-PEX", "PE-RT",
		"copper EN 1057", "PEX EN ISO 15875", "multilayer", "stainless", "PP-R",
	}, kinds())
	seen := map[string]bool{}
	for _, tube := range All() {
		name := tube.Kind + " " + tube.Size
		assert.False(t, seen[name], "%s stands twice", name)
		seen[name] = true
		assert.NotEmpty(t, tube.Source, name)
		assert.NotEmpty(t, tube.Standard, name)
		assert.Contains(t, []string{"read", "derived", "computed", "memory"}, tube.Status, name)
		assert.Greater(t, tube.Inside, 0.5*tube.Outside, name)
		again, err := Find(tube.Kind, tube.Size)
		require.NoError(t, err, name)
		assert.Equal(t, tube, again)
	}
	for _, kind := range kinds() {
		assert.GreaterOrEqual(t, len(Sizes(kind)), 5, kind)
	}
	for _, m := range Sleeves() {
		assert.False(t, m.Metal)
		again, err := FindSleeve(strings.ToUpper(m.Name))
		require.NoError(t, err)
		assert.Equal(t, m, again)
	}
}

// A thicker wall for a larger tube of the same kind, inch sizes only: metric
// kinds list several walls per diameter.
func TestInchSizesGrow(t *testing.T) {
	for _, kind := range []string{"copper K", "copper L", "copper M", "PEX", "CPVC", "PE-RT"} {
		var before Tube
		for _, size := range Sizes(kind) {
			tube, err := Find(kind, size)
			require.NoError(t, err)
			assert.Greater(t, tube.Inside, before.Inside, "%s %s", kind, size)
			// ASTM B88, F876, D2846: copper tube sizes are 1/8 in larger outside than their name.
			assert.InDelta(t, inches(t, size)+0.125, tube.Outside/0.0254, 1e-9, "%s %s", kind, size)
			before = tube
		}
	}
}

func inches(t *testing.T, size string) float64 {
	t.Helper()
	var sum float64
	for part := range strings.SplitSeq(size, "-") {
		above, below, isFraction := strings.Cut(part, "/")
		x, err := strconv.ParseFloat(above, 64)
		require.NoError(t, err)
		if isFraction {
			y, err := strconv.ParseFloat(below, 64)
			require.NoError(t, err)
			x /= y
		}
		sum += x
	}
	return sum
}

func TestFindForgives(t *testing.T) {
	for _, c := range []struct{ kind, size, wantKind, wantSize string }{
		{"Copper  l", "3/4 in", "copper L", "3/4"},
		{"COPPER L", `3/4"`, "copper L", "3/4"},
		{"pex", "1 1/4 in", "PEX", "1-1/4"},
		{"copper EN 1057", "22 x 1 mm", "copper EN 1057", "22x1"},
		{"copper EN 1057", "22×1", "copper EN 1057", "22x1"},
		{" multilayer ", " 16x2 ", "multilayer", "16x2"},
	} {
		tube, err := Find(c.kind, c.size)
		require.NoError(t, err)
		assert.Equal(t, []string{c.wantKind, c.wantSize}, []string{tube.Kind, tube.Size})
	}
}

func TestFindSaysWhatWouldBeRight(t *testing.T) {
	for _, c := range []struct{ kind, size, want string }{
		{"copper", "3/4", `unknown tube "copper"; nearest: copper K, copper L, copper M, copper EN 1057`},
		{"PEXX", "3/4", `unknown tube "PEXX"; nearest: PEX, `},
		{"L copper", "3/4", `unknown tube "L copper"; nearest: copper L, `},
		{"stainless steel", "15x1", `unknown tube "stainless steel"; nearest: stainless, `},
		{"copper M", "5/8", `tube "copper M" has no size "5/8"; sizes: 3/8, 1/2, 3/4, 1, 1-1/4, 1-1/2, 2`},
		{"", "", `unknown tube ""; nearest: `},
	} {
		_, err := Find(c.kind, c.size)
		require.Error(t, err)
		assert.Contains(t, err.Error(), c.want)
	}
	_, err := FindSleeve("rock")
	require.EqualError(t, err, `unknown insulation "rock"; known: foam, elastomeric foam, fibreglass`)
}

func TestBrokenTablesAreRefused(t *testing.T) {
	const heading = "kind,size,outside,wall,unit,material,standard,source,status,note\n"
	for name, row := range map[string]string{
		"wall thicker than the tube": "x,1,10,5,mm,copper,s,s,read,",
		"not a number":               "x,1,ten,1,mm,copper,s,s,read,",
		"NaN":                        "x,1,NaN,1,mm,copper,s,s,read,",
		"infinite":                   "x,1,Inf,1,mm,copper,s,s,read,",
		"unknown unit":               "x,1,10,1,ft,copper,s,s,read,",
		"unknown material":           "x,1,10,1,mm,brass,s,s,read,",
		"missing cell":               "x,1,10,1,mm,copper,s,s,read",
	} {
		_, err := readCatalogue([]byte(heading+row), wallTable, sleeveTable)
		assert.Error(t, err, name)
	}
	_, err := readCatalogue(tubeTable, []byte("name\ncopper\n"), sleeveTable)
	assert.Error(t, err)
	_, err = readCatalogue(tubeTable, wallTable, slices.Replace(slices.Clone(sleeveTable), 0, 4, []byte("word")...))
	assert.Error(t, err)
	_, err = readMaterials([]byte("name,conductivity,density,specific_heat,emissivity,roughness,metal,source,status,note\nx,1,1,1,1.2,0,no,s,read,\n"))
	assert.Error(t, err, "emissivity above 1")
}

func FuzzFind(f *testing.F) {
	f.Add("copper L", "3/4")
	f.Add("PEX EN ISO 15875", "20 x 1.9 mm")
	f.Add("\xff\xfe", "×")
	f.Fuzz(func(t *testing.T, kind, size string) {
		tube, err := Find(kind, size)
		if err != nil {
			if tube != (Tube{}) || err.Error() == "" {
				t.Errorf("an error with a tube, or without words: %v", tube)
			}
			return
		}
		if spoken(tube.Kind) != spoken(kind) || plainSize(tube.Size) != plainSize(size) {
			t.Errorf("asked for %q %q, found %s %s", kind, size, tube.Kind, tube.Size)
		}
	})
}

func ExampleFind() {
	tube, err := Find("copper L", "3/4")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f mm outside, %.3f mm inside, %.4f L/m\n", tube.Outside*1e3, tube.Inside*1e3, tube.Volume()*1e3)
	// Output: 22.225 mm outside, 19.939 mm inside, 0.3122 L/m
}

func ExampleFind_unknown() {
	_, err := Find("coper L", "3/4")
	fmt.Println(err)
	// Output: unknown tube "coper L"; nearest: copper L, copper K, copper M, PEX
}

func Examplekinds() {
	for _, kind := range kinds()[:3] {
		fmt.Println(kind, Sizes(kind))
	}
	// Output:
	// copper K [1/4 3/8 1/2 5/8 3/4 1 1-1/4 1-1/2 2]
	// copper L [1/4 3/8 1/2 5/8 3/4 1 1-1/4 1-1/2 2]
	// copper M [3/8 1/2 3/4 1 1-1/4 1-1/2 2]
}

func BenchmarkFind(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Find("PP-R", "32x4.4"); err != nil {
			b.Fatal(err)
		}
	}
}
