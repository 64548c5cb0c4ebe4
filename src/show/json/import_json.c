/* An import as a JSON document. */
#include "show/document.h"
#include "show/import_story.h"
#include "show/json_number.h"
#include <math.h>

typedef struct number {
    const char *key;
    double value;
} number;

static bool put_numbers(json_t *to, const number *rows, size_t count)
{
    bool made = true;
    for (size_t k = 0; k < count; k++)
        made = made && evn_json_put(to, rows[k].key, evn_json_real(rows[k].value));
    return made;
}

static bool put_answer(json_t *to, const evn_import_told *t)
{
    double climb = t->grade_from ? t->climb_m : (double)NAN, descent = t->grade_from ? t->descent_m : (double)NAN;
    const number rows[] = {{"answer.distance_m", t->distance_m},
                           {"answer.duration_s", t->duration_s},
                           {"answer.highest_speed_m_s", t->speed_most_m_s},
                           {"answer.standing_s", t->stopped_s},
                           {"answer.climb_m", climb},
                           {"answer.descent_m", descent},
                           {"answer.steepest_grade_ratio", t->steepest_ratio},
                           {"answer.steepest_place_m", t->steepest_place_m},
                           {"answer.climb_in_log_m", t->climb_before_m},
                           {"answer.distance_by_positions_m", t->ground_distance_m},
                           {"answer.distance_by_odometer_m", t->place_distance_m}};
    return put_numbers(to, rows, sizeof rows / sizeof *rows) &&
           evn_json_put(to, "answer.stops", json_integer((json_int_t)t->stops));
}

static json_t *work_json(const evn_import_work *w)
{
    const number rows[] = {{"speed_width_s", w->speed_width_s},
                           {"grade_width_m", w->grade_width_m},
                           {"traction_kwh", w->traction_kwh},
                           {"braking_kwh", w->braking_kwh},
                           {"climb_m", w->climb_m}};
    json_t *object = json_object();
    if (object && put_numbers(object, rows, sizeof rows / sizeof *rows))
        return object;
    json_decref(object);
    return NULL;
}

static bool put_smoothing(json_t *to, const evn_import_told *t)
{
    static const char *const keys[] = {"smoothing.as_made", "smoothing.half_width", "smoothing.twice_width"};
    const number rows[] = {{"smoothing.speed_width_s", t->speed_width_s},
                           {"smoothing.grade_width_m", t->grade_from ? t->grade_width_m : (double)NAN},
                           {"smoothing.speed_noise_m_s", t->speed_noise_m_s},
                           {"smoothing.altitude_noise_m", t->altitude_noise_m},
                           {"smoothing.mass_kg", t->mass_kg},
                           {"smoothing.rolling_resistance", t->rolling_resistance},
                           {"smoothing.drag_area_m2", t->drag_area_m2},
                           {"smoothing.traction_least_kwh", t->traction_least_kwh},
                           {"smoothing.traction_most_kwh", t->traction_most_kwh},
                           {"smoothing.grade_factor_half_width", t->grade_factor_half_width},
                           {"smoothing.grade_factor_offset", t->grade_factor_offset}};
    bool made = put_numbers(to, rows, sizeof rows / sizeof *rows);
    for (size_t k = 0; k < 3; k++) {
        evn_import_work w = t->work[k];
        if (!t->grade_from)
            w.grade_width_m = w.climb_m = (double)NAN;
        made = made && evn_json_put(to, keys[k], work_json(&w));
    }
    return made;
}

static bool put_repairs(json_t *to, const evn_import_told *t)
{
    const struct {
        const char *key;
        size_t count;
    } rows[] = {{"repairs.rows_of_time_as_before", t->repeated},
                {"repairs.rows_back_in_time", t->backward},
                {"repairs.rows_without_time", t->no_time},
                {"repairs.empty_cells", t->empty_cells},
                {"repairs.gaps_bridged", t->gaps},
                {"repairs.gaps_at_rest", t->gaps_at_rest},
                {"repairs.speeds_off", t->speeds_off},
                {"repairs.altitudes_off", t->altitudes_off},
                {"repairs.altitude_gaps", t->altitude_gaps}};
    bool made = evn_json_put(to, "repairs.last_line_cut", json_boolean(t->cut_short)) &&
                evn_json_put(to, "repairs.longest_step_s", evn_json_real(t->longest_gap_s));
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
        made = made && evn_json_put(to, rows[k].key, json_integer((json_int_t)rows[k].count));
    return made;
}

static bool put_columns(json_t *to, const evn_import *im)
{
    evn_import_column c;
    bool made = true;
    json_t *list = json_array();
    for (size_t i = 0; list && evn_import_column_at(im, i, &c) && made; i++) {
        json_t *one = json_object();
        made = one && evn_json_put(one, "quantity", evn_json_text(c.quantity)) &&
               evn_json_put(one, "name", evn_json_text(c.name)) && evn_json_put(one, "unit", evn_json_text(c.unit));
        made = json_array_append_new(list, one) == 0 && made;
    }
    return evn_json_put(to, "log.columns", list) && made;
}

static bool put_log(json_t *to, const evn_import *im)
{
    const evn_import_told *t = evn_import_tells(im);
    bool dated = !isnan(t->begin_unix_s);
    return evn_json_put(to, "log.file", evn_json_text(t->path)) &&
           evn_json_put(to, "log.form", evn_json_text(t->form)) &&
           evn_json_put(to, "log.rows", json_integer((json_int_t)t->rows)) &&
           evn_json_put(to, "log.step_s", evn_json_real(t->step_s)) &&
           evn_json_put(to, "log.begin_unix_s", evn_json_real(t->begin_unix_s)) &&
           evn_json_put(to, "log.zone_stated", dated ? json_boolean(!t->local_time) : json_null()) &&
           evn_json_put(to, "log.speed_from", evn_json_text(t->speed_from)) &&
           evn_json_put(to, "log.grade_from", evn_json_text(t->grade_from)) &&
           evn_json_put(to, "log.unread", evn_json_text(t->unread)) && put_columns(to, im);
}

bool evn_import_json(const evn_import_story *s, const evn_findings *findings, FILE *to)
{
    if (!s->import || !s->cycle)
        return evn_document_failure(EVN_IMPORT_SCHEMA, findings, to);
    const evn_import_told *t = evn_import_tells(s->import);
    json_t *document = evn_document_begin(EVN_IMPORT_SCHEMA, "done");
    bool made = document && put_answer(document, t) && evn_json_put(document, "files.cycle", evn_json_text(s->cycle)) &&
                evn_json_put(document, "files.speed", evn_json_text(s->speed)) &&
                evn_json_put(document, "files.grade", evn_json_text(s->grade)) && put_smoothing(document, t) &&
                put_repairs(document, t) && put_log(document, s->import);
    if (!made) {
        json_decref(document);
        return false;
    }
    return evn_document_end(document, findings, to);
}
