/*
 * explain.h: how a number of a run comes about: the formula or what was integrated, its inputs with values, each with
 * the file and line, the default, or what was asked that it comes from, and where that says it has it from; down to the
 * parts of the truck.
 */
#ifndef EVENER_EXPLAIN_H
#define EVENER_EXPLAIN_H

#include "evener/causes.h"
#include "evener/limits.h"
#include "evener/values.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum evn_known_by {
    EVN_KNOWN_BY_FORMULA,  /* from other results, and values of the truck */
    EVN_KNOWN_OVER_RUN,    /* integrated over the run; the formula is that of an instant */
    EVN_KNOWN_AS_MOST,     /* the greatest of the run */
    EVN_KNOWN_BY_COUNT,    /* counted, or summed up over what happened */
    EVN_KNOWN_AS_JUDGED,   /* yes or no */
    EVN_KNOWN_FROM_ENDS,   /* from what is at the start and at the end of the run */
    EVN_KNOWN_FROM_TRUCK,  /* follows from the truck before it drives */
    EVN_KNOWN_AS_SOUGHT,   /* what the truck can: sought by forces, or by runs on made roads, up to the limit that binds
                            */
    EVN_KNOWN_AS_LIMIT,    /* a limit, with what it hangs on; without a value of its own */
    EVN_KNOWN_AS_AVERAGE,  /* a cause: what its exchange changes, averaged over all orders of exchange */
    EVN_KNOWN_BY_EXCHANGE, /* what one of these exchanges gives to the average */
    EVN_KNOWN_AS_WRITTEN,  /* a value of a file, or its default */
    EVN_KNOWN_AS_ASKED     /* of the load case or of the driving */
} evn_known_by;

/* A formula that was worked out with the values of this run, and held against the result. */
typedef struct evn_explained_check {
    const char *formula;    /* in words: "net battery energy / distance" */
    const char *expression; /* by keys: "{battery_kwh} / {distance_km}" */
    double gives, difference;
    double tolerance; /* of the difference, in the unit of the result: for rounding, or for how a run is integrated */
    bool agrees;
} evn_explained_check;
enum { EVN_EXPLAINED_CHECKS = 2 };

/*
 * One row of an explanation. The rows below it, one deeper, are its inputs; rows of a part are its values. What was
 * explained further up is named again without its inputs.
 */
typedef struct evn_explained {
    unsigned depth;
    /* of a result or a figure of the truck; behind "cycle.", "load_case." or "driving." of these; else the path of a
     * value of the truck */
    const char *key;
    const char *label, *unit, *help; /* "" where there is none */
    evn_known_by by;
    evn_quantity what;        /* of a result or figure; its key NULL: neither */
    double value;             /* NAN: none */
    const evn_value *written; /* of AS_WRITTEN: the value with its place; a group is a part, or its keys; else NULL */
    const char *word;         /* of a choice that was asked; else NULL */
    bool by_default;          /* of AS_ASKED: nothing else was asked than the default of the key */
    const char *formula;      /* of a result: how it comes about, in words; else NULL */
    evn_explained_check check[EVN_EXPLAINED_CHECKS];
    size_t checks;      /* of BY_FORMULA the first is the formula itself */
    const char *source; /* of what is written what file or key say; of a formula where it is published; or NULL */
    bool again;         /* explained further up */
    size_t inputs;      /* rows one deeper */
} evn_explained;

/* What came of a run, and what it was made of. */
typedef struct evn_explained_run {
    const evn_truck *truck;
    const evn_cycle *cycle;
    const evn_rig *rig;
    const evn_conditions *ask;
    const evn_results *results;
    const evn_limits *limits; /* whose figures are explained too; NULL: none are */
    const evn_causes *causes; /* whose parts are explained too; NULL: none are */
    size_t place;             /* of the truck among those of the causes */
    const char *called[2];    /* names of the truck that the causes are against, and of this one; of causes only */
} evn_explained_run;

typedef struct evn_explanation evn_explanation;

/*
 * Explains one result ("kwh_per_km", "drive_units.rear.motor_losses_kwh"), the time that a limit bound
 * ("limited_by.motor_power"), a figure of the truck ("masses.machines_kg") or of its limits ("start.dry.once_percent");
 * of two trucks of a comparison a cause
 * ("why.drivetrain") or a line of speed ("why.speed").
 * "unknown_key" with the nearest, EVN_BAD_INPUT, where the run has no such. Keeps nothing of the run but the values of
 * truck and cycle, which must outlive it.
 */
EVN_API evn_status evn_explain(const evn_explained_run *, const char *key, evn_explanation **out, evn_report *);
/* Keys of why two trucks differ, "why." before that of each cause, then of each line of speed; false: no more. */
enum { EVN_WHY_KEY_BYTES = 32 };
EVN_API bool evn_explain_why_at(size_t index, char key[EVN_WHY_KEY_BYTES]);
EVN_API void evn_explanation_free(evn_explanation *);
EVN_API size_t evn_explanation_count(const evn_explanation *);
EVN_API bool evn_explanation_at(const evn_explanation *, size_t index, evn_explained *out);

#ifdef __cplusplus
}
#endif
#endif
