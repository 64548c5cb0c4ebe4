/*
 * A loss map of a motor over speed, torque and d.c. voltage, made ready: a fit of the law that losses of motors follow,
 * and on a full grid what the points differ from it. Between the points the law is taken as it is, and the difference
 * interpolated by bicubic pieces with monotone slopes along each axis: through every point, and exact between any two
 * where the motor follows the law. Where cells left out are told better by the losses around them, the losses are
 * interpolated instead. The first derivative is continuous but where the law's own has a kink (no
 * torque, with the inverter included). Between two voltages the loss is interpolated linearly, outside it is held.
 *
 * Cells that were not measured are filled by the fit and marked. Beyond the grid the fit goes on from its edge.
 */
#ifndef EVENER_TRUCK_MAP_H
#define EVENER_TRUCK_MAP_H
#include "core/arena.h"
#include "truck/truck.h"
#include <stdint.h>

enum { EVN_MAP_AXIS_MOST = 500, EVN_MAP_VOLTAGES_MOST = 8, EVN_MAP_TERMS = 5 };

/* What a map must know of its motor. */
typedef struct evn_map_machine {
    double peak_nm, peak_w, top_rad_s, reference_v;
} evn_map_machine;

/* Points as sent, sorted into a grid; loss_w is NAN where nothing was measured. */
typedef struct evn_map_points {
    size_t voltages, speeds, torques;
    double *voltage_v; /* one NAN where the map names none */
    double *speed_rad_s, *torque_nm;
    double *loss_w; /* [voltages][speeds][torques] */
    bool two_sided; /* has torques below 0; otherwise the loss at -T is that at T */
} evn_map_points;

/*
 * loss = c0 + c1 x + c2 x^2 + c3 (t^2 + i_d^2) + c4 sqrt(t^2 + i_d^2), with x = speed over base speed at this voltage,
 * t = torque over peak torque, i_d the share of the current that weakens the field (permanent magnets, without
 * saliency), c4 only where the map includes the inverter; every coefficient at or above 0, so that it grows with speed
 * and torque.
 */
typedef struct evn_map_fit {
    double c[EVN_MAP_TERMS]; /* W */
    double characteristic_share;
    double base_rad_s, peak_nm;
} evn_map_fit;

/* What a node holds, in doubles that follow each other: what is interpolated, and its derivatives. */
enum { EVN_NODE_VALUE, EVN_NODE_BY_SPEED, EVN_NODE_BY_TORQUE, EVN_NODE_BY_BOTH, EVN_NODE_DOUBLES };

typedef struct evn_map_layer { /* one voltage */
    double voltage_v;
    evn_map_fit fit;
    bool on_fit;           /* the nodes hold what the losses differ from the fit, otherwise the losses */
    double bend_w;         /* sums of fit and nodes below it are bent upwards, so that no loss is below 0; map.c */
    const double *node;    /* [speeds][torques][EVN_NODE_DOUBLES] */
    const uint8_t *filled; /* [speeds][torques]: 1 where not measured */
} evn_map_layer;

/* How far a map can be trusted. Steps are between neighbouring speeds or torques, up to those that the motor reaches.
 */
typedef struct evn_map_quality {
    size_t points;                      /* measured */
    double farthest;                    /* of these from the fit, as a share of the loss, or of a tenth of the mean loss
                                           where that is more */
    double farthest_nm, farthest_rad_s; /* where */
    double step_rad_s, after_rad_s;     /* the widest, and where it begins */
    double step_nm, after_nm;
} evn_map_quality;

typedef struct evn_map {
    size_t speeds, torques, layers;
    const double *speed_rad_s, *torque_nm; /* rising; from 0 at least to top speed; through 0 at least to peak torque */
    evn_map_layer layer[EVN_MAP_VOLTAGES_MOST];
    bool mirrored, includes_inverter, any_filled;
    double rest_w; /* loss at rest without torque, at the reference voltage */
    double winding_degc, reference_v;
    evn_map_quality quality;
} evn_map;

/* Sorts what was read. False when it holds a fault or memory ran out; both are said when there is a report. */
bool evn_map_points_read(const evn_map_file *, const evn_seat *, evn_arena *, evn_map_points *, evn_report *);
/* The highest speed and torque (either way) that it names. */
void evn_map_reach(const evn_map_file *, double *speed_rpm, double *torque_nm);
/* Fits, fills, and sets the slopes. NULL when memory ran out, or what was read holds a fault. */
const evn_map *evn_map_make(const evn_map_file *, const evn_map_machine *, evn_arena *);
const evn_map *evn_map_make_of(const evn_map_points *, const evn_map_file *, const evn_map_machine *, evn_arena *);
/* With all that it leads to; NULL when memory ran out. */
const evn_map *evn_map_copy(const evn_map *, evn_arena *);
/* With all its losses so many times as large, and what follows the winding with them; shares axes with the map it is
 * made of, which it is itself where the factor is 1. NULL when memory ran out. */
const evn_map *evn_map_times(const evn_map *, double factor, evn_arena *);

/* The map of a motor alike in shares of its peaks, with so many times the loss, torque and speed. NULL when memory ran
 * out. */
typedef struct evn_map_stretch {
    double loss, torque, speed;
} evn_map_stretch;
const evn_map *evn_map_stretched(const evn_map *, evn_map_stretch, evn_arena *);

/* ---- map_shelf.c: a fit costs more than a short run, so it is made once for all that was read together */
/* The shelf of an arena, which takes over what stands on another (may be NULL); NULL when memory ran out. */
evn_map_shelf *evn_map_shelf_in(evn_arena *, const evn_map_shelf *from);
/* As evn_map_make, kept on the file's shelf, where it stands until others push it off; without a shelf in the arena.
 * For who alone holds the file. */
const evn_map *evn_map_keep(const evn_map_file *, const evn_map_machine *, evn_arena *);
/* As evn_map_make; a copy, where the shelf has it. Changes nothing of the shelf: threads may share it. */
const evn_map *evn_map_take(const evn_map_file *, const evn_map_machine *, evn_arena *);

/* Loss of the motor, W. copper_factor: resistance of the winding over that at which the map was measured. */
double evn_map_loss_w(const evn_map *, double torque_nm, double speed_rad_s, double voltage_v, double copper_factor);
/* What of a loss at a point the fit gives to the square of the current: the share that follows the winding. */
double evn_map_copper_w(const evn_map *, double torque_nm, double speed_rad_s, double voltage_v, double copper_factor,
                        double loss_w);
/* Torque of what the map loses without torque beyond its loss at rest: what turning it unused costs. */
double evn_map_drag_nm(const evn_map *, double speed_rad_s);
/* Whether this point is nearer to filled cells than to measured ones (bilinear weights), or beyond the grid. */
bool evn_map_is_filled(const evn_map *, double torque_nm, double speed_rad_s, double voltage_v);

/* ---- parts of the making; map_fit.c */
/* The fit, and what of it grows with the resistance of the winding. */
double evn_map_fit_w(const evn_map_fit *, double torque_nm, double speed_rad_s, double *copper_w);
/* Least squares over the measured cells of one voltage. */
void evn_map_fit_make(evn_map_fit *, const evn_map_points *, const double *loss_w, bool with_inverter);
/* Whether what the losses differ from the fit is interpolated better than they are, judged by leaving cells out. */
bool evn_map_fit_helps(const evn_map_fit *, const evn_map_points *, const double *loss_w);
/* Puts the fit, scaled to the measured cells around, where nothing was measured; `ratio` is room for as many numbers.
 */
void evn_map_fill(const evn_map_fit *, const evn_map_points *, double *loss_w, uint8_t *filled, double *ratio);

/* ---- parts of the making; map_quality.c */
/* Takes in the measured cells of one voltage, and the axes. */
void evn_map_judge_cells(evn_map_quality *, const evn_map_fit *, const evn_map_points *, const double *loss_w);
void evn_map_judge_axes(evn_map_quality *, const evn_map_points *, const evn_map_machine *);

/* ---- map_checks.c */
/* Warns, at the key `map` of its motor, of points far from the fit and of wide steps. The loss without torque at top
 * speed, W; NAN where memory is out. */
double evn_map_check(const evn_map_file *, const evn_map_machine *, const evn_seat *motor, evn_report *);

/*
 * Share of the maximum current that weakens the field, for torque share t at x times base speed; the voltage limit of a
 * machine without saliency solved for the direct-axis current (machine equations):
 *   i_d = kappa (1 - sqrt((1 + 1/kappa^2)/x^2 - (t/kappa)^2)), not below 0.
 * Beyond the reach of the voltage the root has no real value: the whole kappa is taken. In the header, since every loss
 * of a motor passes through it.
 */
static inline double evn_weakening_share(double k, double t, double x)
{
    if (k <= 0 || x <= 1) /* below base speed the root is above 1 for every t <= 1 */
        return 0;
    double under = (1 + 1 / (k * k)) / (x * x) - t * t / (k * k);
    if (under >= 1)
        return 0;
    return under > 0 ? k * (1 - sqrt(under)) : k;
}

#endif
