/* Keys, warming and resistance of tyres over temperature. */
#include "truck/tyre_warmth.h"
#include "core/uncertain.h"
#include "core/units.h"
#include "truck/usual.h"
#include <math.h>
#include <stddef.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

static const evn_tyre_warmth_file defaults = {
    .linear_per_k = 0.005, .tested_per_k = 0.006, .rise_k = 40, .half_rise_km_h = 30, .time_constant_min = 33};

#define MEMBER(member) offsetof(evn_tyre_warmth_file, member)
static const evn_field tyre_warmth_fields[] = {
    {.key = "linear_per_k",
     .shape = EVN_NUMBER,
     .most = 0.02,
     .usual_low = 0.0033,
     .usual_high = 0.0067,
     .fallback = 0.005,
     .offset = MEMBER(linear_per_k),
     .source = "1 % per 1.5 to 3 K: common practice, from memory",
     .uncertain = &evn_usual_tyre_cold,
     .help = "by the law linear: share of the resistance at 25 degC that is added per K below"},
    {.key = "tested_per_k",
     .shape = EVN_NUMBER,
     .most = 0.02,
     .usual_low = 0.005,
     .usual_high = 0.011,
     .fallback = 0.006,
     .offset = MEMBER(tested_per_k),
     .source = "UN Regulation 117, aligned to ISO 28580: 0.006 for C3 with a load index above 121, else 0.01",
     .help = "by the law as_tested: resistance at 25 degC is that measured x (1 + this x (temperature - 25 degC)); "
             "meant for 20 to 30 degC"},
    {.key = "rise_k",
     .shape = EVN_NUMBER,
     .most = 80,
     .usual_low = 20,
     .usual_high = 60,
     .fallback = 40,
     .offset = MEMBER(rise_k),
     .source = "a cold start costs 20 to 30 % more: common practice, from memory",
     .help = "how far above the air a long run at 80 km/h warms the tyres"},
    {.key = "half_rise_km_h",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 200,
     .usual_low = 10,
     .usual_high = 80,
     .fallback = 30,
     .offset = MEMBER(half_rise_km_h),
     .source = "common practice, no source",
     .help = "speed at which they rise by half of what they would at any higher speed"},
    {.key = "time_constant_min",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 300,
     .usual_low = 20,
     .usual_high = 60,
     .fallback = 33,
     .offset = MEMBER(time_constant_min),
     .source =
         "30 to 36 min: derived from the 90 min that Regulation (EU) 2017/2400, Annex VIII, asks for before a test "
         "and the 180 min of ISO 28580, from memory, as three and five time constants",
     .help = "of warming up and of cooling down"},
    EVN_SOURCE_FIELD(evn_tyre_warmth_file),
    EVN_UNCERTAIN_FIELD(evn_tyre_warmth_file),
};
#undef MEMBER
const evn_object evn_tyre_warmth_object = {
    "tyre_temperature",           "how rolling resistance goes with temperature, and how tyres warm up",
    sizeof(evn_tyre_warmth_file), tyre_warmth_fields,
    COUNT(tyre_warmth_fields),    NULL};

/* ------------------------------------------------------------------------------------------------ made ready */

evn_tyre_warmth evn_tyre_warmth_of(const evn_tyre_warmth_file *f, const evn_load_case *c, double air_degc)
{
    f = f ? f : &defaults;
    double warm_degc = air_degc + f->rise_k;
    return (evn_tyre_warmth){.law = c->rolling_resistance_law,
                             .per_k = c->rolling_resistance_law == EVN_ROLLING_RESISTANCE_LAW_LINEAR ? f->linear_per_k
                                                                                                     : f->tested_per_k,
                             .air_degc = air_degc,
                             .warm_degc = warm_degc,
                             .start_degc = c->tyres_at_start == EVN_TYRES_AT_START_COLD ? air_degc : warm_degc,
                             .rise_k = f->rise_k,
                             .half_m_s = f->half_rise_km_h * EVN_M_S_PER_KM_H,
                             .time_constant_s = f->time_constant_min * 60};
}

/* ------------------------------------------------------------------------------------------------ at an instant */

double evn_tyre_factor(const evn_tyre_warmth *t, double below_warm_k)
{
    static const double STATED_DEGC = 25, LEAST = 0.5, MOST = 3;
    double beyond_k = t->air_degc - STATED_DEGC - below_warm_k;
    switch (t->law) {
    case EVN_ROLLING_RESISTANCE_LAW_LINEAR:
        return fmin(fmax(1 - t->per_k * beyond_k, LEAST), MOST);
    case EVN_ROLLING_RESISTANCE_LAW_AS_TESTED:
        return 1 / fmin(fmax(1 + t->per_k * beyond_k, 1 / MOST), 1 / LEAST);
    default:
        return 1;
    }
}

double evn_tyre_most_below_k(const evn_tyre_warmth *t) { return t->warm_degc - t->air_degc; }
double evn_tyre_start_degc(const evn_tyre_warmth *t) { return t->start_degc; }
double evn_tyre_start_below_k(const evn_tyre_warmth *t) { return t->warm_degc - t->start_degc; }

double evn_tyre_rise_k(const evn_tyre_warmth *t, double speed_m_s)
{
    static const double AT_M_S = 80 * EVN_M_S_PER_KM_H;
    double v = fmax(speed_m_s, 0);
    return t->rise_k * v / (v + t->half_m_s) * (AT_M_S + t->half_m_s) / AT_M_S;
}

double evn_tyre_rate_k_s(const evn_tyre_warmth *t, double below_warm_k, double speed_m_s)
{
    double own_degc = t->warm_degc - below_warm_k;
    return (t->air_degc + evn_tyre_rise_k(t, speed_m_s) - own_degc) / t->time_constant_s;
}
