package heater

import "math"

// settle brings the tank's heat up to now, lets the thermostats switch, and works
// out when it is to be done again.
func (t *tank) settle() {
	if dt := t.now - t.settled; dt > 0 {
		t.exchange(dt)
	}
	t.control()
	t.schedule()
}

// exchange does for a time what the jacket and the flue take, by the exact
// exponential, what the sources give, which rises until it meets warmer water,
// and what is conducted.
func (t *tank) exchange(dt float64) {
	t.lose(dt)
	for i := range t.stages {
		s := &t.stages[i]
		if !s.runs {
			continue
		}
		heat, energy := t.fed(s, dt)
		t.warm(s.plug, heat)
		t.account.Energy[s.Source.carrier()] += energy
	}
	if t.coil != nil {
		heat := min(t.coilPower()*dt, t.wants(t.coilPlug, t.coil.Most))
		t.warm(t.coilPlug, heat)
		t.account.Energy[t.coil.Carrier] += heat
	}
	t.settled = t.now
	t.account.Energy[Electricity] += t.electric * dt
	t.account.Energy[Gas] += t.fuel * dt
	k := t.top() - 1 // always whole
	t.temp[k] += t.owed / (t.cell * t.size[k])
	t.owed = 0
	t.stir()
	t.overturn()
	t.diffuse()
}

// fed is the heat that a running source gives in a time and the energy that takes [J].
// Those of a heat pump go by the water at its height, which it warms until that rises
// and mixes with the next above, and so on: each stretch goes by its mean.
func (t *tank) fed(s *stage, dt float64) (heat, energy float64) {
	if _, falls := s.Source.(HeatPump); !falls {
		power, takes := s.Source.output(t.temp[s.plug], t.in.Intake)
		return power * dt, takes * dt
	}
	volume, pool := t.size[s.plug], t.temp[s.plug]
	for i := s.plug + 1; dt > 0; i++ {
		power, _ := s.Source.output(pool, t.in.Intake)
		rise := power * dt / (t.cell * volume)
		meets := i < len(t.temp) && pool+rise > t.temp[i]
		if meets {
			rise = max(0, t.temp[i]-pool)
		}
		power, takes := s.Source.output(pool+rise/2, t.in.Intake)
		lasts := dt
		if meets {
			lasts = min(dt, rise*t.cell*volume/power)
			pool = (volume*(pool+rise) + t.size[i]*t.temp[i]) / (volume + t.size[i])
			volume += t.size[i]
		}
		heat += power * lasts
		energy += takes * lasts
		dt -= lasts
	}
	return heat, energy
}

// lose lets the jacket, and the flue of burners that are off, take their heat, of which
// pilot lights make good what they can, with the efficiency of their burners; what they
// give beyond it goes up the flue. So a pilot is no loss beside that of a rating, in which
// its gas is counted, but where it burns more than the tank loses.
func (t *tank) lose(dt float64) {
	total := t.conductance()
	if total <= 0 {
		return
	}
	share := -math.Expm1(-total * dt / (t.cell * t.layers))
	above := 0.0
	for i, s := range t.size {
		fall := (t.temp[i] - t.in.Air) * share
		above += s * fall
		t.temp[i] -= fall
	}
	lost := above * t.cell
	flue := lost * (total - t.loss) / total
	t.account.Flue += flue
	t.account.Jacket += lost - flue
	for i := range t.stages {
		s := &t.stages[i]
		made := max(0, min(s.pilot*dt, lost))
		t.warm(s.plug, made)
		lost -= made
	}
}

// conductance is of all that loses heat at present [W/K].
func (t *tank) conductance() float64 {
	total := t.loss
	for i := range t.stages {
		if s := &t.stages[i]; !s.runs {
			total += s.flue
		}
	}
	return total
}

// warm puts heat into a parcel.
func (t *tank) warm(plug int, heat float64) {
	t.temp[plug] += heat / (t.cell * t.size[plug])
	t.account.Heated += heat
}

// stir mixes the growing parcel and the mixed ones above it, if cold came in.
func (t *tank) stir() {
	if !t.drew || t.mixed < 1 {
		return
	}
	t.drew = false
	volume, heat := 0.0, 0.0
	for i := range t.mixed + 1 {
		volume += t.size[i]
		heat += t.size[i] * t.temp[i]
	}
	for i := range t.mixed + 1 {
		t.temp[i] = heat / volume
	}
}

// overturn mixes water with colder water above it until none is left: parcels
// are pooled with their neighbours as long as a pool is warmer than the next.
func (t *tank) overturn() {
	temp := t.temp
	turn := false
	for i := 1; i < len(temp); i++ {
		if temp[i-1] > temp[i]+stable {
			turn = true
			break
		}
	}
	if !turn {
		return
	}
	// Pools, from the bottom up: their heat, volume and first parcel.
	heat, volume, first := t.scratch, t.volume, t.block
	n := 0
	for i, s := range t.size {
		heat[n], volume[n], first[n] = s*temp[i], s, i
		for n > 0 && (volume[n] <= usedUp || volume[n-1] <= usedUp || heat[n-1]*volume[n] > heat[n]*volume[n-1]) {
			heat[n-1] += heat[n]
			volume[n-1] += volume[n]
			n--
		}
		n++
	}
	end := len(temp)
	for n--; n >= 0; n-- {
		if end-first[n] > 1 {
			mean := heat[n] / volume[n]
			for i := first[n]; i < end; i++ {
				temp[i] = mean
			}
		}
		end = first[n]
	}
}

// diffuse conducts heat between neighbouring parcels, by the implicit Euler
// step, which neither overshoots nor makes heat. A layer takes hours to warm
// the next, so while water flows it is not done for every parcel that leaves.
func (t *tank) diffuse() {
	dt := t.now - t.diffused
	if t.flows() && dt < busy {
		return
	}
	t.diffused = t.now
	n := len(t.temp)
	if t.conduct <= 0 || t.temp[n-1]-t.temp[0] < stillWater {
		return
	}
	// The sweep of a tridiagonal system: between parcels i and i+1 the
	// conductance is g, their middles half the sum of their sizes apart.
	factor, temp, size := t.scratch, t.temp, t.size
	before, g := 0.0, 0.0
	for i := range n {
		below := g
		g = 0
		if i < n-1 {
			g = dt * t.conduct / max((size[i]+size[i+1])/2, 0.5)
		}
		pivot := size[i] + below*(1-before) + g
		carried := size[i] * temp[i]
		if i > 0 {
			carried += below * temp[i-1]
		}
		temp[i] = carried / pivot
		before = g / pivot
		factor[i] = before
	}
	for i := n - 2; i >= 0; i-- {
		temp[i] += factor[i] * temp[i+1]
	}
}
