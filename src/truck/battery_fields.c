/* Field tables of the battery. */
#include "core/curve.h"
#include "core/uncertain.h"
#include "truck/truck.h"
#include "truck/usual.h"
#include <math.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

static const evn_field open_circuit_fields[] = {
    {.key = "soc",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .most = 1,
     .offset = offsetof(evn_open_circuit_file, soc),
     .count_least = 1,
     .apart_least = EVN_SOC_APART_LEAST,
     .count_most = EVN_CURVE_POINTS_MAX,
     .help = "state of charge, 0 to 1, rising"},
    {.key = "voltage_v",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 5000,
     .usual_low = 450,
     .usual_high = 950,
     .offset = offsetof(evn_open_circuit_file, voltage_v),
     .count_least = 1,
     .count_most = EVN_CURVE_POINTS_MAX,
     .help = "open-circuit voltage of the battery at each"},
    EVN_SOURCE_FIELD(evn_open_circuit_file),
};
static void check_open_circuit(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_open_circuit_file *o = self;
    evn_check_curve(&o->soc, "soc", EVN_SOC_APART_LEAST, &o->voltage_v, "voltage_v", seat, report);
}
static const evn_object open_circuit_object = {"open_circuit",
                                               "open-circuit voltage over state of charge",
                                               sizeof(evn_open_circuit_file),
                                               open_circuit_fields,
                                               COUNT(open_circuit_fields),
                                               check_open_circuit};

static const evn_field charge_taper_fields[] = {
    {.key = "soc",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .most = 1,
     .offset = offsetof(evn_charge_taper_file, soc),
     .count_least = 1,
     .apart_least = EVN_SOC_APART_LEAST,
     .count_most = EVN_CURVE_POINTS_MAX,
     .help = "state of charge, 0 to 1, rising"},
    {.key = "share",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .most = 1,
     .offset = offsetof(evn_charge_taper_file, share),
     .count_least = 1,
     .count_most = EVN_CURVE_POINTS_MAX,
     .help = "share of charge_limit_kw at each"},
    EVN_SOURCE_FIELD(evn_charge_taper_file),
};
static void check_charge_taper(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_charge_taper_file *c = self;
    evn_check_curve(&c->soc, "soc", EVN_SOC_APART_LEAST, &c->share, "share", seat, report);
}
static const evn_object charge_taper_object = {
    "charge_taper",      "charge limit over state of charge", sizeof(evn_charge_taper_file),
    charge_taper_fields, COUNT(charge_taper_fields),          check_charge_taper};

static const evn_field battery_fields[] = {
    {.key = "capacity_ah",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 1e6,
     .usual_low = 200,
     .usual_high = 1800,
     .offset = offsetof(evn_battery_file, capacity_ah),
     .help = "charge between 0 and 1 of state of charge"},
    {.key = "resistance_ohm",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .most = 10,
     .usual_low = 0.01,
     .usual_high = 0.12,
     .offset = offsetof(evn_battery_file, resistance_ohm),
     .uncertain = &evn_usual_battery_resistance,
     .help = "battery, contactors and cables"},
    {.key = "open_circuit",
     .shape = EVN_ONE,
     .presence = EVN_REQUIRED,
     .offset = offsetof(evn_battery_file, open_circuit),
     .of = &open_circuit_object,
     .help = "open-circuit voltage"},
    {.key = "discharge_limit_kw",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.1,
     .most = 1e6,
     .usual_low = 150,
     .usual_high = 1500,
     .offset = offsetof(evn_battery_file, discharge_limit_kw),
     .help = "most power at the terminals, out of the battery"},
    {.key = "charge_limit_kw",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0,
     .most = 1e6,
     .usual_low = 100,
     .usual_high = 1000,
     .offset = offsetof(evn_battery_file, charge_limit_kw),
     .help = "most power at the terminals, into the battery"},
    {.key = "charge_taper",
     .shape = EVN_ONE,
     .offset = offsetof(evn_battery_file, charge_taper),
     .of = &charge_taper_object,
     .help = "share of charge_limit_kw over state of charge; over the last 0.01 below usable_to_soc it falls to "
             "nothing besides"},
    {.key = "discharge_shares",
     .shape = EVN_ONE,
     .offset = offsetof(evn_battery_file, discharge_shares),
     .of = &evn_power_shares_object,
     .help = "share of discharge_limit_kw over temperature, state of charge and duration"},
    {.key = "charge_shares",
     .shape = EVN_ONE,
     .offset = offsetof(evn_battery_file, charge_shares),
     .of = &evn_power_shares_object,
     .help = "share of charge_limit_kw, and of what charge_taper leaves of it, over temperature, state of charge and "
             "duration"},
    {.key = "resistance_factors",
     .shape = EVN_ONE,
     .offset = offsetof(evn_battery_file, resistance_factors),
     .of = &evn_resistance_factors_object,
     .help = "factor on resistance_ohm over temperature and state of charge"},
    {.key = "ageing",
     .shape = EVN_ONE,
     .offset = offsetof(evn_battery_file, ageing),
     .of = &evn_battery_ageing_object,
     .help = "factors on capacity and resistance over years, for the condition battery_age_years"},
    {.key = "heat",
     .shape = EVN_ONE,
     .offset = offsetof(evn_battery_file, heat),
     .of = &evn_battery_heat_object,
     .help = "how its temperature comes about; not given: it stays at that of the start"},
    {.key = "minimum_voltage_v",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 5000,
     .fallback = (double)NAN,
     .offset = offsetof(evn_battery_file, minimum_voltage_v),
     .help = "terminal voltage not to be passed downwards"},
    {.key = "maximum_voltage_v",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 5000,
     .fallback = (double)NAN,
     .offset = offsetof(evn_battery_file, maximum_voltage_v),
     .help = "terminal voltage not to be passed upwards"},
    {.key = "usable_from_soc",
     .shape = EVN_NUMBER,
     .most = 1,
     .usual_high = 0.2,
     .fallback = 0.05,
     .offset = offsetof(evn_battery_file, usable_from_soc),
     .help = "lowest state of charge in use; a run ends here"},
    {.key = "usable_to_soc",
     .shape = EVN_NUMBER,
     .most = 1,
     .usual_low = 0.8,
     .usual_high = 1,
     .fallback = 0.95,
     .offset = offsetof(evn_battery_file, usable_to_soc),
     .help = "highest state of charge in use; no charging above"},
    {.key = "start_soc",
     .shape = EVN_NUMBER,
     .most = 1,
     .fallback = (double)NAN,
     .offset = offsetof(evn_battery_file, start_soc),
     .help = "at the start of a run; not given: 0.05 below usable_to_soc"},
    {.key = "mass_kg",
     .shape = EVN_NUMBER,
     .most = 50000,
     .usual_low = 800,
     .usual_high = 7000,
     .offset = offsetof(evn_battery_file, mass_kg),
     .uncertain = &evn_usual_battery_mass,
     .help = "battery with frame"},
    {.key = "centre_behind_front_axle_m",
     .shape = EVN_NUMBER,
     .least = -3,
     .most = 20,
     .fallback = 1.5,
     .offset = offsetof(evn_battery_file, centre_behind_front_axle_m),
     .help = "its centre of gravity, behind the front axle"},
    {.key = "centre_height_m",
     .shape = EVN_NUMBER,
     .most = 4,
     .fallback = 0.8,
     .offset = offsetof(evn_battery_file, centre_height_m),
     .help = "height of that centre above the road"},
    {.key = "boxes",
     .shape = EVN_MANY,
     .offset = offsetof(evn_battery_file, boxes),
     .of = &evn_pack_box_object,
     .count_most = 12,
     .help = "its boxes, by name, for clearance and the drawing; masses stand in mass_kg and its centre"},
    {.key = "module",
     .shape = EVN_ONE,
     .offset = offsetof(evn_battery_file, module),
     .of = &evn_module_object,
     .help = "of which it is made, and of which bays of the frame take as many as fit; not given: not known"},
    EVN_SOURCE_FIELD(evn_battery_file),
    EVN_UNCERTAIN_FIELD(evn_battery_file),
};

static void check_battery(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_battery_file *b = self;
    if (b->usable_to_soc <= b->usable_from_soc)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "usable_to_soc",
                   "usable up to %g; expected above usable_from_soc, %g", b->usable_to_soc, b->usable_from_soc);
    if (b->start_soc < b->usable_from_soc || b->start_soc > b->usable_to_soc)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "start_soc",
                   "starts at %g; expected within the usable window, %g to %g", b->start_soc, b->usable_from_soc,
                   b->usable_to_soc);
    double lowest = (double)INFINITY, highest = 0;
    for (size_t k = 0; k < b->open_circuit->voltage_v.count; k++) {
        lowest = fmin(lowest, b->open_circuit->voltage_v.at[k]);
        highest = fmax(highest, b->open_circuit->voltage_v.at[k]);
    }
    if (b->minimum_voltage_v >= lowest)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "minimum_voltage_v",
                   "minimum voltage %g V; expected below the lowest open-circuit voltage, %g", b->minimum_voltage_v,
                   lowest);
    if (b->maximum_voltage_v <= highest)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "maximum_voltage_v",
                   "maximum voltage %g V; expected above the highest open-circuit voltage, %g", b->maximum_voltage_v,
                   highest);
}
const evn_object evn_battery_object = {"battery",      "traction battery",    sizeof(evn_battery_file),
                                       battery_fields, COUNT(battery_fields), check_battery};
