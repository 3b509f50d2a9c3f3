package network

import "fmt"

// HomeRun lays one supply from the heater to a manifold and from there one
// run to every fixture, runs[i] to site.Fixtures[i]. Each goes level first, at
// right angles, and then up or down. A manifold at the heater needs no supply.
func HomeRun(name string, site Site, manifold Point, supply Run, runs []Run) (*Network, error) {
	steps, err := site.steps(manifold, len(runs))
	if err != nil {
		return nil, fmt.Errorf("layout %q: %w", name, err)
	}
	out, err := site.Heater.stepTo(manifold)
	if err != nil {
		return nil, fmt.Errorf("layout %q, manifold: %w", name, err)
	}
	n := &Network{Name: name, Arrangement: "home-run", origin: site.Heater}
	n.LoopEnd = n.drawLevelThenUp(supply, -1, "manifold", legs(nil).goTo(out.level()), out.z)
	for i, f := range site.Fixtures {
		n.Taps = append(n.Taps, n.drawLevelThenUp(runs[i], n.LoopEnd, f.Name, legs(nil).goTo(steps[i].level()), steps[i].z))
	}
	n.countTees()
	if err := n.Validate(); err != nil {
		return nil, err
	}
	return n, nil
}
