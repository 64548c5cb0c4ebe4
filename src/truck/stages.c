/*
 * The kinds of stage that a `path` is written with: their keys, and how each is lowered to the normal form of stage.h.
 * A new kind: its struct, its table, its lowering, and one row of STAGE_KINDS at the end, of which both lists are made.
 */
#include "core/uncertain.h"
#include "core/units.h"
#include "truck/stage.h"
#include "truck/usual.h"
#include <math.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

evn_stage *evn_lower_first(evn_lowering *to, evn_line line, double ratio, double efficiency)
{
    to->count = 1;
    to->stage[0] =
        (evn_stage){.ratio = ratio, .pull_share = 1 / efficiency - 1, .push_share = 1 - efficiency, .line = line};
    return &to->stage[0];
}

bool evn_drag_is_straight(const evn_list *speed_rpm, const evn_list *torque_nm, double *at_rest_nm, double *nm_s)
{
    const double *rpm = speed_rpm->at, *nm = torque_nm->at;
    size_t n = speed_rpm->count;
    if (n > 2 || (n == 2 && nm[1] < nm[0]))
        return false;
    *nm_s = n == 1 ? 0 : (nm[1] - nm[0]) / (rpm[1] - rpm[0]) / EVN_RAD_S_PER_RPM;
    *at_rest_nm = nm[0] - *nm_s * rpm[0] * EVN_RAD_S_PER_RPM;
    return *at_rest_nm >= 0;
}

static void set_drag(evn_stage *stage, const evn_drag_file *drag, evn_lowering *to)
{
    const double *rpm = drag->speed_rpm.at, *nm = drag->torque_nm.at;
    size_t n = drag->speed_rpm.count;
    if (evn_drag_is_straight(&drag->speed_rpm, &drag->torque_nm, &stage->drag_nm, &stage->drag_nm_s))
        return;
    evn_curve *curve = evn_arena_take(to->arena, sizeof *curve);
    if (!curve) {
        to->out_of_memory = true;
        return;
    }
    double rad_s[EVN_CURVE_POINTS_MAX];
    for (size_t k = 0; k < n; k++)
        rad_s[k] = rpm[k] * EVN_RAD_S_PER_RPM;
    evn_curve_make(curve, rad_s, nm, n, true);
    stage->drag_curve = curve;
}

void evn_lower_drag(const evn_drag_file *drag, evn_lowering *to)
{
    if (!drag)
        return;
    evn_stage *stage = &to->stage[0];
    if (drag->at == EVN_MOTOR_SIDE) { /* beyond the load loss: a stage of its own with nothing but drag */
        stage = &to->stage[to->count++];
        *stage = (evn_stage){.ratio = 1, .line = to->stage[0].line};
    }
    set_drag(stage, drag, to);
}

void evn_lower_oil(const evn_oil_file *oil, evn_lowering *to)
{
    const evn_curve *factor = oil ? evn_oil_factor(oil, to->arena) : NULL;
    to->out_of_memory = to->out_of_memory || (oil && !factor);
    for (size_t k = 0; factor && k < to->count; k++)
        to->stage[k].oil_factor = factor;
}

/* ------------------------------------------------------------------------------------------------ geared stages */

typedef struct geared_file { /* mesh, final drive, differential, wheel end: one struct, four tables */
    double ratio, efficiency, inertia_kg_m2, mass_kg;
    const evn_drag_file *drag;
    const evn_oil_file *oil; /* of wheel ends never */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} geared_file;

static void check_geared(const void *self, const evn_seat *seat, evn_report *report)
{
    evn_check_drag(((const geared_file *)self)->drag, seat, report);
}

static void lower_geared(const geared_file *g, evn_line line, evn_lowering *to)
{
    evn_lower_first(to, line, g->ratio, g->efficiency)->inertia_kg_m2 = g->inertia_kg_m2;
    evn_lower_drag(g->drag, to);
    evn_lower_oil(g->oil, to);
    evn_oil_add(&to->oil[evn_oil_place_of(line)], g->oil);
    to->mass_kg = g->mass_kg;
}

static void lower_mesh(const void *f, evn_lowering *to) { lower_geared(f, EVN_GEARBOX, to); }
static void lower_final_drive(const void *f, evn_lowering *to) { lower_geared(f, EVN_FINAL_DRIVE, to); }
static void lower_wheel_end(const void *f, evn_lowering *to) { lower_geared(f, EVN_WHEEL_END, to); }

bool evn_wheel_end_drags(const evn_step *step)
{
    bool drags = false;
    if (evn_stage_kinds[step->kind].lower != lower_wheel_end)
        return false;
    const evn_drag_file *drag = ((const geared_file *)step->item)->drag;
    for (size_t k = 0; drag && k < drag->torque_nm.count; k++)
        drags = drags || drag->torque_nm.at[k] > 0;
    return drags;
}

#define GEARED_DRAG                                                                                                    \
    {.key = "drag",                                                                                                    \
     .shape = EVN_ONE,                                                                                                 \
     .offset = offsetof(geared_file, drag),                                                                            \
     .of = &evn_drag_object,                                                                                           \
     .help = "friction torque over speed, apart from the load loss"}
#define GEARED_INERTIA                                                                                                 \
    {.key = "inertia_kg_m2",                                                                                           \
     .shape = EVN_NUMBER,                                                                                              \
     .most = 1000,                                                                                                     \
     .usual_high = 60,                                                                                                 \
     .offset = offsetof(geared_file, inertia_kg_m2),                                                                   \
     .help = "moment of inertia of all that turns, at the wheel side's speed"}
#define GEARED_MASS                                                                                                    \
    {.key = "mass_kg", .shape = EVN_NUMBER, .most = 5000, .offset = offsetof(geared_file, mass_kg), .help = "mass"}

static const evn_field mesh_fields[] = {
    {.key = "ratio",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.05,
     .most = 50,
     .usual_low = 0.5,
     .usual_high = 8,
     .offset = offsetof(geared_file, ratio),
     .help = "motor-side speed over wheel-side speed"},
    {.key = "efficiency",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.5,
     .most = 1,
     .usual_low = 0.975,
     .usual_high = 1,
     .offset = offsetof(geared_file, efficiency),
     .source = "usual range: ground helical mesh with bearings 0.985 to 0.992, common practice, no source",
     .uncertain = &evn_usual_mesh_efficiency,
     .help = "of the load alone, one mesh with its bearings: the torque that passes, with what drags and speeds up the "
             "stages towards the wheels; pushed, loss and torque change sides"},
    GEARED_INERTIA,
    GEARED_MASS,
    GEARED_DRAG,
    EVN_OIL_FIELD(geared_file),
    EVN_SOURCE_FIELD(geared_file),
    EVN_UNCERTAIN_FIELD(geared_file),
};
static const evn_object mesh_object = {"mesh",      "a pair of gears",  sizeof(geared_file),
                                       mesh_fields, COUNT(mesh_fields), check_geared};

static const evn_field final_drive_fields[] = {
    {.key = "ratio",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.5,
     .most = 50,
     .usual_low = 1.5,
     .usual_high = 8,
     .offset = offsetof(geared_file, ratio),
     .help = "final drive ratio"},
    {.key = "efficiency",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.5,
     .most = 1,
     .usual_low = 0.94,
     .usual_high = 0.99,
     .offset = offsetof(geared_file, efficiency),
     .source = "ranges of gear sets with their bearings: common practice, no source",
     .uncertain = &evn_usual_axle_gear_efficiency,
     .help = "of the load alone, as of a mesh; hypoid 0.950 to 0.975, spiral bevel 0.970 to 0.982"},
    GEARED_INERTIA,
    GEARED_MASS,
    GEARED_DRAG,
    EVN_OIL_FIELD(geared_file),
    EVN_SOURCE_FIELD(geared_file),
    EVN_UNCERTAIN_FIELD(geared_file),
};
static const evn_object final_drive_object = {"final_drive",
                                              "hypoid or bevel gear set of an axle with its differential",
                                              sizeof(geared_file),
                                              final_drive_fields,
                                              COUNT(final_drive_fields),
                                              check_geared};

static const evn_field differential_fields[] = {
    {.key = "ratio",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 1,
     .fallback = 1,
     .offset = offsetof(geared_file, ratio),
     .help = "1: a differential does not change the mean speed"},
    {.key = "efficiency",
     .shape = EVN_NUMBER,
     .least = 0.5,
     .most = 1,
     .usual_low = 0.98,
     .usual_high = 1,
     .fallback = 1,
     .offset = offsetof(geared_file, efficiency),
     .uncertain = &evn_usual_mesh_efficiency,
     .help = "of the load alone, as of a mesh"},
    GEARED_INERTIA,
    GEARED_MASS,
    GEARED_DRAG,
    EVN_OIL_FIELD(geared_file),
    EVN_SOURCE_FIELD(geared_file),
    EVN_UNCERTAIN_FIELD(geared_file),
};
static const evn_object differential_object = {"differential",
                                               "differential of an axle without a final drive",
                                               sizeof(geared_file),
                                               differential_fields,
                                               COUNT(differential_fields),
                                               check_geared};

static const evn_field wheel_end_fields[] = {
    {.key = "ratio",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 20,
     .usual_low = 1,
     .usual_high = 6,
     .fallback = 1,
     .offset = offsetof(geared_file, ratio),
     .help = "hub reduction, 1: none"},
    {.key = "efficiency",
     .shape = EVN_NUMBER,
     .least = 0.5,
     .most = 1,
     .usual_low = 0.975,
     .usual_high = 1,
     .fallback = 1,
     .offset = offsetof(geared_file, efficiency),
     .uncertain = &evn_usual_mesh_efficiency,
     .help = "of the load alone, as of a mesh; that of a hub reduction"},
    GEARED_INERTIA,
    GEARED_MASS,
    GEARED_DRAG,
    EVN_SOURCE_FIELD(geared_file),
    EVN_UNCERTAIN_FIELD(geared_file),
};
static const evn_object wheel_end_object = {
    "wheel_end",
    "hub reduction of the driven wheels, and their bearings and seals where the axle states no hub_drag",
    sizeof(geared_file),
    wheel_end_fields,
    COUNT(wheel_end_fields),
    check_geared};

/* ------------------------------------------------------------------------------------------------ planet set */

typedef struct planet_set_file {
    double sun_teeth, ring_teeth, basic_efficiency, inertia_kg_m2, mass_kg;
    const evn_drag_file *drag;
    const evn_oil_file *oil;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} planet_set_file;

/* Ring held, sun in, carrier out: i = 1 + z_ring/z_sun (Willis equation; VDI 2157, from memory). */
double evn_planet_set_ratio(double sun_teeth, double ring_teeth) { return 1 + ring_teeth / sun_teeth; }

/* i0 = z_ring/z_sun; only the share i0/(1 + i0) of the power rolls through the meshes (VDI 2157, from memory). */
double evn_planet_set_pull_efficiency(double i0, double eta0) { return (1 + i0 * eta0) / (1 + i0); }
double evn_planet_set_push_efficiency(double i0, double eta0) { return (1 + i0) / (1 + i0 / eta0); }

static void check_planet_set(const void *self, const evn_seat *seat, evn_report *report)
{
    evn_check_drag(((const planet_set_file *)self)->drag, seat, report);
}

static void lower_planet_set(const void *as_read, evn_lowering *to)
{
    const planet_set_file *p = as_read;
    double i0 = p->ring_teeth / p->sun_teeth;
    evn_stage *s = evn_lower_first(to, EVN_GEARBOX, evn_planet_set_ratio(p->sun_teeth, p->ring_teeth), 1);
    s->pull_share = 1 / evn_planet_set_pull_efficiency(i0, p->basic_efficiency) - 1;
    s->push_share = 1 - evn_planet_set_push_efficiency(i0, p->basic_efficiency);
    s->inertia_kg_m2 = p->inertia_kg_m2;
    evn_lower_drag(p->drag, to);
    evn_lower_oil(p->oil, to);
    evn_oil_add(&to->oil[EVN_OIL_GEARBOX], p->oil);
    to->mass_kg = p->mass_kg;
}

static const evn_field planet_set_fields[] = {
    {.key = "sun_teeth",
     .shape = EVN_COUNT,
     .presence = EVN_REQUIRED,
     .least = 8,
     .most = 400,
     .usual_low = 14,
     .usual_high = 60,
     .offset = offsetof(planet_set_file, sun_teeth),
     .help = "teeth of the sun, on the motor side"},
    {.key = "ring_teeth",
     .shape = EVN_COUNT,
     .presence = EVN_REQUIRED,
     .least = 16,
     .most = 1000,
     .usual_low = 40,
     .usual_high = 150,
     .offset = offsetof(planet_set_file, ring_teeth),
     .help = "teeth of the ring, which is held"},
    {.key = "basic_efficiency",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.5,
     .most = 1,
     .usual_low = 0.97,
     .usual_high = 0.995,
     .offset = offsetof(planet_set_file, basic_efficiency),
     .source = "VDI 2157, from memory",
     .uncertain = &evn_usual_mesh_efficiency,
     .help = "sun to ring with the carrier held"},
    {.key = "inertia_kg_m2",
     .shape = EVN_NUMBER,
     .most = 1000,
     .usual_high = 60,
     .offset = offsetof(planet_set_file, inertia_kg_m2),
     .help = "moment of inertia of all that turns, at the wheel side's speed"},
    {.key = "mass_kg", .shape = EVN_NUMBER, .most = 5000, .offset = offsetof(planet_set_file, mass_kg), .help = "mass"},
    {.key = "drag",
     .shape = EVN_ONE,
     .offset = offsetof(planet_set_file, drag),
     .of = &evn_drag_object,
     .help = "friction torque over speed, apart from the load loss"},
    EVN_OIL_FIELD(planet_set_file),
    EVN_SOURCE_FIELD(planet_set_file),
    EVN_UNCERTAIN_FIELD(planet_set_file),
};
static const evn_object planet_set_object = {"planet_set",
                                             "planetary stage: ring held, sun in, carrier out",
                                             sizeof(planet_set_file),
                                             planet_set_fields,
                                             COUNT(planet_set_fields),
                                             check_planet_set};

/* ------------------------------------------------------------------------------------------------ shafts */

typedef struct universal_joint_file {
    double angle_deg, friction_coefficient, radius_ratio, mass_kg;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} universal_joint_file;

/*
 * Mean friction loss of a cardan joint over one turn as a share of the power: (4/pi) mu (r/R) tan(angle); the pins
 * swing through four times the angle per turn (Seherr-Thoss, Schmelz and Aucktor, Universal Joints and Driveshafts,
 * from memory).
 */
double evn_universal_joint_loss_share(double angle_rad, double friction_coefficient, double radius_ratio)
{
    return 4 / EVN_PI * friction_coefficient * radius_ratio * tan(angle_rad);
}

static void lower_universal_joint(const void *as_read, evn_lowering *to)
{
    const universal_joint_file *j = as_read;
    double loss = evn_universal_joint_loss_share(j->angle_deg * EVN_PI / 180, j->friction_coefficient, j->radius_ratio);
    evn_lower_first(to, EVN_SHAFTS, 1, 1 - loss);
    to->mass_kg = j->mass_kg;
}

static const evn_field universal_joint_fields[] = {
    {.key = "angle_deg",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .most = 45,
     .usual_high = 8,
     .offset = offsetof(universal_joint_file, angle_deg),
     .help = "working angle between the two shafts"},
    {.key = "friction_coefficient",
     .shape = EVN_NUMBER,
     .most = 0.5,
     .usual_low = 0.02,
     .usual_high = 0.1,
     .fallback = 0.05,
     .offset = offsetof(universal_joint_file, friction_coefficient),
     .source = "Seherr-Thoss, Schmelz and Aucktor, from memory",
     .uncertain = &evn_usual_joint_friction,
     .help = "of the needle bearings in the cross"},
    {.key = "radius_ratio",
     .shape = EVN_NUMBER,
     .most = 1,
     .usual_low = 0.2,
     .usual_high = 0.5,
     .fallback = 0.35,
     .offset = offsetof(universal_joint_file, radius_ratio),
     .help = "bearing radius over the cross's lever arm"},
    {.key = "mass_kg",
     .shape = EVN_NUMBER,
     .most = 200,
     .offset = offsetof(universal_joint_file, mass_kg),
     .help = "mass, where it is not in the shaft's"},
    EVN_SOURCE_FIELD(universal_joint_file),
    EVN_UNCERTAIN_FIELD(universal_joint_file),
};
static const evn_object universal_joint_object = {
    "universal_joint",      "cardan joint at a working angle", sizeof(universal_joint_file),
    universal_joint_fields, COUNT(universal_joint_fields),     NULL};

typedef struct propeller_shaft_file {
    double efficiency, inertia_kg_m2, mass_kg;
    double diameter_m; /* NAN: not given */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} propeller_shaft_file;

static void lower_propeller_shaft(const void *as_read, evn_lowering *to)
{
    const propeller_shaft_file *p = as_read;
    evn_lower_first(to, EVN_SHAFTS, 1, p->efficiency)->inertia_kg_m2 = p->inertia_kg_m2;
    to->mass_kg = p->mass_kg;
}

bool evn_propeller_shaft_diameter_m(const evn_step *step, double *diameter_m)
{
    if (evn_stage_kinds[step->kind].lower != lower_propeller_shaft)
        return false;
    *diameter_m = ((const propeller_shaft_file *)step->item)->diameter_m;
    return true;
}

static const evn_field propeller_shaft_fields[] = {
    {.key = "efficiency",
     .shape = EVN_NUMBER,
     .least = 0.5,
     .most = 1,
     .usual_low = 0.97,
     .usual_high = 1,
     .fallback = 1,
     .offset = offsetof(propeller_shaft_file, efficiency),
     .uncertain = &evn_usual_shaft_efficiency,
     .help = "constant efficiency of the shaft with its joints, where those are not written as stages of their own"},
    {.key = "inertia_kg_m2",
     .shape = EVN_NUMBER,
     .most = 20,
     .usual_high = 1,
     .offset = offsetof(propeller_shaft_file, inertia_kg_m2),
     .help = "moment of inertia of the shaft"},
    {.key = "mass_kg",
     .shape = EVN_NUMBER,
     .most = 500,
     .usual_high = 120,
     .offset = offsetof(propeller_shaft_file, mass_kg),
     .help = "mass, joints included where they state none"},
    {.key = "diameter_m",
     .shape = EVN_NUMBER,
     .least = 0.02,
     .most = 0.5,
     .usual_low = 0.08,
     .usual_high = 0.2,
     .fallback = (double)NAN,
     .offset = offsetof(propeller_shaft_file, diameter_m),
     .help = "outside, for clearance and for the room that it takes; not given: not known"},
    EVN_SOURCE_FIELD(propeller_shaft_file),
    EVN_UNCERTAIN_FIELD(propeller_shaft_file),
};
static const evn_object propeller_shaft_object = {
    "propeller_shaft",      "shaft between gearbox and axle", sizeof(propeller_shaft_file),
    propeller_shaft_fields, COUNT(propeller_shaft_fields),    NULL};

typedef struct centre_bearing_file {
    double drag_nm, mass_kg;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} centre_bearing_file;

static void lower_centre_bearing(const void *as_read, evn_lowering *to)
{
    const centre_bearing_file *b = as_read;
    evn_lower_first(to, EVN_SHAFTS, 1, 1)->drag_nm = b->drag_nm;
    to->mass_kg = b->mass_kg;
}

static const evn_field centre_bearing_fields[] = {
    {.key = "drag_nm",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .most = 50,
     .usual_high = 4,
     .offset = offsetof(centre_bearing_file, drag_nm),
     .uncertain = &evn_usual_bearing_drag,
     .help = "friction torque of the sealed bearing"},
    {.key = "mass_kg",
     .shape = EVN_NUMBER,
     .most = 100,
     .offset = offsetof(centre_bearing_file, mass_kg),
     .help = "mass"},
    EVN_SOURCE_FIELD(centre_bearing_file),
    EVN_UNCERTAIN_FIELD(centre_bearing_file),
};
static const evn_object centre_bearing_object = {"centre_bearing",
                                                 "bearing that carries a two-piece propeller shaft",
                                                 sizeof(centre_bearing_file),
                                                 centre_bearing_fields,
                                                 COUNT(centre_bearing_fields),
                                                 NULL};

/* ------------------------------------------------------------------------------------------------ disconnect */

typedef struct disconnect_file {
    double time_s, wear_kj, price_kj, mass_kg;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} disconnect_file;

/* No stage of its own: it says where the path opens. */
static void lower_disconnect(const void *as_read, evn_lowering *to)
{
    const disconnect_file *d = as_read;
    to->count = 0;
    to->disconnects = true;
    to->disconnect_time_s = d->time_s;
    to->disconnect_wear_j = d->wear_kj * 1e3;
    to->disconnect_price_j = d->price_kj * 1e3;
    to->mass_kg = d->mass_kg;
}

static const evn_field disconnect_fields[] = {
    {.key = "time_s",
     .shape = EVN_NUMBER,
     .most = 30,
     .usual_low = 0.05,
     .usual_high = 2,
     .fallback = 0.3,
     .offset = offsetof(disconnect_file, time_s),
     .help = "to bring the motors to speed and close; the unit does not pull until then; of a branch: the other "
             "branches pull on"},
    {.key = "wear_kj",
     .shape = EVN_NUMBER,
     .least = 0.001,
     .most = 10000,
     .usual_low = 0.1,
     .usual_high = 20,
     .fallback = 0.5,
     .offset = offsetof(disconnect_file, wear_kj),
     .source = "common practice, no source",
     .help = "what opening or closing counts as wear, a choice; with the loss of synchronising its price: it opens or "
             "closes when the loss forgone since a better setting appeared exceeds that"},
    {.key = "price_kj",
     .shape = EVN_NUMBER,
     .least = 0.001,
     .most = 10000,
     .usual_low = 1,
     .usual_high = 100,
     .fallback = (double)NAN,
     .offset = offsetof(disconnect_file, price_kj),
     .help = "price of opening or closing, whatever it costs; not given: its loss and wear_kj"},
    {.key = "mass_kg",
     .shape = EVN_NUMBER,
     .most = 500,
     .usual_high = 40,
     .offset = offsetof(disconnect_file, mass_kg),
     .help = "clutch with its actuator"},
    EVN_SOURCE_FIELD(disconnect_file),
    EVN_UNCERTAIN_FIELD(disconnect_file),
};
static const evn_object disconnect_object = {"disconnect",
                                             "clutch that frees motors and gears from the wheels; what is written "
                                             "after it in the path still turns when it is open",
                                             sizeof(disconnect_file),
                                             disconnect_fields,
                                             COUNT(disconnect_fields),
                                             NULL};

/* ------------------------------------------------------------------------------------------------ the list */

/* One row a kind: its key, which also names its table; its lowering; its role. Both lists below are made of it. */
#define STAGE_KINDS(X)                                                                                                 \
    X(mesh, lower_mesh, GEARS)                                                                                         \
    X(planet_set, lower_planet_set, GEARS)                                                                             \
    X(universal_joint, lower_universal_joint, CARRIES)                                                                 \
    X(propeller_shaft, lower_propeller_shaft, CARRIES)                                                                 \
    X(centre_bearing, lower_centre_bearing, CARRIES)                                                                   \
    X(final_drive, lower_final_drive, DIVIDES)                                                                         \
    X(differential, lower_final_drive, DIVIDES)                                                                        \
    X(wheel_end, lower_wheel_end, HUB)                                                                                 \
    X(disconnect, lower_disconnect, CARRIES)

const evn_stage_kind evn_stage_kinds[] = {
#define X(key, lower, role) {#key, &key##_object, lower, EVN_ROLE_##role},
    STAGE_KINDS(X)
#undef X
};
const size_t evn_stage_kinds_count = COUNT(evn_stage_kinds);

const evn_kind_row evn_stage_kind_rows[] = {
#define X(key, lower, role) {#key, &key##_object},
    STAGE_KINDS(X)
#undef X
        {NULL, NULL},
};
