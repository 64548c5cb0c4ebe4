/* Keys of the temperatures of a motor and its inverter. */
#include "core/uncertain.h"
#include "truck/heat.h"
#include <math.h>
#include <stddef.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* Those that winding and housing share; `of` is the struct of the file. */
#define RANGE_OF_TIME_CONSTANT(of)                                                                                     \
    {.key = "time_constant_low_s",                                                                                     \
     .shape = EVN_NUMBER,                                                                                              \
     .least = 0.1,                                                                                                     \
     .most = 1e6,                                                                                                      \
     .fallback = (double)NAN,                                                                                          \
     .offset = offsetof(of, time_constant_low_s),                                                                      \
     .help = "least that the time constant may be; with time_constant_high_s. A limit that binds within this range "   \
             "only is told as not decided"},                                                                           \
        {.key = "time_constant_high_s",                                                                                \
         .shape = EVN_NUMBER,                                                                                          \
         .least = 0.1,                                                                                                 \
         .most = 1e6,                                                                                                  \
         .fallback = (double)NAN,                                                                                      \
         .offset = offsetof(of, time_constant_high_s),                                                                 \
         .help = "most that the time constant may be; with time_constant_low_s"}

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
     .help = "winding above coolant, per kW of motor loss, once steady; with a housing: winding above housing, per kW "
             "of copper loss"},
    {.key = "time_constant_s",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.1,
     .most = 1e6,
     .usual_low = 20,
     .usual_high = 1200,
     .offset = offsetof(evn_winding_file, time_constant_s),
     .help = "first-order time constant, winding to coolant, or to the housing where that is stated"},
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
    RANGE_OF_TIME_CONSTANT(evn_winding_file),
    EVN_SOURCE_FIELD(evn_winding_file),
    EVN_UNCERTAIN_FIELD(evn_winding_file),
};

static const evn_field housing_fields[] = {
    {.key = "resistance_k_per_kw",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.01,
     .most = 1e4,
     .usual_low = 1,
     .usual_high = 20,
     .offset = offsetof(evn_housing_file, resistance_k_per_kw),
     .help = "housing above coolant, per kW of motor loss, once steady",
     .source = "4 to 10 K/kW with a water jacket at 150 to 300 kW, from memory"},
    {.key = "time_constant_s",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 1e6,
     .usual_low = 100,
     .usual_high = 3000,
     .offset = offsetof(evn_housing_file, time_constant_s),
     .help = "resistance times heat capacity of the housing: first-order time constant, housing to coolant",
     .source = "200 to 500 s with a water jacket at 150 to 300 kW, from memory"},
    {.key = "start_degc",
     .shape = EVN_NUMBER,
     .least = -50,
     .most = 400,
     .fallback = (double)NAN,
     .offset = offsetof(evn_housing_file, start_degc),
     .help = "at the start of a run; not given: the coolant's"},
    RANGE_OF_TIME_CONSTANT(evn_housing_file),
    EVN_SOURCE_FIELD(evn_housing_file),
    EVN_UNCERTAIN_FIELD(evn_housing_file),
};

static const evn_field inverter_heat_fields[] = {
    {.key = "coolant_degc",
     .shape = EVN_NUMBER,
     .least = -50,
     .most = 150,
     .fallback = (double)NAN,
     .offset = offsetof(evn_inverter_heat_file, coolant_degc),
     .help = "coolant temperature at the inverter; not given: the winding's, without a winding 65"},
    {.key = "resistance_k_per_kw",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .most = 1e4,
     .usual_low = 1,
     .usual_high = 40,
     .offset = offsetof(evn_inverter_heat_file, resistance_k_per_kw),
     .help = "hottest place of the inverter above coolant, per kW of its loss, once steady"},
    {.key = "time_constant_s",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.001,
     .most = 1e5,
     .usual_low = 0.1,
     .usual_high = 60,
     .offset = offsetof(evn_inverter_heat_file, time_constant_s),
     .help = "first-order time constant, inverter to coolant; below 5 s its temperature follows its loss at once",
     .source = "junctions 0.1 to 1 s, cold plate 5 to 20 s, from memory"},
    {.key = "derate_from_degc",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0,
     .most = 400,
     .usual_low = 70,
     .usual_high = 165,
     .offset = offsetof(evn_inverter_heat_file, derate_from_degc),
     .help = "full torque up to here"},
    {.key = "derate_to_degc",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0,
     .most = 400,
     .usual_low = 80,
     .usual_high = 175,
     .offset = offsetof(evn_inverter_heat_file, derate_to_degc),
     .help = "no torque from here; straight between",
     .source = "junctions 150 degC (silicon), 175 degC (silicon carbide), from memory"},
    {.key = "start_degc",
     .shape = EVN_NUMBER,
     .least = -50,
     .most = 400,
     .fallback = (double)NAN,
     .offset = offsetof(evn_inverter_heat_file, start_degc),
     .help = "at the start of a run, from a time constant of 5 s on; not given: the coolant's"},
    EVN_SOURCE_FIELD(evn_inverter_heat_file),
    EVN_UNCERTAIN_FIELD(evn_inverter_heat_file),
};

/* ------------------------------------------------------------------------------------------------ rules between keys
 */

static void check_derating(const evn_seat *seat, evn_report *report, evn_derating d, double coolant_degc)
{
    if (d.to_degc <= d.from_degc)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "derate_to_degc",
                   "derating ends at %g degC; expected above derate_from_degc, %g", d.to_degc, d.from_degc);
    if (coolant_degc >= d.from_degc)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "coolant_degc",
                   "coolant at %g degC; expected below derate_from_degc, %g", coolant_degc, d.from_degc);
}

/* A time constant that is far below the one stated would need steps of its own. */
static void check_range(const evn_seat *seat, evn_report *report, double low_s, double stated_s, double high_s)
{
    static const double WIDEST = 10;
    bool low = low_s > 0, high = high_s > 0;
    if (low != high)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, low ? "time_constant_low_s" : "time_constant_high_s",
                   "%s alone; expected both time_constant_low_s and time_constant_high_s, or none",
                   low ? "time_constant_low_s" : "time_constant_high_s");
    if (!low || !high)
        return;
    if (low_s > stated_s || high_s < stated_s)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, low_s > stated_s ? "time_constant_low_s" : "time_constant_high_s",
                   "a time constant of %g s in a range from %g to %g s; expected it within", stated_s, low_s, high_s);
    else if (low_s * WIDEST < stated_s)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "time_constant_low_s",
                   "%g s as the least of a time constant of %g s; expected at least a tenth of it", low_s, stated_s);
}

static void check_winding(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_winding_file *w = self;
    check_derating(seat, report, (evn_derating){w->derate_from_degc, w->derate_to_degc}, w->coolant_degc);
    check_range(seat, report, w->time_constant_low_s, w->time_constant_s, w->time_constant_high_s);
}
const evn_object evn_winding_object = {"winding",
                                       "winding temperature of first order, with derating",
                                       sizeof(evn_winding_file),
                                       winding_fields,
                                       COUNT(winding_fields),
                                       check_winding};

static void check_housing(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_housing_file *h = self;
    check_range(seat, report, h->time_constant_low_s, h->time_constant_s, h->time_constant_high_s);
}
const evn_object evn_housing_object = {"housing",
                                       "temperature of the motor's housing, between winding and coolant",
                                       sizeof(evn_housing_file),
                                       housing_fields,
                                       COUNT(housing_fields),
                                       check_housing};

static void check_inverter_heat(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_inverter_heat_file *h = self;
    check_derating(seat, report, (evn_derating){h->derate_from_degc, h->derate_to_degc}, h->coolant_degc);
}
const evn_object evn_inverter_heat_object = {"inverter_heat",
                                             "temperature of the inverter, with derating",
                                             sizeof(evn_inverter_heat_file),
                                             inverter_heat_fields,
                                             COUNT(inverter_heat_fields),
                                             check_inverter_heat};
