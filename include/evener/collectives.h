/*
 * collectives.h: load collectives (load spectra) of a run, of each shaft of each drive unit and gear by gear: how long,
 * and for how many revolutions, at which torque and speed; and the damage-equivalent torque. For whoever designs or
 * buys gearboxes, shafts and axles. An estimate for comparing: what parts must bear is for approved testing and
 * licensed practice.
 */
#ifndef EVENER_COLLECTIVES_H
#define EVENER_COLLECTIVES_H

#include "evener/evener.h"

#ifdef __cplusplus
extern "C" {
#endif

/*
 * Counts the shafts of one run: a member of evn_watcher. A run that begins counts from nothing. Torque and speed are
 * those of the run's own physics at each stage, with losses and inertia of the instant; above zero pulls. Time at rest
 * is left out, and so is what a change of gear does to rotors. Gear 0: the gear changes, or the disconnect is open;
 * what still turns with the wheels is dragged then.
 */
EVN_API evn_collective *evn_collective_new(const evn_rig *); /* which must outlive it; NULL when memory is out */
EVN_API void evn_collective_free(evn_collective *);

typedef struct evn_collective_shaft {
    const char *drive_unit;
    const char *axle;  /* NULL: before the path divides, or it turns for several axles */
    const char *shaft; /* "motor_shaft", "gearbox_output", "final_drive_input", "half_shaft", "wheel_hub", ... */
    const char *label; /* the same in words */
    size_t alike;      /* so many share the torque and turn alike; all torque is that of one */
    size_t gears;      /* of its drive unit; each has a collective, and gear 0 */
    size_t torque_classes, speed_classes;    /* half of the first are below 0 */
    double torque_class_nm, speed_class_rpm; /* their widths */
} evn_collective_shaft;

/* Unit by unit, from the motor to the wheels. Texts live as long as the collective. False: no such. */
EVN_API bool evn_collective_shaft_at(const evn_collective *, size_t shaft, evn_collective_shaft *out);

/*
 * Linear damage accumulation (Palmgren, Miner; from memory): T_eq = (sum n |T|^k / n_ref)^(1/k), over revolutions n.
 * The exponent is the slope of the part's life curve: 10/3, the default, is that of roller bearings with line contact
 * (ISO 281, from memory), and 3 that with point contact; flanks and roots of gear teeth, and shafts, have others
 * (ISO 6336, from memory: some 6 to 17), which whoever makes the part states.
 */
typedef struct evn_damage {
    double exponent;    /* 1 to 100 */
    double revolutions; /* n_ref, 1 to 1e12; 0: all revolutions of the shaft, over all gears */
} evn_damage;
#define EVN_DAMAGE_EXPONENT (10.0 / 3)

/* One side of a collective: teeth are loaded on one flank at a time. */
typedef struct evn_collective_side {
    double duration_s, revolutions;
    double work_kwh;      /* through one shaft */
    double most_nm;       /* largest torque; 0 where there is none */
    double equivalent_nm; /* of this side's revolutions alone, over the same n_ref; NAN: no revolutions to refer to */
} evn_collective_side;

typedef struct evn_collective_sum {
    evn_collective_side both, pulling, braking; /* magnitudes; work of both: pulling less braking */
} evn_collective_sum;

/* Of one gear, or of all where it is EVN_ALL_GEARS. False: no such shaft or gear, or a damage out of its bounds. */
#define EVN_ALL_GEARS ((size_t)-1)
EVN_API bool evn_collective_sum_of(const evn_collective *, size_t shaft, size_t gear, const evn_damage *,
                                   evn_collective_sum *out);

/* What stands in a class of torque and one of speed. */
typedef struct evn_collective_cell {
    double torque_from_nm, torque_to_nm, speed_from_rpm, speed_to_rpm;
    double mean_nm; /* over its revolutions; the middle of the class where there are none */
    double duration_s, revolutions;
} evn_collective_cell;

/* Of one gear or EVN_ALL_GEARS, of a class of torque (from the most braking on), of a class of speed or EVN_ALL_SPEEDS.
 * The outermost classes hold what is beyond them. False: no such. */
#define EVN_ALL_SPEEDS ((size_t)-1)
EVN_API bool evn_collective_cell_at(const evn_collective *, size_t shaft, size_t gear, size_t torque_class,
                                    size_t speed_class, evn_collective_cell *out);

#ifdef __cplusplus
}
#endif
#endif
