/* Drives days on from their beginning, until the distance is reached that their duty demands. */
#include "duty/driven_on.h"
#include "duty/reach.h"
#include "duty/told.h"
#include <math.h>
#include <stdlib.h>

static evn_day_reach reach_of(const evn_driven_on *d, const evn_truck_file *t, const evn_duty_file *f,
                              const evn_conditions *ask)
{
    evn_day_reach r = {.truck = t,
                       .duty = f,
                       .season = d->season,
                       .ask = *ask,
                       .payload_kg = (double)NAN,
                       .most_payload_kg = (double)INFINITY,
                       .enough_km = f->demands->distance_km,
                       .days_most = EVN_DAYS_MOST};
    r.ask.load_case.battery_age_years = d->battery_age_years;
    return r;
}

/* Warnings of a kind were told of the day itself. */
static void tell(const evn_day_reach *r, const evn_duty_file *f, evn_report *report)
{
    bool told[EVN_FAULT_COUNT];
    for (int k = 0; k < EVN_FAULT_COUNT; k++)
        told[k] = true;
    evn_day_tell_beside_answers(&r->plan, f->seasons.count > 0 ? f->seasons.name[r->season] : NULL, told, report);
}

bool evn_driven_on_find(evn_driven_on *d, size_t count, const evn_truck_file *t, const evn_duty_file *f,
                        const evn_conditions *ask, evn_runs *runs, evn_report *report)
{
    double demanded_km = f->demands->distance_km;
    evn_day_reach *reach = calloc(count > 0 ? count : 1, sizeof *reach);
    if (!reach) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the day");
        return false;
    }
    for (size_t k = 0; k < count; k++)
        reach[k] = reach_of(&d[k], t, f, ask);
    bool found = count == 0 || evn_day_reach_find(reach, count, runs, report);
    for (size_t k = 0; found && k < count; k++) {
        d[k].met = evn_day_reach_does(&reach[k], demanded_km);
        d[k].distance_km = reach[k].sustained ? fmax(reach[k].distance_km, demanded_km) : reach[k].distance_km;
        tell(&reach[k], f, report);
    }
    for (size_t k = 0; k < count; k++)
        evn_day_reach_end(&reach[k]);
    free(reach);
    return found;
}
