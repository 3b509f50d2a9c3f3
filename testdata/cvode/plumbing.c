#include "plumbing.h"

#include <cvodes/cvodes.h>
#include <cvodes/cvodes_diag.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdlib.h>
#include <string.h>
#include <sunlinsol/sunlinsol_band.h>
#include <sunlinsol/sunlinsol_spgmr.h>
#include <sunmatrix/sunmatrix_band.h>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>

typedef struct {
  int feed, zone, cells, first; // pipe that feeds it, −1 for the heater; its first cell
  double dx, water, wall;       // [m], [J/(m K)]
  double mixing;                // [s]
  double *inner, *early, *late, *outer;
  // as flows are now
  double flow, started; // [m³/s], [s]
  int next;             // the pipe that most of its water goes on to, −1 for none
  double gi, go, k;     // [W/(m K)], [m²/s]
  double in;            // temperature that comes in [°C]
} pipe;

typedef struct {
  int pipe, way, drains;
  double flow, mixed, share, usable, volume;
  double tap, hot; // [°C], [m³/s]
} tap;

struct plumbing {
  int pipes, taps, cells, method;
  pipe *pipe;
  tap *tap;
  tables t;
  double volume, given, cold; // [J/(m³ K)], [°C]
  double *ambient;            // by pipe [°C]
  double *face;               // temperature that leaves each cell [°C]
  double *from[3];            // how it follows the cell upstream, the cell itself and the next
  double now;
  SUNContext context;
  N_Vector y, q;
  void *flowing, *resting, *mem;
  SUNMatrix matrix[2];
  SUNLinearSolver linear[2];
  SUNNonlinearSolver iteration;
};

// The banded matrix reaches two cells back and one on.
enum { LOWER = 4, UPPER = 2 };

plumbing *plumbing_new(int pipes, int taps, tables t, double volume, double given) {
  plumbing *p = calloc(1, sizeof *p);
  p->pipes = pipes, p->taps = taps, p->t = t, p->volume = volume, p->given = given;
  p->pipe = calloc(pipes, sizeof *p->pipe);
  p->tap = calloc(taps, sizeof *p->tap);
  p->ambient = calloc(pipes, sizeof *p->ambient);
  return p;
}

static double *copied(const double *from, int n) {
  double *to = malloc(n * sizeof *to);
  return memcpy(to, from, n * sizeof *to);
}

void plumbing_pipe(plumbing *p, int i, int feed, int zone, int cells, double length, double water, double wall,
                   double mixing, const double *inner, const double *early, const double *late, const double *outer) {
  p->pipe[i] = (pipe){.feed = feed, .zone = zone, .cells = cells, .first = p->cells, .dx = length / cells,
                      .water = water, .wall = wall, .mixing = mixing, .next = -1,
                      .inner = copied(inner, p->t.flows + 1), .early = copied(early, p->t.flows),
                      .late = copied(late, p->t.flows), .outer = copied(outer, p->t.excesses)};
  p->cells += cells;
}

void plumbing_tap(plumbing *p, int fixture, int pipe) { p->tap[fixture].pipe = pipe; }

// interpolated reads a table at x steps from its beginning; beyond its ends they hold.
static double interpolated(const double *table, int n, double x) {
  int i = x < 0 ? 0 : x > n - 2 ? n - 2 : (int)x;
  double share = fmin(fmax(x - i, 0), 1);
  return table[i] + share * (table[i + 1] - table[i]);
}

#define WATER(c) y[2 * (c)]
#define WALL(c) y[2 * (c) + 1]

// outlet is the temperature that leaves an end where water does not go on: the
// last cell's carried on in a straight line, as far as its surroundings.
static double outlet(plumbing *p, const double *y, int i) {
  pipe *q = &p->pipe[i];
  int c = q->first + q->cells - 1;
  double before = q->cells > 1 ? WATER(c - 1) : q->feed < 0 ? p->given : WATER(p->pipe[q->feed].first + p->pipe[q->feed].cells - 1);
  double end = WATER(c) + (WATER(c) - before) / 2;
  return fmax(end, fmin(p->ambient[i], WATER(c)));
}

// flows are what the open taps draw as warm as the water is now.
static void flows(plumbing *p, double t, const double *y) {
  for (int i = 0; i < p->pipes; i++) p->pipe[i].flow = 0, p->pipe[i].next = -1;
  for (int f = 0; f < p->taps; f++) {
    tap *a = &p->tap[f];
    a->hot = 0;
    if (a->way == SHUT) continue;
    a->tap = outlet(p, y, a->pipe);
    a->hot = a->flow;
    if (a->way == SHARE) a->hot *= a->share;
    if (a->way == MIXED && a->tap > a->mixed) a->hot *= fmax(0, a->mixed - p->cold) / (a->tap - p->cold);
    for (int i = a->pipe; i >= 0; i = p->pipe[i].feed) p->pipe[i].flow += a->hot;
  }
  double flow = 0, x = 0;
  for (int i = 0; i < p->pipes; i++) {
    pipe *q = &p->pipe[i];
    if (q->flow == 0) {
      q->gi = q->inner[p->t.flows]; // at rest
      q->k = 0;
      continue;
    }
    if (q->flow != flow) flow = q->flow, x = log(flow / p->t.least_flow) / p->t.flow_step;
    q->gi = interpolated(q->inner, p->t.flows, x);
    double early = interpolated(q->early, p->t.flows, x), late = interpolated(q->late, p->t.flows, x);
    q->k = late + (early - late) * exp(-(t - q->started) / q->mixing);
    if (q->feed >= 0) {
      pipe *r = &p->pipe[q->feed];
      if (r->next < 0 || p->pipe[r->next].flow < q->flow) r->next = i;
    }
  }
}

// losses are the outer conductances, by the excess of the wall where the heat is.
static void losses(plumbing *p, const double *y) {
  for (int i = 0; i < p->pipes; i++) {
    pipe *q = &p->pipe[i];
    double first = 0, second = 0;
    for (int c = q->first; c < q->first + q->cells; c++) {
      double e = WALL(c) - p->ambient[i];
      first += fabs(e), second += e * e;
    }
    q->go = interpolated(q->outer, p->t.excesses, sqrt(first > 0 ? second / first : 0) / p->t.root_step);
  }
}

// faces are the temperatures that leave the cells of flowing pipes, by slopes over
// the volume passed, limited to the harmonic mean of those to either side (van Leer
// 1974), and their derivatives if wanted.
static void faces(plumbing *p, const double *y, int derivatives) {
  for (int i = 0; i < p->pipes; i++) {
    pipe *q = &p->pipe[i];
    if (q->flow == 0) continue;
    pipe *feed = q->feed < 0 ? NULL : &p->pipe[q->feed], *next = q->next < 0 ? NULL : &p->pipe[q->next];
    q->in = feed ? p->face[feed->first + feed->cells - 1] : p->given;
    double v = q->water * q->dx;
    for (int k = 0; k < q->cells; k++) {
      int c = q->first + k;
      double before = k ? WATER(c - 1) : feed ? WATER(feed->first + feed->cells - 1) : p->given;
      double wa = k ? 1 : feed ? 2 * v / (v + feed->water * feed->dx) : 2, wb = 1;
      double a = wa * (WATER(c) - before), b, da = 0, db = 0, slope = 0;
      if (k == q->cells - 1 && !next) {
        p->face[c] = outlet(p, y, i);
        da = p->face[c] > fmin(p->ambient[i], WATER(c));
        wa = 1, wb = 0;
      } else {
        if (k == q->cells - 1) {
          wb = 2 * v / (v + next->water * next->dx);
          b = wb * (WATER(next->first) - WATER(c));
        } else {
          b = WATER(c + 1) - WATER(c);
        }
        if (a * b > 0) {
          double s = a + b;
          slope = 2 * a * b / s, da = 2 * b * b / (s * s), db = 2 * a * a / (s * s);
        }
        p->face[c] = WATER(c) + slope / 2;
      }
      if (derivatives) {
        p->from[0][c] = -wa * da / 2;
        p->from[1][c] = 1 + (wa * da - wb * db) / 2;
        p->from[2][c] = wb * db / 2;
      }
    }
  }
}

// conductance is that of dispersion from the last cell of the pipe that feeds pipe
// i to its first [W/K]; none where water parts.
static double joint(plumbing *p, int i) {
  pipe *q = &p->pipe[i];
  if (q->feed < 0 || q->flow == 0) return 0;
  pipe *r = &p->pipe[q->feed];
  if (fabs(r->flow - q->flow) > 1e-9 * q->flow) return 0;
  return (r->water * r->k + q->water * q->k) / (r->dx + q->dx);
}

static int rates(realtype t, N_Vector state, N_Vector rate, void *data) {
  plumbing *p = data;
  const double *y = N_VGetArrayPointer(state);
  double *d = N_VGetArrayPointer(rate);
  flows(p, t, y);
  losses(p, y);
  faces(p, y, 0);
  for (int i = 0; i < p->pipes; i++) {
    pipe *q = &p->pipe[i];
    double water = 1 / (q->water * q->dx), gi = q->gi / q->water, move = p->volume * q->flow * water;
    double gw = q->gi / q->wall, go = q->go / q->wall, spread = q->water * q->k / q->dx * water, ambient = p->ambient[i];
    int first = q->first, end = first + q->cells;
    for (int c = first; c < end; c++) {
      double fall = WATER(c) - WALL(c);
      d[2 * c] = -gi * fall;
      d[2 * c + 1] = gw * fall - go * (WALL(c) - ambient);
    }
    if (q->flow == 0) continue;
    double in = q->in;
    for (int c = first; c < end; c++) {
      d[2 * c] += move * (in - p->face[c]);
      in = p->face[c];
    }
    for (int c = first; c < end - 1; c++) {
      double passed = spread * (WATER(c) - WATER(c + 1));
      d[2 * c] -= passed, d[2 * c + 2] += passed;
    }
    double g = joint(p, i);
    if (g > 0) {
      pipe *r = &p->pipe[q->feed];
      int before = r->first + r->cells - 1;
      double passed = g * (WATER(before) - WATER(first));
      d[2 * before] -= passed / (r->water * r->dx), d[2 * first] += passed * water;
    }
  }
  for (int f = 0; f < p->taps; f++) {
    tap *a = &p->tap[f];
    double *fill = &d[2 * p->cells + f];
    *fill = 0;
    if (a->way == SHUT || a->volume == 0) continue;
    double spout = (a->hot * a->tap + (a->flow - a->hot) * p->cold) / a->flow;
    *fill = (spout - a->mixed) * a->flow / a->volume;
  }
  return 0;
}

static void add(SUNMatrix m, int row, int column, double x) {
  if (column - row <= UPPER && row - column <= LOWER) SM_ELEMENT_B(m, row, column) += x;
}

// jacobian is that of rates with the flows and the loss as they are now, as far as
// it lies in the band: where a tee takes water elsewhere it does not.
static int jacobian(realtype t, N_Vector state, N_Vector rate, SUNMatrix m, void *data, N_Vector a, N_Vector b, N_Vector c3) {
  (void)rate, (void)a, (void)b, (void)c3;
  plumbing *p = data;
  const double *y = N_VGetArrayPointer(state);
  flows(p, t, y);
  losses(p, y);
  faces(p, y, 1);
  SUNMatZero(m);
  for (int i = 0; i < p->pipes; i++) {
    pipe *q = &p->pipe[i];
    pipe *r = q->feed < 0 ? NULL : &p->pipe[q->feed];
    int last = r ? r->first + r->cells - 1 : -1;
    double water = 1 / (q->water * q->dx), move = p->volume * q->flow * water, spread = q->water * q->k / q->dx * water;
    for (int k = 0; k < q->cells; k++) {
      int c = q->first + k, up = k ? c - 1 : last;
      add(m, 2 * c, 2 * c, -q->gi / q->water);
      add(m, 2 * c, 2 * c + 1, q->gi / q->water);
      add(m, 2 * c + 1, 2 * c, q->gi / q->wall);
      add(m, 2 * c + 1, 2 * c + 1, -(q->gi + q->go) / q->wall);
      if (q->flow == 0) continue;
      if (up >= 0) {
        pipe *of = k ? q : r;
        int before = up > of->first ? up - 1 : of->feed < 0 ? -1 : p->pipe[of->feed].first + p->pipe[of->feed].cells - 1;
        int on = up < of->first + of->cells - 1 ? up + 1 : of->next < 0 ? -1 : p->pipe[of->next].first;
        if (before >= 0) add(m, 2 * c, 2 * before, move * p->from[0][up]);
        add(m, 2 * c, 2 * up, move * p->from[1][up]);
        if (on >= 0) add(m, 2 * c, 2 * on, move * p->from[2][up]);
        add(m, 2 * c, 2 * up, k ? spread : joint(p, i) * water);
        add(m, 2 * c, 2 * c, k ? -spread : -joint(p, i) * water);
        add(m, 2 * up, 2 * c, k ? spread : joint(p, i) / (r->water * r->dx));
        add(m, 2 * up, 2 * up, k ? -spread : -joint(p, i) / (r->water * r->dx));
        add(m, 2 * c, 2 * up, -move * p->from[0][c]);
      }
      add(m, 2 * c, 2 * c, -move * p->from[1][c]);
      int on = k < q->cells - 1 ? c + 1 : q->next < 0 ? -1 : p->pipe[q->next].first;
      if (on >= 0) add(m, 2 * c, 2 * on, -move * p->from[2][c]);
    }
  }
  return 0;
}

// books are the rates of the heat lost and drained and, by tap, of the cool water
// of fills and its heat.
static int books(realtype t, N_Vector state, N_Vector rate, void *data) {
  plumbing *p = data;
  const double *y = N_VGetArrayPointer(state);
  double *d = N_VGetArrayPointer(rate);
  flows(p, t, y);
  losses(p, y);
  memset(d, 0, (2 + 2 * p->taps) * sizeof *d);
  for (int i = 0; i < p->pipes; i++) {
    pipe *q = &p->pipe[i];
    double above = 0;
    for (int c = q->first; c < q->first + q->cells; c++) above += WALL(c) - p->ambient[i];
    d[0] += q->go * q->dx * above;
  }
  for (int f = 0; f < p->taps; f++) {
    tap *a = &p->tap[f];
    double heat = p->volume * a->hot * (a->tap - p->cold);
    if (a->drains) d[1] += heat;
    if (a->volume > 0 && a->tap < a->usable) d[2 + 2 * f] = a->hot, d[3 + 2 * f] = heat;
  }
  return 0;
}

// roots are where a tap becomes usable or ceases to be, and a fill has caught up or
// begins to lag.
static int roots(realtype t, N_Vector state, realtype *g, void *data) {
  (void)t;
  plumbing *p = data;
  const double *y = N_VGetArrayPointer(state);
  for (int f = 0; f < p->taps; f++) {
    tap *a = &p->tap[f];
    g[2 * f] = g[2 * f + 1] = 1;
    if (a->way == SHUT) continue;
    double end = outlet(p, y, a->pipe);
    if (a->usable > 0) g[2 * f] = end - a->usable;
    if (a->volume > 0) g[2 * f + 1] = a->way == FULL ? y[2 * p->cells + f] : a->mixed - end;
  }
  return 0;
}

static int ready(plumbing *p, void *mem, int method, double relative, double absolute) {
  int flag = CVodeInit(mem, rates, p->now, p->y);
  if (!flag) flag = CVodeSStolerances(mem, relative, absolute);
  if (!flag) flag = CVodeSetUserData(mem, p);
  if (!flag) flag = CVodeSetMaxNumSteps(mem, 1000000);
  if (!flag) flag = CVodeQuadInit(mem, books, p->q);
  if (!flag) flag = CVodeRootInit(mem, 2 * p->taps, roots);
  int *direction = calloc(2 * p->taps, sizeof *direction);
  for (int f = 0; f < p->taps; f++) direction[2 * f + 1] = 1;
  if (!flag) flag = CVodeSetRootDirection(mem, direction);
  free(direction);
  if (!flag) flag = CVodeSetNoInactiveRootWarn(mem);
  if (flag) return flag;
  switch (method) {
  case BDF_BAND:
    p->matrix[0] = SUNBandMatrix(N_VGetLength(p->y), UPPER, LOWER, p->context);
    p->linear[0] = SUNLinSol_Band(p->y, p->matrix[0], p->context);
    flag = CVodeSetLinearSolver(mem, p->linear[0], p->matrix[0]);
    return flag ? flag : CVodeSetJacFn(mem, jacobian);
  case BDF_GMRES:
    p->linear[1] = SUNLinSol_SPGMR(p->y, SUN_PREC_NONE, 0, p->context);
    return CVodeSetLinearSolver(mem, p->linear[1], NULL);
  case BDF_DIAG:
    return CVDiag(mem);
  default:
    p->iteration = SUNNonlinSol_FixedPoint(p->y, 0, p->context);
    return CVodeSetNonlinearSolver(mem, p->iteration);
  }
}

int plumbing_start(plumbing *p, int method, double relative, double absolute, const double *ambient, double cold) {
  int flag = SUNContext_Create(NULL, &p->context);
  if (flag) return flag;
  p->method = method;
  p->face = calloc(p->cells, sizeof *p->face);
  for (int j = 0; j < 3; j++) p->from[j] = calloc(p->cells, sizeof *p->from[j]);
  p->y = N_VNew_Serial(2 * p->cells + p->taps, p->context);
  p->q = N_VNew_Serial(2 + 2 * p->taps, p->context);
  N_VConst(0, p->y), N_VConst(0, p->q);
  plumbing_weather(p, ambient, cold);
  double *y = N_VGetArrayPointer(p->y);
  for (int i = 0; i < p->pipes; i++)
    for (int c = p->pipe[i].first; c < p->pipe[i].first + p->pipe[i].cells; c++) WATER(c) = WALL(c) = p->ambient[i];
  if (method == ADAMS_BAND) {
    p->flowing = CVodeCreate(CV_ADAMS, p->context);
    p->resting = CVodeCreate(CV_BDF, p->context);
    flag = ready(p, p->flowing, ADAMS_BAND, relative, absolute);
    if (!flag) flag = ready(p, p->resting, BDF_BAND, relative, absolute);
  } else {
    p->flowing = p->resting = CVodeCreate(CV_BDF, p->context);
    flag = ready(p, p->resting, method, relative, absolute);
  }
  p->mem = p->resting;
  return flag;
}

void plumbing_free(plumbing *p) {
  CVodeFree(&p->resting);
  if (p->method == ADAMS_BAND) CVodeFree(&p->flowing);
  for (int j = 0; j < 2; j++) {
    if (p->linear[j]) SUNLinSolFree(p->linear[j]);
    if (p->matrix[j]) SUNMatDestroy(p->matrix[j]);
  }
  if (p->iteration) SUNNonlinSolFree(p->iteration);
  N_VDestroy(p->y), N_VDestroy(p->q);
  SUNContext_Free(&p->context);
  for (int i = 0; i < p->pipes; i++) free(p->pipe[i].inner), free(p->pipe[i].early), free(p->pipe[i].late), free(p->pipe[i].outer);
  for (int j = 0; j < 3; j++) free(p->from[j]);
  free(p->face), free(p->ambient), free(p->tap), free(p->pipe), free(p);
}

void plumbing_set(plumbing *p, int fixture, int way, double flow, double mixed, double share, double usable,
                  double volume, int drains) {
  tap *a = &p->tap[fixture];
  a->way = way, a->flow = flow, a->mixed = mixed, a->share = share, a->usable = usable, a->volume = volume, a->drains = drains;
}

void plumbing_begin_fill(plumbing *p, int fixture) {
  double *q = N_VGetArrayPointer(p->q);
  q[2 + 2 * fixture] = q[3 + 2 * fixture] = 0;
  N_VGetArrayPointer(p->y)[2 * p->cells + fixture] = -1e-9; // a hair short, to catch up from below
}

void plumbing_weather(plumbing *p, const double *ambient, double cold) {
  for (int i = 0; i < p->pipes; i++) p->ambient[i] = ambient[p->pipe[i].zone];
  p->cold = cold;
}

int plumbing_restart(plumbing *p) {
  double *before = malloc(p->pipes * sizeof *before);
  for (int i = 0; i < p->pipes; i++) before[i] = p->pipe[i].flow;
  flows(p, p->now, N_VGetArrayPointer(p->y));
  p->mem = p->resting;
  for (int i = 0; i < p->pipes; i++) {
    if (p->pipe[i].flow > 0) {
      p->mem = p->flowing;
      if (before[i] == 0) p->pipe[i].started = p->now;
    }
  }
  free(before);
  int flag = CVodeReInit(p->mem, p->now, p->y);
  return flag ? flag : CVodeQuadReInit(p->mem, p->q);
}

int plumbing_advance(plumbing *p, double until, double *reached) {
  int flag = CVodeSetStopTime(p->mem, until);
  if (!flag) flag = CVode(p->mem, until, p->y, &p->now, CV_NORMAL);
  double t;
  if (flag >= 0) {
    int found = CVodeGetQuad(p->mem, &t, p->q);
    if (found) return found;
  }
  *reached = p->now;
  return flag < 0 ? flag : flag == CV_ROOT_RETURN ? ROOT : STOPPED;
}

double plumbing_tap_temperature(plumbing *p, int fixture) { return outlet(p, N_VGetArrayPointer(p->y), p->tap[fixture].pipe); }
double plumbing_fill(plumbing *p, int fixture) { return N_VGetArrayPointer(p->y)[2 * p->cells + fixture]; }
double plumbing_lost(plumbing *p) { return N_VGetArrayPointer(p->q)[0]; }
double plumbing_drained(plumbing *p) { return N_VGetArrayPointer(p->q)[1]; }
double plumbing_cool_water(plumbing *p, int fixture) { return N_VGetArrayPointer(p->q)[2 + 2 * fixture]; }
double plumbing_cool_heat(plumbing *p, int fixture) { return N_VGetArrayPointer(p->q)[3 + 2 * fixture]; }
