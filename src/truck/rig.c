/* From the truck as written to the rig: masses, axle loads, pack, units. */
#include "truck/rig.h"
#include "core/field_number.h"
#include "core/root.h"
#include "core/units.h"
#include "truck/facts.h"
#include "truck/lifting_axle.h"
#include "truck/load_case.h"
#include "truck/rig_figures.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ----------------------------------------------------------------------------------------------- masses, axle loads */

typedef evn_mass_at lump;

static lump joined(lump a, lump b)
{
    double kg = a.kg + b.kg;
    if (kg <= 0)
        return (lump){0};
    return (lump){kg, (a.kg * a.x_m + b.kg * b.x_m) / kg, (a.kg * a.z_m + b.kg * b.z_m) / kg};
}

/* Branches at their axles, the path before them with the first. */
static lump unit_lump(const evn_truck_file *t, const evn_unit_file *u, const evn_unit_masses *m)
{
    const evn_axle_file *axle = (const evn_axle_file *)t->axles.item + (size_t)(u->axles.at[0] - 1);
    double radius = axle->tyre->rolling_radius_m;
    double x = isnan(u->machine_behind_front_axle_m) ? axle->behind_front_axle_m : u->machine_behind_front_axle_m;
    lump machine = {m->machine_kg, x, u->machine_height_m};
    lump sum = joined(machine, (lump){m->path_kg, axle->behind_front_axle_m, radius});
    for (size_t k = 0; k < u->branches.count; k++) {
        const evn_branch_file *b = (const evn_branch_file *)u->branches.item + k;
        const evn_axle_file *own = (const evn_axle_file *)t->axles.item + (size_t)(b->axle - 1);
        sum = joined(sum, (lump){m->branch_kg[k], own->behind_front_axle_m, own->tyre->rolling_radius_m});
    }
    return sum;
}

/* What the trailer carries of the payload: all with a fifth wheel, what is stated with a drawbar. */
static double payload_on_trailer_kg(const evn_truck_file *t, double payload_kg)
{
    return !t->trailer ? 0 : t->drawbar ? t->payload->trailer_share * payload_kg : payload_kg;
}

/* Body, axles, battery, units, and what the truck itself carries of the payload. */
static lump truck_lump(const evn_truck_file *t, const evn_unit_masses *masses, double payload_kg)
{
    const evn_axle_file *axle = t->axles.item;
    const evn_unit_file *unit = t->drive_units.item;
    const evn_battery_file *b = t->battery;
    lump sum = {t->body->mass_kg, t->body->centre_behind_front_axle_m, t->body->centre_height_m};
    sum = joined(sum, (lump){b->mass_kg, b->centre_behind_front_axle_m, b->centre_height_m});
    for (size_t k = 0; k < t->axles.count; k++)
        sum = joined(sum, (lump){axle[k].mass_kg, axle[k].behind_front_axle_m, axle[k].tyre->rolling_radius_m});
    for (size_t k = 0; k < t->drive_units.count; k++)
        sum = joined(sum, unit_lump(t, &unit[k], &masses[k]));
    if (evn_takeoff_motor_kg(t) > 0)
        sum = joined(sum, (lump){evn_takeoff_motor_kg(t), t->power_take_off->motor_behind_front_axle_m,
                                 t->power_take_off->motor_height_m});
    if (!t->fifth_wheel)
        sum = joined(sum, (lump){payload_kg - payload_on_trailer_kg(t, payload_kg), t->payload->centre_behind_m,
                                 t->payload->centre_height_m});
    return sum;
}

static lump trailer_lump(const evn_truck_file *t, double payload_kg)
{
    double place_m = t->drawbar ? t->payload->trailer_centre_behind_m : t->payload->centre_behind_m;
    double on_it_kg = payload_on_trailer_kg(t, payload_kg);
    lump empty = {t->trailer->mass_kg, t->trailer->centre_behind_kingpin_m, t->trailer->centre_height_m};
    return on_it_kg > 0 || t->fifth_wheel ? joined(empty, (lump){on_it_kg, place_m, t->payload->centre_height_m})
                                          : empty;
}

/* A hinged drawbar carries nothing: the trailer stands on axles before and behind. */
static bool is_hinged(const evn_truck_file *t) { return !isnan(t->trailer->front_axles_behind_kingpin_m); }

static evn_axle_load scaled(evn_axle_load l, double k)
{
    return (evn_axle_load){l.cosine_kg * k, l.along_kg * k, l.brake * k};
}

static void add_load(evn_axle_load *to, evn_axle_load l)
{
    to->cosine_kg += l.cosine_kg;
    to->along_kg += l.along_kg;
    to->brake += l.brake;
}

/*
 * Load on the fifth wheel, or on a drawbar that is rigid: moments about the point of contact of the trailer's axle
 * group, Z L = m g cos c - m (a + g sin) (h - h_f) + h_f (F_brake of the trailer),   coupling force X = m (a + g sin) +
 * F_brake.
 */
static evn_axle_load coupling_load(const evn_truck_file *t, lump trailer, double brake_share)
{
    double length = t->trailer->axles_behind_kingpin_m, h = evn_coupling_of(t)->height_m;
    if (is_hinged(t))
        return (evn_axle_load){0};
    return (evn_axle_load){trailer.kg * (length - trailer.x_m) / length, -trailer.kg * (trailer.z_m - h) / length,
                           h * brake_share / length};
}

/* Bodies on their axles, of which one may be lifted. */
typedef struct standing {
    const evn_truck_file *t;
    lump truck, trailer;
    size_t lifting; /* axle; beyond the last: none, or it carries its share */
    double lifting_share;
    double aid_kg;  /* load of the driven axle beside it, with start aid */
    bool kept_down; /* asked for: no start aid either */
} standing;

/* Place of a support: the mean of its axles weighted by their shares of its load. */
static double support_place(const standing *s, int support, double share[])
{
    const evn_truck_file *t = s->t;
    const evn_axle_file *axle = t->axles.item;
    double sum = 0, x = 0, count = 0;
    for (size_t k = 0; k < t->axles.count; k++)
        if (axle[k].support == support)
            count++;
    for (size_t k = 0; k < t->axles.count; k++) {
        if (axle[k].support != support)
            continue;
        share[k] = isnan(axle[k].load_share) ? 1 / count : axle[k].load_share;
        sum += share[k];
    }
    for (size_t k = 0; k < t->axles.count; k++)
        if (axle[k].support == support)
            share[k] /= sum;
    if (s->lifting < t->axles.count && axle[s->lifting].support == support)
        evn_lift_share(t, s->lifting, s->lifting_share, share);
    for (size_t k = 0; k < t->axles.count; k++)
        if (axle[k].support == support)
            x += share[k] * axle[k].behind_front_axle_m;
    return x;
}

static bool copy_names(evn_rig *r, const evn_truck_file *t)
{
    r->truck_name = evn_arena_text(r->arena, t->name, strlen(t->name));
    bool all = r->truck_name;
    for (size_t k = 0; k < t->axles.count; k++)
        all = (r->axle[k].name = evn_arena_text(r->arena, t->axles.name[k], strlen(t->axles.name[k]))) && all;
    for (size_t k = 0; k < t->drive_units.count; k++)
        all =
            (r->unit[k].name = evn_arena_text(r->arena, t->drive_units.name[k], strlen(t->drive_units.name[k]))) && all;
    return all;
}

static size_t driven_by(const evn_truck_file *t, size_t axle)
{
    const evn_unit_file *unit = t->drive_units.item;
    for (size_t k = 0; k < t->drive_units.count; k++)
        for (size_t i = 0; i < unit[k].axles.count; i++)
            if (unit[k].axles.at[i] == (double)axle + 1)
                return k;
    return EVN_UNITS_MAX;
}

static void set_axles(evn_rig *r, const evn_truck_file *t)
{
    const evn_axle_file *file = t->axles.item;
    r->truck_axles = r->axle_count = t->axles.count;
    for (size_t k = 0; k < t->axles.count; k++) {
        const evn_tyre_file *tyre = file[k].tyre;
        r->axle[k] = (evn_axle){.name = r->axle[k].name,
                                .rolling = tyre->rolling_resistance_coefficient,
                                .rolling_s_m = tyre->rolling_resistance_speed_coefficient_s_m,
                                .slip_stiffness = tyre->longitudinal_slip_stiffness,
                                .radius_m = tyre->rolling_radius_m,
                                .permitted_kg = file[k].permitted_kg,
                                .driven_by = driven_by(t, k)};
    }
    if (!t->trailer)
        return;
    const evn_tyre_file *tyre = t->trailer->tyre;
    r->axle[r->axle_count++] = (evn_axle){.name = "trailer",
                                          .rolling = tyre->rolling_resistance_coefficient,
                                          .rolling_s_m = tyre->rolling_resistance_speed_coefficient_s_m,
                                          .slip_stiffness = (double)INFINITY,
                                          .radius_m = tyre->rolling_radius_m,
                                          .permitted_kg = t->trailer->permitted_axles_kg,
                                          .driven_by = EVN_UNITS_MAX};
}

/* Sum of the stated shares of the friction brakes' force, that of the trailer included, but not that of a lifted axle.
 */
static double stated_shares(const evn_truck_file *t, size_t lifted)
{
    const evn_axle_file *axle = t->axles.item;
    double sum = t->trailer ? t->trailer->friction_share : 0;
    for (size_t k = 0; k < t->axles.count; k++)
        sum += k == lifted ? 0 : axle[k].friction_share;
    return sum;
}

/*
 * Friction brakes act on all axles in proportion to their loads at rest: the trailer's share is its group's. Where each
 * follows its load of the moment this stands for the load transfer all the same (PHYSICS.md).
 */
static double trailer_brake_share(const standing *s)
{
    const evn_truck_file *t = s->t;
    lump truck = s->truck, trailer = s->trailer;
    if (t->brakes->distribution == EVN_BY_STATED_SHARES)
        return t->trailer->friction_share / stated_shares(t, s->lifting_share == 0 ? s->lifting : t->axles.count);
    double group = is_hinged(t) ? trailer.kg : trailer.kg * trailer.x_m / t->trailer->axles_behind_kingpin_m;
    return group / (truck.kg + trailer.kg);
}

/* Of the axles of the truck, and of the trailer's group behind them. */
static void loads_of(const standing *s, evn_axle_load load[])
{
    const evn_truck_file *t = s->t;
    lump truck = s->truck, trailer = s->trailer;
    double share[EVN_AXLES_MAX];
    double front = support_place(s, EVN_FRONT_SUPPORT, share), rear = support_place(s, EVN_REAR_SUPPORT, share);
    double base = rear - front;
    evn_axle_load z = {0};
    /* moments about the rear support: N_f base = m g cos (rear - x) - m (a + g sin) h + Z (rear - e) - h_f X */
    evn_axle_load on_front = {truck.kg * (rear - truck.x_m) / base, -truck.kg * truck.z_m / base, 0};
    if (t->trailer) {
        double brake_share = trailer_brake_share(s);
        z = coupling_load(t, trailer, brake_share);
        double h = evn_coupling_of(t)->height_m;
        add_load(&on_front, scaled(z, (rear - evn_coupling_of(t)->behind_front_axle_m) / base));
        add_load(&on_front, (evn_axle_load){0, -h * trailer.kg / base, -h * brake_share / base});
        load[t->axles.count] = (evn_axle_load){trailer.kg - z.cosine_kg, -z.along_kg, -z.brake};
    }
    evn_axle_load on_rear = {truck.kg + z.cosine_kg, z.along_kg, z.brake};
    add_load(&on_rear, scaled(on_front, -1));
    const evn_axle_file *file = t->axles.item;
    for (size_t k = 0; k < t->axles.count; k++)
        load[k] = scaled(file[k].support == EVN_FRONT_SUPPORT ? on_front : on_rear, share[k]);
}

/* ------------------------------------------------------------------------------------------------ stances */

static double off_aid(void *self, double share)
{
    standing *s = self;
    evn_axle_load load[EVN_AXLES_MAX];
    s->lifting_share = share;
    loads_of(s, load);
    return evn_lift_driven_kg(s->t, s->lifting, load) - s->aid_kg;
}

/*
 * The lifting axle leaves so much load to the driven axle beside it that this one reaches what is stated; all of it,
 * where that is not enough. It is left with what it has where the driven one carries as much already.
 */
static void set_start_aid(evn_rig *r, standing *s, size_t lifting, double share_down)
{
    const evn_axle_file *axle = (const evn_axle_file *)s->t->axles.item + lifting;
    const evn_start_aid_file *aid = axle->lifts->start_aid;
    if (!aid || r->axle[lifting].lifted || s->kept_down)
        return;
    s->lifting = lifting;
    s->aid_kg = aid->axle_load_kg;
    evn_known down = {share_down, off_aid(s, share_down)}, up = {0, off_aid(s, 0)};
    if (down.error >= 0)
        return;
    s->lifting_share =
        up.error <= 0
            ? 0
            : evn_root_between(off_aid, s, up, down, &(evn_between){.tolerance = 1e-9, .x_tolerance = 0, .steps = 200})
                  .x;
    r->start_aid.there = true;
    r->start_aid.below_m_s = aid->below_km_h * EVN_M_S_PER_KM_H;
    loads_of(s, r->start_aid.load);
}

/* The share of its group's load that an axle has on the ground. */
static double share_down(const standing *down, size_t axle)
{
    double share[EVN_AXLES_MAX];
    support_place(down, ((const evn_axle_file *)down->t->axles.item)[axle].support, share);
    return share[axle];
}

/* How the truck stands while it drives, and with start aid. */
static void set_loads(evn_rig *r, const evn_truck_file *t, lump truck, lump trailer, evn_lifting_axle asked)
{
    evn_axle_load load[EVN_AXLES_MAX], lifted[EVN_AXLES_MAX];
    size_t none = t->axles.count, lifting = evn_axle_that_lifts(t);
    standing down = {t, truck, trailer, none, 0, 0},
             up = {t, truck, trailer, lifting, 0, 0, asked == EVN_LIFTING_AXLE_DOWN};
    loads_of(&down, load);
    if (lifting < none) {
        loads_of(&up, lifted);
        r->axle[lifting].lifted = evn_lift_is_up(t, lifting, asked, lifted);
    }
    bool is_up = lifting < none && r->axle[lifting].lifted;
    for (size_t k = 0; k < r->axle_count; k++)
        r->axle[k].load = is_up ? lifted[k] : load[k];
    if (lifting < none)
        set_start_aid(r, &up, lifting, share_down(&down, lifting));
}

static void set_rolling(evn_rig *r)
{
    for (size_t k = 0; k < r->axle_count; k++) {
        add_load(&r->rolling, scaled(r->axle[k].load, r->axle[k].rolling));
        add_load(&r->rolling_s_m, scaled(r->axle[k].load, r->axle[k].rolling_s_m));
        add_load(&r->start_aid.rolling, scaled(r->start_aid.load[k], r->axle[k].rolling));
        add_load(&r->start_aid.rolling_s_m, scaled(r->start_aid.load[k], r->axle[k].rolling_s_m));
        if (isnan(r->axle[k].slip_stiffness))
            r->axle[k].slip_stiffness = (double)INFINITY;
    }
}

/* False: memory ran out. */
static bool set_hubs(evn_rig *r, const evn_truck_file *t)
{
    const evn_axle_file *file = t->axles.item;
    bool all = true;
    for (size_t k = 0; k < r->axle_count; k++) {
        const evn_axle *axle = &r->axle[k];
        const evn_hub_drag_file *drag = k < r->truck_axles ? file[k].hub_drag : t->trailer->hub_drag;
        r->has_hubs = r->has_hubs || drag;
        if (!axle->lifted)
            all = evn_hubs_add(&r->hubs, drag, axle->radius_m, r->arena) && all;
        if (r->start_aid.there && r->start_aid.load[k].cosine_kg > 0)
            all = evn_hubs_add(&r->start_aid.hubs, drag, axle->radius_m, r->arena) && all;
    }
    return all;
}

static double wheels_kg(const evn_tyre_file *tyre, double count)
{
    return count * tyre->inertia_kg_m2 / (tyre->rolling_radius_m * tyre->rolling_radius_m);
}

static void set_masses(evn_rig *r, const evn_truck_file *t, const evn_unit_masses *masses, double payload_kg,
                       evn_lifting_axle lifting)
{
    const evn_axle_file *axle = t->axles.item;
    lump truck = truck_lump(t, masses, payload_kg), trailer = {0};
    if (t->trailer)
        trailer = trailer_lump(t, payload_kg);
    r->payload_kg = payload_kg;
    r->mass_kg = truck.kg + trailer.kg;
    r->effective_kg = r->mass_kg;
    set_axles(r, t);
    set_loads(r, t, truck, trailer, lifting);
    /* the wheels of an axle that is lifted while driving do not turn; with start aid they may, and go on to */
    for (size_t k = 0; k < t->axles.count; k++)
        r->effective_kg += r->axle[k].lifted ? 0 : wheels_kg(axle[k].tyre, axle[k].tyres);
    if (t->trailer)
        r->effective_kg += wheels_kg(t->trailer->tyre, t->trailer->tyres);
    set_rolling(r);
}

/* ------------------------------------------------------------------------------------------------ conditions */

static const double LAPSE_K_M = 0.0065, SEA_LEVEL_K = 288.15, ZERO_DEGC_K = 273.15;

static double standard_air_k(double altitude_m)
{
    const double earth_radius_m = 6356766;
    double h = earth_radius_m * altitude_m / (earth_radius_m + altitude_m);
    return SEA_LEVEL_K - LAPSE_K_M * h;
}

double evn_air_density_kg_m3(double altitude_m, double temperature_degc)
{
    const double p0_pa = 101325, gas_j_kg_k = 8.31432 / 0.0289644; /* the standard's own constants */
    double t_k = standard_air_k(altitude_m);
    double p_pa = p0_pa * pow(t_k / SEA_LEVEL_K, EVN_STANDARD_GRAVITY_M_S2 / (gas_j_kg_k * LAPSE_K_M));
    return p_pa / (gas_j_kg_k * (isnan(temperature_degc) ? t_k : temperature_degc + ZERO_DEGC_K));
}

double evn_air_degc(double altitude_m, double temperature_degc)
{
    return isnan(temperature_degc) ? standard_air_k(altitude_m) - ZERO_DEGC_K : temperature_degc;
}

/* False: memory ran out. */
static bool set_conditions(evn_rig *r, const evn_truck_file *t, const evn_load_case *c)
{
    r->gravity_m_s2 = c->gravity_m_s2;
    r->headwind_m_s = c->headwind_m_s;
    r->air_density_kg_m3 =
        isnan(c->air_density_kg_m3) ? evn_air_density_kg_m3(c->altitude_m, c->temperature_degc) : c->air_density_kg_m3;
    r->air_kg_m = 0.5 * r->air_density_kg_m3 * t->body->drag_area_m2;
    r->ambient_degc = evn_air_degc(c->altitude_m, c->temperature_degc);
    r->tyres = evn_tyre_warmth_of(t->tyre_temperature, c, r->ambient_degc);
    return evn_wind_make(&r->wind, t->body->drag_area_yaw, c, r->arena);
}

/* ------------------------------------------------------------------------------------------------ slip */

/*
 * Slip is meant well below one half. Beyond, where more slip would carry less, both go on as straight lines, so that
 * each is the other's inverse for any force that a limit is sought with.
 */
/* ------------------------------------------------------------------------------------------------ the whole */

static void set_brakes(evn_rig *r, const evn_truck_file *t)
{
    r->regeneration = t->brakes->regeneration;
    r->fade_from_m_s = t->brakes->fade_from_km_h * EVN_M_S_PER_KM_H;
    r->fade_to_m_s = t->brakes->fade_to_km_h * EVN_M_S_PER_KM_H;
    r->adhesion_driving = t->adhesion->driving;
    r->adhesion_regenerating = t->adhesion->regenerating;
    r->adhesion_driving_share = t->adhesion->driving_share;
    r->adhesion_regenerating_share = t->adhesion->regenerating_share;
    r->regenerating_margin =
        isnan(t->adhesion->regenerating_margin) ? (double)INFINITY : t->adhesion->regenerating_margin;
    r->motor_share = t->brakes->motor_share;
    r->has_part[EVN_BRAKE_RESISTOR] = t->brake_resistor;
    r->resistor_w = t->brake_resistor ? t->brake_resistor->power_kw * 1e3 : 0;
}

/* Behind the conditions, on which the starts of coolant and oil and what consumers draw depend. False: memory ran out.
 */
static bool set_cooling(evn_rig *r, const evn_truck_file *t, evn_oil_at_start oil)
{
    r->cooling = evn_cooling_of(t->cooling, r->ambient_degc);
    r->has_part[EVN_COOLING_FAN] = r->cooling.modelled;
    r->has_part[EVN_BATTERY_CONDITIONING] = r->pack.heat.cooling.heat_w > 0 || r->pack.heat.heating.heat_w > 0;
    for (size_t k = 0; oil == EVN_OIL_AT_START_COLD && k < r->unit_count; k++)
        evn_unit_start_oil_cold(&r->unit[k], r->ambient_degc);
    for (size_t k = 0; r->cooling.modelled && k < r->unit_count; k++)
        evn_unit_start_with(&r->unit[k], r->cooling.start_degc);
    return evn_loads_make(t->auxiliaries, &r->cooling, &r->pack.heat, r->ambient_degc, r->arena, &r->loads);
}

/* How axles share the friction brakes' force, and how their brakes heat. */
static void set_friction(evn_rig *r, const evn_truck_file *t)
{
    const evn_axle_file *file = t->axles.item;
    bool stated = t->brakes->distribution == EVN_BY_STATED_SHARES;
    double limit_kw = t->brakes->friction_power_limit_kw;
    size_t lifted = evn_axle_that_lifts(t);
    lifted = lifted < t->axles.count && r->axle[lifted].lifted ? lifted : t->axles.count;
    double sum = stated ? stated_shares(t, lifted) : r->mass_kg;
    r->friction_ideal = t->brakes->distribution == EVN_BY_LOADS_NOW;
    r->friction_limit_w = isnan(limit_kw) ? (double)INFINITY : limit_kw * 1e3;
    r->tells_friction = t->brakes->distribution != EVN_BY_LOADS_AT_REST || !isnan(limit_kw);
    for (size_t k = 0; k < r->axle_count; k++) {
        evn_axle *axle = &r->axle[k];
        bool own = k < r->truck_axles;
        double share = own ? file[k].friction_share : t->trailer->friction_share;
        axle->friction_share = axle->lifted ? 0 : (stated ? share : axle->load.cosine_kg) / sum;
        axle->brake = evn_axle_brake_of(own ? file[k].friction_brake : t->trailer->friction_brake, r->ambient_degc);
        r->tells_friction = r->tells_friction || axle->brake.modelled;
    }
}

static void set_retarder(evn_rig *r, const evn_retarder_file *f)
{
    if (!f)
        return;
    size_t axle = (size_t)f->axle - 1;
    r->has_part[EVN_RETARDER] = true;
    r->retarder = (evn_retarder){
        .axle = axle,
        .force_limit_n =
            isnan(f->torque_limit_nm) ? f->braking_force_limit_kn * 1e3 : f->torque_limit_nm / r->axle[axle].radius_m,
        .power_limit_w = f->power_limit_kw * 1e3,
        .coolant_share = f->coolant_share,
        .fade_from_m_s = f->fade_from_km_h * EVN_M_S_PER_KM_H,
        .fade_to_m_s = f->fade_to_km_h * EVN_M_S_PER_KM_H,
        .endurance_m_s2 = f->used_for == EVN_RETARDER_ALL ? (double)INFINITY : f->endurance_braking_m_s2};
}

double evn_rig_unit_rad_m(const evn_rig *r, const evn_unit *u)
{
    double sum = 0;
    if (u->branch_count == 0)
        return 1 / r->axle[u->axle].radius_m;
    for (size_t k = 0; k < u->branch_count; k++)
        sum += u->branch[k].share * u->branch[k].ratio / r->axle[u->branch[k].axle].radius_m;
    return sum;
}

double evn_rig_open_rad_m(const evn_rig *r, size_t unit, evn_setting s)
{
    const evn_unit *u = &r->unit[unit];
    double sum = 0;
    for (size_t k = 0; k < u->branch_count; k++)
        if (!evn_is_branch_open(s, k))
            sum += evn_closed_share(u, s, k) * u->branch[k].ratio / r->axle[u->branch[k].axle].radius_m;
    return sum;
}

double evn_rig_open_branch_kg(const evn_rig *r, size_t unit, evn_setting s, size_t branch)
{
    const evn_branch *b = &r->unit[unit].branch[branch];
    double radius_m = r->axle[b->axle].radius_m, rad_m = evn_rig_open_rad_m(r, unit, s);
    return b->opening.below_kg_m2 / (radius_m * radius_m) + b->opening.above_kg_m2 * rad_m * rad_m;
}

double evn_rig_unit_top_m_s(const evn_rig *r, size_t unit)
{
    const evn_unit *u = &r->unit[unit];
    return evn_unit_top_rad_s(u) / u->gear[u->gear_count - 1].total_ratio / r->unit_rad_m[unit];
}

/* A unit that can disconnect does not hold the truck's speed down, unless all can: one must pull. */
static void set_top_speed(evn_rig *r)
{
    double fastest = 0;
    r->top_speed_m_s = (double)INFINITY;
    for (size_t k = 0; k < r->unit_count; k++) {
        double top = evn_rig_unit_top_m_s(r, k);
        fastest = fmax(fastest, top);
        if (!r->unit[k].can_disconnect)
            r->top_speed_m_s = fmin(r->top_speed_m_s, top);
    }
    r->top_speed_m_s = fmin(r->top_speed_m_s, fastest);
}

static void check_loads(const evn_rig *r, const evn_truck_file *t, evn_report *report)
{
    if (r->mass_kg > t->body->permitted_gross_kg)
        evn_say(report, EVN_FAULT_UNUSUAL_VALUE, evn_nowhere, evn_nowhere,
                "%s: gross mass %.0f kg with %.0f kg of payload; permitted are %.0f kg", t->name, r->mass_kg,
                r->payload_kg, t->body->permitted_gross_kg);
    for (size_t k = 0; k < r->axle_count; k++)
        if (r->axle[k].load.cosine_kg > r->axle[k].permitted_kg)
            evn_say(report, EVN_FAULT_UNUSUAL_VALUE, evn_nowhere, evn_nowhere,
                    "%s: %.0f kg on axle %s at rest; permitted are %.0f kg", t->name, r->axle[k].load.cosine_kg,
                    r->axle[k].name, r->axle[k].permitted_kg);
        else if (r->axle[k].load.cosine_kg <= 0 && !r->axle[k].lifted)
            evn_say(
                report, EVN_FAULT_DISAGREES, evn_nowhere, evn_nowhere,
                "%s: axle %s carries %.0f kg at rest; expected every axle on the ground; check the centres of gravity",
                t->name, r->axle[k].name, r->axle[k].load.cosine_kg);
}

static bool out_of_memory(evn_rig *r, evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out preparing the truck");
    evn_rig_free(r);
    return false;
}

/* Directive 97/27/EC Annex IV, from memory: starting may load an axle by up to 30 % more than is permitted. */
static void check_start_aid(const evn_rig *r, const evn_truck_file *t, evn_report *report)
{
    static const double MOST = 1.3;
    for (size_t k = 0; k < r->axle_count; k++)
        if (r->start_aid.load[k].cosine_kg > MOST * r->axle[k].permitted_kg)
            evn_say(
                report, EVN_FAULT_UNUSUAL_VALUE, evn_nowhere, evn_nowhere,
                "%s: start aid puts %.0f kg on axle %s, of which %.0f kg are permitted; usual is at most 1.3 times as "
                "much, below 30 km/h; maker and local regulation decide",
                t->name, r->start_aid.load[k].cosine_kg, r->axle[k].name, r->axle[k].permitted_kg);
}

static bool start_soc_fits(const evn_truck_file *t, double soc, evn_report *report)
{
    if (isnan(soc) || (soc >= t->battery->usable_from_soc && soc <= t->battery->usable_to_soc))
        return true;
    evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere,
            "%s: start_soc is %g; expected %g to %g, the usable window of its battery", t->name, soc,
            t->battery->usable_from_soc, t->battery->usable_to_soc);
    return false;
}

/* What an answer would not show must not be asked for: an old battery that is as a new one, a cold one as a warm one.
 */
static bool battery_conditions_fit(const evn_truck_file *t, const evn_load_case *c, evn_report *report)
{
    double to_years = evn_pack_ages_to(t->battery);
    bool age_fits = c->battery_age_years <= to_years;
    bool start_fits = isnan(c->battery_start_degc) || evn_pack_feels_heat(t->battery);
    if (!age_fits && to_years > 0)
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere,
                "%s: battery_age_years is %g; expected 0 to %g, as far as the ageing of its battery is stated", t->name,
                c->battery_age_years, to_years);
    else if (!age_fits)
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere,
                "%s: battery_age_years is %g, and its battery states no ageing; expected 0, or a battery with ageing",
                t->name, c->battery_age_years);
    if (!start_fits)
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere,
                "%s: battery_start_degc is %g, and nothing of its battery is stated over temperature; expected no such "
                "condition, or a battery with heat, resistance_factors, discharge_shares or charge_shares",
                t->name, c->battery_start_degc);
    return age_fits && start_fits;
}

/* What the truck sets no bounds to stands in the table. */
static bool load_case_fits(const evn_truck_file *t, const evn_load_case *c, evn_report *report)
{
    return evn_object_fits(&evn_load_case_object, c, report) && start_soc_fits(t, c->start_soc, report) &&
           battery_conditions_fit(t, c, report);
}

bool evn_truck_unit_masses(const evn_truck_file *t, evn_unit_masses out[EVN_UNITS_MAX])
{
    evn_arena *arena = evn_arena_new();
    bool all = arena;
    for (size_t k = 0; all && k < t->drive_units.count; k++) {
        evn_unit *unit = evn_arena_take(arena, sizeof *unit);
        const evn_unit_file *f = (const evn_unit_file *)t->drive_units.item + k;
        all = unit && evn_unit_prepare(f, t->drive_units.name[k], arena, unit, &out[k]);
    }
    if (arena)
        evn_arena_free(arena);
    return all;
}

evn_mass_at evn_truck_unit_at(const evn_truck_file *t, size_t unit, const evn_unit_masses *masses)
{
    return unit_lump(t, (const evn_unit_file *)t->drive_units.item + unit, masses);
}

void evn_truck_at_rest(const evn_truck_file *t, const evn_unit_masses masses[], double payload_kg, evn_at_rest *out)
{
    evn_axle_load load[EVN_AXLES_MAX];
    standing down = {t, truck_lump(t, masses, payload_kg), {0}, t->axles.count, 0, 0, false};
    if (t->trailer)
        down.trailer = trailer_lump(t, payload_kg);
    loads_of(&down, load);
    *out = (evn_at_rest){.truck = down.truck, .trailer = down.trailer, .truck_axles = t->axles.count};
    out->count = t->axles.count + (t->trailer ? 1 : 0);
    for (size_t k = 0; k < out->count; k++)
        out->load_kg[k] = load[k].cosine_kg;
}

static bool prepare_units(evn_rig *r, const evn_truck_file *t, evn_unit_masses *masses)
{
    r->unit_count = t->drive_units.count;
    for (size_t k = 0; k < r->unit_count; k++) {
        const evn_unit_file *f = (const evn_unit_file *)t->drive_units.item + k;
        if (!evn_unit_prepare(f, t->drive_units.name[k], r->arena, &r->unit[k], &masses[k]))
            return false;
    }
    return true;
}

static bool make(const evn_truck_file *t, const evn_load_case *c, bool told, evn_rig **out, evn_report *report)
{
    evn_unit_masses masses[EVN_UNITS_MAX];
    *out = NULL;
    size_t before = evn_report_errors(report);
    if (!load_case_fits(t, c, report))
        return false;
    evn_rig *r = calloc(1, sizeof *r);
    if (!r)
        return out_of_memory(r, report);
    r->arena = evn_arena_new();
    if (!r->arena || !prepare_units(r, t, masses) || !copy_names(r, t))
        return out_of_memory(r, report);
    r->invented = t->invented;
    set_masses(r, t, masses, isnan(c->payload_kg) ? t->payload->mass_kg : c->payload_kg, c->lifting_axle);
    if (!set_hubs(r, t) || !set_conditions(r, t, c))
        return out_of_memory(r, report);
    evn_pack_ask battery = {c->battery_age_years, c->battery_start_degc, r->ambient_degc};
    if (!evn_pack_make(&r->pack, t->battery, &battery, r->arena))
        return out_of_memory(r, report);
    set_brakes(r, t);
    if (!set_cooling(r, t, c->oil_at_start) || !evn_takeoff_make(t, r->unit, r->arena, &r->takeoff))
        return out_of_memory(r, report);
    set_friction(r, t);
    set_retarder(r, t->retarder);
    for (size_t k = 0; k < r->unit_count; k++)
        r->unit_rad_m[k] = evn_rig_unit_rad_m(r, &r->unit[k]);
    set_top_speed(r);
    r->start_soc = !isnan(c->start_soc)            ? c->start_soc
                   : !isnan(t->battery->start_soc) ? t->battery->start_soc
                                                   : fmax(r->pack.usable_to - 0.05, r->pack.usable_from);
    check_loads(r, t, report);
    check_start_aid(r, t, report);
    if (told && !(evn_rig_figures_make(r, t, masses) && evn_rig_facts_make(r, t)))
        return out_of_memory(r, report);
    if (evn_report_errors(report) > before) {
        evn_rig_free(r);
        return false;
    }
    *out = r;
    return true;
}

bool evn_rig_make(const evn_truck_file *t, const evn_load_case *c, evn_rig **out, evn_report *report)
{
    return make(t, c, true, out, report);
}

bool evn_rig_make_untold(const evn_truck_file *t, const evn_load_case *c, evn_rig **out, evn_report *report)
{
    return make(t, c, false, out, report);
}

void evn_rig_free(evn_rig *r)
{
    if (!r)
        return;
    evn_arena_free(r->arena);
    free(r);
}
