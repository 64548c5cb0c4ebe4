/*
 * site.h: a truck where it works, as figures: how high it stands over the ground, what its frame has room for, how it
 * rides and what its axles carry. Figures come in groups; each says what decides it, and its margin where a limit
 * holds.
 */
#ifndef EVENER_SITE_H
#define EVENER_SITE_H

#include "evener/duty.h"
#include "evener/evener.h"
#include "evener/rules.h"

#ifdef __cplusplus
extern "C" {
#endif

/*
 * A figure of a list. Its key is GROUP.ROW.COLUMN, "clearance.frame.laden_mm"; figures of one group come together, and
 * those of one row.
 */
typedef struct evn_site_figure {
    evn_quantity what;
    const char *group;                 /* "clearance" */
    const char *row, *row_label;       /* "frame", "on the frame" */
    const char *column, *column_label; /* "laden_mm", "laden" */
    double value;                      /* NAN: not known or none; `why` says which key is not stated, or why none */
    double limit;                      /* that it is held against; NAN: none */
    double margin;                     /* to the limit, negative where it is passed; NAN: none */
    bool demanded;                     /* the limit was asked for: where it is passed the answer is no */
    const char *why;                   /* what decides; NULL: nothing to say */
    const char *leg;    /* of a duty on which it is so, as `why` tells too; NULL: alike on all, or no duty */
    const char *source; /* of the limit, or of the law; NULL: geometry and weights alone */
} evn_site_figure;

/* What `why` of packaging.largest.installed_kwh begins with where the truck with that battery and the payload as asked
 * does not keep a clause of the rules asked for, or none can tell; the clauses follow. */
#define EVN_SITE_NOT_RULED "does not keep the rules"

/* A group of figures: "clearance", its title and what holds for all of it. False: no more. */
EVN_API bool evn_site_group_at(size_t index, const char **group, const char **title, const char **help);

/* How uneven a track is: a class of ISO 8608, or as the route has it. */
typedef enum evn_unevenness {
    EVN_UNEVENNESS_AS_ROUTE,
    EVN_UNEVENNESS_A,
    EVN_UNEVENNESS_B,
    EVN_UNEVENNESS_C,
    EVN_UNEVENNESS_D,
    EVN_UNEVENNESS_E,
    EVN_UNEVENNESS_F,
    EVN_UNEVENNESS_G,
    EVN_UNEVENNESS_H
} evn_unevenness;

/* What is asked of the site. */
typedef struct evn_site_ask {
    double rut_mm;   /* 0 to 1000; default 0; depth of the ruts that the wheels stand in */
    double crown_mm; /* 0 to 1000; default 0; how much higher than beside the ruts the ground is midway between them */
    double clearance_mm;  /* 0 to 2000; NAN, the default: not asked; that all that hangs low must have */
    double kwh_per_km;    /* 0.05 to 20; NAN, the default: not given; for the range of a battery */
    const char *use_from; /* where that comes from, or why there is none, to be told; NULL, the default: as given */
    evn_unevenness
        unevenness;       /* default EVN_UNEVENNESS_AS_ROUTE: as the route has it place by place; class C without */
    double unevenness_m3; /* 1e-8 to 1; NAN, the default: that of the class; one-sided power spectral density of the
                             road's height at 0.1 cycles/m, instead of a class */
    double speed_km_h;    /* 1 to 150; NAN, the default: target speeds of the route, 40 without one */
    double ride_s; /* 1 to 1e6; default 600; for which the largest value is expected on a track; of a route its time */
    double ride_to_hz;      /* 1 to 1000; default 80; what shakes faster does not count */
    bool over_time;         /* default false; rides over time too, with stops and tyres that leave the road */
    double seed;            /* 0 to 1e9; default 1; whole; of the profile that is driven over time; a route's track that
                               was measured needs none */
    const evn_cycle *route; /* target speeds and surfaces; must live as long; NULL, the default: one track */
    const evn_duty *duty;   /* the same of each of its legs, with what is carried on it, where there is no route; must
                               live as long; NULL, the default: none */
    bool intermodal;        /* default false; in intermodal transport, for which rules may allow more */
    const evn_rules *rules; /* that its loads are held against, and that are demanded; NULL, the default: none */
} evn_site_ask;
EVN_API evn_site_ask evn_site_ask_default(void);
/* As evn_load_case_set and evn_load_case_get. */
EVN_API bool evn_site_ask_set(evn_site_ask *, const char *key, double value, evn_report *);
EVN_API bool evn_site_ask_get(const evn_site_ask *, const char *key, double *value);

/*
 * Finds them all, for a truck in a load case. A figure for which the file lacks data has no value and says which key is
 * not stated. EVN_DONE; EVN_BAD_INPUT: the truck cannot be prepared in this load case, or something of the ask is out
 * of its bounds ("out_of_range"); EVN_NO_RESULT: memory is out.
 *
 * The figures are for comparing layouts. Loads on axles, stability and what may drive on a road are for local
 * regulation, approved testing and licensed practice.
 */
typedef struct evn_site evn_site;
EVN_API evn_status evn_site_find(const evn_truck *, const evn_load_case *, const evn_site_ask *, evn_site **out,
                                 evn_report *);
EVN_API void evn_site_free(evn_site *);
EVN_API size_t evn_site_count(const evn_site *);
EVN_API bool evn_site_at(const evn_site *, size_t index, evn_site_figure *out); /* false: no more */
EVN_API bool evn_site_get(const evn_site *, const char *key, evn_site_figure *out);
/* Whether all limits that were asked for are kept. */
EVN_API bool evn_site_meets_all(const evn_site *);

/*
 * A truck as a drawing to scale: shapes as boxes, along from the front axle to the rear, upright from flat ground,
 * across to the right of the middle. Shapes come from the rearmost to the foremost as one looks from the side.
 */
typedef enum evn_site_part {
    EVN_PART_TRAILER,     /* its body */
    EVN_PART_CAB,         /* */
    EVN_PART_BODY,        /* a box */
    EVN_PART_TIPPER,      /* a body that tips */
    EVN_PART_RAIL,        /* of the frame, or of the trailer's */
    EVN_PART_FIFTH_WHEEL, /* */
    EVN_PART_AXLE,        /* from wheel to wheel */
    EVN_PART_BATTERY,     /* a box of it */
    EVN_PART_SHAFT,       /* a propeller shaft */
    EVN_PART_GEARBOX,     /* */
    EVN_PART_MOTOR,       /* */
    EVN_PART_AXLE_DRIVE,  /* gears on an axle */
    EVN_PART_HOUSING,     /* any other of a drive unit */
    EVN_PART_TYRE         /* its circle is as wide as the shape is long */
} evn_site_part;
typedef struct evn_site_shape {
    evn_site_part part;
    const char *name; /* NULL: none of its own */
    double from_m, to_m, low_m, high_m, left_m, right_m;
    double rise_m; /* so much higher lies its rear end than its front end, to which low and high belong */
    bool driven;   /* a tyre or an axle: by a drive unit */
    bool trailer;  /* of the trailer */
} evn_site_shape;
typedef struct evn_drawing evn_drawing;
/* Laden as asked. EVN_DONE; what evn_site_find says otherwise. Of a truck whose file does not say what it looks like
 * there are no shapes, and evn_drawing_missing names the first key that is not stated. */
EVN_API evn_status evn_drawing_of(const evn_truck *, const evn_load_case *, evn_drawing **out, evn_report *);
EVN_API void evn_drawing_free(evn_drawing *);
EVN_API bool evn_drawing_at(const evn_drawing *, size_t index, evn_site_shape *out); /* false: no more */
EVN_API const char *evn_drawing_missing(const evn_drawing *);                        /* NULL: nothing */
/* Where the truck ends, ahead of the front axle negative; the trailer not counted. */
EVN_API bool evn_drawing_ends(const evn_drawing *, double *front_m, double *rear_m);

#ifdef __cplusplus
}
#endif
#endif
