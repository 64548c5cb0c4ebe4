/* The pack: made ready, what it gives and takes at an instant, its heat, and what a charger brings into it. */
#include "truck/pack.h"
#include "core/arena.h"
#include "truck/truck.h"

static const double ZERO_DEGC_K = 273.15;

/* ------------------------------------------------------------------------------------------------ made ready */

static void make_curve(evn_curve *c, const evn_list *x, const evn_list *y)
{
    evn_curve_make(c, x->at, y->at, x->count, true);
}

static double against_k(double degc) { return -1 / (degc + ZERO_DEGC_K); }

/* NULL: memory ran out. */
static const evn_grid *resistance_grid(const evn_resistance_factors_file *f, evn_arena *arena)
{
    double at[EVN_GRID_ROWS_MAX], logarithm[EVN_GRID_ROWS_MAX * EVN_GRID_ROWS_MAX];
    evn_grid *g = evn_arena_take(arena, sizeof *g);
    if (!g)
        return NULL;
    for (size_t k = 0; k < f->temperature_degc.count; k++)
        at[k] = against_k(f->temperature_degc.at[k]);
    for (size_t k = 0; k < f->factor.count; k++)
        logarithm[k] = log(f->factor.at[k]);
    evn_grid_make(g, at, f->temperature_degc.count, f->soc.at, f->soc.count, logarithm);
    return g;
}

static const evn_grid *share_grid(const evn_power_shares_file *f, const evn_list *share, evn_arena *arena)
{
    evn_grid *g = evn_arena_take(arena, sizeof *g);
    if (g)
        evn_grid_make(g, f->temperature_degc.at, f->temperature_degc.count, f->soc.at, f->soc.count, share->at);
    return g;
}

static bool set_limit(evn_pack_limit *l, double limit_kw, const evn_power_shares_file *f, evn_arena *arena)
{
    *l = (evn_pack_limit){.limit_w = limit_kw * 1e3};
    if (!f)
        return true;
    l->share = share_grid(f, &f->share, arena);
    l->recovery_s = f->recovery_s;
    l->tires = f->continuous_share.count;
    l->continuous = l->tires ? share_grid(f, &f->continuous_share, arena) : NULL;
    return l->share && (l->continuous || !l->tires);
}

static evn_pack_heat heat_of(const evn_battery_heat_file *f)
{
    evn_pack_heat h = {.modelled = f, .limit_degc = (double)INFINITY};
    if (!f)
        return h;
    h.capacity_j_k = f->heat_capacity_kj_per_k * 1e3;
    h.air_w_k = f->to_air_w_per_k;
    h.limit_degc = isnan(f->limit_degc) ? (double)INFINITY : f->limit_degc;
    if (f->cooling)
        h.cooling = (evn_pack_temper){f->cooling->heat_kw * 1e3, f->cooling->from_degc, f->cooling->full_degc,
                                      1 / f->cooling->coefficient_of_performance};
    if (f->heating)
        h.heating = (evn_pack_temper){f->heating->heat_kw * 1e3, f->heating->to_degc, f->heating->full_degc,
                                      1 / f->heating->efficiency};
    return h;
}

double evn_pack_ages_to(const evn_battery_file *b)
{
    return b->ageing ? b->ageing->years.at[b->ageing->years.count - 1] : 0;
}

bool evn_pack_feels_heat(const evn_battery_file *b)
{
    return b->heat || b->resistance_factors || b->discharge_shares || b->charge_shares;
}

static void set_age(evn_pack *p, const evn_battery_ageing_file *f, double years)
{
    evn_curve of;
    if (!f)
        return;
    make_curve(&of, &f->years, &f->capacity_factor);
    p->capacity_as *= evn_curve_at(&of, years);
    make_curve(&of, &f->years, &f->resistance_factor);
    p->resistance_ohm *= evn_curve_at(&of, years);
}

static double start_of(const evn_battery_file *b, const evn_pack_ask *ask)
{
    if (!isnan(ask->start_degc))
        return ask->start_degc;
    return b->heat && !isnan(b->heat->start_degc) ? b->heat->start_degc : ask->ambient_degc;
}

bool evn_pack_make(evn_pack *p, const evn_battery_file *b, const evn_pack_ask *ask, evn_arena *arena)
{
    *p = (evn_pack){.capacity_as = b->capacity_ah * 3600,
                    .resistance_ohm = b->resistance_ohm,
                    .minimum_v = isnan(b->minimum_voltage_v) ? 0 : b->minimum_voltage_v,
                    .maximum_v = isnan(b->maximum_voltage_v) ? (double)INFINITY : b->maximum_voltage_v,
                    .usable_from = b->usable_from_soc,
                    .usable_to = b->usable_to_soc,
                    .heat = heat_of(b->heat),
                    .start_degc = start_of(b, ask)};
    make_curve(&p->open_circuit_v, &b->open_circuit->soc, &b->open_circuit->voltage_v);
    double soc = 1, share = 1;
    if (b->charge_taper)
        make_curve(&p->charge_share, &b->charge_taper->soc, &b->charge_taper->share);
    else
        evn_curve_make(&p->charge_share, &soc, &share, 1, true);
    set_age(p, b->ageing, ask->age_years);
    if (b->resistance_factors && !(p->resistance = resistance_grid(b->resistance_factors, arena)))
        return false;
    return set_limit(&p->out, b->discharge_limit_kw, b->discharge_shares, arena) &&
           set_limit(&p->in, b->charge_limit_kw, b->charge_shares, arena);
}

/* ------------------------------------------------------------------------------------------------ current */

/* The root of P = E I - R I^2 that belongs to the smaller current, in the form that does not cancel; R may be 0. */
double evn_pack_current_a(double ohm, double e, double w) { return 2 * w / (e + sqrt(e * e - 4 * ohm * w)); }

/* A hair below it keeps the current defined. */
double evn_pack_brink_w(double ohm, double e) { return ohm > 0 ? 0.999999 * e * e / (4 * ohm) : (double)INFINITY; }

double evn_pack_ohm(const evn_pack *p, double soc, double degc)
{
    return p->resistance ? p->resistance_ohm * exp(evn_grid_at(p->resistance, soc, against_k(degc)))
                         : p->resistance_ohm;
}

/* ------------------------------------------------------------------------------------------------ limits of power */

static const double PULSE_S = 10, FULL_UNTIL = 0.8; /* see pack.h */

static double left_of(double used) { return fmin(fmax((1 - used) / (1 - FULL_UNTIL), 0), 1); }

/* `stated_w`: the limit of the file, of charging with its taper. */
static evn_pack_power power_of(const evn_pack_limit *l, double stated_w, double soc, double degc, double used)
{
    evn_pack_power w = {stated_w, stated_w, stated_w};
    if (!l->share)
        return w;
    w.short_w = w.continuous_w = w.now_w = stated_w * evn_grid_at(l->share, soc, degc);
    if (!l->tires)
        return w;
    w.continuous_w = fmin(stated_w * evn_grid_at(l->continuous, soc, degc), w.short_w);
    w.now_w = w.continuous_w + (w.short_w - w.continuous_w) * left_of(used);
    return w;
}

double evn_pack_used_rate_1_s(const evn_pack_limit *l, const evn_pack_power *of, double used, double power_w)
{
    double beyond_w = power_w - of->continuous_w, pulse_w = of->short_w - of->continuous_w;
    if (beyond_w > 0)
        return pulse_w > 0 ? fmin(beyond_w / pulse_w, 1) / PULSE_S : 0;
    double rests = power_w > 0 ? 1 - power_w / of->continuous_w : 1;
    return -used * rests / l->recovery_s;
}

static double charge_stated_w(const evn_pack *p, double soc)
{
    if (soc >= p->usable_to)
        return 0;
    return p->in.limit_w * evn_curve_at(&p->charge_share, soc) * fmin(1, (p->usable_to - soc) / 0.01);
}

/* Most out at the minimum voltage; INFINITY: it does not bind. */
static double at_minimum_v_w(const evn_pack *p, double ohm, double e)
{
    return ohm > 0 && p->minimum_v > e / 2 ? p->minimum_v * (e - p->minimum_v) / ohm : (double)INFINITY;
}

static double at_maximum_v_w(const evn_pack *p, double ohm, double e)
{
    return ohm > 0 && isfinite(p->maximum_v) ? p->maximum_v * (p->maximum_v - e) / ohm : (double)INFINITY;
}

evn_pack_able evn_pack_at(const evn_pack *p, const evn_pack_now *now)
{
    evn_pack_able a = {.open_circuit_v = evn_curve_at(&p->open_circuit_v, now->soc),
                       .resistance_ohm = evn_pack_ohm(p, now->soc, now->degc),
                       .out = power_of(&p->out, p->out.limit_w, now->soc, now->degc, now->out_used),
                       .in = power_of(&p->in, charge_stated_w(p, now->soc), now->soc, now->degc, now->in_used)};
    double ohm = a.resistance_ohm, e = a.open_circuit_v;
    a.most_w = fmax(fmin(fmin(a.out.now_w, evn_pack_brink_w(ohm, e)), at_minimum_v_w(p, ohm, e)), 0);
    a.charge_w = fmax(fmin(a.in.now_w, at_maximum_v_w(p, ohm, e)), 0);
    return a;
}

/* ------------------------------------------------------------------------------------------------ heat */

/* Of the most, by how far it is between two temperatures, either of which may be the higher: without a bend at both. */
static double share_of(const evn_pack_temper *t, double degc)
{
    double x = fmin(fmax((degc - t->from_degc) / (t->full_degc - t->from_degc), 0), 1);
    return x * x * (3 - 2 * x);
}

static double tempered_w(const evn_pack_temper *t, double degc)
{
    return t->heat_w > 0 ? t->heat_w * share_of(t, degc) : 0;
}

double evn_pack_cooled_w(const evn_pack_heat *h, double degc) { return tempered_w(&h->cooling, degc); }
double evn_pack_heated_w(const evn_pack_heat *h, double degc) { return tempered_w(&h->heating, degc); }

double evn_pack_conditioning_w(const evn_pack_heat *h, double degc)
{
    return evn_pack_cooled_w(h, degc) * h->cooling.per_w + evn_pack_heated_w(h, degc) * h->heating.per_w;
}

double evn_pack_heat_rate_k_s(const evn_pack_heat *h, double degc, double ambient_degc, double loss_w)
{
    double to_air_w = h->air_w_k * (degc - ambient_degc);
    return (loss_w - to_air_w - evn_pack_cooled_w(h, degc) + evn_pack_heated_w(h, degc)) / h->capacity_j_k;
}

/* ------------------------------------------------------------------------------------------------ a charger */

static void hold_to(evn_charging *c, double most_w, evn_charged_by by)
{
    if (most_w < c->terminal_w) {
        c->terminal_w = fmax(most_w, 0);
        c->by = by;
    }
}

evn_charging evn_pack_charging(const evn_pack *p, const evn_pack_now *now, double offered_w, double offered_a)
{
    evn_pack_able able = evn_pack_at(p, now);
    double ohm = able.resistance_ohm, e = able.open_circuit_v;
    evn_charging c = {.terminal_w = fmax(offered_w, 0), .by = EVN_CHARGED_BY_OFFER};
    if (isfinite(offered_a))
        hold_to(&c, offered_a * (e + ohm * offered_a), EVN_CHARGED_BY_CURRENT);
    hold_to(&c, able.in.continuous_w, EVN_CHARGED_BY_PACK);
    hold_to(&c, at_maximum_v_w(p, ohm, e), EVN_CHARGED_BY_VOLTAGE);
    c.current_a = -evn_pack_current_a(ohm, e, -c.terminal_w);
    c.terminal_v = e + ohm * c.current_a;
    return c;
}
