/* What a road is of, place by place: its kinds with what is known of them, and a surface as it is written in one shape.
 */
#ifndef EVENER_CYCLE_SURFACE_H
#define EVENER_CYCLE_SURFACE_H
#include "cycle/cycle.h"

typedef struct evn_surface_kind {
    const char *name;
    double adhesion, adhesion_least, adhesion_most; /* peak coefficient of a truck's tyres: the middle, and its range */
    double rolling_factor;
    char unevenness; /* class of ISO 8608 */
} evn_surface_kind;
enum { EVN_SURFACE_KINDS = 5 };
extern const evn_surface_kind evn_surface_kinds[EVN_SURFACE_KINDS];
/* "as_cycle" before the names of the kinds in their order: what may be asked for; ends with NULL. */
extern const char *const evn_surface_choices[EVN_SURFACE_KINDS + 2];

/* Told with the key, and with the condition. */
#define EVN_SURFACE_RANGES                                                                                             \
    "dry 0.75 (0.7 to 0.8), wet 0.5 (0.4 to 0.6), gravel 0.5 (0.4 to 0.6), soil 0.4 (0.3 to 0.5), snow 0.2 (0.15 to "  \
    "0.3)"

/* How uneven they are, told with the key; asphalt where no kind is stated. */
#define EVN_UNEVENNESS_OF_KINDS "dry, wet or not stated B, gravel C, soil D, snow C"
#define EVN_UNEVENNESS_OF_ASPHALT 'B'

/*
 * Classes of ISO 8608:2016, annex, from memory: the middle of class A is a one-sided power spectral density of 16e-6 m3
 * at 0.1 cycles/m, each class has four times that of the last, and reaches from half to twice its middle.
 */
#define EVN_UNEVENNESS_CLASSES "ABCDEFGH"
#define EVN_WAVES_APART_LEAST_M1 1e-5 /* of points of a spectrum */
/*
 * Heights along a track: points evenly apart, so near that the shortest wave of the classes is in them at 0.15 m; as
 * long as half of the longest wave of the classes at least (common practice, no source).
 */
#define EVN_PROFILE_APART_LEAST_M 0.01
#define EVN_PROFILE_APART_MOST_M 0.25
#define EVN_PROFILE_LEAST_M 50.0
#define EVN_PROFILE_MOST_M 5000.0
#define EVN_PROFILE_UNEVEN_MOST 0.01 /* of a step against the first */
/* NAN: no such class. */
double evn_unevenness_of_class_m3(char name);
/* The class within whose limits it lies; what is smoother than A is A, what is rougher than H is H. */
char evn_class_of_unevenness(double unevenness_m3);
/* From the place of this index on; of lists that passed the check. */
double evn_unevenness_from_m3(const evn_surface_file *, size_t index);
/* At a place of a course whose surface may be NULL. */
double evn_unevenness_at_m3(const evn_surface_file *, double place_m);

/* NULL: none of that name. */
const evn_surface_kind *evn_surface_kind_named(const char *name);

typedef struct evn_footing { /* from a place on; adhesion NAN: not stated */
    double rolling_factor, adhesion, adhesion_other_side;
} evn_footing;

/* Before the first place: smooth asphalt of which nothing else is stated. */
evn_footing evn_footing_before(void);
/* From the place of this index on; of lists that passed the check. */
evn_footing evn_footing_from(const evn_surface_file *, size_t index);
/* The same with the adhesion of that kind on both sides. */
evn_footing evn_footing_as(evn_footing, const evn_surface_kind *);
bool evn_same_footing(const evn_footing *, const evn_footing *);

#endif
