/* Temperatures of a motor and its inverter: nodes, where they go in the end, derating, copper. */
#include "truck/heat.h"
#include <math.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* ------------------------------------------------------------------------------------------------ the nodes */

enum { COPPER, HOUSING, INVERTER, COPPER_LOW, HOUSING_LOW, COPPER_HIGH, HOUSING_HIGH };
static const size_t copper_of[EVN_PACES] = {COPPER, COPPER_LOW, COPPER_HIGH};
static const size_t housing_of[EVN_PACES] = {HOUSING, HOUSING_LOW, HOUSING_HIGH};

static double coolant_of(double own_degc, const evn_heat_gains *g)
{
    return isnan(g->coolant_degc) ? own_degc : g->coolant_degc;
}

/* From a part to what cools it. Without a resistance between them its losses pass at once. */
static double passed_on_w(double own_degc, double sink_degc, double k_w, double losses_w)
{
    return k_w > 0 ? (own_degc - sink_degc) / k_w : losses_w;
}

static double winding_rate(const evn_heat *h, const double degc[], const evn_heat_gains *g, evn_heat_pace pace)
{
    double own_degc = degc[h->at[copper_of[pace]]], sink_degc, gain_w = g->copper_w;
    if (!h->winding)
        return 0;
    if (h->housing) {
        sink_degc = degc[h->at[housing_of[pace]]];
    } else {
        sink_degc = coolant_of(h->winding_coolant_degc, g);
        gain_w += g->other_w;
    }
    return (h->winding_k_w * gain_w - (own_degc - sink_degc)) / h->winding_s[pace];
}

static double housing_rate(const evn_heat *h, const double degc[], const evn_heat_gains *g, evn_heat_pace pace)
{
    double own_degc = degc[h->at[housing_of[pace]]];
    double from_winding_w = passed_on_w(degc[h->at[copper_of[pace]]], own_degc, h->winding_k_w, g->copper_w);
    double sink_degc = coolant_of(h->winding_coolant_degc, g);
    return (h->housing_k_w * (g->other_w + from_winding_w) - (own_degc - sink_degc)) / h->housing_s[pace];
}

static double inverter_rate(const evn_heat *h, const double degc[], const evn_heat_gains *g, evn_heat_pace pace)
{
    (void)pace;
    double over_k = degc[h->at[INVERTER]] - coolant_of(h->inverter_coolant_degc, g);
    return (h->inverter_k_w * g->inverter_w - over_k) / h->inverter_s;
}

static bool always(const evn_heat *h)
{
    (void)h;
    return true;
}
static bool has_housing(const evn_heat *h) { return h->housing; }
static bool has_inverter(const evn_heat *h) { return h->inverter && !h->quick; }
static bool is_ranged(const evn_heat *h) { return h->ranged; }
static bool is_ranged_housing(const evn_heat *h) { return h->ranged && h->housing; }

static double winding_start(const evn_heat *h) { return h->winding_start_degc; }
static double housing_start(const evn_heat *h) { return h->housing_start_degc; }
static double inverter_start(const evn_heat *h) { return h->inverter_start_degc; }

static double own_coolant(const evn_heat *h) { return h->winding_coolant_degc; }
static double inverter_coolant(const evn_heat *h) { return h->inverter_coolant_degc; }

/*
 * Observers have the same losses and other time constants; nothing but what is told at the end reads them, so that
 * their errors are held a hundred times more loosely: enough that none grows where its time constant is short beside
 * the steps.
 */
#define SCALE_K 50
#define OBSERVED_K 5000
static const struct kind {
    evn_node_row told;
    bool (*applies)(const evn_heat *);
    double (*start_degc)(const evn_heat *), (*cold_degc)(const evn_heat *);
    double (*rate)(const evn_heat *, const double degc[], const evn_heat_gains *, evn_heat_pace);
    evn_heat_pace pace;
} kinds[] = {
    [COPPER] = {{"winding", SCALE_K}, always, winding_start, own_coolant, winding_rate, EVN_AS_STATED},
    [HOUSING] = {{"housing", SCALE_K}, has_housing, housing_start, own_coolant, housing_rate, EVN_AS_STATED},
    [INVERTER] = {{"inverter", SCALE_K}, has_inverter, inverter_start, inverter_coolant, inverter_rate, EVN_AS_STATED},
    [COPPER_LOW] = {{"winding, low", OBSERVED_K}, is_ranged, winding_start, own_coolant, winding_rate, EVN_AT_LOW},
    [HOUSING_LOW] =
        {{"housing, low", OBSERVED_K}, is_ranged_housing, housing_start, own_coolant, housing_rate, EVN_AT_LOW},
    [COPPER_HIGH] = {{"winding, high", OBSERVED_K}, is_ranged, winding_start, own_coolant, winding_rate, EVN_AT_HIGH},
    [HOUSING_HIGH] =
        {{"housing, high", OBSERVED_K}, is_ranged_housing, housing_start, own_coolant, housing_rate, EVN_AT_HIGH},
};
_Static_assert(COUNT(kinds) == EVN_NODE_KINDS && EVN_NODE_KINDS <= EVN_NODES_MAX, "a place for each node");

/* ------------------------------------------------------------------------------------------------ made ready */

static bool is_stated(double low, double high) { return low > 0 && high > 0; }

static void set_paces(double stated_s, double low_s, double high_s, double to_s[EVN_PACES])
{
    bool range = is_stated(low_s, high_s);
    to_s[EVN_AS_STATED] = stated_s;
    to_s[EVN_AT_LOW] = range ? low_s : stated_s;
    to_s[EVN_AT_HIGH] = range ? high_s : stated_s;
}

static double given_or(double value, double otherwise) { return isnan(value) ? otherwise : value; }

static void set_winding(const evn_winding_file *f, evn_heat *h)
{
    h->winding = true;
    h->winding_coolant_degc = f->coolant_degc;
    h->winding_k_w = f->resistance_k_per_kw * 1e-3;
    h->winding_range = (evn_derating){f->derate_from_degc, f->derate_to_degc};
    h->winding_start_degc = given_or(f->start_degc, f->coolant_degc);
    h->winding_as_coolant = isnan(f->start_degc);
    h->ranged = is_stated(f->time_constant_low_s, f->time_constant_high_s);
    set_paces(f->time_constant_s, f->time_constant_low_s, f->time_constant_high_s, h->winding_s);
}

static void set_housing(const evn_housing_file *f, evn_heat *h)
{
    h->housing = true;
    h->housing_k_w = f->resistance_k_per_kw * 1e-3;
    h->housing_start_degc = given_or(f->start_degc, h->winding_coolant_degc);
    h->housing_as_coolant = isnan(f->start_degc);
    h->ranged = h->ranged || is_stated(f->time_constant_low_s, f->time_constant_high_s);
    set_paces(f->time_constant_s, f->time_constant_low_s, f->time_constant_high_s, h->housing_s);
}

/* One that is faster than this follows its loss at once: a state of it would hold all steps below its time constant. */
static const double SLOW_S = 5;
/* Where neither inverter nor winding states one: the default of the winding's. */
static const double COOLANT_DEGC = 65;

static void set_inverter(const evn_inverter_heat_file *f, evn_heat *h)
{
    h->inverter = true;
    h->quick = f->time_constant_s < SLOW_S;
    h->inverter_coolant_degc = given_or(f->coolant_degc, h->winding ? h->winding_coolant_degc : COOLANT_DEGC);
    h->inverter_k_w = f->resistance_k_per_kw * 1e-3;
    h->inverter_s = f->time_constant_s;
    h->inverter_range = (evn_derating){f->derate_from_degc, f->derate_to_degc};
    h->inverter_start_degc = given_or(f->start_degc, h->inverter_coolant_degc);
    h->inverter_as_coolant = isnan(f->start_degc);
}

static void set_nodes(evn_heat *h)
{
    for (size_t k = 0; k < COUNT(kinds); k++)
        if (kinds[k].applies(h)) {
            h->kind[h->nodes] = k;
            h->row[h->nodes] = kinds[k].told;
            h->at[k] = h->nodes++;
        }
}

evn_heat evn_heat_of(const evn_winding_file *winding, const evn_housing_file *housing,
                     const evn_inverter_heat_file *inverter, double reference_degc)
{
    evn_heat h = {.winding_start_degc = reference_degc};
    if (winding)
        set_winding(winding, &h);
    if (winding && housing)
        set_housing(housing, &h);
    if (inverter)
        set_inverter(inverter, &h);
    set_nodes(&h);
    return h;
}

/* ------------------------------------------------------------------------------------------------ of all nodes */

void evn_heat_start_with(evn_heat *h, double coolant_degc)
{
    h->winding_start_degc = h->winding_as_coolant ? coolant_degc : h->winding_start_degc;
    h->housing_start_degc = h->housing_as_coolant ? coolant_degc : h->housing_start_degc;
    h->inverter_start_degc = h->inverter_as_coolant ? coolant_degc : h->inverter_start_degc;
}

void evn_heat_start(const evn_heat *h, double degc[])
{
    for (size_t k = 0; k < h->nodes; k++)
        degc[k] = kinds[h->kind[k]].start_degc(h);
}

void evn_heat_all_at(const evn_heat *h, double value_degc, double degc[])
{
    for (size_t k = 0; k < h->nodes; k++)
        degc[k] = value_degc;
}

void evn_heat_cold(const evn_heat *h, double reference_degc, double degc[])
{
    for (size_t k = 0; k < h->nodes; k++)
        degc[k] = kinds[h->kind[k]].cold_degc(h);
    if (!h->winding)
        degc[h->at[COPPER]] = reference_degc;
}

void evn_heat_rates(const evn_heat *h, const double degc[], const evn_heat_gains *g, double rate_k_s[])
{
    for (size_t k = 0; k < h->nodes; k++)
        rate_k_s[k] = kinds[h->kind[k]].rate(h, degc, g, kinds[h->kind[k]].pace);
}

double evn_heat_to_coolant_w(const evn_heat *h, const double degc[], const evn_heat_gains *g)
{
    double coolant = coolant_of(h->winding_coolant_degc, g), motor_w = g->copper_w + g->other_w;
    double inverter_w = g->inverter_w;
    if (h->housing)
        motor_w = passed_on_w(degc[h->at[HOUSING]], coolant, h->housing_k_w, motor_w);
    else if (h->winding)
        motor_w = passed_on_w(degc[h->at[COPPER]], coolant, h->winding_k_w, motor_w);
    if (has_inverter(h))
        inverter_w =
            passed_on_w(degc[h->at[INVERTER]], coolant_of(h->inverter_coolant_degc, g), h->inverter_k_w, inverter_w);
    return motor_w + inverter_w;
}

double evn_heat_winding_degc(const evn_heat *h, const double degc[], evn_heat_pace pace)
{
    return degc[h->at[copper_of[h->ranged ? pace : EVN_AS_STATED]]];
}

double evn_heat_housing_degc(const evn_heat *h, const double degc[])
{
    return h->housing ? degc[h->at[HOUSING]] : (double)NAN;
}

double evn_heat_inverter_degc(const evn_heat *h, const double degc[], const evn_heat_gains *g)
{
    if (!h->inverter)
        return (double)NAN;
    return h->quick ? evn_heat_steady_inverter_degc(h, g) : degc[h->at[INVERTER]];
}

double evn_heat_steady_winding_degc(const evn_heat *h, const evn_heat_gains *g)
{
    double all_w = g->copper_w + g->other_w, coolant = coolant_of(h->winding_coolant_degc, g);
    return h->housing ? coolant + h->housing_k_w * all_w + h->winding_k_w * g->copper_w
                      : coolant + h->winding_k_w * all_w;
}

double evn_heat_steady_inverter_degc(const evn_heat *h, const evn_heat_gains *g)
{
    return coolant_of(h->inverter_coolant_degc, g) + h->inverter_k_w * g->inverter_w;
}

/* ------------------------------------------------------------------------------------------------ derating, copper */

double evn_derating_share(const evn_derating *d, double degc)
{
    if (degc <= d->from_degc)
        return 1;
    if (degc >= d->to_degc)
        return 0;
    return (d->to_degc - degc) / (d->to_degc - d->from_degc);
}

double evn_derating_middle_degc(const evn_derating *d) { return 0.5 * (d->from_degc + d->to_degc); }

double evn_heat_torque_share(const evn_heat *h, const double degc[])
{
    double share = h->winding ? evn_derating_share(&h->winding_range, degc[h->at[COPPER]]) : 1;
    return has_inverter(h) ? fmin(share, evn_derating_share(&h->inverter_range, degc[h->at[INVERTER]])) : share;
}

double evn_heat_past_derating_k(const evn_heat *h, const double degc[])
{
    double past_k = h->winding ? degc[h->at[COPPER]] - h->winding_range.from_degc : -1;
    return has_inverter(h) ? fmax(past_k, degc[h->at[INVERTER]] - h->inverter_range.from_degc) : past_k;
}

double evn_copper_factor(double winding_degc, double reference_degc)
{
    return (235 + winding_degc) / (235 + reference_degc);
}

double evn_heat_copper_factor(const evn_heat *h, const double degc[], double reference_degc)
{
    return h->winding ? evn_copper_factor(degc[h->at[COPPER]], reference_degc) : 1;
}
