/* The load collectives of a run as part of its document: what each shaft and gear comes to. */
#include "show/document.h"
#include "show/drive_story.h"
#include "show/json_number.h"

/* Frees the value where it is not whole. */
static json_t *whole(json_t *json, bool made)
{
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

static bool put_side(json_t *json, const evn_collective_side *is)
{
    return evn_json_put(json, "revolutions", evn_json_real(is->revolutions)) &&
           evn_json_put(json, "duration_s", evn_json_real(is->duration_s)) &&
           evn_json_put(json, "work_kwh", evn_json_real(is->work_kwh)) &&
           evn_json_put(json, "largest_torque_nm", evn_json_real(is->most_nm)) &&
           evn_json_put(json, "equivalent_torque_nm", evn_json_real(is->equivalent_nm));
}

static json_t *side_json(const evn_collective_side *is)
{
    json_t *json = json_object();
    return whole(json, json && put_side(json, is));
}

static bool put_sum(json_t *json, const evn_collective *c, size_t shaft, size_t gear, const evn_damage *by)
{
    evn_collective_sum sum;
    return evn_collective_sum_of(c, shaft, gear, by, &sum) && put_side(json, &sum.both) &&
           evn_json_put(json, "pulling", side_json(&sum.pulling)) &&
           evn_json_put(json, "braking", side_json(&sum.braking));
}

static json_t *gear_json(const evn_collective *c, size_t shaft, size_t gear, const evn_damage *by)
{
    json_t *json = json_object();
    return whole(json, json && evn_json_put(json, "gear", json_integer((json_int_t)gear)) &&
                           put_sum(json, c, shaft, gear, by));
}

/* Those in which it turned. */
static json_t *gears_json(const evn_collective *c, size_t shaft, size_t gears, const evn_damage *by)
{
    json_t *list = json_array();
    bool made = list;
    evn_collective_sum sum;
    for (size_t gear = 0; made && gear <= gears; gear++)
        if (evn_collective_sum_of(c, shaft, gear, by, &sum) && sum.both.duration_s > 0)
            made = json_array_append_new(list, gear_json(c, shaft, gear, by)) == 0;
    return whole(list, made);
}

static json_t *shaft_json(const evn_collective *c, size_t shaft, const evn_collective_shaft *is, const evn_damage *by)
{
    json_t *json = json_object();
    bool made =
        json && evn_json_put(json, "drive_unit", evn_json_text(is->drive_unit)) &&
        evn_json_put(json, "axle", evn_json_text(is->axle)) && evn_json_put(json, "shaft", evn_json_text(is->shaft)) &&
        evn_json_put(json, "label", evn_json_text(is->label)) &&
        evn_json_put(json, "alike", json_integer((json_int_t)is->alike)) &&
        evn_json_put(json, "torque_class_nm", evn_json_real(is->torque_class_nm)) &&
        evn_json_put(json, "speed_class_rpm", evn_json_real(is->speed_class_rpm)) &&
        put_sum(json, c, shaft, EVN_ALL_GEARS, by) && evn_json_put(json, "gears", gears_json(c, shaft, is->gears, by));
    return whole(json, made);
}

static json_t *shafts_json(const evn_collective *c, const evn_damage *by)
{
    json_t *list = json_array();
    bool made = list;
    evn_collective_shaft is;
    for (size_t shaft = 0; made && evn_collective_shaft_at(c, shaft, &is); shaft++)
        made = json_array_append_new(list, shaft_json(c, shaft, &is, by)) == 0;
    return whole(list, made);
}

bool evn_collective_put(json_t *document, const evn_collective *c, const evn_damage *by)
{
    json_t *turns = by->revolutions > 0 ? evn_json_real(by->revolutions) : json_null();
    return evn_json_put(document, "load_collectives.damage_exponent", evn_json_real(by->exponent)) &&
           evn_json_put(document, "load_collectives.damage_revolutions", turns) &&
           evn_json_put(document, "load_collectives.shafts", shafts_json(c, by));
}
