package heater

// Held is a heater whose water is at the set point at all times: whatever is
// taken from it or lost is made good at once. It does not cool: heat that comes
// in beyond that, from a loop through a hotter space or from mains above the set
// point, is kept and is what is taken first.
type Held struct {
	Setpoint   float64 // of the stored water, 20 to 95 [°C]
	Loss       float64 // through the jacket, 0 to 100 [W/K]
	Efficiency float64 // heat into water per energy in, above 0 to 10: under one for burners and elements, a COP above [-]
	Carrier    Carrier
}

type held struct {
	Held
	in       Inflow
	capacity float64 // of water by volume [J/(m³ K)]
	now      float64
	surplus  float64 // heat kept beyond that at the set point [J]
	account  Account
}

// Efficiencies are its one.
func (h Held) Efficiencies() []Efficiency { return []Efficiency{{h.Carrier, h.Efficiency}} }

// New makes a heater of the description.
func (h Held) New(capacity float64) (Heater, error) {
	var r refusals
	r.capacity(capacity)
	r.setpoint("set point", h.Setpoint)
	r.within("jacket loss", h.Loss, 0, 100, " W/K")
	r.above("efficiency", h.Efficiency, 0, 10, "")
	r.when(int(h.Carrier) >= Carriers, "carrier %d is unknown", h.Carrier)
	if err := r.join(); err != nil {
		return nil, err
	}
	return &held{Held: h, capacity: capacity, in: Inflow{Air: h.Setpoint}}, nil
}

// Meet takes the flows and the air as they are from now on.
func (h *held) Meet(in Inflow) { h.in = in.plain() }

// Outlet is the set point, whatever flows.
func (h *held) Outlet() float64 { return h.Setpoint }

// Next is never: the set point is held.
func (h *held) Next() float64 { return never }

// Account is what has passed up to the last Advance.
func (h *held) Account() Account { return h.account }

// Stored counts from the heat at the set point; what that is does not matter.
func (h *held) Stored() float64 { return h.surplus }

// Advance books the heat that left and that the jacket lost since, and the energy for both.
func (h *held) Advance(now float64) {
	dt := now - h.now
	if !(dt > 0) {
		return
	}
	h.now = now
	a, in := &h.account, &h.in
	given := h.capacity * dt * (in.Drawn*(h.Setpoint-in.Cold) + in.Looped*(h.Setpoint-in.Back))
	jacket := h.Loss * (h.Setpoint - in.Air) * dt
	stirred := in.Stir * dt
	a.Given += given
	a.Jacket += jacket
	a.Stirred += stirred
	missing := given + jacket - stirred - h.surplus
	h.surplus = max(0, -missing)
	a.Heated += max(0, missing)
	a.Energy[h.Carrier] += max(0, missing) / h.Efficiency
}
