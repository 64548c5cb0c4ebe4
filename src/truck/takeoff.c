/* The power take-off: keys, and rules between the work and what drives it. */
#include "truck/takeoff.h"
#include "core/uncertain.h"
#include "core/units.h"
#include "truck/takeoff_draw.h"
#include "truck/truck.h"
#include "truck/usual.h"
#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))
#define PRACTICE "common practice, no source"

/* ------------------------------------------------------------------------------------------------ keys */

#define MEMBER(member) offsetof(evn_unit_takeoff_file, member)
static const char *const places[] = {"gearbox", "motor", NULL};
static const evn_field unit_takeoff_fields[] = {
    {.key = "at",
     .shape = EVN_CHOICE,
     .offset = MEMBER(at),
     .fallback = EVN_TAKEOFF_AT_GEARBOX,
     .choices = places,
     .help = "gearbox: on its input shaft, which turns with its stated drag while the gearbox is in neutral; motor: on "
             "the motors' shaft, which gearbox or disconnect free from the wheels"},
    {.key = "ratio",
     .shape = EVN_NUMBER,
     .least = 0.05,
     .most = 20,
     .usual_low = 0.3,
     .usual_high = 5,
     .fallback = 1,
     .offset = MEMBER(ratio),
     .source = PRACTICE,
     .help = "motor speed over the speed of the take-off's shaft"},
    {.key = "efficiency",
     .shape = EVN_NUMBER,
     .least = 0.5,
     .most = 1,
     .usual_low = 0.94,
     .usual_high = 0.995,
     .fallback = 0.98,
     .offset = MEMBER(efficiency),
     .source = "external mesh 0.986, bearings 0.995: Regulation (EU) 2017/2400 Annex VI 3.1.1.2, from memory",
     .uncertain = &evn_usual_gearbox_efficiency,
     .help = "of its gears"},
    {.key = "torque_limit_nm",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 1e5,
     .usual_low = 100,
     .usual_high = 2500,
     .offset = MEMBER(torque_limit_nm),
     .source = PRACTICE,
     .help = "torque that its shaft is permitted"},
    {.key = "speed_limit_rpm",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 10,
     .most = 30000,
     .usual_low = 1000,
     .usual_high = 5000,
     .offset = MEMBER(speed_limit_rpm),
     .source = PRACTICE,
     .help = "speed that its shaft is permitted"},
    {.key = "mass_kg",
     .shape = EVN_NUMBER,
     .most = 500,
     .usual_high = 60,
     .offset = MEMBER(mass_kg),
     .help = "mass of the take-off; counts with motors and gearbox"},
    EVN_SOURCE_FIELD(evn_unit_takeoff_file),
    EVN_UNCERTAIN_FIELD(evn_unit_takeoff_file),
};
#undef MEMBER
const evn_object evn_unit_takeoff_object = {"takeoff",
                                            "where a drive unit offers a power take-off, and what it is permitted",
                                            sizeof(evn_unit_takeoff_file),
                                            unit_takeoff_fields,
                                            COUNT(unit_takeoff_fields),
                                            NULL};

#define MEMBER(member) offsetof(evn_power_take_off_file, member)
static const char *const drives[] = {"either", "takeoff", "motor", NULL};
static const evn_field power_take_off_fields[] = {
    {.key = "driven_by",
     .shape = EVN_CHOICE,
     .offset = MEMBER(driven_by),
     .fallback = EVN_TAKEOFF_BY_EITHER,
     .choices = drives,
     .help = "takeoff: motors of the first drive unit that offers one; motor: a motor of its own at the d.c. bus; "
             "either: the takeoff where a drive unit offers one and nothing is asked under way, else the motor"},
    {.key = "speed_rpm",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 10,
     .most = 30000,
     .usual_low = 500,
     .usual_high = 4000,
     .offset = MEMBER(speed_rpm),
     .help = "speed of the shaft that takes the work, a pump's for one; the motors turn with it, at its ratio"},
    {.key = "stop_kw",
     .shape = EVN_NUMBER,
     .most = 500,
     .usual_high = 120,
     .offset = MEMBER(stop_kw),
     .source = PRACTICE ": tipping 15 to 40 kW for 60 s",
     .uncertain = &evn_usual_take_off,
     .help = "mechanical power at the shaft, at each stop that lasts at least stop_s, the start left out; stops whose "
             "cycle states takeoff_kw have that instead"},
    {.key = "stop_s",
     .shape = EVN_NUMBER,
     .most = 1e5,
     .usual_high = 3600,
     .offset = MEMBER(stop_s),
     .help = "how long, from the beginning of the stop"},
    {.key = "running_kw",
     .shape = EVN_NUMBER,
     .most = 500,
     .usual_high = 60,
     .offset = MEMBER(running_kw),
     .source = PRACTICE,
     .uncertain = &evn_usual_take_off,
     .help = "mechanical power at the shaft from start to end of a run, stops included but for the work of the stop "
             "itself: a drum, a compressor; needs a motor of its own, since motors of a unit turn with the wheels"},
    {.key = "running_share",
     .shape = EVN_NUMBER,
     .most = 1,
     .fallback = 1,
     .offset = MEMBER(running_share),
     .help = "share of the time for which running_kw is asked; power and losses count with their mean, and nothing is "
             "lost in between; 1: always"},
    {.key = "motor",
     .shape = EVN_ONE,
     .offset = MEMBER(motor),
     .of = &evn_motor_object,
     .help = "a motor of its own with its inverter; its losses are those at the winding temperature and the voltage "
             "for which they are stated, since its heat is not followed; not given: none"},
    {.key = "motor_ratio",
     .shape = EVN_NUMBER,
     .least = 0.05,
     .most = 20,
     .usual_low = 0.5,
     .usual_high = 6,
     .fallback = 1,
     .offset = MEMBER(motor_ratio),
     .help = "speed of that motor over speed_rpm"},
    {.key = "motor_gear_efficiency",
     .shape = EVN_NUMBER,
     .least = 0.5,
     .most = 1,
     .usual_low = 0.94,
     .fallback = 1,
     .usual_high = 1,
     .offset = MEMBER(motor_gear_efficiency),
     .help = "of the gears between that motor and the shaft; 1: it drives the shaft directly"},
    {.key = "motor_behind_front_axle_m",
     .shape = EVN_NUMBER,
     .least = -2,
     .most = 20,
     .fallback = 1.5,
     .offset = MEMBER(motor_behind_front_axle_m),
     .help = "where its mass hangs, behind the front axle"},
    {.key = "motor_height_m",
     .shape = EVN_NUMBER,
     .most = 4,
     .fallback = 0.8,
     .offset = MEMBER(motor_height_m),
     .help = "height of its centre above the road"},
    EVN_SOURCE_FIELD(evn_power_take_off_file),
    EVN_UNCERTAIN_FIELD(evn_power_take_off_file),
};
#undef MEMBER

static void check_work(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_power_take_off_file *f = self;
    if ((f->stop_kw > 0) != (f->stop_s > 0))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, f->stop_kw > 0 ? "stop_kw" : "stop_s",
                   "%s; expected both above 0 or neither",
                   f->stop_kw > 0 ? "a power at stops without stop_s" : "a time at stops without stop_kw");
    if (f->driven_by == EVN_TAKEOFF_BY_MOTOR && !f->motor)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "driven_by",
                   "driven_by: motor without a motor; expected motor beside it");
}
const evn_object evn_power_take_off_object = {"power_take_off",
                                              "work for the body, and what drives it",
                                              sizeof(evn_power_take_off_file),
                                              power_take_off_fields,
                                              COUNT(power_take_off_fields),
                                              check_work};

/* ------------------------------------------------------------------------------------------------ rules */

/* The first unit that offers one; the count of units: none does. */
size_t evn_takeoff_offering(const evn_truck_file *t)
{
    const evn_unit_file *unit = t->drive_units.item;
    size_t k = 0;
    while (k < t->drive_units.count && !unit[k].takeoff)
        k++;
    return k;
}

bool evn_takeoff_is_by_unit(const evn_truck_file *t)
{
    const evn_power_take_off_file *f = t->power_take_off;
    if (!f || f->driven_by == EVN_TAKEOFF_BY_MOTOR || evn_takeoff_offering(t) == t->drive_units.count)
        return false;
    return f->driven_by == EVN_TAKEOFF_BY_UNIT || f->running_kw <= 0;
}

double evn_takeoff_motor_kg(const evn_truck_file *t)
{
    evn_scaled_motor room;
    if (!t->power_take_off || !t->power_take_off->motor || evn_takeoff_is_by_unit(t))
        return 0;
    const evn_motor_file *m = evn_motor_scaled(t->power_take_off->motor, &room);
    return m->mass_kg + m->inverter->mass_kg;
}

/* What so many motors have at a speed, Nm, at the voltage of their data. */
static double envelope_nm(const evn_motor_file *as_stated, double motors, double rad_s)
{
    evn_scaled_motor room;
    const evn_motor_file *m = evn_motor_scaled(as_stated, &room);
    return motors * fmin(m->peak_torque_nm, m->peak_power_kw * 1e3 / rad_s);
}

static void check_speeds(const evn_power_take_off_file *f, const evn_motor_file *m, double ratio, const evn_seat *seat,
                         evn_report *report)
{
    if (f->speed_rpm * ratio > m->top_speed_rpm)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "power_take_off.speed_rpm",
                   "%g rpm of the shaft turn the motor that drives it with %.6g rpm; expected at most its "
                   "top_speed_rpm, %g",
                   f->speed_rpm, f->speed_rpm * ratio, m->top_speed_rpm);
}

static void check_power(const evn_power_take_off_file *f, const char *key, double kw, double most_kw, const char *by,
                        const evn_seat *seat, evn_report *report)
{
    if (kw > most_kw * (1 + 1e-9))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, key, "%g kW, %.6g Nm at %g rpm; expected at most %.6g kW, by %s",
                   kw, kw * 1e3 / (f->speed_rpm * EVN_RAD_S_PER_RPM), f->speed_rpm, most_kw, by);
}

static void check_by_unit(const evn_truck_file *t, const evn_seat *seat, evn_report *report)
{
    const evn_power_take_off_file *f = t->power_take_off;
    const evn_unit_file *unit = (const evn_unit_file *)t->drive_units.item + evn_takeoff_offering(t);
    const evn_unit_takeoff_file *o = unit->takeoff;
    double shaft_rad_s = f->speed_rpm * EVN_RAD_S_PER_RPM;
    if (f->speed_rpm > o->speed_limit_rpm)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "power_take_off.speed_rpm",
                   "%g rpm; expected at most the speed_limit_rpm of the take-off of drive unit %s, %g", f->speed_rpm,
                   t->drive_units.name[evn_takeoff_offering(t)], o->speed_limit_rpm);
    check_speeds(f, unit->motors.item, o->ratio, seat, report);
    check_power(f, "power_take_off.stop_kw", f->stop_kw, o->torque_limit_nm * shaft_rad_s / 1e3,
                "torque_limit_nm of the take-off", seat, report);
    double motor_nm = envelope_nm(unit->motors.item, (double)unit->motors.count, shaft_rad_s * o->ratio);
    check_power(f, "power_take_off.stop_kw", f->stop_kw, o->efficiency * motor_nm * shaft_rad_s * o->ratio / 1e3,
                "what the motors of the drive unit have", seat, report);
    if (f->running_kw > 0)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "power_take_off.running_kw",
                   "power under way by a take-off whose motors turn with the wheels; expected driven_by: motor with a "
                   "motor of its own, or 0");
}

static void check_by_motor(const evn_truck_file *t, const evn_seat *seat, evn_report *report)
{
    const evn_power_take_off_file *f = t->power_take_off;
    double motor_rad_s = f->speed_rpm * EVN_RAD_S_PER_RPM * f->motor_ratio;
    double most_kw = f->motor_gear_efficiency * envelope_nm(f->motor, 1, motor_rad_s) * motor_rad_s / 1e3;
    check_speeds(f, f->motor, f->motor_ratio, seat, report);
    check_power(f, "power_take_off.stop_kw", f->stop_kw, most_kw, "what its motor has", seat, report);
    check_power(f, "power_take_off.running_kw", f->running_kw, most_kw, "what its motor has", seat, report);
}

/* A gear that drives the wheels would turn them. */
static bool stands_free(const evn_unit_file *u)
{
    bool free = u->gearbox;
    for (size_t k = 0; k < u->path.count; k++)
        free = free || strcmp(evn_stage_kinds[u->path.at[k].kind].key, "disconnect") == 0;
    return free;
}

static void check_offers(const evn_truck_file *t, const evn_seat *seat, evn_report *report)
{
    const evn_unit_file *unit = t->drive_units.item;
    for (size_t k = 0; k < t->drive_units.count; k++) {
        char path[200];
        if (!unit[k].takeoff)
            continue;
        snprintf(path, sizeof path, "drive_units.%.150s.takeoff", t->drive_units.name[k]);
        if (!stands_free(&unit[k]))
            evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
                       "a take-off of drive unit %s, whose motors turn with the wheels; expected a gearbox or a "
                       "disconnect, or a motor of its own in power_take_off",
                       t->drive_units.name[k]);
        else if (unit[k].takeoff->at == EVN_TAKEOFF_AT_GEARBOX && !unit[k].gearbox)
            evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
                       "a take-off on the gearbox of drive unit %s, which has none; expected at: motor",
                       t->drive_units.name[k]);
    }
}

void evn_takeoff_check(const evn_truck_file *t, const evn_seat *seat, evn_report *report)
{
    const evn_power_take_off_file *f = t->power_take_off;
    check_offers(t, seat, report);
    if (!f)
        return;
    bool offered = evn_takeoff_offering(t) < t->drive_units.count;
    if (f->driven_by == EVN_TAKEOFF_BY_UNIT && !offered)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "power_take_off.driven_by",
                   "driven_by: takeoff, and no drive unit offers one; expected takeoff in one of drive_units, or a "
                   "motor of its own");
    else if (evn_takeoff_is_by_unit(t))
        check_by_unit(t, seat, report);
    else if (f->motor)
        check_by_motor(t, seat, report);
    else if (f->driven_by == EVN_TAKEOFF_BY_EITHER)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, offered ? "power_take_off.running_kw" : "power_take_off",
                   offered
                       ? "power under way, and motors of a drive unit turn with the wheels; expected a motor of its "
                         "own, or 0"
                       : "work that nothing drives; expected takeoff in one of drive_units, or motor in "
                         "power_take_off");
}

/* ------------------------------------------------------------------------------------------------ what a unit offers
 */

evn_unit_takeoff evn_unit_takeoff_of(const evn_unit_takeoff_file *f, const evn_gearbox_file *box, evn_lowering *low)
{
    if (!f)
        return (evn_unit_takeoff){.there = false};
    evn_unit_takeoff to = {.there = true,
                           .ratio = f->ratio,
                           .efficiency = f->efficiency,
                           .torque_limit_nm = f->torque_limit_nm,
                           .top_rad_s = f->speed_limit_rpm * EVN_RAD_S_PER_RPM};
    bool input_turns = f->at == EVN_TAKEOFF_AT_GEARBOX && box && box->drag && box->drag->at == EVN_MOTOR_SIDE;
    if (input_turns) {
        evn_lower_first(low, EVN_GEARBOX, 1, 1);
        evn_lower_drag(box->drag, low);
        to.drags = true;
        to.drag = low->stage[low->count - 1];
    }
    return to;
}
