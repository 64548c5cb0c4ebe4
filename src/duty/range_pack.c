/* The smallest battery with which a truck gets as far as it has to, its own mass and what it takes from the payload
 * driven along. */
#include "core/root.h"
#include "core/units.h"
#include "duty/pack_size.h"
#include "duty/range_made.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Sizes over the truck's own that are looked at, and of the distance that what is found lies within. */
static const double LEAST = 0.02, MOST = 20, TOLERANCE = 1e-4;
enum { STEPS = 40 };

typedef struct search {
    evn_range *range;
    evn_runs *runs;
    evn_report *report, *aside; /* the second takes what trials find */
    evn_permitted *permitted;   /* of each cell with the first payload: its season may load the axles in its own way */
    double kg_per_kwh;
    size_t cell; /* that asks for the battery */
    bool broken; /* stopped, or memory is out (said) */

    /* Of the last trial of that cell. */
    double payload_kg, distance_km, day_duration_s, own_day_duration_s;
    const char *bound_by, *status;
} search;

/* ------------------------------------------------------------------------------------------------ a trial */

static double payload_with(const search *s, double size, size_t cell, const char **bound_by)
{
    evn_sized_truck sized;
    evn_sized_truck_make(&sized, s->range->truck, size, s->kg_per_kwh);
    return evn_payload_left_kg(&sized.truck, &s->range->reach[cell].load_case, s->range->payload_kg[0],
                               &s->permitted[cell], bound_by);
}

static void ask_with(search *s, evn_day_reach *reach, const evn_sized_truck *sized, double size, size_t cell)
{
    const char *bound_by;
    double payload_kg = payload_with(s, size, cell, &bound_by);
    *reach = evn_range_ask_of(s->range, cell);
    reach->truck = &sized->truck;
    reach->most_payload_kg = fmax(payload_kg, 0);
    reach->enough_km = s->range->goal.distance_km;
    if (cell != s->cell)
        return;
    s->payload_kg = payload_kg;
    s->bound_by = bound_by;
}

static void keep_by_products(search *s, const evn_day_reach *reach)
{
    s->distance_km = reach->distance_km;
    s->day_duration_s = reach->day_duration_s;
    s->own_day_duration_s = s->range->reach[s->cell].day_duration_s;
    s->status = reach->status;
}

/* Distance beyond what has to be reached of so many cells from one on, with a battery of this size: the least of them;
 * `least_cell` is whose. A hair more than nothing is asked for, so that what is found reaches it. */
static double beyond_of(search *s, double size, size_t first, size_t count, size_t *least_cell)
{
    const evn_range *r = s->range;
    evn_sized_truck sized;
    evn_day_reach *reach = calloc(count, sizeof *reach);
    double least = (double)INFINITY;
    evn_sized_truck_make(&sized, r->truck, size, s->kg_per_kwh);
    for (size_t k = 0; reach && k < count; k++)
        ask_with(s, &reach[k], &sized, size, first + k);
    if (!reach)
        evn_say(s->report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out looking for a battery");
    s->broken = !reach || !evn_day_reach_find(reach, count, s->runs, s->aside);
    for (size_t k = 0; !s->broken && k < count; k++) {
        double beyond = evn_day_reach_beyond_km(&reach[k], r->goal.distance_km);
        if (first + k == s->cell)
            keep_by_products(s, &reach[k]);
        if (beyond >= least)
            continue;
        least = beyond;
        *least_cell = first + k;
    }
    for (size_t k = 0; reach && k < count; k++)
        evn_day_reach_end(&reach[k]);
    free(reach);
    return s->broken ? 0 : least - TOLERANCE * r->goal.distance_km;
}

static double beyond_km(void *self, double size)
{
    search *s = self;
    size_t cell;
    return s->broken ? 0 : beyond_of(s, size, s->cell, 1, &cell);
}

/* ------------------------------------------------------------------------------------------------ brackets */

/* The largest battery with which the truck is not too heavy without any payload. */
static double largest(search *s)
{
    const char *bound_by;
    double low = 1, high = MOST;
    if (payload_with(s, high, s->cell, &bound_by) >= 0)
        return high;
    for (int k = 0; k < 40; k++) {
        double middle = 0.5 * (low + high);
        if (payload_with(s, middle, s->cell, &bound_by) >= 0)
            low = middle;
        else
            high = middle;
    }
    return low;
}

static evn_known try_size(search *s, double size) { return (evn_known){size, beyond_km(s, size)}; }

/* From one that does not suffice to one that does, up to the largest; false: none does. */
static bool step_up(search *s, evn_known *low, evn_known *high, double most)
{
    double wanted = s->range->goal.distance_km, size = low->x;
    while (!s->broken && size < most) {
        double short_by = wanted / fmax(wanted + low->error, 0.5 * wanted);
        size = fmin(1.03 * size * fmax(short_by, 1), most);
        *high = try_size(s, size);
        if (high->error >= 0)
            return true;
        *low = *high;
    }
    return false;
}

/* From one that suffices to one that does not; false: the least that is looked at suffices. */
static bool step_down(search *s, evn_known *low, evn_known *high)
{
    double wanted = s->range->goal.distance_km, size = high->x;
    while (!s->broken && size > LEAST) {
        size = fmax(fmin(0.97 * size * wanted / (wanted + fmin(high->error, 9 * wanted)), 0.97 * size), LEAST);
        *low = try_size(s, size);
        if (low->error < 0)
            return true;
        *high = *low;
    }
    return false;
}

/* ------------------------------------------------------------------------------------------------ the search */

static bool bracket(search *s, evn_known known, evn_known *low, evn_known *high)
{
    *low = *high = known;
    if (known.error < 0)
        return step_up(s, low, high, largest(s));
    return step_down(s, low, high);
}

/* The size for one cell, from what is known of it; the by-products are those of that size. False: none. */
static bool size_for(search *s, evn_known known, double *size)
{
    evn_known low, high;
    double tolerance = TOLERANCE * s->range->goal.distance_km;
    bool there = bracket(s, known, &low, &high);
    if (!there) {
        *size = known.error < 0 ? low.x : high.x;
        return known.error >= 0 && !s->broken;
    }
    *size = evn_root_short_of(beyond_km, s, high, low, &(evn_between){tolerance, 1e-6, STEPS}).x;
    return !s->broken;
}

static void put_found(search *s, double size)
{
    evn_range_pack *p = &s->range->pack;
    p->found = true;
    p->size = size;
    p->kwh = size * p->own_kwh;
    p->kg = p->own_kg + s->kg_per_kwh * (p->kwh - p->own_kwh);
    p->payload_kg = fmin(s->payload_kg, s->range->payload_kg[0]);
    p->lost_kg = s->range->payload_kg[0] - p->payload_kg;
    p->bound_by = p->lost_kg > 0 ? s->bound_by : NULL;
    p->bound_over_kg = evn_permitted_over_kg(&s->permitted[s->cell], s->range->truck, p->bound_by);
    p->day_duration_s = s->day_duration_s;
    p->own_day_duration_s = s->own_day_duration_s;
    p->asked_by = s->cell;
    evn_sized_truck sized;
    evn_sized_truck_make(&sized, s->range->truck, size, s->kg_per_kwh);
    s->range->loads = evn_loads_of(&sized.truck, &s->range->reach[s->cell].load_case, p->payload_kg, s->range->load);
}

/* A battery that is larger does not get further where its mass and what it takes from the payload eat it. */
static void put_none(search *s, double size)
{
    evn_range_pack *p = &s->range->pack;
    beyond_km(s, size); /* by-products of the largest */
    p->most_kwh = size * p->own_kwh;
    p->most_distance_km = s->distance_km;
    p->bound_by = s->bound_by;
    p->bound_over_kg = evn_permitted_over_kg(&s->permitted[s->cell], s->range->truck, p->bound_by);
    p->asked_by = s->cell;
    p->status = s->status;
    bool emptied = strcmp(s->status, "battery_empty") == 0;
    p->why_not = !emptied ? "status" : s->distance_km == 0 ? "charge" : size < 0.999 * MOST ? "mass" : "distance";
}

/* The cell that was worst with the truck's own battery asks for most, but for odd ones: all are asked, and where
 * another wants more, it asks. */
static void search_all(search *s)
{
    evn_range *r = s->range;
    double tolerance = TOLERANCE * r->goal.distance_km;
    s->cell = r->worst;
    evn_known known = {1, evn_day_reach_beyond_km(&r->reach[r->worst], r->goal.distance_km) - tolerance};
    for (size_t k = 0; k <= evn_range_first_cells(r); k++) {
        double size;
        size_t least_cell = s->cell;
        bool found = size_for(s, known, &size);
        if (s->broken)
            return;
        if (!found) {
            put_none(s, size);
            return;
        }
        double least = beyond_of(s, size, 0, evn_range_first_cells(r), &least_cell);
        if (s->broken)
            return;
        if (least_cell == s->cell || least >= -tolerance) {
            put_found(s, size);
            return;
        }
        s->cell = least_cell;
        known = (evn_known){size, least};
    }
}

/* What may be carried in each cell. False: the truck does not stand so with the first payload. */
static bool make_permitted(search *s)
{
    const evn_range *r = s->range;
    bool stands = true;
    for (size_t k = 0; stands && k < evn_range_first_cells(r); k++)
        stands = evn_permitted_make(&s->permitted[k], r->truck, &r->reach[k].load_case, r->payload_kg[0], s->aside);
    return stands;
}

bool evn_range_find_pack(evn_range *r, double kg_per_kwh, evn_runs *runs, evn_report *report)
{
    const evn_battery_file *own = r->truck->battery;
    search s = {.range = r, .runs = runs, .report = report, .aside = evn_report_new()};
    s.kg_per_kwh = kg_per_kwh > 0 ? kg_per_kwh : evn_battery_kg_per_kwh(own);
    r->pack = (evn_range_pack){.sought = true,
                               .own_kwh = evn_battery_kwh(own),
                               .own_kg = own->mass_kg,
                               .kwh = (double)NAN,
                               .kg = (double)NAN,
                               .size = (double)NAN,
                               .kg_per_kwh = s.kg_per_kwh,
                               .payload_kg = (double)NAN,
                               .lost_kg = (double)NAN,
                               .day_duration_s = (double)NAN,
                               .own_day_duration_s = (double)NAN,
                               .asked_by = r->worst,
                               .most_kwh = (double)NAN,
                               .most_distance_km = (double)NAN};
    s.permitted = calloc(evn_range_first_cells(r), sizeof *s.permitted);
    if (!s.aside || !s.permitted) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out looking for a battery");
        evn_report_free(s.aside);
        free(s.permitted);
        return false;
    }
    bool stands = make_permitted(&s);
    if (stands)
        search_all(&s);
    else
        s.broken = true;
    if (!stands)
        evn_say(report, EVN_FAULT_DISAGREES, evn_nowhere, evn_nowhere, "%.60s does not stand with %.0f kg of payload",
                r->truck->name, r->payload_kg[0]);
    if (s.broken && !evn_runs_stopped(runs) && evn_report_errors(report) == 0)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out looking for a battery");
    evn_report_free(s.aside);
    free(s.permitted);
    return !s.broken;
}
