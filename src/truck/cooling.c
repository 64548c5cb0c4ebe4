/* The loop that cools motors and inverters: keys, radiator, fan. */
#include "truck/cooling.h"
#include "core/uncertain.h"
#include "core/units.h"
#include <math.h>
#include <stddef.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))
#define MEMBER(member) offsetof(evn_cooling_file, member)

/* ------------------------------------------------------------------------------------------------ keys */

static const evn_field cooling_fields[] = {
    {.key = "heat_capacity_kj_per_k",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 1e5,
     .usual_low = 50,
     .usual_high = 400,
     .offset = MEMBER(heat_capacity_kj_per_k),
     .source = "common practice, no source: 15 to 60 l of water and glycol, at 3.8 kJ/(l K), and the metal around it",
     .help = "heat capacity of coolant, radiator and the metal that warms up with them"},
    {.key = "still_kw_per_k",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 1e-3,
     .most = 100,
     .usual_low = 0.05,
     .usual_high = 0.6,
     .offset = MEMBER(still_kw_per_k),
     .source = "common practice, no source",
     .help = "heat that the radiator carries off per kelvin of the coolant above the air, at rest, fan off"},
    {.key = "at_80_km_h_kw_per_k",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 1e-3,
     .most = 100,
     .usual_low = 0.8,
     .usual_high = 4,
     .offset = MEMBER(at_80_km_h_kw_per_k),
     .source = "common practice, no source",
     .help = "the same at 80 km/h, fan off"},
    {.key = "fan_kw_per_k",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 1e-3,
     .most = 100,
     .usual_low = 0.3,
     .usual_high = 4,
     .offset = MEMBER(fan_kw_per_k),
     .source = "common practice, no source",
     .help = "the same at rest, fan at full speed"},
    {.key = "fan_power_kw",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 1e-3,
     .most = 100,
     .usual_low = 0.5,
     .usual_high = 8,
     .offset = MEMBER(fan_power_kw),
     .source = "common practice, no source; at less speed by the affinity laws of fans, its cube, from memory",
     .help = "power that the fan takes from the d.c. bus at full speed; at less, with the cube of its speed"},
    {.key = "fan_from_degc",
     .shape = EVN_NUMBER,
     .least = -50,
     .most = 150,
     .usual_low = 40,
     .usual_high = 80,
     .fallback = 55,
     .offset = MEMBER(fan_from_degc),
     .source = "common practice, no source",
     .help = "coolant temperature from which the fan turns, its speed rising in a straight line ..."},
    {.key = "fan_full_degc",
     .shape = EVN_NUMBER,
     .least = -50,
     .most = 150,
     .usual_low = 45,
     .usual_high = 95,
     .fallback = 65,
     .offset = MEMBER(fan_full_degc),
     .source = "common practice, no source",
     .help = "... to full speed at this one"},
    {.key = "limit_degc",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = 150,
     .usual_low = 60,
     .usual_high = 105,
     .fallback = (double)NAN,
     .offset = MEMBER(limit_degc),
     .source = "common practice, no source; makers of motors and inverters state it",
     .help = "coolant temperature that a run may not pass without being told; not given: none"},
    {.key = "start_degc",
     .shape = EVN_NUMBER,
     .least = -60,
     .most = 150,
     .fallback = (double)NAN,
     .offset = MEMBER(start_degc),
     .help = "at the start of a run; not given: that of the air"},
    EVN_SOURCE_FIELD(evn_cooling_file),
    EVN_UNCERTAIN_FIELD(evn_cooling_file),
};

/* The fan's speed is no jump, and the loop no faster than what a run follows as a state: a faster one would have no
 * temperature of its own. */
static const double FAN_RANGE_LEAST_K = 1, TIME_CONSTANT_LEAST_S = 5;

static void check_capacity(const evn_cooling_file *c, const char *key, double kw_per_k, const evn_seat *seat,
                           evn_report *report)
{
    if (kw_per_k <= c->still_kw_per_k)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, key, "carries off %g kW/K; expected above still_kw_per_k, %g",
                   kw_per_k, c->still_kw_per_k);
    else if (c->heat_capacity_kj_per_k < TIME_CONSTANT_LEAST_S * kw_per_k)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "heat_capacity_kj_per_k",
                   "%g kJ/K follow %s, %g kW/K, within %.2g s; expected at least %g s", c->heat_capacity_kj_per_k, key,
                   kw_per_k, c->heat_capacity_kj_per_k / kw_per_k, TIME_CONSTANT_LEAST_S);
}

static void check_cooling(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_cooling_file *c = self;
    check_capacity(c, "at_80_km_h_kw_per_k", c->at_80_km_h_kw_per_k, seat, report);
    check_capacity(c, "fan_kw_per_k", c->fan_kw_per_k, seat, report);
    if (c->fan_full_degc < c->fan_from_degc + FAN_RANGE_LEAST_K)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "fan_full_degc",
                   "the fan is at full speed at %g degC; expected at least %g K above fan_from_degc, %g",
                   c->fan_full_degc, FAN_RANGE_LEAST_K, c->fan_from_degc);
}
const evn_object evn_cooling_object = {"cooling",
                                       "coolant loop of motors and inverters, with radiator and fan",
                                       sizeof(evn_cooling_file),
                                       cooling_fields,
                                       COUNT(cooling_fields),
                                       check_cooling};

/* ------------------------------------------------------------------------------------------------ radiator */

static const double STATED_M_S = 80 * EVN_M_S_PER_KM_H;

/* Turbulent on the air side of a finned core: Nusselt with Reynolds^0.6 (heat transfer handbooks, from memory); of the
 * square of the speed half of that. */
static const double OF_SQUARE = 0.3;

/* By how much the square of the air's speed, over that at which it begins to tell, makes one capacity the other. */
static double square_for(double kw_per_k, double still_kw_per_k)
{
    return pow(kw_per_k / still_kw_per_k, 1 / OF_SQUARE) - 1;
}

evn_cooling evn_cooling_of(const evn_cooling_file *f, double ambient_degc)
{
    if (!f)
        return (evn_cooling){.limit_degc = (double)INFINITY, .start_degc = (double)NAN};
    return (evn_cooling){.modelled = true,
                         .heat_capacity_j_k = f->heat_capacity_kj_per_k * 1e3,
                         .still_w_k = f->still_kw_per_k * 1e3,
                         .by_air_s2_m2 =
                             square_for(f->at_80_km_h_kw_per_k, f->still_kw_per_k) / (STATED_M_S * STATED_M_S),
                         .by_fan = square_for(f->fan_kw_per_k, f->still_kw_per_k),
                         .fan = {f->fan_power_kw * 1e3, f->fan_from_degc, f->fan_full_degc},
                         .limit_degc = isnan(f->limit_degc) ? (double)INFINITY : f->limit_degc,
                         .start_degc = isnan(f->start_degc) ? ambient_degc : f->start_degc};
}

/*
 * still (1 + u^2/u0^2)^0.3 with u^2 = air^2 + (share u_fan)^2: the fan's air and that of the way add as their squares
 * do, so that it is smooth at rest. u0 and u_fan follow from what is stated: by_air is 1/u0^2, by_fan u_fan^2/u0^2. The
 * density of the air is left out.
 */
double evn_cooling_w_k(const evn_cooling *c, double air_m_s, double coolant_degc)
{
    double share = evn_fan_share(&c->fan, coolant_degc);
    return c->still_w_k * pow(1 + c->by_air_s2_m2 * air_m_s * air_m_s + c->by_fan * share * share, OF_SQUARE);
}

double evn_cooling_rate_k_s(const evn_cooling *c, double coolant_degc, double ambient_degc, double air_m_s,
                            double heat_w)
{
    double off_w = evn_cooling_w_k(c, air_m_s, coolant_degc) * (coolant_degc - ambient_degc);
    return (heat_w - off_w) / c->heat_capacity_j_k;
}

/* ------------------------------------------------------------------------------------------------ fan */

double evn_fan_share(const evn_fan *f, double coolant_degc)
{
    if (!(coolant_degc > f->from_degc)) /* so without a loop, where there is no temperature */
        return 0;
    return fmin((coolant_degc - f->from_degc) / (f->full_degc - f->from_degc), 1);
}

/* Power with the cube of the speed: affinity laws of fans, from memory. */
double evn_fan_w(const evn_fan *f, double coolant_degc)
{
    double share = evn_fan_share(f, coolant_degc);
    return f->full_w * share * share * share;
}
