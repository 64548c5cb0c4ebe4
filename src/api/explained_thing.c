/* Finds what names of formulas stand for, among results, values of files and what was asked. */
#include "api/explained_thing.h"
#include "trip/drive.h"
#include "trip/formulas.h"
#include "trip/trip.h"
#include "truck/rig_figures.h"
#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ names */

evn_formula_name evn_thing_name(const char *key) { return (evn_formula_name){key, strlen(key), false}; }

bool evn_thing_begins(evn_formula_name *name, const char *word)
{
    size_t length = strlen(word);
    if (name->length < length || strncmp(name->text, word, length) != 0)
        return false;
    name->text += length;
    name->length -= length;
    return true;
}

bool evn_value_is_group(const evn_value *v)
{
    return v->kind == EVN_VALUE_GROUP || v->kind == EVN_VALUE_STEPS || v->kind == EVN_VALUE_STEP;
}

double evn_value_number(const evn_value *v)
{
    return v->kind == EVN_VALUE_NUMBER && v->count > 0 ? v->numbers[0] : (double)NAN;
}

/* ------------------------------------------------------------------------------------------------ finding */

static bool written_at(const evn_value_list *list, evn_formula_name name, size_t index, evn_thing *out)
{
    for (size_t i = 0; i < list->count; i++) {
        const evn_value *v = &list->at[i];
        if (v->remark || !evn_formula_fits(name, v->path) || index-- > 0)
            continue;
        out->index = i;
        out->written = v;
        out->value = evn_value_number(v);
        return true;
    }
    return false;
}

static bool asked_at(const evn_conditions *ask, const char *kind, evn_formula_name name, size_t index, evn_thing *out)
{
    bool of_load_case = strcmp(kind, "load_case") == 0;
    for (size_t i = 0; evn_key_at(kind, i, &out->key); i++) {
        if (!evn_formula_fits(name, out->key.key) || index-- > 0)
            continue;
        out->asked_kind = kind;
        return of_load_case ? evn_load_case_get(&ask->load_case, out->key.key, &out->value)
                            : evn_driving_get(&ask->driving, out->key.key, &out->value);
    }
    return false;
}

/* "time limited by motor power" of "limited_by.motor_power". */
#define X(name, key, label) {"limited_by." key, "time limited by " label},
static const struct held {
    const char *key, *label;
} held[] = {EVN_HOLDS(X)};
#undef X

static bool limitation_at(const evn_explained_run *run, evn_formula_name name, size_t index, evn_thing *out)
{
    evn_limitation is;
    for (size_t i = 0; evn_results_limitation_at(run->results, i, &is); i++)
        for (size_t k = 0; k < sizeof held / sizeof *held; k++) {
            const char *limit = strchr(held[k].key, '.') + 1;
            if (strcmp(limit, is.limit) != 0 || !evn_formula_fits(name, held[k].key) || index-- > 0)
                continue;
            out->what = (evn_quantity){held[k].key, "s", "", EVN_REAL, 1, held[k].label, held[k].label, 0};
            out->value = is.duration_s;
            return true;
        }
    return false;
}

/* What a limit is called, of those of a run and of what a truck can. */
static const char *label_of_limit(const char *limit)
{
    const char *key, *label;
    for (size_t i = 0; evn_limits_bound_at(i, &key, &label); i++)
        if (strcmp(key, limit) == 0)
            return label;
    for (size_t i = 0; evn_limit_at(i, &key, &label); i++)
        if (strcmp(key, limit) == 0)
            return label;
    return "";
}

static bool limit_at(evn_formula_name name, size_t index, evn_thing *out)
{
    const evn_result_way *way;
    for (size_t i = 0; (way = evn_result_way_at(i)); i++) {
        if (way->by != EVN_KNOWN_AS_LIMIT || !evn_formula_fits(name, way->key) || index-- > 0)
            continue;
        const char *label = label_of_limit(strchr(way->key, '.') + 1);
        out->what = (evn_quantity){way->key, "", "", EVN_REAL, 0, label, label, 0};
        out->value = (double)NAN;
        return true;
    }
    return false;
}

/* What the truck can; the limit that binds it comes with it. */
static bool ability_at(const evn_explained_run *run, evn_formula_name name, size_t index, evn_thing *out)
{
    evn_limits_figure figure;
    for (size_t i = 0; evn_limits_at(run->limits, i, &figure); i++) {
        if (!evn_formula_fits(name, figure.what.key) || index-- > 0)
            continue;
        out->what = figure.what;
        out->value = figure.value;
        out->sought = true;
        out->limit = figure.limit;
        return true;
    }
    return false;
}

bool evn_thing_of_results(const evn_explained_run *run, evn_formula_name name, size_t index, evn_thing *out)
{
    out->sought = false;
    for (size_t i = 0; evn_results_at(run->results, i, &out->what, &out->value); i++)
        if (evn_formula_fits(name, out->what.key) && index-- == 0)
            return true;
    for (size_t i = 0; evn_rig_figure_at(run->rig, i, &out->what, &out->value); i++)
        if (evn_formula_fits(name, out->what.key) && index-- == 0)
            return true;
    return limitation_at(run, name, index, out) || limit_at(name, index, out) || ability_at(run, name, index, out);
}

bool evn_thing_at(const evn_explained_run *run, evn_formula_name name, size_t index, evn_thing *out)
{
    if (evn_thing_begins(&name, "truck:")) {
        out->kind = WRITTEN;
        return written_at(&run->truck->values, name, index, out);
    }
    if (evn_thing_begins(&name, "cycle:")) {
        out->kind = OF_CYCLE;
        return written_at(&run->cycle->values, name, index, out);
    }
    out->kind = ASKED;
    if (evn_thing_begins(&name, "load_case:"))
        return asked_at(run->ask, "load_case", name, index, out);
    if (evn_thing_begins(&name, "driving:"))
        return asked_at(run->ask, "driving", name, index, out);
    out->kind = RESULT;
    return evn_thing_of_results(run, name, index, out);
}

/* ------------------------------------------------------------------------------------------------ of other trucks */

const char *evn_thing_label_elsewhere(evn_formula_name name)
{
    evn_quantity what;
    const char *key, *label;
    for (size_t i = 0; evn_result_row_at(i, &what); i++)
        if (evn_formula_fits(name, what.key))
            return what.label;
    for (size_t i = 0; evn_mass_row_at(i, &key, &label); i++)
        if (evn_formula_fits(name, key))
            return label;
    return NULL;
}
