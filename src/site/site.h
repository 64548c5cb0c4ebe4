/*
 * A truck where it works: figures in groups, a file each. Each is an answer: a value with its limit, and what decides.
 * Where a file lacks data the answer says which key, and the other figures still come. SITE.md has the formulas.
 */
#ifndef EVENER_SITE_SITE_H
#define EVENER_SITE_SITE_H
#include "core/arena.h"
#include "core/field.h"
#include "cycle/cycle.h"
#include "duty/duty.h"
#include "evener/site.h"
#include "truck/rig.h"
#include "truck/rules.h"
#include "truck/truck.h"

extern const evn_object evn_site_ask_object; /* fills an evn_site_ask */

/* What a group works on, and the list that it adds to. */
typedef struct evn_site_work {
    evn_site *to;
    const evn_truck_file *truck;
    const evn_rig *laden; /* in the load case as asked */
    const evn_rig *empty; /* the same without payload */
    evn_unit_masses masses[EVN_UNITS_MAX];
    const evn_load_case *load_case;
    const evn_cycle_file *route; /* NULL: none */
    const evn_duty_file *duty;   /* its legs where there is no route; NULL: none */
    evn_site_ask ask;
    evn_report *report;
} evn_site_work;

/* A row of a group, and a column of it, as they are told. The key of a figure is GROUP.ROW.COLUMN. */
typedef struct evn_site_name {
    const char *group, *row, *row_label;
} evn_site_name;
typedef struct evn_site_column {
    const char *key, *unit, *label, *help;
    int digits;
    bool at_most; /* its limit is one from above; else it must be at least as much */
} evn_site_column;
typedef struct evn_site_answer {
    double value;
    double limit; /* NAN: none */
    bool demanded;
    const char *why, *source;
    const char *leg; /* of a duty on which it is so; NULL: alike on all, or no duty */
} evn_site_answer;

/* A value that nothing limits; none, with what is not stated: "axles.front.track_m". */
evn_site_answer evn_site_value(double value, const char *why);
evn_site_answer evn_site_unknown(evn_site_work *, const char *key);

/* Texts are not copied: those that are made come from evn_site_text. */
void evn_site_add(evn_site_work *, const evn_site_name *, const evn_site_column *, const evn_site_answer *);

/* Memory ran out: the list is none. */
void evn_site_short_of_memory(evn_site_work *);

/* Memory that lasts as long as the list; NULL when there is none left, which the list remembers. */
void *evn_site_take(evn_site_work *, size_t bytes);

/* A text that lasts as long as the list; "" when memory is out, which the list remembers. */
const char *evn_site_text(evn_site_work *, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* The arena of the list; when memory of it is out, what takes of it has to leave out what it wanted it for. */
evn_arena *evn_site_arena(evn_site_work *);

/* ---- the groups, one file each */
void evn_site_clearance(evn_site_work *);
void evn_site_packaging(evn_site_work *);
void evn_site_ride(evn_site_work *);
void evn_site_axle_loads(evn_site_work *);
void evn_site_rules(evn_site_work *);
void evn_site_payload(evn_site_work *);
void evn_site_rollover(evn_site_work *);

/* As evn_site_find, of which it is all but the checks of a public call. */
evn_status evn_site_make(const evn_truck_file *, const evn_load_case *, const evn_site_ask *,
                         const evn_cycle_file *route, const evn_duty_file *, evn_site **out, evn_report *);

/* As evn_drawing_of, likewise. */
evn_status evn_drawing_make(const evn_truck_file *, const evn_load_case *, evn_drawing **out, evn_report *);

#endif
