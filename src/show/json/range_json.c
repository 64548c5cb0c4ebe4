/* Distances to the reserve and the battery that a day takes, as a JSON document. */
#include "evener/range.h"
#include "show/ask.h"
#include "show/document.h"
#include "show/json_number.h"
#include "show/names.h"
#include "show/range_story.h"

static json_t *whole(unsigned number) { return number > 0 ? json_integer(number) : json_null(); }

static bool put_end(json_t *at, const evn_range_cell *c)
{
    const evn_day_phase *p = &c->ends_in;
    json_t *end = p->name ? json_object() : json_null();
    bool made = end;
    if (p->name)
        made = made && evn_json_put(end, "name", evn_json_text(p->name)) &&
               evn_json_put(end, "kind", json_string(p->stop ? "stop" : "leg")) &&
               evn_json_put(end, "round", whole(p->round)) && evn_json_put(end, "part", whole(p->part)) &&
               evn_json_put(end, "direction", p->stop ? json_null() : json_string(p->back ? "back" : "out")) &&
               evn_json_put(end, "day", whole(c->day)) && evn_json_put(end, "into_km", evn_json_real(c->into_km));
    if (made)
        return evn_json_put(at, "ends_in", end);
    json_decref(end);
    return false;
}

static json_t *cell_json(const evn_range_cell *c)
{
    const evn_conditions in = {.load_case = c->load_case};
    json_t *at = json_object();
    if (at && evn_json_put(at, "season", evn_json_text(c->season)) &&
        evn_json_put(at, "payload_kg", evn_json_real(c->payload_kg)) &&
        evn_json_put(at, "age_years", evn_json_real(c->age_years)) &&
        evn_json_put(at, "rolling_resistance_law", json_string(evn_ask_choice(&in, "rolling_resistance_law"))) &&
        evn_json_put(at, "does_it", json_boolean(c->does_it)) && evn_json_put(at, "status", evn_json_text(c->status)) &&
        evn_json_put(at, "distance_km", evn_json_real(c->distance_km)) &&
        evn_json_put(at, "more_km", evn_json_real(c->more_km)) &&
        evn_json_put(at, "unlimited", json_boolean(c->unlimited)) &&
        evn_json_put(at, "sustained", json_boolean(c->sustained)) &&
        evn_json_put(at, "duration_s", evn_json_real(c->duration_s)) &&
        evn_json_put(at, "begin_soc", evn_json_real(c->begin_soc)) &&
        evn_json_put(at, "floor_soc", evn_json_real(c->floor_soc)) &&
        evn_json_put(at, "reserve_soc", evn_json_real(c->reserve_soc)) &&
        evn_json_put(at, "reserve_kwh", evn_json_real(c->reserve_kwh)) && put_end(at, c))
        return at;
    json_decref(at);
    return NULL;
}

static bool put_cells(json_t *document, const evn_range *range)
{
    json_t *list = json_array();
    evn_range_cell c;
    bool made = list;
    for (size_t k = 0; made && evn_range_cell_at(range, k, &c); k++)
        made = json_array_append_new(list, cell_json(&c)) == 0;
    if (made)
        return evn_json_put(document, "cells", list);
    json_decref(list);
    return false;
}

static bool put_goal(json_t *document, const evn_range *range)
{
    evn_range_goal g;
    return !evn_range_goal_of(range, &g) || (evn_json_put(document, "goal.distance_km", evn_json_real(g.distance_km)) &&
                                             evn_json_put(document, "goal.day_km", evn_json_real(g.day_km)) &&
                                             evn_json_put(document, "goal.reserve_soc", evn_json_real(g.reserve_soc)) &&
                                             evn_json_put(document, "goal.reserve_kwh", evn_json_real(g.reserve_kwh)) &&
                                             evn_json_put(document, "goal.demanded", json_boolean(g.demanded)));
}

static bool put_pack(json_t *document, const evn_range *range)
{
    evn_range_pack p;
    if (!evn_range_pack_of(range, &p) || !p.sought)
        return evn_json_put(document, "battery", json_null());
    return evn_json_put(document, "battery.own_kwh", evn_json_real(p.own_kwh)) &&
           evn_json_put(document, "battery.own_kg", evn_json_real(p.own_kg)) &&
           evn_json_put(document, "battery.kg_per_kwh", evn_json_real(p.kg_per_kwh)) &&
           evn_json_put(document, "battery.found", json_boolean(p.found)) &&
           evn_json_put(document, "battery.kwh", evn_json_real(p.kwh)) &&
           evn_json_put(document, "battery.kg", evn_json_real(p.kg)) &&
           evn_json_put(document, "battery.size", evn_json_real(p.size)) &&
           evn_json_put(document, "battery.payload_kg", evn_json_real(p.payload_kg)) &&
           evn_json_put(document, "battery.payload_lost_kg", evn_json_real(p.lost_kg)) &&
           evn_json_put(document, "battery.payload_bound_by", evn_json_text(p.bound_by)) &&
           evn_json_put(document, "battery.payload_bound_over_kg", evn_json_real(p.bound_over_kg)) &&
           evn_json_put(document, "battery.day_duration_s", evn_json_real(p.day_duration_s)) &&
           evn_json_put(document, "battery.own_day_duration_s", evn_json_real(p.own_day_duration_s)) &&
           evn_json_put(document, "battery.asked_by_cell", json_integer((json_int_t)p.asked_by)) &&
           evn_json_put(document, "battery.why_not", evn_json_text(p.why_not)) &&
           evn_json_put(document, "battery.most_kwh", evn_json_real(p.most_kwh)) &&
           evn_json_put(document, "battery.most_distance_km", evn_json_real(p.most_distance_km));
}

static bool put_names(json_t *document, const evn_range_story *story)
{
    json_t *invented = story->truck ? json_boolean(story->truck_invented) : json_null();
    return evn_json_put(document, "truck", evn_json_text(story->truck)) &&
           evn_json_put(document, "truck_invented", invented) &&
           evn_json_put(document, "duty", evn_json_text(story->duty)) &&
           evn_json_put(document, "duty_source", evn_json_text(story->duty_source)) &&
           evn_json_put(document, "driver", evn_json_text(evn_driver_name(story->ask.driving.driver))) &&
           evn_ask_put(document, &story->ask) && evn_ask_put_before_seasons(document, &story->ask);
}

bool evn_range_json(const evn_range_story *story, const evn_findings *findings, FILE *to)
{
    json_t *document = evn_document_begin(EVN_RANGE_SCHEMA, story->status);
    bool made = document && put_names(document, story);
    if (made && story->range)
        made = put_goal(document, story->range) &&
               evn_json_put(document, "worst_cell", json_integer((json_int_t)evn_range_worst(story->range))) &&
               put_cells(document, story->range) && put_pack(document, story->range);
    if (!made) {
        json_decref(document);
        return false;
    }
    return evn_document_end(document, findings, to);
}
