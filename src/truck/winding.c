/* Winding temperatures: keys, nodes, derating, copper. */
#include "truck/winding.h"
#include <math.h>
#include <stddef.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* ------------------------------------------------------------------------------------------------ keys */

static const evn_field winding_fields[] = {
    {.key = "coolant_degc",
     .shape = EVN_NUMBER,
     .least = -50,
     .most = 150,
     .usual_low = 20,
     .usual_high = 80,
     .fallback = 65,
     .offset = offsetof(evn_winding_file, coolant_degc),
     .help = "coolant temperature; where the truck states a loop (cooling) a run takes the loop's instead, and "
             "only what is told of continuous duty without a run keeps this one"},
    {.key = "resistance_k_per_kw",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .most = 1e4,
     .usual_low = 1,
     .usual_high = 40,
     .offset = offsetof(evn_winding_file, resistance_k_per_kw),
     .help = "winding above coolant, per kW of motor loss, once steady"},
    {.key = "time_constant_s",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.1,
     .most = 1e6,
     .usual_low = 60,
     .usual_high = 1200,
     .offset = offsetof(evn_winding_file, time_constant_s),
     .help = "first-order time constant, winding to coolant"},
    {.key = "derate_from_degc",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0,
     .most = 400,
     .usual_low = 120,
     .usual_high = 180,
     .offset = offsetof(evn_winding_file, derate_from_degc),
     .help = "full torque up to here"},
    {.key = "derate_to_degc",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0,
     .most = 400,
     .usual_low = 140,
     .usual_high = 200,
     .offset = offsetof(evn_winding_file, derate_to_degc),
     .help = "no torque from here; straight between"},
    {.key = "start_degc",
     .shape = EVN_NUMBER,
     .least = -50,
     .most = 400,
     .fallback = (double)NAN,
     .offset = offsetof(evn_winding_file, start_degc),
     .help = "at the start of a run; not given: the coolant's"},
};

static void check_winding(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_winding_file *w = self;
    if (w->derate_to_degc <= w->derate_from_degc)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "derate_to_degc",
                   "derating ends at %g degC; expected above derate_from_degc, %g", w->derate_to_degc,
                   w->derate_from_degc);
    if (w->coolant_degc >= w->derate_from_degc)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "coolant_degc",
                   "coolant at %g degC; expected below derate_from_degc, %g", w->coolant_degc, w->derate_from_degc);
}
const evn_object evn_winding_object = {"winding",
                                       "winding temperature of first order, with derating",
                                       sizeof(evn_winding_file),
                                       winding_fields,
                                       COUNT(winding_fields),
                                       check_winding};

evn_winding evn_winding_of(const evn_winding_file *f, double reference_degc)
{
    if (!f)
        return (evn_winding){.start_degc = reference_degc};
    return (evn_winding){.modelled = true,
                         .starts_with_coolant = isnan(f->start_degc),
                         .coolant_degc = f->coolant_degc,
                         .resistance_k_w = f->resistance_k_per_kw * 1e-3,
                         .time_constant_s = f->time_constant_s,
                         .derate_from_degc = f->derate_from_degc,
                         .derate_to_degc = f->derate_to_degc,
                         .start_degc = isnan(f->start_degc) ? f->coolant_degc : f->start_degc};
}

/* ------------------------------------------------------------------------------------------------ nodes */

enum { COPPER };
static const evn_node_row nodes[] = {[COPPER] = {"winding", 50}};

size_t evn_winding_nodes(const evn_winding *w, const evn_node_row **rows)
{
    (void)w; /* all have the same; what a further one costs is paid by those that state it */
    *rows = nodes;
    return COUNT(nodes);
}

void evn_winding_start(const evn_winding *w, double degc[]) { degc[COPPER] = w->start_degc; }

void evn_winding_start_with(evn_winding *w, double coolant_degc)
{
    if (w->modelled && w->starts_with_coolant)
        w->start_degc = coolant_degc;
}

static double coolant_of(const evn_winding *w, double loop_degc)
{
    return isnan(loop_degc) ? w->coolant_degc : loop_degc;
}

void evn_winding_rates(const evn_winding *w, const double degc[], double coolant_degc, double loss_w, double rate_k_s[])
{
    double coolant = coolant_of(w, coolant_degc);
    rate_k_s[COPPER] = 0;
    if (w->modelled)
        rate_k_s[COPPER] = (w->resistance_k_w * loss_w - (degc[COPPER] - coolant)) / w->time_constant_s;
}

double evn_winding_to_coolant_w(const evn_winding *w, const double degc[], double coolant_degc)
{
    return w->modelled ? (degc[COPPER] - coolant_of(w, coolant_degc)) / w->resistance_k_w : 0;
}

double evn_winding_degc(const evn_winding *w, const double degc[])
{
    (void)w;
    return degc[COPPER];
}

/* ------------------------------------------------------------------------------------------------ derating, copper */

double evn_winding_torque_share(const evn_winding *w, const double degc[])
{
    double copper_degc = evn_winding_degc(w, degc);
    if (!w->modelled || copper_degc <= w->derate_from_degc)
        return 1;
    if (copper_degc >= w->derate_to_degc)
        return 0;
    return (w->derate_to_degc - copper_degc) / (w->derate_to_degc - w->derate_from_degc);
}

double evn_winding_past_derating_k(const evn_winding *w, const double degc[])
{
    return w->modelled ? evn_winding_degc(w, degc) - w->derate_from_degc : -1;
}

double evn_winding_continuous_w(const evn_winding *w)
{
    return w->modelled ? (w->derate_from_degc - w->coolant_degc) / w->resistance_k_w : (double)NAN;
}

double evn_copper_factor(double winding_degc, double reference_degc)
{
    return (235 + winding_degc) / (235 + reference_degc);
}

double evn_winding_copper_factor(const evn_winding *w, const double degc[], double reference_degc)
{
    return w->modelled ? evn_copper_factor(evn_winding_degc(w, degc), reference_degc) : 1;
}
