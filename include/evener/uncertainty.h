/*
 * uncertainty.h: how sure the difference between the trucks of a comparison is, from what is not known of their data:
 * draws (JCGM 101:2008, propagation of distributions) and first order (JCGM 100:2008, 5.1.2), and one rule for the word
 * "cannot be told apart".
 */
#ifndef EVENER_UNCERTAINTY_H
#define EVENER_UNCERTAINTY_H

#include "evener/evener.h"
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

/* ------------------------------------------------------------------------------------------------ data that err */

/* How what a datum errs is distributed within its half width h about the middle of its range, which is the value itself
 * where no offset is stated. */
typedef enum evn_error_shape {
    EVN_RECTANGULAR, /* evenly within +-h: standard uncertainty h/sqrt(3) */
    EVN_TRIANGULAR,  /* h/sqrt(6) */
    EVN_NORMAL       /* h is two standard uncertainties (coverage factor 2, JCGM 100, 6.2 and 6.3): h/2 */
} evn_error_shape;

/*
 * A datum: what errs as one. Of one or more values, in one truck or in several: values of one entry of `uncertain`, of
 * a part that is used more than once, or all that err with one label.
 */
typedef struct evn_datum {
    const char *label; /* "mesh friction", "rolling resistance coefficient (tyre-steer)" */
    const char *path;  /* of its first value, as of --set in the lineup: "trucks.central.battery.resistance_ohm" */
    const char *unit;  /* of that value */
    double value;      /* the first number of it */
    double half_width; /* in that unit, of the first number; at or above 0 */
    double relative;   /* share of the value; NAN: stated as half width */
    double offset;     /* by so much the middle of its range lies above the value, in that unit; 0: even about it */
    evn_error_shape shape;
    const char *errs_with; /* the label; NULL: nothing else errs with it */
    const char *source;    /* where its half width comes from, NULL: not said */
    bool by_default;       /* stated nowhere: that of the key */
    const char *file;      /* where its half width is stated; NULL by default */
    unsigned line;
    size_t values;   /* numbers that it moves */
    uint64_t trucks; /* bit i: it moves something of truck i */
} evn_datum;

/*
 * What may be off in one truck, by what its files state and by the defaults of their keys; paths are from its root.
 * Errors as of evn_uncertainty_find.
 */
typedef struct evn_truck_data evn_truck_data;
EVN_API evn_status evn_truck_data_find(const evn_truck *, evn_truck_data **out, evn_report *);
EVN_API void evn_truck_data_free(evn_truck_data *);
EVN_API bool evn_truck_datum_at(const evn_truck_data *, size_t index, evn_datum *out);

/* ------------------------------------------------------------------------------------------------ finding it */

typedef enum evn_uncertainty_method {
    EVN_UNCERTAINTY_OFF,
    EVN_UNCERTAINTY_FIRST_ORDER, /* both bases */
    EVN_UNCERTAINTY_DRAWS        /* common speed; first order beside it */
} evn_uncertainty_method;

enum {
    EVN_DRAWS_USUAL = 256,
    EVN_DRAWS_LEAST = 16,
    EVN_DRAWS_WORD_LEAST = 20, /* fewer tell no truck lower or higher */
    EVN_DRAWS_MOST = 65536,
    EVN_DRAW_GROUPS = 4, /* each scrambled by itself; their scatter is the sampling error. Draws are a multiple of it */
    EVN_PILOT_DRAWS = 16 /* the first of all, driven beforehand: the speed of all is lowered to what these reached */
};

/* A file that states what is not known, beside the trucks' own: kind "uncertainties". Errors as of evn_truck_load. */
typedef struct evn_uncertainties evn_uncertainties;
EVN_API evn_status evn_uncertainties_load(const char *path, evn_uncertainties **out, evn_report *);
EVN_API void evn_uncertainties_free(evn_uncertainties *);

typedef struct evn_uncertainty_how {
    evn_uncertainty_method method;
    size_t draws;                    /* 0: EVN_DRAWS_USUAL */
    uint64_t seed;                   /* of the scrambling */
    const evn_uncertainties *beside; /* goes before what trucks and lineup state; NULL: none. Must outlive the answer */
    size_t threads;                  /* as of evn_compare_how */
    void *self;
    bool (*go_on)(void *self, double done_share); /* likewise; false: what is there by then is marked partial */
} evn_uncertainty_how;

typedef struct evn_uncertainty evn_uncertainty;

/*
 * What first order would take: values that err, times the trucks they move, times the cycle in km; counted, never
 * timed, so the same everywhere. Up to EVN_UNCERTAINTY_WORK_USUAL it is found without being asked for. NAN where what
 * the files state cannot be (evn_uncertainty_find says why) or memory is out.
 */
EVN_API double evn_uncertainty_work(const evn_lineup *);
#define EVN_UNCERTAINTY_WORK_USUAL 1000

/* Whether what the files state of the lineup's trucks can be, before anything is driven: what evn_uncertainty_find
 * would refuse of it. `beside` may be NULL. Errors as of evn_uncertainty_find; otherwise nothing is said. */
EVN_API evn_status evn_uncertainty_check(const evn_lineup *, const evn_uncertainties *beside, evn_report *);

/*
 * How sure the differences of a comparison are; the comparison and its lineup must outlive it. Trucks that did not
 * finish at the common speed take no part. EVN_DONE, or EVN_NO_RESULT ("interrupted") with what is there in `out`. NULL
 * in `out` where the ask does not fit ("usage"), no two trucks take part, or memory is out.
 */
EVN_API evn_status evn_uncertainty_find(const evn_lineup *, const evn_comparison *, const evn_uncertainty_how *,
                                        evn_uncertainty **out, evn_report *);
EVN_API void evn_uncertainty_free(evn_uncertainty *);

/* ------------------------------------------------------------------------------------------------ the answer */

/* One rule for terminal, page, JSON and every verdict: apart where the 90 % interval does not contain zero, which is
 * where one side has a probability of at least 95 %. Not by fewer than EVN_DRAWS_WORD_LEAST draws, of which one is more
 * than 5 %; nor, by any method on any basis, where one of the two does not finish in more than EVN_FAILS_OFTEN of the
 * draws. */
typedef enum evn_apart { EVN_CANNOT_BE_TOLD_APART, EVN_IS_LOWER, EVN_IS_HIGHER } evn_apart;

/* Key of the result that is judged: "kwh_per_km", or "kwh_per_t_km" where trucks are equal in gross mass. */
EVN_API const char *evn_uncertainty_key(const evn_uncertainty *);

/*
 * Of one truck against another: in per cent of the other's. Reckoned is with the logarithm of their ratio, so that A
 * against B and B against A have one verdict and one probability; where a truck came to zero or less, with their
 * difference in per cent of the other's as compared.
 */
typedef struct evn_sureness {
    evn_uncertainty_method by;
    double nominal_percent;                /* of the comparison, as told there */
    double mean_percent, standard_percent; /* mean and standard uncertainty of the difference: of first order the mean
                                              is off the nominal where ranges are not even about their values */
    double low_percent, high_percent;      /* ends of the 90 % interval: 5 % lie below the one, 5 % above the other */
    double probability_lower;              /* that this truck takes less than the other */
    /* Standard errors of sampling; NAN of first order. */
    double low_error_percent, high_error_percent, probability_error;
    evn_apart apart;
    /* Of draws: the word would be another within the error of sampling that is passed 5 times in 100, which is 3.18
     * standard errors of four groups, or they are fewer than EVN_DRAWS_WORD_LEAST; more draws would help. */
    bool hangs_on_draws;
    size_t draws;  /* that it rests on; 0 of first order */
    size_t failed; /* draws that count nowhere, for one of the two did not finish */
    /* One of the two does not finish in more than EVN_FAILS_OFTEN of the draws, which is told of first order beside
     * them too: intervals are those of trucks that get through, and no word is told. */
    bool fails_often;
    /* The nominal difference lies outside of the middle half of the interval: the trucks as written stand near an end
     * of what their data may be. */
    bool nominal_aside;
} evn_sureness;
#define EVN_FAILS_OFTEN 0.05

/* False: a truck takes no part, or there is nothing by this method on this basis. */
EVN_API bool evn_uncertainty_between(const evn_uncertainty *, size_t truck, size_t other, evn_basis,
                                     evn_uncertainty_method, evn_sureness *out);
/* By draws where there are any, on the common basis; else by first order. */
EVN_API bool evn_uncertainty_of(const evn_uncertainty *, size_t truck, size_t other, evn_basis, evn_sureness *out);

/* Trucks that take part, by the judged result at the common speed from the least on. SIZE_MAX: no more. */
EVN_API size_t evn_uncertainty_ranked(const evn_uncertainty *, size_t rank);

/* How it was found. */
typedef struct evn_uncertainty_facts {
    evn_uncertainty_method method;
    size_t draws_asked, draws_done; /* done: in which all trucks finished */
    uint64_t seed;
    size_t fell_short;     /* draws in which a truck fell short of the common speed, and all got a lower one */
    size_t failed;         /* draws in which a truck did not finish: they count for no pair that it is one of */
    size_t held_at_bounds; /* numbers that a draw would have put beyond the bounds of their key */
    /* All are driven below the common speed where trucks limit that: at what each reaches when it is made heavier by
     * this share of its mass (0: the common speed itself), draws below what the first of them (EVN_PILOT_DRAWS)
     * reached.
     */
    double speed_margin;
    /* By so many points at most that moves the difference of any two as they are; intervals lie about it as compared.
     */
    double speed_moved_percent;
    size_t data;   /* that err */
    size_t uneven; /* of these: whose ranges are not even about the values */
    bool partial;  /* stopped before all was done */
} evn_uncertainty_facts;
EVN_API evn_uncertainty_facts evn_uncertainty_how_found(const evn_uncertainty *);

EVN_API bool evn_uncertainty_datum_at(const evn_uncertainty *, size_t index, evn_datum *out);

/* A number and one datum that moves it; a number that several move comes once for each, one after the other. */
typedef struct evn_datum_number {
    size_t datum;
    const char *path; /* as of --set in the lineup */
    double value;
    double half_width; /* in its unit; below 0: it falls where the datum rises */
    evn_error_shape shape;
    double offset; /* of the middle of its range */
} evn_datum_number;
EVN_API bool evn_uncertainty_number_at(const evn_uncertainty *, size_t index, evn_datum_number *out);

/* What a datum brings into the difference between two trucks, by first order. */
typedef struct evn_share {
    size_t datum;
    double slope_percent;  /* the difference moves by so many percentage points for one standard uncertainty up */
    double share;          /* of the variance */
    double second_percent; /* half the second difference over plus and minus one standard uncertainty */
    bool bends;            /* that is a fifth of the slope or more, and tells beside the standard uncertainty of the
                              difference: first order is a rough guide for it */
    /* The 90 % interval that is told, if this datum's half width were half: its ends nearer to its mean. */
    double half_low_percent, half_high_percent;
} evn_share;

/* The largest share first; those that move nothing at the end. False: no more. */
EVN_API bool evn_uncertainty_share_at(const evn_uncertainty *, size_t truck, size_t other, evn_basis, size_t index,
                                      evn_share *out);

/* Draws in which a truck did not finish, and why it did not in the first of them (as long as the answer). False: it
 * finished in all, or there is no such truck. */
typedef struct evn_failed_draws {
    size_t draws;
    const char *reason;
} evn_failed_draws;
EVN_API bool evn_uncertainty_failed_at(const evn_uncertainty *, size_t truck, evn_failed_draws *out);

/* What one draw came to. False: no such, or the truck did not finish in it. */
EVN_API bool evn_uncertainty_draw_at(const evn_uncertainty *, size_t draw, size_t truck, double *value);

#ifdef __cplusplus
}
#endif
#endif
