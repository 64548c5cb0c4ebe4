/* Files of uncertainties, and what of a lineup errs, behind evener/uncertainty.h. */
#include "core/uncertain.h"
#include "api/erring.h"
#include "api/objects.h"
#include "cycle/resolve.h"
#include <math.h>
#include <stdlib.h>

struct evn_uncertainties {
    evn_arena *arena;
    const evn_uncertainties_file *file;
    evn_value_list values;
};

evn_status evn_uncertainties_load(const char *path, evn_uncertainties **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"path", path}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_uncertainties *u = calloc(1, sizeof *u);
    if (!u) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out reading %s", path);
        return evn_report_status(report);
    }
    u->file = evn_load_object(path, &evn_uncertainties_object, &(evn_load){0}, &u->values, &u->arena, report);
    if (u->file)
        *out = u;
    else
        free(u);
    return evn_report_status(report);
}

void evn_uncertainties_free(evn_uncertainties *u)
{
    if (u)
        evn_arena_free(u->arena);
    free(u);
}

/* ------------------------------------------------------------------------------------------------ one truck */

struct evn_truck_data {
    evn_arena *arena;
    evn_data data;
};

evn_status evn_truck_data_find(const evn_truck *t, evn_truck_data **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"truck", t}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_contender alone = {NULL, t->file};
    evn_erring erring = {.who = &alone, .count = 1, .values = {t->values.at, t->values.count}};
    evn_arena *arena = evn_arena_new();
    evn_truck_data *found = arena ? evn_arena_take(arena, sizeof *found) : NULL;
    if (!found)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over uncertain data");
    else if (evn_data_gather(&erring, arena, &found->data, report))
        *out = found;
    if (found)
        found->arena = arena;
    if (!*out)
        evn_arena_free(arena);
    return evn_report_status(report);
}

void evn_truck_data_free(evn_truck_data *data)
{
    if (data)
        evn_arena_free(data->arena);
}

bool evn_truck_datum_at(const evn_truck_data *data, size_t index, evn_datum *out)
{
    if (!data || !out || index >= data->data.count)
        return false;
    *out = data->data.datum[index];
    return true;
}

/* ------------------------------------------------------------------------------------------------ a lineup */

evn_erring evn_lineup_erring(const evn_lineup *l, const evn_uncertainties *beside)
{
    evn_erring erring = evn_lineup_states(l);
    if (beside) {
        erring.uncertain_beside = &beside->file->uncertain;
        erring.values_beside = (evn_read_values){beside->values.at, beside->values.count};
    }
    return erring;
}

static size_t trucks_of(const evn_datum *datum)
{
    size_t count = 0;
    for (uint64_t left = datum->trucks; left; left &= left - 1)
        count++;
    return count;
}

double evn_uncertainty_work(const evn_lineup *l)
{
    if (l && !evn_lineup_cycle(l)) /* over a duty nothing is found */
        return 0;
    evn_arena *arena = l ? evn_arena_new() : NULL;
    evn_report *aside = arena ? evn_report_new() : NULL;
    evn_data data;
    double runs = (double)NAN;
    if (aside) {
        evn_erring erring = evn_lineup_erring(l, NULL);
        runs = evn_data_gather(&erring, arena, &data, aside) ? 0 : (double)NAN;
        for (size_t k = 0; !isnan(runs) && k < data.count; k++)
            runs += (double)trucks_of(&data.datum[k]);
        runs *= evn_cycle_length_m(erring.cycle) / 1e3;
    }
    evn_report_free(aside);
    evn_arena_free(arena);
    return runs;
}
