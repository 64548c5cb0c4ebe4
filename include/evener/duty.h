/*
 * duty.h: a working day of legs and stops, driven whole by one truck: charge, temperatures and the clock are carried
 * from each to the next. What is carried and what is left out stands in src/duty/DUTY.md of the source tree.
 */
#ifndef EVENER_DUTY_H
#define EVENER_DUTY_H

#include "evener/evener.h"
#include "evener/values.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct evn_duty evn_duty; /* as read, checked */

/* As evn_truck_load; "duty.KEY=VALUE" among the values set beside the files is for the duty and left alone by a truck,
 * "trucks." and all others by a duty. */
EVN_API evn_status evn_duty_load(const char *path, evn_duty **out, evn_report *);
EVN_API evn_status evn_duty_load_with(const char *path, const evn_load *, evn_duty **out, evn_report *);
EVN_API void evn_duty_free(evn_duty *);

EVN_API const char *evn_duty_name(const evn_duty *);
EVN_API const char *evn_duty_source(const evn_duty *);              /* where it comes from, or "invented" */
EVN_API double evn_duty_working_days_per_year(const evn_duty *);    /* NAN: not stated */
EVN_API size_t evn_duty_season_count(const evn_duty *);             /* at least 1 */
EVN_API const char *evn_duty_season_name(const evn_duty *, size_t); /* NULL: the only one, without a name */

/* The first leg or stop of the day that states its payload (kg, not a change): until there the truck carries what is
 * asked for, or its own. False: none does, what is asked for is that of the whole day. */
EVN_API bool evn_duty_payload_until(const evn_duty *, const char **name, bool *stop);

/* That which a lineup drives; belongs to it. NULL: it drives a cycle. */
EVN_API const evn_duty *evn_lineup_duty(const evn_lineup *);

/* As evn_truck_hash: of all values that count, those of its cycles too. */
EVN_API void evn_duty_hash(const evn_duty *, char out[EVN_HASH_BYTES]);

typedef struct evn_day evn_day; /* what came of a day */

/* All zero does: as many threads as processors, nobody watches. */
typedef struct evn_day_how {
    size_t threads; /* seasons are driven at the same time; the results are the same bytes */
    void *self;
    bool (*go_on)(void *self, double done_share); /* as in evn_compare_how */
    /* May be NULL. Says who samples a leg, a part of one or a stop of the day in a season; the list is copied. Called
     * by the thread that called evn_drive_duty, before anything is driven, for all of them in their order. The rig is
     * the truck in the season's load case, whose columns the rows have; it is there as long as the day (evn_day_rig).
     * Times and places of rows count from where theirs began. Those of one season come one after another, seasons at
     * the same time. */
    evn_samplers (*samplers)(void *self, size_t season, const evn_rig *, size_t phase);
} evn_day_how;

/*
 * Drives the day of a duty in each of its seasons. `how` may be NULL. EVN_DONE, or EVN_ANSWER_NO where the battery runs
 * empty before the day ends ("battery_empty"), the truck stalls ("cannot_start") or a stop that lasts until the battery
 * is charged does not come to its end ("not_charged"), with all that was driven until then, or where the day does not
 * come to what the duty demands ("demand_not_met"). NULL in `out` only where the ask or the duty does not do, or memory
 * is out. The day keeps nothing of truck and duty but their data, which must outlive it.
 */
EVN_API evn_status evn_drive_duty(const evn_truck *, const evn_duty *, const evn_conditions *, const evn_day_how *how,
                                  evn_day **out, evn_report *);
EVN_API void evn_day_free(evn_day *);

typedef struct evn_day_season {
    const char *name;                /* NULL: the only one, without a name */
    double share;                    /* of the working days */
    evn_load_case load_case;         /* as it was driven in; its payload is that at the start of the day */
    const char *status;              /* as of results; of the last leg or stop that was begun */
    const evn_results *results;      /* of the whole day: sums, highest temperatures, quotients of sums; NULL: none */
    double begin_soc, lowest_soc;    /* the lowest at the ends of legs and stops */
    double reserve_soc, reserve_kwh; /* from there to the lower end of the battery's usable window */
} evn_day_season;
EVN_API bool evn_day_season_at(const evn_day *, size_t season, evn_day_season *out);
/* The truck in the season's load case, with its payload at the start of the day; belongs to the day. NULL: no such
 * season. Rows of its legs and stops have its columns, which are not the same in every season: those of tyres are there
 * only where a load case lets them warm up. */
EVN_API const evn_rig *evn_day_rig(const evn_day *, size_t season);
/* The season whose day leaves the least reserve; one that did not finish before all others, of several that which got
 * least far. */
EVN_API size_t evn_day_worst_season(const evn_day *);

/* A leg, or a part of one that stops part, or a stop. */
typedef struct evn_day_phase {
    const char *name;
    bool stop;              /* the truck stands */
    unsigned round, rounds; /* from 1, of so many of the day, counted on over its lists of rounds; 0: of none */
    unsigned part, parts;   /* of a leg, from 1; 0: a stop */
    unsigned time, times;   /* from 1, of so many of this name and direction in the same round, or outside of rounds */
    bool both_ways;         /* legs of this name are driven out and back */
    const char *cycle;      /* its name; NULL: a stop */
    bool back;              /* the cycle's way back */
    double payload_kg;      /* during it */
    double begin_s, begin_km, begin_soc; /* since the start of the day; NAN: it was not begun */
    const char *status;                  /* as of results; NULL: it was not begun */
    const evn_results *results;          /* NULL: none; belongs to the day */
} evn_day_phase;
EVN_API bool evn_day_phase_at(const evn_day *, size_t season, size_t phase, evn_day_phase *out);

/*
 * The same of a truck of a comparison over a duty (evn_compare), on a basis; its season has neither name nor share.
 * False: it is over a cycle, there is no such truck, basis or phase, or it could not be prepared.
 */
EVN_API bool evn_comparison_day(const evn_comparison *, size_t truck, evn_basis, evn_day_season *out);
EVN_API bool evn_comparison_phase_at(const evn_comparison *, size_t truck, evn_basis, size_t phase, evn_day_phase *out);
/* The day of a truck of a comparison in a season of its duty, at its own speeds; in that of the comparison it is the
 * one of evn_comparison_day. False: it is over a cycle or a duty without seasons, there is no such truck or season, or
 * the truck could not be prepared, or other seasons were not asked for (`all_seasons`). */
EVN_API bool evn_comparison_season_at(const evn_comparison *, size_t truck, size_t season, evn_day_season *out);
/* Why its day in that season did not come to an end; NULL: it did, or there is none. */
EVN_API const char *evn_comparison_season_why(const evn_comparison *, size_t truck, size_t season);
/* The worst of these, as evn_day_worst_season. False: there are none, all are alike (as one alone is), or a day of them
 * was stopped. */
EVN_API bool evn_comparison_worst_season(const evn_comparison *, size_t truck, size_t *season);
/* The reserve of charge that the duty of a comparison demands; NAN: none, or it is over a cycle. */
EVN_API double evn_comparison_demanded_reserve_soc(const evn_comparison *);

/* What a year comes to: the day of each season as often as it is driven. NULL: the duty states no working days, or a
 * day did not finish. Temperatures are the highest of all seasons, states of charge the lowest. */
EVN_API const evn_results *evn_day_year(const evn_day *);

/* What the duty demands of each season's day, and what it comes to. False: no more. */
typedef struct evn_day_demand {
    evn_quantity what; /* what was found */
    double value, demanded;
    bool met;
    bool judged; /* false: it was stopped before that was found; then it is not met, and no verdict on the truck */
} evn_day_demand;
EVN_API bool evn_day_demand_at(const evn_day *, size_t season, size_t index, evn_day_demand *out);
/* The same of a truck of a comparison over a duty, at its own speeds, in each season that was driven, one after
 * another; `season` NULL: the duty has none. False: no more, or its truck could not be prepared or was stopped. */
EVN_API bool evn_comparison_day_demand_at(const evn_comparison *, size_t truck, size_t index, const char **season,
                                          evn_day_demand *out);

#ifdef __cplusplus
}
#endif
#endif
