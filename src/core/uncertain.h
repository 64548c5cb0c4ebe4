/*
 * What is not known of values: entries of the key `uncertain`, which any part may have, and defaults that stand in the
 * rows of the field tables.
 */
#ifndef EVENER_CORE_UNCERTAIN_H
#define EVENER_CORE_UNCERTAIN_H
#include "core/field.h"
#include "evener/uncertainty.h"

/* One entry of `uncertain`; its values err alike. */
typedef struct evn_uncertain_file {
    evn_text_list of;      /* paths from the object that holds `uncertain`: numbers, or whole lists of numbers */
    double half_width;     /* in the unit of the values; below 0: against the others of its datum; NAN: relative */
    double relative;       /* as a share of each value; NAN: half_width */
    int shape;             /* evn_error_shape */
    const char *errs_with; /* label; values with one label err alike, in all parts and trucks; NULL: by itself */
    const char *source;    /* where it comes from; NULL: not said */
} evn_uncertain_file;

extern const evn_object evn_uncertain_object;

/* A file of its own: goes before what lineup, trucks and parts state. */
typedef struct evn_uncertainties_file {
    const char *name, *source;
    bool invented;
    evn_many uncertain; /* evn_uncertain_file */
} evn_uncertainties_file;

extern const evn_object evn_uncertainties_object;

/* What is usual for a key where nothing is stated. */
struct evn_usual_uncertainty {
    double half_width, relative; /* one of them, the other NAN */
    evn_error_shape shape;
    const char *errs_with; /* label: common to all that have the key (tyres, body, load case); NULL: each by itself */
    const char *source;    /* with "from memory" or "common practice, no source" where that is so */
};

/* The row of an object that may state uncertainties: its struct has a member `evn_many uncertain`. */
#define EVN_UNCERTAIN_FIELD(type)                                                                                      \
    {.key = "uncertain",                                                                                               \
     .shape = EVN_MANY,                                                                                                \
     .of = &evn_uncertain_object,                                                                                      \
     .offset = offsetof(type, uncertain),                                                                              \
     .remark = true,                                                                                                   \
     .help = "what is not known of the values here, by names of your own; values of one entry err alike"}

#endif
