/* A small made-up object with every shape of field, for tests of the reader. Invented. */
#ifndef EVENER_TESTS_WAGON_H
#define EVENER_TESTS_WAGON_H
#include "read/read.h"
#include <check.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct brake {
    double force_n, fade_km_h;
    evn_list speed_km_h, share;
} brake;

typedef struct coupling {
    double height_m;
    const brake *brake;
} coupling;

typedef struct load {
    double mass_kg;
    const char *note;
    const coupling *lashing;
} load;

typedef struct spring {
    double stiffness_n_m;
} spring;

typedef struct damper {
    double share;
} damper;

typedef struct wagon {
    const char *name;
    double mass_kg, permitted_kg, wheels;
    bool covered;
    int colour;
    evn_list slopes_percent;
    const brake *brake;
    const coupling *coupling;
    evn_many loads;
    evn_steps path;
    const evn_sheet *table;
} wagon;

static inline void check_brake(const void *self, const evn_seat *seat, evn_report *report)
{
    const brake *b = self;
    evn_check_curve(&b->speed_km_h, "speed_km_h", 0.1, &b->share, "share", seat, report);
}

static const evn_field brake_fields[] = {
    {.key = "force_n",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = (double)INFINITY,
     .fallback = 900,
     .offset = offsetof(brake, force_n)},
    {.key = "fade_km_h",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = 100,
     .fallback = (double)NAN,
     .offset = offsetof(brake, fade_km_h)},
    {.key = "speed_km_h", .shape = EVN_LIST, .least = 0, .most = 200, .offset = offsetof(brake, speed_km_h)},
    {.key = "share", .shape = EVN_LIST, .least = -(double)INFINITY, .most = 1, .offset = offsetof(brake, share)},
};
static const evn_object brake_object = {"brake", "", sizeof(brake), brake_fields, 4, check_brake};

static const evn_field coupling_fields[] = {
    {.key = "height_m",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.1,
     .most = 2,
     .source = "common practice, no source",
     .offset = offsetof(coupling, height_m),
     .help = "above the road"},
    {.key = "brake", .shape = EVN_ONE, .of = &brake_object, .offset = offsetof(coupling, brake)},
};
static const evn_object coupling_object = {"coupling", "", sizeof(coupling), coupling_fields, 2, NULL};

static const evn_field load_fields[] = {
    {.key = "mass_kg",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0,
     .most = 40000,
     .offset = offsetof(load, mass_kg)},
    {.key = "note", .shape = EVN_TEXT, .offset = offsetof(load, note)},
    {.key = "lashing", .shape = EVN_ONE, .of = &coupling_object, .offset = offsetof(load, lashing)},
};
static const evn_object load_object = {"load", "", sizeof(load), load_fields, 3, NULL};

static const evn_field spring_fields[] = {
    {.key = "stiffness_n_m",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 1e9,
     .offset = offsetof(spring, stiffness_n_m)},
};
static const evn_object spring_object = {"spring", "", sizeof(spring), spring_fields, 1, NULL};

static const evn_field damper_fields[] = {
    {.key = "share", .shape = EVN_NUMBER, .least = 0, .most = 1, .fallback = 0.25, .offset = offsetof(damper, share)},
};
static const evn_object damper_object = {"damper", "", sizeof(damper), damper_fields, 1, NULL};

static const evn_kind_row path_kinds[] = {{"spring", &spring_object}, {"damper", &damper_object}, {NULL, NULL}};
static const char *const colours[] = {"red", "green", "grey", NULL};

/* Its faults are said at places below the wagon: by key, by name and by number in a list. */
static inline void check_wagon(const void *self, const evn_seat *seat, evn_report *report)
{
    const wagon *w = self;
    const load *loads = w->loads.item;
    double sum_kg = w->mass_kg;
    for (size_t i = 0; i < w->loads.count; i++)
        sum_kg += loads[i].mass_kg;
    if (w->loads.count > 0 && sum_kg > w->permitted_kg) {
        char path[100];
        snprintf(path, sizeof path, "loads.%.50s.mass_kg", w->loads.name[w->loads.count - 1]);
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, path, "%g kg in all; expected %g kg", sum_kg, w->permitted_kg);
    }
    for (size_t i = 1; i < w->slopes_percent.count; i++) {
        if (w->slopes_percent.at[i] == w->slopes_percent.at[i - 1]) {
            char path[100];
            snprintf(path, sizeof path, "slopes_percent[%zu]", i);
            evn_say_at(report, seat, EVN_FAULT_DISAGREES, path, "the same slope twice; expected a change");
        }
    }
    for (size_t i = 0; i < w->path.count; i++) {
        const damper *d = w->path.at[i].item;
        if (w->path.at[i].kind == 1 && d->share == 0.0) {
            char path[100];
            snprintf(path, sizeof path, "path[%zu].damper.share", i);
            evn_say_at(report, seat, EVN_FAULT_DISAGREES, path, "a damper without a share; expected one");
        }
    }
}

static const evn_field wagon_fields[] = {
    {.key = "name", .shape = EVN_TEXT, .presence = EVN_REQUIRED, .offset = offsetof(wagon, name), .help = "what it is"},
    {.key = "mass_kg",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 100,
     .most = 60000,
     .usual_low = 500,
     .usual_high = 45000,
     .offset = offsetof(wagon, mass_kg),
     .help = "empty"},
    {.key = "permitted_kg",
     .shape = EVN_NUMBER,
     .least = 100,
     .most = 60000,
     .fallback = 40000,
     .offset = offsetof(wagon, permitted_kg)},
    {.key = "wheels", .shape = EVN_COUNT, .least = 2, .most = 32, .fallback = 4, .offset = offsetof(wagon, wheels)},
    {.key = "covered", .shape = EVN_FLAG, .fallback = 1, .offset = offsetof(wagon, covered)},
    {.key = "colour", .shape = EVN_CHOICE, .fallback = 2, .choices = colours, .offset = offsetof(wagon, colour)},
    {.key = "slopes_percent",
     .shape = EVN_LIST,
     .least = -30,
     .most = 30,
     .usual_low = -12,
     .usual_high = 12,
     .count_most = 5,
     .offset = offsetof(wagon, slopes_percent)},
    {.key = "brake",
     .shape = EVN_ONE,
     .presence = EVN_DEFAULTED,
     .of = &brake_object,
     .offset = offsetof(wagon, brake)},
    {.key = "coupling", .shape = EVN_ONE, .of = &coupling_object, .offset = offsetof(wagon, coupling)},
    {.key = "loads",
     .shape = EVN_MANY,
     .of = &load_object,
     .count_least = 1,
     .count_most = 3,
     .offset = offsetof(wagon, loads)},
    {.key = "path", .shape = EVN_STEPS, .kinds = path_kinds, .count_least = 1, .offset = offsetof(wagon, path)},
    {.key = "table", .shape = EVN_SHEET, .offset = offsetof(wagon, table)},
};
static const evn_object wagon_object = {"wagon", "", sizeof(wagon), wagon_fields, 12, check_wagon};

/* ---------------------------------------------------------------------------------------------------- reading it */

typedef struct outcome {
    evn_arena *arena;
    evn_report *report;
    const wagon *wagon; /* NULL when reading failed */
} outcome;

static inline outcome outcome_begin(void)
{
    outcome out = {evn_arena_new(), evn_report_new(), NULL};
    ck_assert_ptr_nonnull(out.arena);
    ck_assert_ptr_nonnull(out.report);
    return out;
}

static inline outcome read_bytes(const char *bytes, size_t length)
{
    outcome out = outcome_begin();
    out.wagon = evn_read_bytes(bytes, length, "wagon.yaml", &wagon_object, NULL, out.arena, out.report);
    ck_assert_int_eq(!out.wagon, evn_report_failed(out.report));
    return out;
}

static inline outcome read_text(const char *text) { return read_bytes(text, strlen(text)); }

static inline void outcome_end(outcome *out)
{
    evn_report_free(out->report);
    evn_arena_free(out->arena);
}

static inline evn_finding finding_at(const outcome *out, size_t index)
{
    evn_finding finding;
    ck_assert_msg(evn_report_at(out->report, index, &finding), "there is no finding %zu", index);
    return finding;
}

/* What a finding must be: its fault, its place, and a piece of its text. */
static inline void expect_finding(const evn_finding *found, const char *fault, unsigned line, unsigned column,
                                  const char *piece)
{
    ck_assert_msg(strcmp(found->fault, fault) == 0 && found->line == line && found->column == column &&
                      strstr(found->text, piece),
                  "expected %s at %u:%u with \"%s\"; found %s at %u:%u: %s", fault, line, column, piece, found->fault,
                  found->line, found->column, found->text);
}

#endif
