/*
 * beside.h: a comparison beside another one of the same trucks, driven alike, with other data of their parts: whether
 * both say the same, and which line of the energy balance makes the difference where they do not.
 *
 * All of it is at the common speed of each comparison (EVN_BASIS_COMMON).
 */
#ifndef EVENER_BESIDE_H
#define EVENER_BESIDE_H

#include "evener/likeness.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Percentage points of the first truck's use that are too little to tell trucks apart: common practice, no source. */
#define EVN_BESIDE_CLOSE_POINTS 0.5

/*
 * Whether two lineups can be driven beside each other: the same cycle, load case and driving, trucks of the same names,
 * and the same first. What differs is said ("disagrees", EVN_BAD_INPUT). The trucks themselves may be any.
 */
EVN_API evn_status evn_beside_fits(const evn_lineup *, const evn_conditions *, const evn_lineup *other,
                                   const evn_conditions *of_other, evn_report *);

typedef struct evn_beside evn_beside;

/* Holds two comparisons of lineups that fit beside each other. They need not live on; what is found belongs to `out`.
 */
EVN_API evn_status evn_beside_hold(const evn_lineup *, const evn_comparison *, const evn_lineup *other,
                                   const evn_comparison *of_other, evn_beside **out, evn_report *);
EVN_API void evn_beside_free(evn_beside *);

/* Places in what is told of both comparisons. */
typedef enum evn_beside_side { EVN_BESIDE_HERE, EVN_BESIDE_THERE } evn_beside_side;

/* Whether both comparisons say the same of two trucks. */
typedef enum evn_beside_answer {
    EVN_BESIDE_UNKNOWN, /* one of them did not finish */
    EVN_BESIDE_SAME,    /* the same truck uses less */
    EVN_BESIDE_OPEN,    /* another, but here or there the two lie closer than EVN_BESIDE_CLOSE_POINTS */
    EVN_BESIDE_OTHER    /* another, clearly in both */
} evn_beside_answer;

/* A truck, by its place in the first lineup. NAN: it did not finish, or the first truck did not. */
typedef struct evn_beside_truck {
    size_t place_there;   /* in the other lineup */
    double kwh_per_km[2]; /* by evn_beside_side */
    double use[2];        /* by what decides: kWh/km, made equal in gross mass kWh/(t km) */
    double percent[2];    /* of it, against the first truck */
    evn_beside_answer against_first;
    bool alike[2];          /* like for like with the first of its own comparison, as evn_comparison_is_alike */
    evn_equalised given[2]; /* what it was given to be equal to the first of its own comparison */
} evn_beside_truck;
EVN_API bool evn_beside_truck_at(const evn_beside *, size_t truck, evn_beside_truck *out); /* false: no such */

/*
 * A row of likeness that is judged (evn_likeness_row_at), of the same truck here and there: what else differs between
 * two lineups of which one is to have other losses. Of the first truck in which it does, by more than the row's
 * tolerance.
 */
typedef struct evn_beside_data {
    evn_likeness_row row;
    size_t truck;    /* place in the first lineup; the first where all are alike */
    double value[2]; /* NAN: not known */
    bool alike;      /* in all trucks */
} evn_beside_data;
EVN_API bool evn_beside_data_at(const evn_beside *, size_t index, evn_beside_data *out); /* false: no more */

/*
 * A line of the energy balance of a truck against that of the first. The differences of all lines add up to that of
 * kwh_per_km in each comparison, and so what they moved to what that moved. By what they moved, the largest first.
 */
typedef struct evn_beside_line {
    evn_quantity what;           /* key as of the result, "energy_balance.air_drag_kwh"; kWh/km */
    double difference_kwh_km[2]; /* against the first truck; of a truck without the part its line is 0 */
    double moved_kwh_km;         /* the second less the first */
} evn_beside_line;
EVN_API bool evn_beside_line_at(const evn_beside *, size_t truck, size_t index, evn_beside_line *out);

/* Which truck uses least; places in the first lineup. */
typedef struct evn_beside_verdict {
    size_t lowest, next;
    double lead_points; /* by how much the next uses more, in percentage points of the first truck's use */
    bool close;         /* less than EVN_BESIDE_CLOSE_POINTS */
} evn_beside_verdict;
/* False: the first truck did not finish, or no other. */
EVN_API bool evn_beside_verdict_of(const evn_beside *, evn_beside_side, evn_beside_verdict *out);

/* Of the truck that is lowest here and the one that is lowest there; the same where it is one. */
EVN_API evn_beside_answer evn_beside_answers(const evn_beside *);

#ifdef __cplusplus
}
#endif
#endif
