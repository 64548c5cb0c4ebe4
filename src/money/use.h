/* What a truck takes on its day: driven in all seasons, as a mean over the year. */
#ifndef EVENER_MONEY_USE_H
#define EVENER_MONEY_USE_H
#include "duty/demanded.h"
#include "duty/duty.h"
#include "evener/range.h"
#include "money/bought.h"

enum { EVN_USE_WHY_BYTES = 400 };

/* Of a day, energies of the year's mean by the shares of seasons. */
typedef struct evn_use {
    const char *status;           /* "finished", or why there is nothing else */
    double km, h, t_km;           /* the last NAN: nothing is carried */
    double battery_kwh;           /* out of the battery less what braking gave back, before its resistance */
    double stored_kwh;            /* that stops gave back, within the battery */
    double charged_kwh;           /* at its terminals for that */
    double charged_from_grid_kwh; /* by the duty's chargers that state an efficiency */
    double charged_unstated_kwh;  /* of charged_kwh, by those that state none */
    double surplus_kwh;           /* of seasons whose stops gave back more than the day took: that more, else 0 */
    double discharged_kwh;
    double worst_depot_kwh;           /* battery_kwh less stored_kwh in the season where that is most */
    double depth;                     /* of a day's discharge, the most of any season, of the whole charge */
    double drawn;                     /* likewise: that, and what stops put back before its lowest charge */
    double stopped_km, stopped_drawn; /* where a season's day ends before its end, the earliest: so far, and drawn of
                                         the charge until then; NAN: none does */
    double reserve_soc; /* at its lowest, above the usable window's lower end, the least of any season that
                           came to its end; NAN: none did */
    double end_kwh;     /* energy of the whole charge as it is there, where the reserve of energy is least */
    double pack_kwh, pack_v, pack_ohm; /* new, between 0 and 1; mean open-circuit voltage; at usual temperature */
    double may_carry_t;                /* with which no permitted mass is passed */
    double kerb_kg, payload_t;
    evn_duty_verdicts demanded;               /* of each demand that season in which it is least kept ... */
    const char *worst[EVN_DUTY_DEMANDS_MOST]; /* ... which is this; NULL: the duty has none */
    bool meets;                               /* all of them */
} evn_use;

/* Of what a stop charged, or any phase of a day: which of both it is, the other 0. */
void evn_use_charged(const evn_results *, double *from_grid_kwh, double *unstated_kwh);

/* Drives it. False where the duty or the ask does not do, or memory is out (said). */
bool evn_use_find(const evn_truck_file *, const evn_duty_file *, const evn_conditions *, const evn_day_how *, evn_use *,
                  evn_report *);

#endif
