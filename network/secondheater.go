package network

import "fmt"

// Split divides a house among several heaters: each fixture goes to the heater
// nearest to it by developed length, the first of equals. Each site is then laid
// out and taken off as a network of its own. fixtures[h] tells which of the
// house's fixtures sites[h] has, in its order; a heater that serves none is an
// error. The site's own heater is not among them unless listed.
func (s Site) Split(heaters []Point) (sites []Site, fixtures [][]int, err error) {
	sites, fixtures = make([]Site, len(heaters)), make([][]int, len(heaters))
	for h, at := range heaters {
		sites[h].Heater = at
	}
	for i, f := range s.Fixtures {
		nearest, least := -1, micron(0)
		for h, at := range heaters {
			by, err := at.stepTo(f.At)
			if err != nil {
				return nil, nil, fmt.Errorf("heater %d to fixture %q: %w", h+1, f.Name, err)
			}
			if d := by.length(); nearest < 0 || d < least {
				nearest, least = h, d
			}
		}
		if nearest < 0 {
			return nil, nil, fmt.Errorf("fixture %q has no heater to choose from", f.Name)
		}
		sites[nearest].Fixtures = append(sites[nearest].Fixtures, f)
		fixtures[nearest] = append(fixtures[nearest], i)
	}
	for h := range heaters {
		if len(fixtures[h]) == 0 {
			return nil, nil, fmt.Errorf("heater %d is nearest to no fixture; leave it out or move it", h+1)
		}
	}
	return sites, fixtures, nil
}
