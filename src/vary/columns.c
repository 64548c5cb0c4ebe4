/* Keys of what is recorded, led to where their values come from. */
#include "vary/columns.h"
#include "core/words.h"
#include "truck/rig.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static const char limits_begin[] = "limits.", demanded_begin[] = "limits.demanded.",
                  balance_begin[] = "energy_balance.";
static const char demands_met[] = "limits.demands_met";

static const evn_quantity met = {demands_met,   "", "whether all is met that the lineup demands of limits",
                                 EVN_YES_NO,    0,  "demands met",
                                 "demands met", 0};
static const evn_quantity of_day[] = {
    {"day.lowest_soc", "", "lowest state of charge at the ends of legs and stops", EVN_SHARE, 1,
     "lowest charge of the day", "lowest charge", 0},
    {"day.reserve_soc", "", "from there to the end of the battery's usable window", EVN_SHARE, 1, "reserve of charge",
     "reserve", 0},
    {"day.reserve_kwh", "kWh", "energy from there to the end of the battery's usable window", EVN_REAL, 1,
     "reserve of energy", "reserve", 0},
};
enum { OF_DAY = sizeof of_day / sizeof *of_day };

typedef struct gathering {
    evn_columns *to;
    const evn_study_file *study;
    const evn_rig *const *rig;
    size_t rigs;
    const evn_conditions *ask;
    const evn_study_reader *reader;
    evn_limits *limits; /* of the first rig, once they are asked for; their texts are copied */
    evn_arena *arena;
    evn_report *report;
} gathering;

static bool begins(const char *text, const char *with) { return strncmp(text, with, strlen(with)) == 0; }

/* ------------------------------------------------------------------------------------------------ known keys */

/* "drive_units.rear.gear_changes" fits "drive_units.NAME.gear_changes". */
static bool fits_row(const char *key, const char *row)
{
    static const char name[] = "NAME";
    const char *at = strstr(row, name);
    if (!at)
        return strcmp(key, row) == 0;
    size_t before = (size_t)(at - row), length = strlen(key);
    const char *behind = at + sizeof name - 1;
    return strncmp(key, row, before) == 0 && length > before + strlen(behind) &&
           strcmp(key + length - strlen(behind), behind) == 0;
}

static bool find_result(const char *key, evn_quantity *out)
{
    for (size_t k = 0; evn_result_row_at(k, out); k++)
        if (fits_row(key, out->key))
            return true;
    return false;
}

static bool find_figure(const gathering *g, const char *key, evn_quantity *out)
{
    for (size_t r = 0; r < g->rigs; r++)
        for (size_t k = 0; g->rig[r] && k < g->rig[r]->figure_count; k++)
            if (strcmp(g->rig[r]->figure[k].what.key, key) == 0) {
                *out = g->rig[r]->figure[k].what;
                return true;
            }
    return false;
}

static const evn_demands *demands_of(const evn_study_file *s) { return s->lineup ? s->lineup->demands : NULL; }

static evn_limits *limits_of_first(gathering *g)
{
    const evn_rig *rig = NULL;
    for (size_t r = 0; !rig && r < g->rigs; r++)
        rig = g->rig[r];
    evn_report *aside = evn_report_new();
    evn_limits_how how = {.only_forces = true, .demands = demands_of(g->study)};
    if (!g->limits && rig && aside)
        evn_limits_make(rig, &g->ask->driving, &how, &g->limits, aside);
    evn_report_free(aside);
    return g->limits;
}

static bool find_limit(gathering *g, const char *key, evn_column *out)
{
    evn_limits_figure figure;
    evn_limits *l = limits_of_first(g);
    for (size_t k = 0; l && evn_limits_at(l, k, &figure); k++)
        if (strcmp(figure.what.key, key + strlen(limits_begin)) == 0) {
            out->of = EVN_COLUMN_LIMIT;
            out->what = figure.what;
            return true;
        }
    return false;
}

static bool find_demand(gathering *g, const char *key, evn_column *out)
{
    evn_limits_verdict verdict;
    evn_limits *l = limits_of_first(g);
    for (size_t k = 0; l && evn_limits_demand_at(l, k, &verdict); k++)
        if (strcmp(verdict.what.key, key + strlen(demanded_begin)) == 0) {
            out->of = EVN_COLUMN_DEMAND;
            out->what = verdict.what;
            return true;
        }
    return false;
}

static bool find_of_day(const gathering *g, const char *key, evn_quantity *out)
{
    for (size_t k = 0; evn_study_duty(g->study) && k < OF_DAY; k++)
        if (strcmp(of_day[k].key, key) == 0) {
            *out = of_day[k];
            return true;
        }
    return false;
}

/* ------------------------------------------------------------------------------------------------ one key */

/* Texts that last as long as the columns. False when memory is out. */
static bool keep(gathering *g, const char *key, evn_column *c)
{
    const char *texts[] = {key, c->what.unit, c->what.help, c->what.label, c->what.short_label};
    const char **to[] = {&c->what.key, &c->what.unit, &c->what.help, &c->what.label, &c->what.short_label};
    for (size_t k = 0; k < sizeof texts / sizeof *texts; k++)
        if (!(*to[k] = evn_arena_text(g->arena, texts[k], strlen(texts[k]))))
            return false;
    size_t skip = c->of == EVN_COLUMN_LIMIT    ? strlen(limits_begin)
                  : c->of == EVN_COLUMN_DEMAND ? strlen(demanded_begin)
                                               : 0;
    c->own_key = c->what.key + skip;
    return true;
}

static bool find(gathering *g, const char *key, evn_column *c)
{
    *c = (evn_column){.of = EVN_COLUMN_RESULT};
    if (strcmp(key, demands_met) == 0 && demands_of(g->study)) {
        *c = (evn_column){EVN_COLUMN_DEMANDS, met, NULL};
        return true;
    }
    if (begins(key, demanded_begin))
        return find_demand(g, key, c);
    if (begins(key, limits_begin))
        return find_limit(g, key, c);
    if (find_of_day(g, key, &c->what)) {
        c->of = EVN_COLUMN_DAY;
        return true;
    }
    if (find_result(key, &c->what))
        return true;
    c->of = EVN_COLUMN_FIGURE;
    return find_figure(g, key, &c->what);
}

static const char *nearest_key(gathering *g, const char *key, char out[EVN_PHRASE_BYTES])
{
    enum { NAMES = 1200 };
    static const char none[] = "";
    const char **name = evn_arena_take(g->arena, NAMES * sizeof *name);
    size_t count = 0;
    evn_quantity row;
    evn_limits_figure figure;
    if (!name)
        return none;
    for (size_t k = 0; count < NAMES && evn_result_row_at(k, &row); k++)
        name[count++] = row.key;
    for (size_t r = 0; r < g->rigs; r++)
        for (size_t k = 0; count < NAMES && g->rig[r] && k < g->rig[r]->figure_count; k++)
            name[count++] = g->rig[r]->figure[k].what.key;
    for (size_t k = 0; count < NAMES && k < OF_DAY; k++)
        name[count++] = of_day[k].key;
    bool limit = begins(key, limits_begin);
    for (size_t k = 0; limit && g->limits && count < NAMES && evn_limits_at(g->limits, k, &figure); k++) {
        size_t bytes = strlen(limits_begin) + strlen(figure.what.key) + 1;
        char *whole = evn_arena_take(g->arena, bytes);
        if (whole)
            snprintf(whole, bytes, "%s%s", limits_begin, figure.what.key);
        name[count] = whole;
        count += whole ? 1 : 0;
    }
    return evn_nearest_phrase(out, key, name, count);
}

/* Its place; SIZE_MAX (said): it is not known, or memory is out. `where` is the key of the study that names it. */
static size_t place_of(gathering *g, const char *key, const char *where)
{
    char nearest[EVN_PHRASE_BYTES];
    evn_columns *to = g->to;
    for (size_t k = 0; k < to->count; k++)
        if (strcmp(to->at[k].what.key, key) == 0)
            return k;
    if (to->count == EVN_COLUMNS_MOST) {
        evn_say(g->report, EVN_FAULT_TOO_LARGE, evn_nowhere, evn_nowhere,
                "more than %d results to record; expected fewer", EVN_COLUMNS_MOST);
        return SIZE_MAX;
    }
    evn_column *c = &to->at[to->count];
    if (!find(g, key, c)) {
        evn_say(g->report, EVN_FAULT_UNKNOWN_KEY, g->reader->spot(g->reader->self, where, g->report), evn_nowhere,
                "'%.120s' in %s of the study; expected the key of a result as 'evener keys --results' tells them, a "
                "mass such as masses.gross_kg, or a figure of limits behind 'limits.'%s",
                key, where, nearest_key(g, key, nearest));
        return SIZE_MAX;
    }
    if (!keep(g, key, c)) {
        evn_say(g->report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the results");
        return SIZE_MAX;
    }
    to->limits = to->limits || c->of == EVN_COLUMN_LIMIT || c->of == EVN_COLUMN_DEMAND || c->of == EVN_COLUMN_DEMANDS;
    to->deciding = to->deciding || (c->of == EVN_COLUMN_LIMIT && begins(c->own_key, "deciding."));
    to->all_limits = to->all_limits || (c->of == EVN_COLUMN_LIMIT && !begins(c->own_key, "deciding."));
    return to->count++;
}

/* ------------------------------------------------------------------------------------------------ all of them */

static bool add_aims(gathering *g)
{
    const evn_study_file *s = g->study;
    evn_columns *to = g->to;
    bool all = true;
    for (size_t k = 0; k < s->least.count; k++)
        to->aim[to->aims++] = (evn_aim){place_of(g, s->least.at[k], "least"), false};
    for (size_t k = 0; k < s->most.count; k++)
        to->aim[to->aims++] = (evn_aim){place_of(g, s->most.at[k], "most"), true};
    if (to->aims == 0)
        to->aim[to->aims++] = (evn_aim){place_of(g, "kwh_per_km", "least"), false};
    for (size_t k = 0; k < to->aims; k++)
        all = all && to->aim[k].column != SIZE_MAX;
    return all;
}

static bool add_bounds(gathering *g)
{
    char key[EVN_STUDY_BYTES];
    bool all = true;
    for (size_t k = 0; k < g->study->constraints.count; k++) {
        const char *text = g->study->constraints.at[k];
        evn_constraint_text c;
        evn_constraint_text_read(text, &c);
        snprintf(key, sizeof key, "%.*s", (int)c.key_bytes, text + c.key);
        g->to->bound[k] = (evn_bound_on){place_of(g, key, "constraints"), c.sense, c.bound, text};
        all = all && g->to->bound[k].column != SIZE_MAX;
    }
    g->to->bounds = g->study->constraints.count;
    return all;
}

static bool add_recorded(gathering *g)
{
    evn_quantity row;
    bool all = true;
    for (size_t k = 0; k < g->study->record.count; k++)
        all = place_of(g, g->study->record.at[k], "record") != SIZE_MAX && all;
    for (size_t k = 0; g->study->record.count == 0 && evn_headline_at(k, &row); k++)
        all = place_of(g, row.key, "record") != SIZE_MAX && all;
    for (size_t k = 0; evn_result_row_at(k, &row); k++)
        if (begins(row.key, balance_begin))
            all = place_of(g, row.key, "record") != SIZE_MAX && all;
    return all;
}

bool evn_columns_make(evn_columns *to, const evn_study_file *s, const evn_rig *const *rigs, size_t count,
                      const evn_conditions *ask, const evn_study_reader *reader, evn_arena *arena, evn_report *report)
{
    gathering g = {to, s, rigs, count, ask, reader, NULL, arena, report};
    *to = (evn_columns){.at = evn_arena_take(arena, EVN_COLUMNS_MOST * sizeof *to->at)};
    if (!to->at) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the results");
        return false;
    }
    bool all = add_aims(&g);
    all = add_bounds(&g) && all;
    all = add_recorded(&g) && all;
    evn_limits_free(g.limits);
    return all;
}

/* ------------------------------------------------------------------------------------------------ values */

static double figure_value(const evn_rig *rig, const char *key)
{
    for (size_t k = 0; k < rig->figure_count; k++)
        if (strcmp(rig->figure[k].what.key, key) == 0)
            return rig->figure[k].value;
    return (double)NAN;
}

static double demand_value(const evn_limits *l, const char *key)
{
    evn_limits_verdict v;
    for (size_t k = 0; l && evn_limits_demand_at(l, k, &v); k++)
        if (strcmp(v.what.key, key) == 0)
            return v.value;
    return (double)NAN;
}

static double all_met(const evn_limits *l)
{
    evn_limits_verdict v;
    bool all = l;
    for (size_t k = 0; l && evn_limits_demand_at(l, k, &v); k++)
        all = all && v.met;
    return all ? 1 : 0;
}

static double day_value(const evn_day_season *day, const char *key)
{
    if (!day)
        return (double)NAN;
    if (strcmp(key, of_day[0].key) == 0)
        return day->lowest_soc;
    return strcmp(key, of_day[1].key) == 0 ? day->reserve_soc : day->reserve_kwh;
}

double evn_column_value(const evn_column *c, const evn_driven *d)
{
    evn_limits_figure figure;
    double value = (double)NAN;
    switch (c->of) {
    case EVN_COLUMN_RESULT:
        return d->results && evn_results_get(d->results, c->own_key, &value) ? value : (double)NAN;
    case EVN_COLUMN_FIGURE:
        return d->rig ? figure_value(d->rig, c->own_key) : value;
    case EVN_COLUMN_LIMIT:
        return d->limits && evn_limits_get(d->limits, c->own_key, &figure) ? figure.value : value;
    case EVN_COLUMN_DEMAND:
        return demand_value(d->limits, c->own_key);
    case EVN_COLUMN_DEMANDS:
        return d->limits ? all_met(d->limits) : value;
    case EVN_COLUMN_DAY:
        return day_value(d->day, c->own_key);
    }
    return value;
}

const evn_bound_on *evn_columns_broken(const evn_columns *all, const double *values)
{
    for (size_t k = 0; k < all->bounds; k++) {
        const evn_bound_on *b = &all->bound[k];
        double value = values[b->column];
        bool holds = b->sense == EVN_AT_LEAST ? value >= b->bound : value <= b->bound;
        if (!holds)
            return b;
    }
    return NULL;
}

evn_limits_how evn_columns_limits_how(const evn_columns *all, const evn_demands *demands)
{
    return (evn_limits_how){.only_demands = !all->deciding && !all->all_limits,
                            .only_deciding = all->deciding && !all->all_limits,
                            .only_forces = true,
                            .demands = demands};
}
