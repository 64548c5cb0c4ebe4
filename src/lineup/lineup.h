/*
 * A lineup: several trucks side by side, on one cycle, in one load case, driven alike. As it is written, and compared:
 * each truck at its own speeds, and all of them at one common speed.
 */
#ifndef EVENER_LINEUP_LINEUP_H
#define EVENER_LINEUP_LINEUP_H
#include "cycle/cycle.h"
#include "duty/duty.h"
#include "evener/likeness.h"
#include "limits/limits.h"
#include "trip/drive.h"
#include "truck/truck.h"

enum { EVN_LINEUP_LEAST = 2, EVN_LINEUP_MOST = 12 };

typedef struct evn_lineup_file {
    const char *name, *source;
    bool invented;
    const evn_cycle_file *cycle; /* NULL: a duty */
    const evn_duty_file *duty;   /* NULL: a cycle */
    const char *season;          /* of the duty; NULL: its first */
    const evn_load_case *load_case;
    const evn_driving *driving;
    const evn_demands *demands;
    int equal;          /* place among evn_equal_choices */
    evn_many trucks;    /* evn_truck_file */
    evn_many uncertain; /* evn_uncertain_file */
} evn_lineup_file;

extern const evn_object evn_lineup_object;

/* The season of its duty in which it compares; NULL: none. */
const evn_season_file *evn_lineup_season(const evn_lineup_file *);

/* What a lineup asks of its runs. */
evn_conditions evn_lineup_asks(const evn_lineup_file *);

/* What its trucks are to be made equal in; `equal` is the row of that key. */
evn_equal evn_lineup_wants_equal(const evn_lineup_file *);
extern const char evn_lineup_equal_key[];

/* True for a name that can be part of the name of a file as it stands. */
bool evn_lineup_name_fits(const char *name);

/* ------------------------------------------------------------------------------------------------ comparing */

typedef struct evn_contender {
    const char *name;
    const evn_truck_file *truck;
} evn_contender;

typedef struct evn_compared_over { /* one of them */
    const evn_cycle_file *cycle;
    const evn_duty_file *duty;
    size_t season;                    /* of the duty, in which they are compared */
    const evn_conditions *any_season; /* what is asked, without that season's; NULL: a cycle */
} evn_compared_over;

/*
 * Drives all of them on both bases. What is handed over must outlive the comparison, but for the list of contenders.
 * `equal` of the how is not EVN_EQUAL_AS_LINEUP. NULL only when memory is out, the ask does not fit, or the trucks
 * cannot be made equal (said).
 */
evn_comparison *evn_compare_trucks(const evn_contender *, size_t count, const evn_compared_over *,
                                   const evn_conditions *, const evn_compare_how *, evn_report *);

#endif
