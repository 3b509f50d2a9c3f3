// The pipes of one layout as a system of ordinary differential equations, for CVODES.
//
// Each pipe is cut into equal cells of water and wall. Units are SI, temperatures in °C.

enum { STOPPED = 1, ROOT = 2 }; // why advance came back; below 0 CVODES failed

// How the hot side of a tap stands.
enum { SHUT, FULL, SHARE, MIXED };

// How a system is integrated.
enum {
  BDF_BAND,   // backward differences, Newton's method with a banded matrix
  BDF_GMRES,  // the same with a Krylov solver, which needs no matrix
  BDF_DIAG,   // the same with a diagonal for a matrix
  ADAMS_BAND, // Adams's formulae by functional iteration while water flows, BDF_BAND at rest
  METHODS
};

typedef struct plumbing plumbing;

// Tables of a pipe: by ln(flow) from least_flow on in steps of flow_step, and by
// the root of the excess in steps of root_step. That of the inner conductance has
// one more entry, at rest.
typedef struct {
  int flows, excesses;
  double least_flow, flow_step, root_step;
} tables;

plumbing *plumbing_new(int pipes, int fixtures, tables t, double volume, double given);
void plumbing_pipe(plumbing *p, int i, int feed, int zone, int cells, double length, double water, double wall,
                   double mixing, const double *inner, const double *early, const double *late, const double *outer);
void plumbing_tap(plumbing *p, int fixture, int pipe);
// start fills the pipes with water at the temperature of their surroundings.
int plumbing_start(plumbing *p, int method, double relative, double absolute, const double *ambient, double cold);
void plumbing_free(plumbing *p);

// set is what a tap does from now on: flow hot and cold together, the temperature
// wanted of it, or the share of it that is hot. Roots are looked for where the tap
// reaches or leaves usable (0: nowhere) and, of a fill of a volume (0: no fill), where
// it has caught up or begins to lag. What is hot while drains is not 0 adds to the
// heat to the drain.
void plumbing_set(plumbing *p, int fixture, int way, double flow, double mixed, double share, double usable,
                  double volume, int drains);
void plumbing_begin_fill(plumbing *p, int fixture);
void plumbing_weather(plumbing *p, const double *ambient, double cold);
// restart tells the integrator that the flows are others from now on.
int plumbing_restart(plumbing *p);
int plumbing_advance(plumbing *p, double until, double *reached);

double plumbing_tap_temperature(plumbing *p, int fixture);
double plumbing_fill(plumbing *p, int fixture); // mean of the spout above what is wanted, for the whole volume [K]
double plumbing_lost(plumbing *p);              // [J]
double plumbing_drained(plumbing *p);           // [J]
double plumbing_cool_water(plumbing *p, int fixture); // drawn below usable since begin_fill [m³]
double plumbing_cool_heat(plumbing *p, int fixture);  // and the heat in it [J]
