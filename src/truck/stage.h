/*
 * A driveline stage in its one normal form. Every kind of stage is lowered to this when the truck is prepared, so that
 * direction of loss, continuity, inverse, inertia and booking exist once.
 *
 *   wheel side                                                     motor side
 *   torque ->  + inertia x acceleration + drag(speed)  = load  ->  (load + mesh loss) / ratio
 *
 * The mesh loss is a share of the load: `pull_share` of it when the load pulls the truck (1/eta - 1), `push_share` when
 * the truck pushes the motor (1 - eta). Both vanish with the load, so the torque is continuous through zero, and no
 * loss is ever negative. (First law; U14, U15 of the published checks.)
 */
#ifndef EVENER_TRUCK_STAGE_H
#define EVENER_TRUCK_STAGE_H
#include "core/arena.h"
#include "core/curve.h"
#include "core/ledger.h"
#include "truck/truck.h"
#include <stdint.h>

/* A turning shaft; torque above zero pulls the truck. */
typedef struct evn_shaft {
    double torque_nm, speed_rad_s, accel_rad_s2;
} evn_shaft;

typedef struct evn_stage {
    double ratio; /* motor-side speed / wheel-side speed */
    double pull_share, push_share;
    double drag_nm, drag_nm_s;   /* at the wheel side: constant, and per rad/s */
    double inertia_kg_m2;        /* at the wheel side */
    const evn_curve *drag_curve; /* instead of the two above; over rad/s */
    const evn_curve *oil_factor; /* times the drag, over the temperature of its oil; NULL: 1 */
    size_t oil_at;               /* that temperature, among the nodes of the unit */
    evn_line line;               /* ledger line of its losses */
} evn_stage;

enum { EVN_LOWERED_MAX = 2 }; /* normal-form stages that one written stage can become */

/* What a kind may take memory for: its drag curve. */
typedef struct evn_lowering {
    evn_stage stage[EVN_LOWERED_MAX]; /* wheel side first */
    size_t count;
    double mass_kg;
    bool disconnects;                                                /* here the path can be opened */
    double disconnect_time_s, disconnect_wear_j, disconnect_price_j; /* price_j: NAN, not stated */
    evn_oil oil[EVN_OILS];                                           /* of all parts yet */
    evn_arena *arena;
    bool out_of_memory;
} evn_lowering;

/* What a kind is to the shafts beside it, which are named by what stands at their ends (shafts.h). */
typedef enum evn_stage_role {
    EVN_ROLE_GEARS,   /* a part with a shaft at either side */
    EVN_ROLE_DIVIDES, /* the same, with two shafts alike towards the wheels: one for each wheel */
    EVN_ROLE_HUB,     /* the same at both wheels of an axle */
    EVN_ROLE_CARRIES  /* part of a shaft, or nothing */
} evn_stage_role;

/* One row per kind: this is all that a new kind brings. */
typedef struct evn_stage_kind {
    const char *key; /* as written in `path`: "universal_joint" */
    const evn_object *object;
    void (*lower)(const void *as_read, evn_lowering *);
    evn_stage_role role;
} evn_stage_kind;
extern const evn_stage_kind evn_stage_kinds[];
extern const size_t evn_stage_kinds_count;
extern const evn_kind_row evn_stage_kind_rows[]; /* the same for the reader; ends with a NULL key */

/* In the header, since they are the innermost of everything: a fifth of a run's time goes into calling them otherwise.
 */
static inline double evn_stage_drag_nm(const evn_stage *s, double speed_rad_s, const double degc[])
{
    double w = speed_rad_s > 0 ? speed_rad_s : 0; /* a trip never turns backwards; round-off may */
    double drag = s->drag_curve ? evn_curve_at(s->drag_curve, w) : s->drag_nm + s->drag_nm_s * w;
    return s->oil_factor ? drag * evn_curve_at(s->oil_factor, degc[s->oil_at]) : drag;
}

/* `degc`: temperatures of the unit that the stage belongs to (unit.h). */
/* Wheel side to motor side; adds losses and power into inertia to the flow. */
static inline evn_shaft evn_stage_up(const evn_stage *s, evn_shaft out, const double degc[], evn_flow *flow)
{
    double spin = s->inertia_kg_m2 * out.accel_rad_s2;
    double drag = evn_stage_drag_nm(s, out.speed_rad_s, degc);
    double load = out.torque_nm + spin + drag;
    double mesh = load > 0 ? s->pull_share * load : -s->push_share * load;
    flow->w[s->line] += (drag + mesh) * out.speed_rad_s;
    flow->w[EVN_KINETIC] += spin * out.speed_rad_s;
    return (evn_shaft){(load + mesh) / s->ratio, out.speed_rad_s * s->ratio, out.accel_rad_s2 * s->ratio};
}

/* Its exact inverse for the torque: motor-side torque to wheel-side torque, at the wheel side's speed and acceleration.
 */
static inline double evn_stage_down(const evn_stage *s, double motor_side_nm, double speed_rad_s, double accel_rad_s2,
                                    const double degc[])
{
    double t = motor_side_nm * s->ratio;
    double load = t > 0 ? t / (1 + s->pull_share) : t / (1 - s->push_share);
    return load - evn_stage_drag_nm(s, speed_rad_s, degc) - s->inertia_kg_m2 * accel_rad_s2;
}

/* Adds a drag at its side: at the wheel side to the stage itself, at the motor side to a stage of its own behind it. */
void evn_lower_drag(const evn_drag_file *, evn_lowering *);
/* Lets the drags of the stages that a part became follow its oil (NULL: none). */
void evn_lower_oil(const evn_oil_file *, evn_lowering *);
/* Which of a unit's oils warms with a line of the ledger. */
static inline evn_oil_place evn_oil_place_of(evn_line line)
{
    return line == EVN_FINAL_DRIVE ? EVN_OIL_AXLE : EVN_OIL_GEARBOX;
}
/* A constant or a rising straight line, which needs no curve: torque at rest, and per rad/s. */
bool evn_drag_is_straight(const evn_list *speed_rpm, const evn_list *torque_nm, double *at_rest_nm, double *nm_s);
/* Whether a step is a wheel end that states a drag above 0. */
bool evn_wheel_end_drags(const evn_step *);

/* Whether a written stage is a propeller shaft, and how thick; NAN: not stated. */
bool evn_propeller_shaft_diameter_m(const evn_step *, double *diameter_m);
/* Puts the first normal-form stage. */
evn_stage *evn_lower_first(evn_lowering *, evn_line, double ratio, double efficiency);

/* Basic formulas of kinds, for tests against published values. */
double evn_planet_set_ratio(double sun_teeth, double ring_teeth);
double evn_planet_set_pull_efficiency(double basic_ratio, double basic_efficiency);
double evn_planet_set_push_efficiency(double basic_ratio, double basic_efficiency);
double evn_universal_joint_loss_share(double angle_rad, double friction_coefficient, double radius_ratio);

#endif
