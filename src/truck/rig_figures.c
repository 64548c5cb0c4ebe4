/* What follows from a truck before it drives: masses, axle loads, gears, adhesion, joints, loss maps. */
#include "truck/rig_figures.h"
#include "core/units.h"
#include "truck/steady.h"
#include "truck/universal_joint.h"
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

typedef struct listing {
    evn_rig *rig;
    const evn_truck_file *truck;
    evn_rig_figure *at; /* NULL while counting */
    size_t count;
    bool out_of_memory;
} listing;

/* What the key's last part means; the parts before it name axle, unit or gear. */
typedef struct meaning {
    const char *key, *unit, *label, *help;
    int digits;
} meaning;

enum { KEY_BYTES = 4200 }; /* names may be as long as the reader's longest text */

static void add(listing *l, const meaning *m, double value, const char *group, ...)
    __attribute__((format(printf, 4, 5)));
static void add(listing *l, const meaning *m, double value, const char *group, ...)
{
    size_t index = l->count++;
    if (!l->at || l->out_of_memory)
        return;
    char key[KEY_BYTES];
    va_list names;
    va_start(names, group);
    int length = vsnprintf(key, sizeof key, group, names);
    va_end(names);
    size_t used = length > 0 && (size_t)length < sizeof key ? (size_t)length : 0;
    snprintf(key + used, sizeof key - used, ".%s", m->key);
    char *kept = evn_arena_text(l->rig->arena, key, strlen(key));
    l->out_of_memory = !kept;
    l->at[index] = (evn_rig_figure){{kept, m->unit, m->help, EVN_REAL, m->digits, m->label, m->label}, value};
}

/* ----------------------------------------------------------------------------------------------- masses, axle loads */

static const meaning gross_mass = {"gross_kg", "kg", "gross mass", "truck, trailer and payload", 0};
static const meaning permitted_gross = {"permitted_gross_kg", "kg", "permitted gross mass",
                                        "gross mass that the file permits", 0};
static const meaning kerb_mass = {"kerb_kg", "kg", "kerb mass", "truck and trailer, ready to drive, without payload",
                                  0};
static const meaning payload_mass = {"payload_kg", "kg", "payload", "payload", 0};
static const meaning body_mass = {"body_kg", "kg", "body", "frame, cab and body", 0};
static const meaning axles_mass = {"axles_kg", "kg", "axles", "axles of the truck with wheels", 0};
static const meaning battery_mass = {"battery_kg", "kg", "battery", "battery with its frame", 0};
static const meaning trailer_mass = {"trailer_kg", "kg", "trailer", "trailer, empty", 0};
static const meaning machine_mass = {"machines_kg", "kg", "motors, inverters, gearboxes",
                                     "motors, inverters and gearboxes", 0};
static const meaning takeoff_mass = {"power_take_off_kg", "kg", "motor of the power take-off",
                                     "a motor of its own that drives the power take-off, with its inverter", 0};
static const meaning path_mass = {"driveline_kg", "kg", "driveline",
                                  "shafts, gears and axle drives between them and the wheels", 0};
static const meaning wheels_mass = {"wheels_rotating_kg", "kg", "wheels, equivalent rotating mass",
                                    "equivalent mass of turning wheels, to be accelerated on top", 0};

bool evn_mass_row_at(size_t index, const char **key, const char **label)
{
    static const struct {
        const char *key;
        const meaning *is;
    } rows[] = {{"masses.trailer_kg", &trailer_mass},
                {"masses.power_take_off_kg", &takeoff_mass}}; /* those that only some trucks have */
    if (index >= sizeof rows / sizeof *rows)
        return false;
    *key = rows[index].key;
    *label = rows[index].is->label;
    return true;
}

static void add_masses(listing *l, const evn_unit_masses masses[])
{
    const evn_truck_file *t = l->truck;
    const evn_axle_file *axle = t->axles.item;
    double axles_kg = 0, machine_kg = 0, path_kg = 0;
    for (size_t k = 0; k < t->axles.count; k++)
        axles_kg += axle[k].mass_kg;
    for (size_t k = 0; k < t->drive_units.count; k++) {
        machine_kg += masses[k].machine_kg;
        path_kg += masses[k].path_kg;
        for (size_t b = 0; b < EVN_BRANCHES_MAX; b++)
            path_kg += masses[k].branch_kg[b];
    }
    add(l, &gross_mass, l->rig->mass_kg, "masses");
    add(l, &permitted_gross, t->body->permitted_gross_kg, "masses");
    add(l, &kerb_mass, l->rig->mass_kg - l->rig->payload_kg, "masses");
    add(l, &payload_mass, l->rig->payload_kg, "masses");
    add(l, &body_mass, t->body->mass_kg, "masses");
    add(l, &axles_mass, axles_kg, "masses");
    add(l, &battery_mass, t->battery->mass_kg, "masses");
    add(l, &machine_mass, machine_kg, "masses");
    add(l, &path_mass, path_kg, "masses");
    if (evn_takeoff_motor_kg(t) > 0)
        add(l, &takeoff_mass, evn_takeoff_motor_kg(t), "masses");
    if (t->trailer)
        add(l, &trailer_mass, t->trailer->mass_kg, "masses");
    add(l, &wheels_mass, l->rig->effective_kg - l->rig->mass_kg, "masses");
}

static const meaning axle_load = {"load_kg", "kg", "load", "load on level ground at rest", 0};
static const meaning axle_permitted = {"permitted_kg", "kg", "permitted", "load that the file permits", 0};
static const meaning axle_share = {"used_percent", "%", "used", "load, of what the file permits", 1};

static const meaning axle_start_aid = {"start_aid_load_kg", "kg", "load with start aid",
                                       "load on level ground at rest, with the start aid of the lifting axle", 0};

static void add_axle_loads(listing *l)
{
    for (size_t k = 0; k < l->rig->axle_count; k++) {
        const evn_axle *a = &l->rig->axle[k];
        add(l, &axle_load, a->load.cosine_kg, "axle_loads.%s", a->name);
        add(l, &axle_permitted, a->permitted_kg, "axle_loads.%s", a->name);
        add(l, &axle_share, 100 * a->load.cosine_kg / a->permitted_kg, "axle_loads.%s", a->name);
        if (l->rig->start_aid.there)
            add(l, &axle_start_aid, l->rig->start_aid.load[k].cosine_kg, "axle_loads.%s", a->name);
    }
}

/* ------------------------------------------------------------------------------------------------ gears */

static const meaning total_ratio = {"total_ratio", "", "total ratio", "motor speed over wheel speed", 3};
static const meaning top_speed = {"top_speed_km_h", "km/h", "top speed", "road speed at the motors' speed limit", 1};
static const meaning base_speed = {"base_speed_km_h", "km/h", "base speed",
                                   "road speed where peak power takes over from peak torque, at the reference voltage",
                                   1};
static const meaning wheel_force = {"peak_wheel_force_kn", "kN", "peak wheel force",
                                    "at the wheels at rest, at the motors' most torque there", 1};
static const meaning rotating_mass = {"rotating_kg", "kg", "rotating mass",
                                      "equivalent mass of rotors, gears and shafts, to be accelerated on top", 0};

/* Tyre force at rest for a torque at the wheel side of a unit's chain. */
static double tyre_force_n(const evn_rig *r, const evn_unit *u, double chain_nm, const double degc[])
{
    double sum = 0;
    if (u->branch_count == 0)
        return chain_nm / r->axle[u->axle].radius_m;
    for (size_t k = 0; k < u->branch_count; k++) {
        const evn_branch *b = &u->branch[k];
        sum += evn_branch_wheel_nm(b, b->share * chain_nm, 0, 0, degc) / r->axle[b->axle].radius_m;
    }
    return sum;
}

static double branches_kg(const evn_rig *r, const evn_unit *u)
{
    double sum = 0;
    for (size_t k = 0; k < u->branch_count; k++) {
        double radius_m = r->axle[u->branch[k].axle].radius_m;
        sum += u->branch[k].inertia_kg_m2 / (radius_m * radius_m);
    }
    return sum;
}

static void add_gears(listing *l, size_t unit)
{
    const evn_unit *u = &l->rig->unit[unit];
    double rad_m = l->rig->unit_rad_m[unit], radius_m = l->rig->axle[u->axle].radius_m;
    double degc[EVN_NODES_MAX], rest_nm = evn_unit_peak_nm(u) * evn_motor_turning_share(&u->motor[0], 0);
    evn_unit_start_degc(u, degc);
    for (size_t k = 0; k < u->gear_count; k++) {
        double motor_rad_m = u->gear[k].total_ratio * rad_m, km_h = 1 / motor_rad_m / EVN_M_S_PER_KM_H;
        evn_setting all = evn_all_engaged(u, k);
        double chain_nm = evn_unit_wheel_nm(u, all, rest_nm, 0, 0, degc);
        size_t gear = k + 1;
        add(l, &total_ratio, motor_rad_m * radius_m, "gears.%s.%zu", u->name, gear);
        add(l, &top_speed, evn_unit_top_rad_s(u) * km_h, "gears.%s.%zu", u->name, gear);
        add(l, &base_speed, evn_unit_base_rad_s(u, all, evn_unit_reference_v(u)) * km_h, "gears.%s.%zu", u->name, gear);
        add(l, &wheel_force, tyre_force_n(l->rig, u, chain_nm, degc) / 1e3, "gears.%s.%zu", u->name, gear);
        add(l, &rotating_mass, u->gear[k].inertia_kg_m2 * rad_m * rad_m + branches_kg(l->rig, u), "gears.%s.%zu",
            u->name, gear);
    }
}

/* ------------------------------------------------------------------------------------------------ adhesion, joints */

static const meaning adhesion_limit = {"pulling_kn", "kN", "adhesion limit",
                                       "largest tractive force, at the load of the driven axles at rest", 1};

static void add_adhesion(listing *l, size_t unit)
{
    const evn_rig *r = l->rig;
    const evn_unit *u = &r->unit[unit];
    double load_n = u->branch_count ? 0 : r->axle[u->axle].load.cosine_kg * r->gravity_m_s2;
    for (size_t k = 0; k < u->branch_count; k++)
        load_n += r->axle[u->branch[k].axle].load.cosine_kg * r->gravity_m_s2;
    add(l, &adhesion_limit, r->adhesion_driving * load_n / 1e3, "adhesion.%s", r->unit[unit].name);
}

static const meaning joint_angle = {"angle_deg", "deg", "joint angle", "working angle", 1};
static const meaning joint_unevenness = {
    "greatest_speed_ratio", "", "greatest speed ratio",
    "1/cos(angle): how far the output runs ahead within a turn, where no second joint makes up for it", 4};

static const meaning joint_non_uniformity = {
    "non_uniformity", "", "non-uniformity",
    "tan(angle) sin(angle): greatest less least speed ratio within a turn, of a joint alone", 5};

static const meaning joint_error = {"angle_error_deg", "deg", "angle error",
                                    "furthest that the output leads or lags within a turn, of a joint alone", 3};

static const meaning joints_left = {
    "non_uniformity", "", "non-uniformity",
    "left over of all joints of the path where they lie in one plane, each set to undo the one before it", 5};

/* The angle of a universal joint, found by its key; NAN for other steps. */
static double joint_angle_deg(const evn_step *step)
{
    const evn_stage_kind *kind = &evn_stage_kinds[step->kind];
    for (size_t i = 0; strcmp(kind->key, "universal_joint") == 0 && i < kind->object->field_count; i++) {
        const evn_field *field = &kind->object->fields[i];
        double deg;
        memcpy(&deg, (const char *)step->item + field->offset, sizeof deg);
        if (strcmp(field->key, "angle_deg") == 0)
            return deg;
    }
    return (double)NAN;
}

static void add_joint(listing *l, double deg, const char *name, size_t step)
{
    double b = deg * EVN_PI / 180;
    add(l, &joint_angle, deg, "joints.%spath[%zu]", name, step);
    add(l, &joint_unevenness, evn_universal_joint_unevenness(b), "joints.%spath[%zu]", name, step);
    add(l, &joint_non_uniformity, evn_universal_joint_non_uniformity(b), "joints.%spath[%zu]", name, step);
    add(l, &joint_error, evn_universal_joint_angle_error_rad(b) * 180 / EVN_PI, "joints.%spath[%zu]", name, step);
}

static void add_joints_of(listing *l, const evn_steps *path, const char *name)
{
    double angle_rad[EVN_CHAIN_MAX];
    size_t count = 0;
    for (size_t k = 0; k < path->count; k++) {
        double deg = joint_angle_deg(&path->at[k]);
        if (isnan(deg))
            continue;
        add_joint(l, deg, name, k);
        angle_rad[count++] = deg * EVN_PI / 180;
    }
    if (count > 1)
        add(l, &joints_left, evn_universal_joints_non_uniformity(angle_rad, count), "joints_together.%spath", name);
}

static void add_joints(listing *l, size_t unit)
{
    const evn_unit_file *f = (const evn_unit_file *)l->truck->drive_units.item + unit;
    char name[KEY_BYTES / 2];
    snprintf(name, sizeof name, "%.2000s.", l->rig->unit[unit].name);
    add_joints_of(l, &f->path, name);
    for (size_t k = 0; k < f->branches.count; k++) {
        const evn_branch_file *branch = (const evn_branch_file *)f->branches.item + k;
        snprintf(name, sizeof name, "%.1000s.%.1000s_", l->rig->unit[unit].name, f->branches.name[k]);
        add_joints_of(l, &branch->path, name);
    }
}

/* ------------------------------------------------------------------------------------------------ maps */

static const meaning map_points = {"points", "", "points", "measured cells of the motors' loss map", 0};
static const meaning map_farthest = {
    "farthest_percent", "%", "farthest",
    "greatest distance of a point from the fitted law, of its loss or of a tenth of the mean loss where that is more",
    1};
static const meaning map_farthest_speed = {"farthest_rpm", "rpm", "at speed", "speed of that point", 0};
static const meaning map_farthest_torque = {"farthest_nm", "Nm", "at torque", "torque of that point", 0};
static const meaning map_step_speed = {"speed_step_percent", "%", "speed step",
                                       "widest step of the map's speeds, of top speed", 1};
static const meaning map_step_torque = {"torque_step_percent", "%", "torque step",
                                        "widest step of its torques, of peak torque", 1};

static void add_map(listing *l, size_t unit)
{
    const evn_unit *u = &l->rig->unit[unit];
    if (!evn_unit_has_map(u))
        return;
    const evn_map_quality *q = &u->motor[0].map->quality;
    add(l, &map_points, (double)q->points, "maps.%s", u->name);
    add(l, &map_farthest, 100 * q->farthest, "maps.%s", u->name);
    add(l, &map_farthest_speed, q->farthest_rad_s / EVN_RAD_S_PER_RPM, "maps.%s", u->name);
    add(l, &map_farthest_torque, q->farthest_nm, "maps.%s", u->name);
    add(l, &map_step_speed, 100 * q->step_rad_s / u->motor[0].top_rad_s, "maps.%s", u->name);
    add(l, &map_step_torque, 100 * q->step_nm / u->motor[0].peak_nm, "maps.%s", u->name);
}

/* ------------------------------------------------------------------------------------------------ cooling */

static const meaning cooling_still = {"still_kw_per_k", "kW/K", "at rest, fan off",
                                      "heat that the radiator carries off per kelvin of the coolant above the air", 2};
static const meaning cooling_at_80 = {"at_80_km_h_kw_per_k", "kW/K", "at 80 km/h, fan off",
                                      "at 80 km/h without wind, fan off", 2};
static const meaning cooling_by_fan = {"fan_kw_per_k", "kW/K", "at rest, fan at full speed",
                                       "at rest, fan at full speed", 2};
static const meaning steady_at_rest = {"steady_at_rest_kw", "kW", "steady heat at rest",
                                       "carried off with the coolant at its limit, the fan as it runs there", 1};
static const meaning steady_at_80 = {"steady_at_80_km_h_kw", "kW", "steady heat at 80 km/h",
                                     "the same at 80 km/h without wind", 1};

static void add_cooling(listing *l)
{
    const evn_cooling *c = &l->rig->cooling;
    double above_k = c->limit_degc - l->rig->ambient_degc, m_s = 80 * EVN_M_S_PER_KM_H;
    if (!c->modelled)
        return;
    add(l, &cooling_still, evn_cooling_w_k(c, 0, c->fan.from_degc) / 1e3, "cooling");
    add(l, &cooling_at_80, evn_cooling_w_k(c, m_s, c->fan.from_degc) / 1e3, "cooling");
    add(l, &cooling_by_fan, evn_cooling_w_k(c, 0, c->fan.full_degc) / 1e3, "cooling");
    if (!isfinite(c->limit_degc))
        return;
    add(l, &steady_at_rest, evn_cooling_w_k(c, 0, c->limit_degc) * above_k / 1e3, "cooling");
    add(l, &steady_at_80, evn_cooling_w_k(c, m_s, c->limit_degc) * above_k / 1e3, "cooling");
}

/* ------------------------------------------------------------------------------------------------ continuous */

static const meaning continuous_torque = {
    "torque_nm", "Nm", "continuous torque",
    "of all motors of the unit at base speed, by losses and temperatures: steady, the first of winding and inverter "
    "stands where its derating begins; at the reference voltage, coolant as the file states",
    0};
static const meaning continuous_power = {"power_kw", "kW", "continuous power",
                                         "the greatest over the speed, by the same", 0};
static const meaning rated_torque = {"rated_torque_nm", "Nm", "rated torque",
                                     "continuous torque of all motors of the unit that the file states", 0};
static const meaning rated_power = {"rated_power_kw", "kW", "rated power",
                                    "continuous power of all motors of the unit that the file states", 0};

static void add_continuous(listing *l, size_t unit)
{
    const evn_unit *u = &l->rig->unit[unit];
    const evn_motor *m = &u->motor[0];
    double motors = (double)u->motor_count, base_rad_s = fmin(m->peak_w / m->peak_nm, evn_unit_top_rad_s(u));
    bool modelled = evn_unit_has_winding(u) || evn_unit_has_inverter_heat(u);
    bool rated = !isnan(m->rated_nm) || !isnan(m->rated_w);
    if (modelled && (rated || evn_unit_heat_acts(u))) { /* counting needs neither, which take long */
        add(l, &continuous_torque, l->at ? evn_unit_continuous_nm(u, base_rad_s) : 0, "continuous.%s", u->name);
        add(l, &continuous_power, l->at ? evn_unit_continuous_w(u) / 1e3 : 0, "continuous.%s", u->name);
    }
    if (!isnan(m->rated_nm))
        add(l, &rated_torque, motors * m->rated_nm, "continuous.%s", u->name);
    if (!isnan(m->rated_w))
        add(l, &rated_power, motors * m->rated_w / 1e3, "continuous.%s", u->name);
}

/* ------------------------------------------------------------------------------------------------ scaled motors */

static const meaning scaled_torque = {"peak_torque_nm", "Nm", "peak torque", "of one motor, scaled", 0};
static const meaning scaled_power = {"peak_power_kw", "kW", "peak power", "of one motor, scaled", 0};
static const meaning scaled_base = {"base_speed_rpm", "rpm", "base speed",
                                    "of one motor, scaled: peak power over peak torque", 0};
static const meaning scaled_inertia = {"rotor_inertia_kg_m2", "kg m2", "rotor inertia", "of one motor, scaled", 3};
static const meaning scaled_mass = {"mass_kg", "kg", "motor", "mass of one motor, scaled", 0};
static const meaning scaled_inverter_mass = {"inverter_mass_kg", "kg", "inverter", "mass of its inverter, scaled", 0};

/* What the file states is of another motor than works. */
static void add_scaled(listing *l, size_t unit)
{
    const evn_unit *u = &l->rig->unit[unit];
    const evn_motor *m = &u->motor[0];
    if (!m->is_scaled)
        return;
    add(l, &scaled_torque, m->peak_nm, "motors.%s", u->name);
    add(l, &scaled_power, m->peak_w / 1e3, "motors.%s", u->name);
    add(l, &scaled_base, m->peak_w / m->peak_nm / EVN_RAD_S_PER_RPM, "motors.%s", u->name);
    add(l, &scaled_inertia, m->inertia_kg_m2, "motors.%s", u->name);
    add(l, &scaled_mass, m->mass_kg, "motors.%s", u->name);
    add(l, &scaled_inverter_mass, m->inverter_mass_kg, "motors.%s", u->name);
}

/* ------------------------------------------------------------------------------------------------ the list */

static void add_all(listing *l, const evn_unit_masses masses[])
{
    l->count = 0;
    add_masses(l, masses);
    add_axle_loads(l);
    for (size_t k = 0; k < l->rig->unit_count; k++)
        add_gears(l, k);
    for (size_t k = 0; k < l->rig->unit_count; k++)
        add_adhesion(l, k);
    for (size_t k = 0; k < l->rig->unit_count; k++)
        add_joints(l, k);
    for (size_t k = 0; k < l->rig->unit_count; k++)
        add_map(l, k);
    add_cooling(l);
    for (size_t k = 0; k < l->rig->unit_count; k++)
        add_continuous(l, k);
    for (size_t k = 0; k < l->rig->unit_count; k++)
        add_scaled(l, k);
}

bool evn_rig_figures_make(evn_rig *r, const evn_truck_file *t, const evn_unit_masses masses[])
{
    listing l = {.rig = r, .truck = t};
    add_all(&l, masses);
    l.at = evn_arena_take(r->arena, l.count * sizeof *l.at);
    if (!l.at)
        return false;
    add_all(&l, masses);
    r->figure = l.at;
    r->figure_count = l.count;
    return !l.out_of_memory;
}
