/* Masses by axle, sprung and unsprung; axles as quarter cars; how fast one may go. */
#include "site/ride_axle.h"
#include "core/root.h"
#include "truck/stage.h"
#include <math.h>
#include <string.h>

static const double PI = 3.14159265358979323846;

/* ------------------------------------------------------------------------------------------------ drive units */

static bool is_shaft(const evn_step *step) { return strcmp(evn_stage_kinds[step->kind].key, "propeller_shaft") == 0; }

/* The last one of a path; beyond the last stage: it has none. */
static size_t last_shaft(const evn_steps *path)
{
    size_t found = path->count;
    for (size_t k = 0; k < path->count; k++)
        if (is_shaft(&path->at[k]))
            found = k;
    return found;
}

/* Between what carries its beginning and its end: what the beginning bears, and what the end. */
static void bear(const evn_steps *path, evn_arena *arena, double *beginning_kg, double *end_kg)
{
    size_t shaft = last_shaft(path);
    *beginning_kg = *end_kg = 0;
    for (size_t k = 0; k < path->count; k++) {
        evn_lowering low = {.arena = arena};
        evn_stage_kinds[path->at[k].kind].lower(path->at[k].item, &low);
        double to_end = shaft == path->count || k > shaft ? 1 : k == shaft ? 0.5 : 0;
        *end_kg += to_end * low.mass_kg;
        *beginning_kg += (1 - to_end) * low.mass_kg;
    }
}

bool evn_unit_bearing_of(const evn_unit_file *u, const evn_unit *unit, evn_unit_bearing *out)
{
    evn_arena *arena = evn_arena_new();
    size_t first = (size_t)u->axles.at[0] - 1;
    double beginning_kg, end_kg;
    *out = (evn_unit_bearing){.on_axle = last_shaft(&u->path) == u->path.count, .machine_kg = unit->machine_kg};
    if (!arena)
        return false;
    double share = isnan(u->unsprung_share) ? out->on_axle : u->unsprung_share;
    out->machine_unsprung_kg = share * out->machine_kg;
    bear(&u->path, arena, &beginning_kg, &end_kg);
    out->unsprung_kg[first] += out->machine_unsprung_kg + end_kg;
    for (size_t k = 0; k < u->branches.count; k++) {
        const evn_branch_file *b = (const evn_branch_file *)u->branches.item + k;
        bear(&b->path, arena, &beginning_kg, &end_kg);
        out->unsprung_kg[first] += beginning_kg;
        out->unsprung_kg[(size_t)b->axle - 1] += end_kg;
    }
    evn_arena_free(arena);
    return true;
}

/* ------------------------------------------------------------------------------------------------ axles */

evn_quarter evn_axle_quarter(const evn_axle_file *a, const evn_axle_masses *m)
{
    const evn_suspension_file *s = a->suspension;
    double sprung_kg = (m->load_kg - m->unsprung_kg) / 2, tyres = a->tyres / 2;
    double omega = 2 * PI * s->natural_frequency_hz;
    return (evn_quarter){.sprung_kg = sprung_kg,
                         .unsprung_kg = m->unsprung_kg / 2,
                         .spring_n_m = isnan(s->stiffness_kn_m) ? sprung_kg * omega * omega : s->stiffness_kn_m * 1e3,
                         .damper_n_s_m = s->damping_kn_s_m * 1e3,
                         .tyre_n_m = tyres * a->tyre->vertical_stiffness_kn_m * 1e3,
                         .tyre_n_s_m = tyres * a->tyre->vertical_damping_kn_s_m * 1e3};
}

evn_ride_stops evn_axle_stops(const evn_suspension_file *s)
{
    return (evn_ride_stops){.bump_m = isnan(s->bump_travel_m) ? (double)INFINITY : s->bump_travel_m,
                            .rebound_m = isnan(s->rebound_travel_m) ? (double)INFINITY : s->rebound_travel_m,
                            .stiffness_n_m = s->stop_stiffness_kn_m * 1e3};
}

/* ------------------------------------------------------------------------------------------------ how fast */

typedef struct track {
    const evn_quarter *car;
    double static_n;
    const evn_spectrum *spectrum;
    double factor;
} track;

static double over_share(void *self, double speed_m_s)
{
    const track *t = self;
    evn_moments m[EVN_RIDES];
    evn_quarter_on_spectrum(t->car, t->spectrum, t->factor, speed_m_s, evn_band_of_road(speed_m_s), m);
    return m[EVN_RIDE_TYRE].rms / t->static_n - EVN_LINEAR_LOAD_MOST;
}

/* Looked for from below in steps of a tenth: it need not rise all the way, where waves leave the band of a resonance.
 */
double evn_quarter_fastest_m_s(const evn_quarter *q, double static_n, const evn_spectrum *spectrum, double factor)
{
    static const double LEAST_M_S = 0.1, FACTOR = 1.1;
    track t = {q, static_n, spectrum, factor};
    evn_known low = {LEAST_M_S, over_share(&t, LEAST_M_S)};
    while (low.x < EVN_RIDE_MOST_M_S && low.error < 0) {
        double x = fmin(low.x * FACTOR, EVN_RIDE_MOST_M_S);
        evn_known next = {x, over_share(&t, x)};
        if (next.error >= 0)
            return evn_root_between(over_share, &t, low, next, &(evn_between){1e-9, 1e-9, 60}).x;
        low = next;
    }
    return low.x;
}
