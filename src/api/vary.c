/* Studies behind evener/vary.h. */
#include "vary/vary.h"
#include "api/objects.h"
#include "api/tune.h"
#include "core/field_number.h"
#include "trip/driving.h"
#include "truck/load_case.h"
#include <stdlib.h>
#include <string.h>

enum { SETS_MOST = 1200 };

struct evn_study {
    evn_arena *arena;
    const evn_study_file *file;
    const char *text; /* that it was read from; NULL: the file */
    char *path;
    evn_load how;
    evn_value_list values;
};

static evn_status no_memory(evn_arena *arena, evn_report *report)
{
    if (arena)
        evn_arena_free(arena);
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the study");
    return evn_report_status(report);
}

/* The duty knows where its values stand, and so what its seasons state. NULL when memory is out. */
static const evn_study_file *with_places(evn_arena *arena, const evn_study_file *file, const evn_value_list *values)
{
    const evn_duty_file *duty = file->lineup ? file->lineup->duty : file->duty;
    const char *more = file->lineup ? "lineup.duty." : "duty.";
    evn_study_file *placed = evn_arena_take(arena, sizeof *placed);
    evn_lineup_file *lineup = evn_arena_take(arena, sizeof *lineup);
    evn_duty_file *own = evn_arena_take(arena, sizeof *own);
    if (!placed || !lineup || !own || !duty)
        return placed && lineup && own ? file : NULL;
    *placed = *file;
    *own = *duty;
    if (!evn_duty_place(own, &(evn_duty_places){values->at, values->count, more, NULL}, arena))
        return NULL;
    if (file->lineup) {
        *lineup = *file->lineup;
        lineup->duty = own;
        placed->lineup = lineup;
    } else {
        placed->duty = own;
    }
    return placed;
}

static const evn_study_file *load_file(const char *text, const char *path, const evn_load *how, evn_value_list *values,
                                       evn_arena **arena, evn_report *report)
{
    const evn_study_file *file = evn_load_object_text(text, path, &evn_study_object, how, values, arena, report);
    const evn_study_file *placed = file ? with_places(*arena, file, values) : NULL;
    if (file && !placed)
        no_memory(*arena, report);
    return placed;
}

evn_status evn_study_load(const char *path, evn_study **out, evn_report *report)
{
    return evn_study_load_with(path, &(evn_load){0}, out, report);
}

/* `text` may be NULL. */
static evn_status load_study(const char *text, const char *path, const evn_load *how, evn_study **out,
                             evn_report *report)
{
    evn_arena *arena;
    evn_value_list values = {0};
    const evn_study_file *file = load_file(text, path, how, &values, &arena, report);
    if (!file)
        return evn_report_status(report);
    evn_study *s = evn_arena_take(arena, sizeof *s);
    char *own = evn_arena_text(arena, path, strlen(path));
    char *own_text = text ? evn_arena_text(arena, text, strlen(text)) : NULL;
    if (!s || !own || (text && !own_text))
        return no_memory(arena, report);
    *s = (evn_study){arena, file, own_text, own, *how, values};
    *out = s;
    return evn_report_status(report);
}

evn_status evn_study_load_with(const char *path, const evn_load *how, evn_study **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"path", path}, {"how", how}, {"out", out}, {0}}))
        return evn_report_status(report);
    return load_study(NULL, path, how, out, report);
}

evn_status evn_study_tune(const char *lineup, const evn_load *how, const evn_tune_how *tune, evn_study **out,
                          evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__,
                      (const evn_argument[]){{"lineup", lineup}, {"how", how}, {"tune", tune}, {"out", out}, {0}}))
        return evn_report_status(report);
    char *text = evn_tune_text(lineup, tune, report);
    if (text)
        load_study(text, "the study of the lineup", how, out, report);
    free(text);
    return evn_report_status(report);
}

const char *evn_study_text(const evn_study *s) { return s ? s->text : NULL; }

void evn_study_free(evn_study *s)
{
    if (s)
        evn_arena_free(s->arena);
}

const char *evn_study_name(const evn_study *s) { return s ? s->file->name : NULL; }

const char *evn_study_source(const evn_study *s)
{
    const char *source = s ? s->file->source : NULL;
    return s && !source ? "invented" : source;
}

evn_conditions evn_study_ask(const evn_study *s) { return s ? evn_study_asks(s->file) : evn_conditions_default(); }

bool evn_study_searches(const evn_study *s) { return s && s->file->plan == EVN_PLAN_SEARCH; }

/* ------------------------------------------------------------------------------------------------ driving */

typedef struct reading { /* with values set beside what the caller set */
    const evn_study *study;
    evn_arena *read[512];
    size_t count;
} reading;

/* Reads anew, the caller's own values first. */
static const evn_study_file *read_with(void *self, const char *const *sets, evn_report *report)
{
    reading *r = self;
    const char *all[SETS_MOST + 1];
    size_t count = 0;
    for (size_t k = 0; r->study->how.set && r->study->how.set[k] && count < SETS_MOST; k++)
        all[count++] = r->study->how.set[k];
    for (size_t k = 0; sets[k] && count < SETS_MOST; k++)
        all[count++] = sets[k];
    all[count] = NULL;
    if (r->count == sizeof r->read / sizeof *r->read)
        return NULL;
    evn_load how = r->study->how;
    how.set = all;
    how.set_beside = r->study->text ? r->study->how.set_beside : r->study->path;
    const evn_study_file *file =
        load_file(r->study->text, r->study->path, &how, &(evn_value_list){0}, &r->read[r->count], report);
    r->count += file ? 1 : 0;
    return file;
}

/* Where a key of the study stands; of one that is not written, nowhere. */
static evn_spot spot_of(void *self, const char *key, evn_report *report)
{
    const evn_value_list *values = &((reading *)self)->study->values;
    for (size_t k = 0; k < values->count; k++)
        if (strcmp(values->at[k].path, key) == 0 && values->at[k].file)
            return (evn_spot){evn_report_file(report, values->at[k].file), values->at[k].line, values->at[k].column};
    return evn_nowhere;
}

static bool part_fits(const evn_vary_how *how, evn_report *report)
{
    bool fits = how->parts == 0 ? how->part == 0 : how->part >= 1 && how->part <= how->parts;
    if (!fits)
        evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "part %u of %u; expected one from 1 to as many",
                how->part, how->parts);
    return fits;
}

evn_status evn_vary(const evn_study *s, const evn_conditions *ask, const evn_vary_how *how, evn_variants **out,
                    evn_report *report)
{
    static const evn_vary_how plain = {0};
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"study", s}, {"ask", ask}, {"out", out}, {0}}))
        return evn_report_status(report);
    bool fits = evn_object_fits(&evn_load_case_object, &ask->load_case, report);
    fits = evn_driving_fits(&ask->driving, report) && fits;
    if (!fits || !part_fits(how ? how : &plain, report))
        return evn_report_status(report);
    reading *r = calloc(1, sizeof *r);
    if (!r)
        return no_memory(NULL, report);
    r->study = s;
    evn_study_reader reader = {r, read_with, 0, spot_of};
    while (s->how.set && s->how.set[reader.sets_before])
        reader.sets_before++;
    evn_vary_inputs in = {s->file, ask, evn_version(), reader};
    *out = evn_vary_all(&in, how ? how : &plain, report);
    for (size_t k = 0; k < r->count; k++)
        evn_arena_free(r->read[k]);
    free(r);
    return evn_report_status(report);
}
