/* Oil of gears: keys, heat, drag. */
#include "truck/oil.h"
#include "core/uncertain.h"
#include "core/units.h"
#include <stddef.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

#define MEMORY "from memory: "
#define MEMBER(member) offsetof(evn_oil_file, member)
/* Bounds of heat and cooling keep the time constant at 80 km/h at 5 s or more. */
static const evn_field oil_fields[] = {
    {.key = "heat_capacity_kj_per_k",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 10,
     .most = 1e4,
     .usual_low = 30,
     .usual_high = 220,
     .offset = MEMBER(heat_capacity_kj_per_k),
     .source = MEMORY "150 to 220 for a driven axle",
     .help = "heat that warms oil, gears and housing by 1 K"},
    {.key = "standing_w_per_k",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .most = 2000,
     .usual_low = 5,
     .usual_high = 40,
     .offset = MEMBER(standing_w_per_k),
     .source = MEMORY "15 to 25 for a driven axle",
     .help = "given off at rest, per K above the ambient air"},
    {.key = "at_80_km_h_w_per_k",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .most = 2000,
     .usual_low = 20,
     .usual_high = 120,
     .offset = MEMBER(at_80_km_h_w_per_k),
     .source = MEMORY "40 to 80 for a driven axle",
     .help = "the same at 80 km/h; straight over speed"},
    {.key = "temperature_degc",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .least = -60,
     .most = 200,
     .offset = MEMBER(temperature_degc),
     .apart_least = EVN_OIL_APART_LEAST_K,
     .count_least = 2,
     .count_most = EVN_CURVE_POINTS_MAX,
     .help = "of the oil, rising"},
    {.key = "drag_factor",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .least = 0.05,
     .most = 50,
     .usual_low = 0.5,
     .usual_high = 10,
     .offset = MEMBER(drag_factor),
     .count_least = 2,
     .count_most = EVN_CURVE_POINTS_MAX,
     .source = MEMORY "two to four times the drag at 80 degC in oil of 0 degC",
     .help =
         "times the part's drag there; 1 where the drag as stated holds; a monotone cubic between, the value of the "
         "end beyond it"},
    {.key = "warm_degc",
     .shape = EVN_NUMBER,
     .least = -60,
     .most = 200,
     .usual_low = 40,
     .usual_high = 100,
     .fallback = 70,
     .offset = MEMBER(warm_degc),
     .source = MEMORY "60 to 90 on a motorway",
     .help = "with which it begins where the load case asks for oil_at_start warm"},
    EVN_SOURCE_FIELD(evn_oil_file),
    EVN_UNCERTAIN_FIELD(evn_oil_file),
};
#undef MEMBER

static void check_oil(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_oil_file *o = self;
    evn_check_curve(&o->temperature_degc, "temperature_degc", EVN_OIL_APART_LEAST_K, &o->drag_factor, "drag_factor",
                    seat, report);
    if (o->at_80_km_h_w_per_k < o->standing_w_per_k)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "at_80_km_h_w_per_k",
                   "%g W/K given off at 80 km/h; expected at or above that at rest, standing_w_per_k, %g",
                   o->at_80_km_h_w_per_k, o->standing_w_per_k);
}
const evn_object evn_oil_object = {"oil",
                                   "temperature of the oil of gears, and their drag over it",
                                   sizeof(evn_oil_file),
                                   oil_fields,
                                   COUNT(oil_fields),
                                   check_oil};

void evn_oil_add(evn_oil *to, const evn_oil_file *f)
{
    if (!f)
        return;
    to->start_degc = to->there ? to->start_degc : f->warm_degc;
    to->there = true;
    to->capacity_j_k += f->heat_capacity_kj_per_k * 1e3;
    to->standing_w_k += f->standing_w_per_k;
    to->moving_w_s_m_k += (f->at_80_km_h_w_per_k - f->standing_w_per_k) / (80 * EVN_M_S_PER_KM_H);
}

const evn_curve *evn_oil_factor(const evn_oil_file *f, evn_arena *arena)
{
    evn_curve *curve = evn_arena_take(arena, sizeof *curve);
    if (curve)
        evn_curve_make(curve, f->temperature_degc.at, f->drag_factor.at, f->drag_factor.count, true);
    return curve;
}

double evn_oil_rate_k_s(const evn_oil *o, double degc, double ambient_degc, double speed_m_s, double losses_w)
{
    double off_w_k = o->standing_w_k + o->moving_w_s_m_k * speed_m_s;
    return (losses_w - off_w_k * (degc - ambient_degc)) / o->capacity_j_k;
}
