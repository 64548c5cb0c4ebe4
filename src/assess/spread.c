/*
 * How sure what stands is: each datum of the truck that errs moved up and down by its standard uncertainty, about the
 * middle of its range and in still air, the same judge asked, squares of half the differences added (JCGM
 * 100:2008, 5.1.2, equation 10, from memory).
 */
#include "assess/assess.h"
#include "core/change.h"
#include "core/field_copy.h"
#include "uncertainty/shape.h"
#include <math.h>
#include <string.h>

typedef struct spreading {
    const evn_stand_ask *ask;
    const evn_data *data;
    size_t truck;
    evn_truck_file *copy;
    double **place; /* of each row of the data; NULL: of another object */
    evn_report *aside;
} spreading;

static bool ends_in(const char *text, const char *end)
{
    size_t length = strlen(text), of = strlen(end);
    return length >= of && strcmp(text + length - of, end) == 0;
}

/* What the site asks: masses, places and springs, nothing that drives. */
static bool is_of_site(const char *path)
{
    return ends_in(path, "_kg") || ends_in(path, "_m") || strstr(path, ".suspension.") ||
           ends_in(path, ".stiffness_kn_m");
}

/* False: nothing of the truck is moved by it. */
static bool touches(const spreading *s, size_t datum, bool *site)
{
    bool any = false;
    *site = false;
    for (size_t k = 0; k < s->data->moved_count; k++)
        if (s->data->moved[k].datum == datum && s->place[k]) {
            any = true;
            *site = *site || is_of_site(s->data->moved[k].path);
        }
    return any;
}

static void write_datum(const spreading *s, size_t datum, double sign)
{
    for (size_t k = 0; k < s->data->moved_count; k++) {
        const evn_moved *m = &s->data->moved[k];
        if (m->datum != datum || !s->place[k])
            continue;
        double value = m->nominal;
        if (sign != 0)
            value += m->offset + sign * m->half_width * evn_standard_share(m->shape);
        *s->place[k] = fmin(fmax(value, m->least), m->most);
    }
}

static bool is_site(int kind) { return evn_demand_rows[kind].of == EVN_OF_SITE; }

/* Values with the datum moved; what was not asked of it is NAN. */
static void values_at(const spreading *s, size_t datum, double sign, const evn_stand_ask *ask,
                      double value[EVN_DEMAND_KINDS])
{
    evn_found found[EVN_DEMAND_KINDS];
    for (int k = 0; k < EVN_DEMAND_KINDS; k++)
        found[k] = (evn_found){.value = (double)NAN};
    write_datum(s, datum, sign);
    if (!evn_stand(ask, s->copy, found, s->aside))
        for (int k = 0; k < EVN_DEMAND_KINDS; k++)
            found[k].value = (double)NAN;
    for (int k = 0; k < EVN_DEMAND_KINDS; k++)
        value[k] = found[k].value;
}

/* Of clauses the one that is told may change as data move: their margins are compared, in its unit. */
static void add_datum(const spreading *s, size_t datum, const evn_stand_ask *ask, const evn_found nominal[],
                      double variance[])
{
    double up[EVN_DEMAND_KINDS], down[EVN_DEMAND_KINDS];
    values_at(s, datum, 1, ask, up);
    values_at(s, datum, -1, ask, down);
    write_datum(s, datum, 0);
    for (int k = 0; k < EVN_DEMAND_KINDS; k++) {
        double half = (up[k] - down[k]) / 2;
        if (isnan(half))
            half = !isnan(up[k]) ? up[k] - nominal[k].value : nominal[k].value - down[k];
        if (!isnan(half))
            variance[k] += half * half;
    }
}

/* Forces are asked in the season in which a demand is least kept, which may be another for each. */
static void add_seasons(const spreading *s, size_t datum, bool site, const evn_found nominal[], double variance[])
{
    unsigned left = 0;
    for (int k = 0; k < EVN_DEMAND_KINDS; k++)
        if (s->ask->wanted >> k & 1u && !isnan(nominal[k].value) && (site || !is_site(k)))
            left |= 1u << k;
    while (left != 0) {
        evn_stand_ask ask = *s->ask;
        int first = 0;
        while (!(left >> first & 1u))
            first++;
        ask.arena = NULL;
        ask.still = true;
        ask.rules_key = nominal[EVN_DEMAND_RULES].site_key;
        ask.only_season = nominal[first].season;
        ask.wanted = 0;
        for (int k = first; k < EVN_DEMAND_KINDS; k++)
            if (left >> k & 1u && (is_site(k) || nominal[k].season == ask.only_season))
                ask.wanted |= 1u << k;
        left &= ~ask.wanted;
        add_datum(s, datum, &ask, nominal, variance);
    }
}

/* False: memory is out. */
static bool place_all(spreading *s, const evn_truck_file *truck, evn_arena *arena)
{
    s->copy = evn_object_copy(&evn_truck_object, truck, arena);
    s->place = evn_arena_take(arena, (s->data->moved_count + 1) * sizeof *s->place);
    for (size_t k = 0; s->copy && s->place && k < s->data->moved_count; k++) {
        const evn_moved *m = &s->data->moved[k];
        bool own = m->in == EVN_IN_TRUCK && m->truck == s->truck;
        s->place[k] = own ? evn_number_place(&evn_truck_object, s->copy, m->path, s->aside) : NULL;
    }
    return s->copy && s->place;
}

bool evn_stand_spread(const evn_stand_ask *ask, const evn_truck_file *truck, const evn_data *data, size_t index,
                      const evn_found nominal[EVN_DEMAND_KINDS], double half_width[EVN_DEMAND_KINDS])
{
    double variance[EVN_DEMAND_KINDS] = {0};
    evn_arena *arena = evn_arena_new();
    spreading s = {.ask = ask, .data = data, .truck = index, .aside = evn_report_new()};
    bool made = arena && s.aside && place_all(&s, truck, arena);
    for (size_t d = 0; made && d < data->count; d++) {
        bool site;
        if (touches(&s, d, &site))
            add_seasons(&s, d, site, nominal, variance);
    }
    for (int k = 0; made && k < EVN_DEMAND_KINDS; k++)
        half_width[k] = EVN_ASSESS_90_PERCENT * sqrt(variance[k] + nominal[k].range * nominal[k].range);
    evn_report_free(s.aside);
    if (arena)
        evn_arena_free(arena);
    return made;
}
