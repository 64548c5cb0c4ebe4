/* The days that trucks are driven on before they cost anything: as the lineup has them, and with the least battery. */
#ifndef EVENER_MONEY_DAYS_H
#define EVENER_MONEY_DAYS_H
#include "money/payback.h"

/* How far the work is. */
typedef struct evn_days_progress {
    const evn_payback_how *how;
    double from, span; /* of the whole: what is done now */
    bool stopped;
} evn_days_progress;

/* Tells the watcher; false: stop. `self` is an evn_days_progress. */
bool evn_days_go_on(void *self, double share);

/* Drives a truck over a duty's day in all seasons: what came of it, and whether it is there. False when memory is out.
 */
bool evn_days_drive(const evn_payback_of *, size_t truck, const evn_truck_file *, const evn_duty_file *, evn_paying *,
                    evn_days_progress *, evn_report *);

/* What was found of one truck, its name before it, errors alone: warnings of runs are told by the commands that drive.
 */
void evn_days_hand_on(const evn_report *aside, const char *truck, evn_report *);
void evn_days_say_not_finished(const char *truck, const char *what, const char *status, evn_report *);

/* All trucks as the lineup has them, up to a share of the whole. False when memory is out. */
bool evn_days_as_lineup(evn_payback *, const evn_payback_of *, evn_days_progress *, double share, evn_report *);

/* All trucks with the least battery (least_battery.c), from a share of the whole to another; their days as they are
 * have been driven, and the distance a year is known. False when memory is out. */
bool evn_days_least(evn_payback *, const evn_payback_of *, evn_days_progress *, double from, double to, evn_report *);

/* What each of the ways of stopping that were tried costs per km, where the best of all trucks may carry so much. */
void evn_days_price_tries(evn_payback *, size_t truck, double may_carry_most_t);

/* How many ways of stopping are tried for the least battery; 1: as the duty states. */
size_t evn_days_tries(const evn_payback_how *);

/* The smallest battery with which a truck does a duty's day in the worst state to which that battery itself comes, by
 * the prices of `own`, the truck with its own, whose costs are known: its day, driven when new (least_size.c). False
 * when memory is out. */
bool evn_days_size(const evn_payback_of *, size_t truck, const evn_duty_file *, const evn_paying *own, evn_paying *,
                   evn_days_progress *, evn_report *);

#endif
