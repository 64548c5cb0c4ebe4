/* A study of a lineup, written from the values of its trucks: last reductions, gears, motors. */
#define _XOPEN_SOURCE 700
#include "api/tune.h"
#include "core/report.h"
#include "evener/limits.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { EVALUATIONS_USUAL = 40, PATH_BYTES = 300 };

typedef struct writing {
    FILE *to;
    const evn_tune_how *how;
    bool final, step; /* something goes with it */
} writing;

/* Between quotes of YAML. */
static void put_quoted(FILE *to, const char *text)
{
    fputc('"', to);
    for (; *text != '\0'; text++) {
        if (*text == '"' || *text == '\\')
            fputc('\\', to);
        fputc(*text, to);
    }
    fputc('"', to);
}

static bool ends_with(const char *text, const char *end)
{
    size_t length = strlen(text), of_end = strlen(end);
    return length >= of_end && strcmp(text + length - of_end, end) == 0;
}

/* ------------------------------------------------------------------------------------------------ reductions */

/* "drive_units.rear.path" of "drive_units.rear.path[4].final_drive.ratio"; 0: it is no reduction. A gear of ratio 1 is
 * none. */
static size_t path_bytes(const evn_value *v)
{
    bool is_ratio = ends_with(v->path, ".final_drive.ratio") || ends_with(v->path, ".mesh.ratio");
    const char *at = strstr(v->path, ".path[");
    if (v->kind != EVN_VALUE_NUMBER || !is_ratio || !at || v->numbers[0] == 1)
        return 0;
    for (const char *next; (next = strstr(at + 1, ".path[")); at = next) {
    }
    return (size_t)(at - v->path) + strlen(".path");
}

/* Of each path the one that stands last. */
static bool is_last(const evn_truck *t, size_t index)
{
    evn_value v, other;
    evn_truck_value_at(t, index, &v);
    size_t bytes = path_bytes(&v);
    bool last = bytes > 0;
    for (size_t k = index + 1; last && evn_truck_value_at(t, k, &other); k++)
        last = path_bytes(&other) != bytes || strncmp(other.path, v.path, bytes) != 0;
    return last;
}

/* Whether the unit whose path begins so has any. */
static bool has_reduction(const evn_truck *t, const char *unit, size_t bytes)
{
    evn_value v;
    for (size_t k = 0; evn_truck_value_at(t, k, &v); k++)
        if (path_bytes(&v) > 0 && strncmp(v.path, unit, bytes) == 0)
            return true;
    return false;
}

static void put_reductions(writing *w, const char *truck, const evn_truck *t)
{
    evn_value v;
    for (size_t k = 0; evn_truck_value_at(t, k, &v); k++)
        if (is_last(t, k)) {
            fprintf(w->to, "  - \"trucks.%s.%s = {was} * {final}\"\n", truck, v.path);
            w->final = true;
        }
}

/* ------------------------------------------------------------------------------------------------ gears, motors */

static void put_gears_of(writing *w, const char *truck, const evn_value *v, bool with_final)
{
    for (size_t i = 0; i < v->count; i++) {
        size_t steps = v->count - 1 - i;
        if (steps == 0 && !with_final)
            continue;
        fprintf(w->to, "  - \"trucks.%s.%s[%zu] = {was}", truck, v->path, i);
        if (steps > 0)
            fprintf(w->to, " * {step}^%zu", steps);
        fputs(with_final ? " * {final}\"\n" : "\"\n", w->to);
        w->step = w->step || steps > 0;
        w->final = w->final || with_final;
    }
}

static void put_gears(writing *w, const char *truck, const evn_truck *t)
{
    static const char end[] = "gearbox.ratios";
    evn_value v;
    for (size_t k = 0; evn_truck_value_at(t, k, &v); k++)
        if (v.kind == EVN_VALUE_NUMBERS && ends_with(v.path, end))
            put_gears_of(w, truck, &v, !has_reduction(t, v.path, strlen(v.path) - strlen(end)));
}

static void put_motors(writing *w, const char *truck, const evn_truck *t)
{
    static const char end[] = ".peak_torque_nm";
    evn_value v;
    for (size_t k = 0; w->how->motors && evn_truck_value_at(t, k, &v); k++)
        if (v.kind == EVN_VALUE_NUMBER && ends_with(v.path, end) && strstr(v.path, ".motors."))
            fprintf(w->to, "  - \"trucks.%s.%.*s.scale.torque = {was} * {motors}\"\n", truck,
                    (int)(strlen(v.path) - strlen(end)), v.path);
}

/* ------------------------------------------------------------------------------------------------ the text */

static bool demands_anything(const evn_lineup *l)
{
    evn_demands d = evn_lineup_demands(l);
    return !isnan(d.start_grade_percent) || d.change_up || !isnan(d.climb_grade_percent) ||
           !isnan(d.descent_grade_percent);
}

static void put_head(writing *w, const char *path, const evn_lineup *l)
{
    char name[PATH_BYTES];
    snprintf(name, sizeof name, "%.200s, each at its best", evn_lineup_name(l));
    fputs("name: ", w->to);
    put_quoted(w->to, name);
    fputs("\nsource: a search over the lineup\nlineup: {use: ", w->to);
    put_quoted(w->to, path);
    fputs("}\nset:\n", w->to);
}

static void put_tail(writing *w, const evn_lineup *l)
{
    const char *const *more = w->how->constraints;
    bool demands = demands_anything(l);
    fputs("variables:\n", w->to);
    fputs(w->final ? "  final: {from: 0.7, to: 1.3, as_is: 1}\n" : "", w->to);
    fputs(w->step ? "  step: {from: 0.85, to: 1.2, as_is: 1}\n" : "", w->to);
    fputs(w->how->motors ? "  motors: {from: 0.5, to: 1.5, as_is: 1}\n" : "", w->to);
    fprintf(w->to, "plan: search\nevaluations: %u\nleast: [",
            w->how->evaluations > 0 ? w->how->evaluations : EVALUATIONS_USUAL);
    put_quoted(w->to, w->how->least ? w->how->least : "kwh_per_km");
    fputs("]\n", w->to);
    fputs(demands || (more && more[0]) ? "constraints:\n" : "", w->to);
    fputs(demands ? "  - limits.demands_met >= 1\n" : "", w->to);
    for (size_t k = 0; more && more[k]; k++) {
        fputs("  - ", w->to);
        put_quoted(w->to, more[k]);
        fputc('\n', w->to);
    }
}

static void put_study(writing *w, const char *path, const evn_lineup *l)
{
    put_head(w, path, l);
    for (size_t k = 0; k < evn_lineup_truck_count(l); k++) {
        put_reductions(w, evn_lineup_truck_name(l, k), evn_lineup_truck(l, k));
        put_gears(w, evn_lineup_truck_name(l, k), evn_lineup_truck(l, k));
        put_motors(w, evn_lineup_truck_name(l, k), evn_lineup_truck(l, k));
    }
    put_tail(w, l);
}

char *evn_tune_text(const char *path, const evn_tune_how *how, evn_report *report)
{
    evn_lineup *l = NULL;
    char *text = NULL, *real = realpath(path, NULL);
    size_t bytes = 0;
    if (evn_lineup_load(path, &l, report) != EVN_DONE || !l) {
        evn_lineup_free(l);
        free(real);
        return NULL;
    }
    writing w = {open_memstream(&text, &bytes), how, false, false};
    if (w.to)
        put_study(&w, real ? real : path, l);
    bool made = w.to && fclose(w.to) == 0;
    bool any = w.final || w.step || how->motors;
    if (!made)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the study");
    else if (!any)
        evn_say(report, EVN_FAULT_DISAGREES, evn_nowhere, evn_nowhere,
                "%s has no ratio that can be tuned; expected gears, a final drive or a gear pair, or motors to be "
                "scaled",
                path);
    evn_lineup_free(l);
    free(real);
    if (made && any)
        return text;
    free(text);
    return NULL;
}
