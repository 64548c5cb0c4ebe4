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
    double offset;         /* of the middle of the range from each value, stated as the half width is */
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
    const char *what;            /* in words: "motor losses" */
    double half_width, relative; /* one of them, the other NAN */
    evn_error_shape shape;
    const char *errs_with; /* label: common to all that have the key (tyres, body); NULL: values of one object alike */
    const char *source;    /* with "from memory" or "common practice, no source" where that is so */
};

/* The half width of a number by an entry, in its unit; below 0 where it goes against the others. */
double evn_half_width(double half_width, double relative, double value);
/* How far the middle of its range lies above the number, in its unit. */
double evn_range_offset(const evn_uncertain_file *, double value);

struct evn_named;
enum { EVN_TROUBLE_BYTES = 600 };
typedef struct evn_naming_trouble { /* why a path names nothing that can err, in the words of core/change.h */
    evn_fault fault;
    char words[EVN_TROUBLE_BYTES];
} evn_naming_trouble;
/* As evn_numbers_named, which says where a path is a file; false: `why` is filled. */
bool evn_uncertain_named(const evn_object *, const void *self, const char *path, struct evn_named *,
                         evn_naming_trouble *why);

/*
 * For the reader: of a filled object whose entries name values of its own, says which name nothing that can err, which
 * name a value twice, and which would leave the bounds of its key.
 */
void evn_uncertain_check(const evn_object *, const void *self, const evn_seat *, evn_report *);

/* The row of an object that may state uncertainties of its values: its struct has a member `evn_many uncertain`. */
#define EVN_UNCERTAIN_FIELD(type) EVN_UNCERTAIN_ROW(type, true)
/* Of one whose entries name values of trucks, by paths from a lineup's root. */
#define EVN_UNCERTAIN_OF_LINEUP(type) EVN_UNCERTAIN_ROW(type, false)
#define EVN_UNCERTAIN_ROW(type, of_its_own)                                                                            \
    {.key = "uncertain",                                                                                               \
     .shape = EVN_MANY,                                                                                                \
     .of = &evn_uncertain_object,                                                                                      \
     .offset = offsetof(type, uncertain),                                                                              \
     .remark = true,                                                                                                   \
     .on_holder = (of_its_own),                                                                                        \
     .help = "what is not known of values, by names of your own; the values of one entry err alike"}

#endif
