package pipework

import (
	"testing"

	"pipelag/internal/check"
	"pipelag/internal/reference"
)

// The water drawn until hot, without dispersion, against another solver with a
// wall of 16 shells. Its film outside is not known. Near what the tap reaches in
// the end the volume hangs on it (until 46 °C the PEX takes 2.53 pipe volumes
// without loss and 2.75 with the engine's own film), so the film is taken from
// the row until 43 °C, and one film must then do for all of a tube's rows.
func TestPurgeVolumeAgainstAnIndependentSolver(t *testing.T) {
	rows := reference.Rows(t, "testdata/purge_volumes.csv")
	volumes := func(r reference.Row, film float64) float64 {
		n := rowOf(piece{tube: mustTube(t, r["kind"], r["size"]), length: r.Number(t, "length_m")})
		p := mustPlan(t, n, r.Number(t, "start_C"), Model{Grid: 0.1, NoDispersion: true})
		for i := range p.conduits[0].outer {
			p.conduits[0].outer[i] = film
		}
		return purge(t, p, r.Number(t, "hot_C"), r.Number(t, "flow_L_per_s")*1e-3, r.Number(t, "until_C")) / n.Volume()
	}
	films := map[string]float64{}
	for _, r := range rows {
		if r["until_C"] == "43" {
			low, high := 0.0, 1.0 // [W/(m K)]
			for high-low > 1e-3 {
				if film := (low + high) / 2; volumes(r, film) < r.Number(t, "pipe_volumes") {
					low = film
				} else {
					high = film
				}
			}
			films[r["kind"]] = low
		}
	}
	for _, r := range rows {
		film, want := films[r["kind"]], r.Number(t, "pipe_volumes")
		got := volumes(r, film)
		t.Logf("%s %s until %s °C, film %.2f W/(m K): %.3f, expected %.3f (%+.2f %%)", r["kind"], r["size"], r["until_C"], film, got, want, (got/want-1)*100)
		check.Alike(t, want, got, 0.02, r["kind"]+" until "+r["until_C"]+" °C")
		// A film that no bare tube in still air has would prove nothing.
		if !(film > 0.1 && film < 1) {
			t.Errorf("%s: a film of %g W/(m K)", r["kind"], film)
		}
	}
}
