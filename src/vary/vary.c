/* A study from its first variant to its last, on as many threads as are asked for. */
#define _POSIX_C_SOURCE 200809L
#include "vary/vary.h"
#include "core/field_hash.h"
#include "core/pool.h"
#include "duty/day.h"
#include "vary/crew.h"
#include "vary/identity.h"
#include "vary/plan.h"
#include "vary/search.h"
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

typedef struct work {
    const evn_vary_inputs *in;
    const evn_vary_how *how;
    evn_arena *arena;
    evn_seats seats;
    evn_plan plan;
    evn_columns columns;
    evn_store_is is;
    evn_crew crew;
    size_t trucks;
    bool as_is; /* all variables say with which value trucks are as they are */
    evn_report *report;
} work;

/* ------------------------------------------------------------------------------------------------ what is recorded */

/* The trucks as they are made ready, of the first combination that can be. Those that cannot are NULL. */
static void make_rigs(const work *w, evn_rig **rig)
{
    const evn_study_file *file = NULL;
    for (size_t b = 0; !file && b < w->seats.bases; b++)
        file = w->seats.base[b].file;
    for (size_t k = 0; k < w->trucks; k++) {
        evn_report *aside = evn_report_new();
        const evn_truck_file *truck = evn_study_truck(file, k);
        const evn_duty_file *duty = evn_study_duty(file);
        rig[k] = NULL;
        if (aside && duty)
            rig[k] = evn_day_stand(truck, duty, evn_study_season(file), w->in->ask, aside);
        else if (aside)
            evn_rig_make(truck, &w->in->ask->load_case, &rig[k], aside);
        evn_report_free(aside);
    }
}

static bool find_columns(work *w)
{
    evn_rig *rig[EVN_LINEUP_MOST];
    const evn_rig *made[EVN_LINEUP_MOST];
    make_rigs(w, rig);
    for (size_t k = 0; k < w->trucks; k++)
        made[k] = rig[k];
    bool found =
        evn_columns_make(&w->columns, w->in->study, made, w->trucks, w->in->ask, &w->in->reader, w->arena, w->report);
    for (size_t k = 0; k < w->trucks; k++)
        evn_rig_free(rig[k]);
    return found;
}

/* A variable that bears the key of a result would name two columns; names of columns are the same in either case. */
static bool names_differ(const work *w)
{
    const evn_many *variables = &w->in->study->variables;
    for (size_t v = 0; v < variables->count; v++)
        for (size_t k = 0; k < w->columns.count; k++)
            if (strcasecmp(variables->name[v], w->columns.at[k].what.key) == 0) {
                evn_say(w->report, EVN_FAULT_DISAGREES, evn_nowhere, evn_nowhere,
                        "the variable %s bears the key of a result that is recorded; expected another name",
                        variables->name[v]);
                return false;
            }
    return true;
}

/* ------------------------------------------------------------------------------------------------ facts */

static void add_fact(work *w, const char *key, bool same, const char *value)
{
    const char *kept = evn_arena_text(w->arena, value, strlen(value));
    const char *name = evn_arena_text(w->arena, key, strlen(key));
    if (kept && name && w->is.facts < EVN_FACTS_MOST)
        w->is.fact[w->is.facts++] = (evn_store_fact){name, kept, same};
}

static void add_hash(work *w, const char *key, uint64_t hash)
{
    char text[EVN_HASH_BYTES];
    snprintf(text, sizeof text, "%016" PRIx64, hash);
    add_fact(w, key, true, text);
}

static void add_trucks(work *w)
{
    const evn_study_file *s = w->in->study;
    char names[4096] = "", key[400];
    size_t used = 0;
    for (size_t k = 0; k < w->trucks; k++) {
        used += (size_t)snprintf(names + used, sizeof names - used, "%s%.300s", k > 0 ? "/" : "",
                                 evn_study_truck_name(s, k));
        snprintf(key, sizeof key, "truck%s%.300s", s->lineup ? "." : "", evn_study_truck_name(s, k));
        add_hash(w, key, evn_object_hash(&evn_truck_object, evn_study_truck(s, k)));
    }
    add_fact(w, "trucks", true, names);
}

static uint64_t expected(const work *w)
{
    return w->in->study->plan == EVN_PLAN_SEARCH ? 0 : (w->plan.points + (w->as_is ? 1 : 0)) * w->trucks;
}

static void add_facts(work *w)
{
    const evn_study_file *s = w->in->study;
    const evn_cycle_file *cycle = evn_study_cycle(s);
    const evn_duty_file *duty = evn_study_duty(s);
    char text[40];
    add_fact(w, "format", true, "evener.variants/1");
    add_fact(w, "version", true, w->in->version);
    add_fact(w, "study", false, s->name);
    add_fact(w, "source", false, s->source ? s->source : "invented");
    add_hash(w, "study_hash", evn_study_hash(s, w->in->ask));
    add_fact(w, "over", false, cycle ? cycle->name : duty->name);
    if (w->seats.bases > 1)
        add_hash(w, "choices_hash", evn_choices_hash(&w->seats));
    add_hash(w, "over_hash",
             cycle ? evn_object_hash(&evn_cycle_object, cycle) : evn_object_hash(&evn_duty_object, duty));
    add_trucks(w);
    snprintf(text, sizeof text, "%" PRIu64, expected(w));
    add_fact(w, "expected", true, text);
    for (size_t k = 0; k < s->constraints.count; k++) {
        char key[40];
        snprintf(key, sizeof key, "constraint.%zu", k + 1);
        add_fact(w, key, false, s->constraints.at[k]);
    }
}

/* ------------------------------------------------------------------------------------------------ points */

/* Ids: first the trucks as they are, then point by point, truck by truck. */
static bool is_of_part(const evn_vary_how *how, uint64_t index)
{
    return how->parts == 0 || index % how->parts == how->part - 1;
}

static void drive_index(work *w, uint64_t index)
{
    double value[EVN_COLUMNS_MOST];
    evn_row row = {.id = index + 1, .truck = (size_t)(index % w->trucks), .value = value};
    uint64_t point = index / w->trucks; /* 0: as they are */
    for (size_t v = 0; v < w->in->study->variables.count; v++)
        row.input[v] = point == 0 ? evn_study_variable(w->in->study, v)->as_is : evn_plan_value(&w->plan, point - 1, v);
    evn_crew_drive_new(&w->crew, &row);
}

static void drive_point(void *self, size_t job)
{
    work *w = self;
    uint64_t index = job + (w->as_is ? 0 : w->trucks);
    if (is_of_part(w->how, index) && evn_crew_goes_on(&w->crew))
        drive_index(w, index);
}

static void drive_as_is(void *self, size_t job) { drive_index(self, job); }

static uint64_t expected_of_part(const work *w)
{
    uint64_t all = expected(w), mine = 0, first = w->as_is ? 0 : w->trucks;
    if (w->how->parts == 0)
        return all;
    for (uint64_t k = 0; k < all; k++)
        mine += is_of_part(w->how, first + k);
    return mine;
}

static void drive_all(work *w)
{
    w->crew.progress.of = expected_of_part(w);
    if (w->in->study->plan != EVN_PLAN_SEARCH) {
        evn_pool_run(w->how->threads, (size_t)expected(w), drive_point, w);
        return;
    }
    bool mine = w->how->parts == 0 || w->how->part == 1;
    if (w->as_is && mine)
        evn_pool_run(w->how->threads, w->trucks, drive_as_is, w);
    evn_search_all(&w->crew, w->trucks, w->how, w->report);
}

/* ------------------------------------------------------------------------------------------------ the whole */

static bool make_ready(work *w)
{
    const evn_study_file *s = w->in->study;
    w->trucks = evn_study_truck_count(s);
    w->as_is = true;
    for (size_t v = 0; v < s->variables.count; v++)
        w->as_is = w->as_is && !isnan(evn_study_variable(s, v)->as_is);
    if (!evn_plan_make(&w->plan, s, w->arena, w->report) ||
        !evn_seats_make(&w->seats, s, w->in->ask, &w->in->reader, w->report))
        return false;
    if (w->plan.points * w->trucks > EVN_POINTS_MOST) {
        evn_say(w->report, EVN_FAULT_TOO_LARGE, evn_nowhere, evn_nowhere,
                "%" PRIu64 " variants of %zu trucks; expected %g in all at most", w->plan.points, w->trucks,
                (double)EVN_POINTS_MOST);
        return false;
    }
    w->is.study = s;
    w->is.columns = &w->columns;
    if (!find_columns(w) || !names_differ(w))
        return false;
    add_facts(w);
    return true;
}

/* False: said, or stopped. */
static bool drive_into(work *w, evn_store *store)
{
    evn_variants_of of = {.study = w->in->study, .seats = &w->seats, .columns = &w->columns, .ask = *w->in->ask};
    bool ready = evn_crew_begin(&w->crew, &of, &w->is, store, w->how, w->report);
    if (ready)
        drive_all(w);
    bool done = evn_crew_end(&w->crew) && ready;
    if (done && w->crew.stopped)
        evn_say(w->report, EVN_FAULT_INTERRUPTED, evn_nowhere, evn_nowhere, "interrupted after %" PRIu64 " variants%s",
                w->crew.progress.done, w->how->store ? ", which are kept; the same command goes on from there" : "");
    return done;
}

static void say_none(work *w, const evn_variants *v)
{
    if (evn_variants_count(v) > 0 && evn_variants_count(v) == evn_variants_failed(v))
        evn_say(w->report, EVN_FAULT_NO_VARIANT, evn_nowhere, evn_nowhere,
                "none of %" PRIu64 " variants came to its end; the reason of each stands with it",
                evn_variants_count(v));
}

evn_variants *evn_vary_all(const evn_vary_inputs *in, const evn_vary_how *how, evn_report *report)
{
    work *w = calloc(1, sizeof *w);
    evn_variants *out = NULL;
    if (w)
        *w = (work){.in = in, .how = how, .arena = evn_arena_new(), .report = report};
    if (!w || !w->arena) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the variants");
    } else {
        evn_store *store = make_ready(w) ? evn_store_begin(how->store, &w->is, report) : NULL;
        if (store && drive_into(w, store))
            out = evn_variants_of_store(store, report);
        if (out)
            say_none(w, out);
        evn_store_end(store);
        evn_seats_end(&w->seats);
    }
    if (w && w->arena)
        evn_arena_free(w->arena);
    free(w);
    return out;
}
