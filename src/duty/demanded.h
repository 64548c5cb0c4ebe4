/* What a duty demands of a day, held against what it came to. */
#ifndef EVENER_DUTY_DEMANDED_H
#define EVENER_DUTY_DEMANDED_H
#include "duty/driven_on.h"
#include "duty/duty.h"

enum { EVN_DUTY_DEMANDS_MOST = 8 };

typedef struct evn_duty_verdicts { /* of one truck in one season */
    evn_day_demand demand[EVN_DUTY_DEMANDS_MOST];
    size_t count;
} evn_duty_verdicts;

/* Whether the distance to the reserve is asked of a day that does not tell it: more is demanded than it has, or the
 * reserve was met on the way (`reserve_soc`, `reserve_kwh` of the season are those of its end). */
bool evn_duty_wants_more(const evn_duty_demands_file *, const evn_day_season *);

/* A day that did not come to its end meets none but the steepest start and abilities; one that was stopped is judged by
 * these alone.
 * `on`: how far it goes on; NULL: not asked. */
void evn_duty_judge(evn_duty_verdicts *, const evn_duty_demands_file *, const evn_day_season *, const evn_day_plan *,
                    const evn_driven_on *on, const evn_driving *, evn_report *);

/* Says which are not met; `of` tells whose, "" where there is but one. */
void evn_duty_say_unmet(const evn_duty_verdicts *, const char *of, evn_report *);

#endif
