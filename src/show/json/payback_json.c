/* What the dearer truck earns as a JSON document: each figure with its formula and what went into it. */
#include "show/ask.h"
#include "show/document.h"
#include "show/json_number.h"
#include "show/payback_story.h"
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

static json_t *inputs_json(const evn_payback *b, size_t truck, evn_payback_basis basis, size_t figure)
{
    json_t *json = json_object();
    char key[EVN_PAYBACK_KEY_BYTES];
    double value;
    bool made = json;
    for (size_t k = 0; made && evn_payback_input_at(b, truck, basis, figure, k, key, &value); k++)
        made = json_object_set_new(json, key, evn_json_real(value)) == 0; /* keys with dots, as formulas have them */
    return evn_json_if_made(made, json);
}

static json_t *figure_json(const evn_payback *b, size_t truck, evn_payback_basis basis, size_t index,
                           const evn_payback_figure *f)
{
    json_t *json = json_object();
    bool made = json && json_object_set_new(json, "key", evn_json_text(f->what.key)) == 0 &&
                evn_json_put(json, "label", evn_json_text(f->what.label)) &&
                evn_json_put(json, "unit", evn_json_text(f->what.unit)) &&
                evn_json_put(json, "value", evn_json_real(f->value)) &&
                evn_json_put(json, "formula", evn_json_text(f->formula)) &&
                evn_json_put(json, "from", evn_json_text(f->from)) &&
                evn_json_put(json, "inputs", f->formula ? inputs_json(b, truck, basis, index) : json_null());
    return evn_json_if_made(made, json);
}

static json_t *causes_json(const evn_payback *b, size_t truck, evn_payback_basis basis)
{
    json_t *list = json_array();
    evn_payback_cause c;
    bool made = list;
    for (size_t k = 0; made && evn_payback_cause_at(b, truck, basis, k, &c); k++) {
        json_t *json = json_object();
        made = json && evn_json_put(json, "label", evn_json_text(c.label)) &&
               evn_json_put(json, "net_present_value", evn_json_real(c.value)) &&
               evn_json_put(json, "share", evn_json_real(c.share)) && json_array_append(list, json) == 0;
        json_decref(json);
    }
    return evn_json_if_made(made, list);
}

/* Of each year, from the beginning on. */
static json_t *bands_json(const evn_payback *b, size_t truck, evn_payback_basis basis)
{
    json_t *list = json_array();
    evn_payback_band band;
    bool made = list;
    for (unsigned k = 0; made && evn_payback_band_at(b, truck, basis, k, &band); k++) {
        json_t *json = json_object();
        made = json && evn_json_put(json, "year", json_integer(k)) &&
               evn_json_put(json, "low", evn_json_real(band.low)) &&
               evn_json_put(json, "median", evn_json_real(band.median)) &&
               evn_json_put(json, "high", evn_json_real(band.high)) && json_array_append(list, json) == 0;
        json_decref(json);
    }
    return evn_json_if_made(made, list);
}

/* Null where the physics does not count, as of the first truck. */
static json_t *energy_json(const evn_payback *b, size_t truck)
{
    evn_payback_energy e;
    if (!evn_payback_energy_of(b, truck, &e))
        return json_null();
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "is", evn_json_real(e.is_percent)) &&
                evn_json_put(json, "mean", evn_json_real(e.mean_percent)) &&
                evn_json_put(json, "standard_uncertainty", evn_json_real(e.standard_percent)) &&
                evn_json_put(json, "low", evn_json_real(e.low_percent)) &&
                evn_json_put(json, "high", evn_json_real(e.high_percent));
    return evn_json_if_made(made, json);
}

static json_t *physics_json(const evn_payback *b)
{
    evn_payback_physics p;
    if (!evn_payback_physics_of(b, &p))
        return json_null();
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "method", evn_json_text("first_order")) &&
                evn_json_put(json, "data", json_integer((json_int_t)p.data)) &&
                evn_json_put(json, "runs", json_integer((json_int_t)p.runs)) &&
                evn_json_put(json, "runs_lost", json_integer((json_int_t)p.lost)) &&
                evn_json_put(json, "season", evn_json_text(p.season));
    return evn_json_if_made(made, json);
}

/* Null without draws. */
static json_t *sure_json(const evn_payback *b, size_t truck, evn_payback_basis basis)
{
    evn_payback_sure s;
    double share;
    if (!evn_payback_sure_of(b, truck, basis, &s))
        return json_null();
    json_t *json = json_object(), *within = json_array();
    bool made = json && within && evn_json_put(json, "draws", json_integer((json_int_t)s.draws)) &&
                evn_json_put(json, "net_present_value.low", evn_json_real(s.low)) &&
                evn_json_put(json, "net_present_value.median", evn_json_real(s.median)) &&
                evn_json_put(json, "net_present_value.high", evn_json_real(s.high)) &&
                evn_json_put(json, "probability_above_zero", evn_json_real(s.pays)) &&
                evn_json_put(json, "energy_difference_percent", energy_json(b, truck)) &&
                evn_json_put(json, "discounted_saving_by_year", bands_json(b, truck, basis)) &&
                evn_json_put(json, "causes", causes_json(b, truck, basis));
    for (unsigned k = 0; made && evn_payback_within(b, truck, basis, k, &share); k++)
        made = json_array_append_new(within, evn_json_real(share)) == 0;
    made = made && json_object_set(json, "probability_paid_back_by_year", within) == 0;
    json_decref(within);
    return evn_json_if_made(made, json);
}

/* Null of the first truck. */
static json_t *saying_json(const evn_payback *b, size_t truck, evn_payback_basis basis)
{
    evn_payback_saying s;
    if (!evn_payback_saying_of(b, truck, basis, &s))
        return json_null();
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "source", json_string("common practice, no source")) &&
                evn_json_put(json, "annual_km", evn_json_real(s.annual_km)) &&
                evn_json_put(json, "extra_price", evn_json_real(s.extra_price)) &&
                evn_json_put(json, "extra_price_for_1_year", evn_json_real(s.in_one_year)) &&
                evn_json_put(json, "extra_price_for_2_years", evn_json_real(s.in_two_years));
    return evn_json_if_made(made, json);
}

static bool same_text(const char *a, const char *b) { return a == b || (a && b && strcmp(a, b) == 0); }

static bool is_as_here(const evn_payback *b, size_t truck, evn_payback_basis basis, const evn_payback_figure *f)
{
    evn_payback_figure own;
    for (size_t k = 0; evn_payback_figure_at(b, truck, basis, k, &own); k++)
        if (strcmp(own.what.key, f->what.key) == 0)
            return (own.value == f->value || (isnan(own.value) && isnan(f->value))) &&
                   same_text(own.formula, f->formula) && same_text(own.from, f->from);
    return false;
}

/* Figures elsewhere, at another distance or with other stops, that are not as in the document: their value, or how they
 * follow. */
static json_t *figures_there_json(const evn_payback *here, const evn_payback *there, size_t truck,
                                  evn_payback_basis basis)
{
    json_t *list = json_array();
    evn_payback_figure f;
    bool made = list;
    for (size_t k = 0; made && evn_payback_figure_at(there, truck, basis, k, &f); k++)
        if (!is_as_here(here, truck, basis, &f))
            made = json_array_append_new(list, figure_json(there, truck, basis, k, &f)) == 0;
    return evn_json_if_made(made, list);
}

/* What of a truck is other with stops that were tried than with those that were taken; null where they have no costs.
 */
static json_t *figures_tried_json(const evn_payback *b, size_t truck, size_t tried)
{
    evn_report *report = evn_report_new();
    evn_payback *there = NULL;
    json_t *list = NULL;
    if (report && evn_payback_with_stops(b, truck, tried, &there, report) == EVN_DONE)
        list = figures_there_json(b, there, truck, EVN_PAYBACK_LEAST_BATTERY);
    evn_payback_free(there);
    evn_report_free(report);
    return list;
}

/* Ways of stopping for the least battery; null where none was tried. */
static json_t *tries_json(const evn_payback *b, size_t truck)
{
    evn_payback_try t;
    if (!evn_payback_try_at(b, truck, 0, &t))
        return json_null();
    json_t *list = json_array();
    bool made = list;
    for (size_t k = 0; made && evn_payback_try_at(b, truck, k, &t); k++) {
        json_t *json = json_object();
        made = json && evn_json_put(json, "longer_min", evn_json_real(t.longer_min)) &&
               evn_json_put(json, "connector_kw", evn_json_real(t.connector_kw)) &&
               evn_json_put(json, "status", evn_json_text(t.status)) &&
               evn_json_put(json, "battery_kwh", evn_json_real(t.battery_kwh)) &&
               evn_json_put(json, "per_km", evn_json_real(t.per_km)) &&
               evn_json_put(json, "chosen", json_boolean(t.chosen)) &&
               evn_json_put(json, "other_figures", isnan(t.per_km) ? json_null() : figures_tried_json(b, truck, k)) &&
               json_array_append(list, json) == 0;
        json_decref(json);
    }
    return evn_json_if_made(made, list);
}

static json_t *truck_json(const evn_payback_story *story, size_t truck, evn_payback_basis basis)
{
    evn_payback_figure f;
    json_t *json = json_object(), *figures = json_array();
    bool made =
        json && figures && evn_json_put(json, "name", evn_json_text(evn_lineup_truck_name(story->lineup, truck))) &&
        evn_json_put(json, "title", evn_json_text(evn_lineup_truck_title(story->lineup, truck))) &&
        evn_json_put(json, "axle_configuration",
                     evn_json_text(evn_truck_axle_configuration(evn_lineup_truck(story->lineup, truck)))) &&
        evn_json_put(json, "status", evn_json_text(evn_payback_status(story->payback, truck, basis))) &&
        evn_json_put(json, "meets_demands",
                     evn_payback_why_not(story, truck, basis)
                         ? json_null()
                         : json_boolean(evn_payback_meets_demands(story->payback, truck, basis))) &&
        evn_json_put(json, "standing_verdict",
                     story->standing ? evn_json_text(evn_verdict_name(evn_assessment_of(story->standing, truck)))
                                     : json_null()) &&
        evn_json_put(json, "standing_battery",
                     story->standing ? evn_json_text(evn_payback_basis_name(EVN_PAYBACK_AS_LINEUP)) : json_null()) &&
        evn_json_put(json, "sure", sure_json(story->payback, truck, basis)) &&
        evn_json_put(json, "stops_tried",
                     basis == EVN_PAYBACK_LEAST_BATTERY ? tries_json(story->payback, truck) : json_null()) &&
        evn_json_put(json, "saying", saying_json(story->payback, truck, basis)) &&
        evn_json_put(json, "why_not", evn_json_text(evn_payback_why_not(story, truck, basis)));
    for (size_t k = 0; made && evn_payback_figure_at(story->payback, truck, basis, k, &f); k++)
        made = json_array_append_new(figures, figure_json(story->payback, truck, basis, k, &f)) == 0;
    made = made && json_object_set(json, "figures", figures) == 0;
    json_decref(figures);
    return evn_json_if_made(made, json);
}

static json_t *turn_json(const evn_payback_story *story, size_t truck, const evn_payback_turn *t)
{
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "truck", evn_json_text(evn_lineup_truck_name(story->lineup, truck))) &&
                evn_json_put(json, "per_km", evn_json_real(t->per_km)) &&
                evn_json_put(json, "extra_price", evn_json_real(t->extra_price)) &&
                evn_json_put(json, "turns_at_extra_price", evn_json_real(t->turns_at_extra_price)) &&
                evn_json_put(json, "payback_years", evn_json_real(t->payback_years)) &&
                evn_json_put(json, "energy_price", evn_json_real(t->energy_price)) &&
                evn_json_put(json, "turns_at_energy_price", evn_json_real(t->turns_at_energy_price));
    return evn_json_if_made(made, json);
}

static json_t *reasons_json(const evn_payback *b, evn_payback_basis basis, size_t index)
{
    json_t *list = json_array();
    evn_payback_reason r;
    bool made = list;
    for (size_t k = 0; made && evn_payback_reason_at(b, basis, index, k, &r); k++) {
        json_t *json = json_object();
        made = json && evn_json_put(json, "label", evn_json_text(r.label)) &&
               evn_json_put(json, "per_km", evn_json_real(r.per_km)) && json_array_append(list, json) == 0;
        json_decref(json);
    }
    return evn_json_if_made(made, list);
}

/* Of each truck; with what stands in its own list all of the account at a distance. */
static json_t *there_json(const evn_payback_story *story, evn_payback_basis basis, double annual_km)
{
    evn_report *report = evn_report_new();
    evn_payback *there = NULL;
    json_t *list = json_array();
    bool made = report && list && evn_payback_at_distance(story->payback, annual_km, &there, report) == EVN_DONE;
    for (size_t k = 0; made && k < evn_payback_truck_count(there); k++) {
        json_t *json = json_object();
        made = json && evn_json_put(json, "truck", evn_json_text(evn_lineup_truck_name(story->lineup, k))) &&
               evn_json_put(json, "figures", figures_there_json(story->payback, there, k, basis)) &&
               json_array_append(list, json) == 0;
        json_decref(json);
    }
    evn_payback_free(there);
    evn_report_free(report);
    return evn_json_if_made(made, list);
}

static json_t *advice_json(const evn_payback_story *story, evn_payback_basis basis, size_t index)
{
    evn_payback_advice a;
    evn_payback_turn t;
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    json_t *json = json_object(), *turns = json_array();
    bool made =
        json && turns && evn_payback_advice_at(story->payback, basis, index, &a) &&
        evn_payback_sentence(story, basis, index, sentence) &&
        evn_json_put(json, "annual_km", evn_json_real(a.annual_km)) &&
        evn_json_put(json, "best", evn_json_text(evn_lineup_truck_name(story->lineup, a.best))) &&
        evn_json_put(json, "per_km", evn_json_real(a.per_km)) &&
        evn_json_put(json, "next",
                     a.next == SIZE_MAX ? json_null() : evn_json_text(evn_lineup_truck_name(story->lineup, a.next))) &&
        evn_json_put(json, "next_per_km", evn_json_real(a.next_per_km)) &&
        evn_json_put(json, "others_alike", json_integer((json_int_t)a.alike)) &&
        evn_json_put(json, "extra_price", evn_json_real(a.extra_price)) &&
        evn_json_put(json, "turns_at_extra_price", evn_json_real(a.turns_at_extra_price)) &&
        evn_json_put(json, "hours_a_day", evn_json_real(a.hours_a_day)) &&
        evn_json_put(json, "trucks_needed", evn_json_real(a.trucks)) &&
        evn_json_put(json, "battery_found_at_km",
                     basis == EVN_PAYBACK_LEAST_BATTERY ? evn_json_real(evn_payback_annual_km(story->payback))
                                                        : json_null()) &&
        evn_json_put(json, "battery_suffices", json_boolean(!a.battery_short)) &&
        evn_json_put(json, "reasons", reasons_json(story->payback, basis, index)) &&
        evn_json_put(json, "sentence", evn_json_text(sentence)) &&
        evn_json_put(json, "other_figures", there_json(story, basis, a.annual_km));
    for (size_t k = 1; made && k < evn_payback_truck_count(story->payback); k++)
        if (evn_payback_turn_at(story->payback, basis, index, k, &t))
            made = json_array_append_new(turns, turn_json(story, k, &t)) == 0;
    made = made && json_object_set(json, "against_first", turns) == 0;
    json_decref(turns);
    return evn_json_if_made(made, json);
}

/* ------------------------------------------------------------------------------------------------ the field */

/* Who costs least at each price of energy, of a distance. */
static json_t *least_json(const evn_payback_story *story, evn_payback_basis basis, size_t distance)
{
    json_t *list = json_array();
    evn_payback_cell c;
    bool made = list;
    for (size_t k = 0; made && evn_payback_cell_at(story->payback, basis, distance, k, &c); k++)
        made = json_array_append_new(list, c.best == SIZE_MAX
                                               ? json_null()
                                               : evn_json_text(evn_lineup_truck_name(story->lineup, c.best))) == 0;
    return evn_json_if_made(made, list);
}

/* Of each price of energy: whether another costs as much there. */
static json_t *alike_json(const evn_payback_story *story, evn_payback_basis basis, size_t distance)
{
    json_t *list = json_array();
    evn_payback_cell c;
    bool made = list;
    for (size_t k = 0; made && evn_payback_cell_at(story->payback, basis, distance, k, &c); k++)
        made = json_array_append_new(list, json_boolean(c.alike)) == 0;
    return evn_json_if_made(made, list);
}

/* Where one takes over from another at a distance, by rising price. */
static json_t *borders_json(const evn_payback_story *story, evn_payback_basis basis, size_t distance)
{
    json_t *list = json_array();
    evn_payback_border o;
    bool made = list;
    for (size_t k = 0; made && evn_payback_border_at(story->payback, basis, distance, k, &o); k++) {
        json_t *json = json_object();
        made = json && evn_json_put(json, "energy_price", evn_json_real(o.energy_price)) &&
               evn_json_put(json, "below", evn_json_text(evn_lineup_truck_name(story->lineup, o.below))) &&
               evn_json_put(json, "above", evn_json_text(evn_lineup_truck_name(story->lineup, o.above))) &&
               json_array_append(list, json) == 0;
        json_decref(json);
    }
    return evn_json_if_made(made, list);
}

/* Of each price of energy: how many trucks of the best it takes. */
static json_t *needed_json(const evn_payback_story *story, evn_payback_basis basis, size_t distance)
{
    json_t *list = json_array();
    evn_payback_cell c;
    bool made = list;
    for (size_t k = 0; made && evn_payback_cell_at(story->payback, basis, distance, k, &c); k++)
        made = json_array_append_new(list, evn_json_real(c.trucks)) == 0;
    return evn_json_if_made(made, list);
}

/* Of each price of energy: whether a battery as it was found suffices. */
static json_t *suffices_json(const evn_payback_story *story, evn_payback_basis basis, size_t distance)
{
    json_t *list = json_array();
    evn_payback_cell c;
    bool made = list;
    for (size_t k = 0; made && evn_payback_cell_at(story->payback, basis, distance, k, &c); k++)
        made = json_array_append_new(list, json_boolean(!c.battery_short)) == 0;
    return evn_json_if_made(made, list);
}

static json_t *values_json(const evn_payback_story *story, evn_payback_basis basis, size_t truck, size_t distance)
{
    json_t *list = json_array();
    double value;
    bool made = list;
    for (size_t k = 0; made && evn_payback_cell_value(story->payback, basis, distance, k, truck, &value); k++)
        made = json_array_append_new(list, evn_json_real(value)) == 0;
    return evn_json_if_made(made, list);
}

static json_t *line_json(const evn_payback_story *story, evn_payback_basis basis, size_t truck)
{
    json_t *json = json_object(), *line = json_array(), *values = json_array();
    double price;
    bool made = json && line && values &&
                evn_json_put(json, "truck", evn_json_text(evn_lineup_truck_name(story->lineup, truck)));
    for (size_t k = 0; made && evn_payback_line_at(story->payback, basis, k, truck, &price); k++)
        made = json_array_append_new(line, price < 0 ? json_null() : evn_json_real(price)) == 0 &&
               json_array_append_new(values, values_json(story, basis, truck, k)) == 0;
    made = made && json_object_set(json, "turns_at_energy_price", line) == 0 &&
           json_object_set(json, "net_present_value", values) == 0;
    json_decref(line);
    json_decref(values);
    return evn_json_if_made(made, json);
}

static bool put_axes(json_t *json, const evn_payback_story *story, evn_payback_basis basis)
{
    char unit[24];
    evn_payback_cell c;
    json_t *km = json_array(), *price = json_array();
    bool made = km && price;
    snprintf(unit, sizeof unit, "%.12s/kWh", evn_prices_currency(story->prices));
    for (size_t k = 0; made && evn_payback_cell_at(story->payback, basis, k, 0, &c); k++)
        made = json_array_append_new(km, evn_json_real(c.annual_km)) == 0;
    for (size_t k = 0; made && evn_payback_cell_at(story->payback, basis, 0, k, &c); k++)
        made = json_array_append_new(price, evn_json_real(c.energy_price)) == 0;
    made = made && json_object_set(json, "annual_km", km) == 0 && json_object_set(json, "energy_price", price) == 0 &&
           evn_json_put(json, "annual_km_unit", json_string("km")) &&
           evn_json_put(json, "energy_price_unit", evn_json_text(unit)) &&
           evn_json_put(json, "net_present_value_unit", evn_json_text(evn_prices_currency(story->prices)));
    json_decref(km);
    json_decref(price);
    return made;
}

/* Rows by distance, in each a value for each price of energy; null where there is no such field. */
static json_t *field_json(const evn_payback_story *story, evn_payback_basis basis)
{
    evn_payback_cell c;
    if (!evn_payback_cell_at(story->payback, basis, 0, 0, &c))
        return json_null();
    json_t *json = json_object(), *least = json_array(), *against = json_array();
    json_t *alike = json_array(), *borders = json_array(), *needed = json_array(), *suffices = json_array();
    bool made = json && least && against && alike && borders && needed && suffices && put_axes(json, story, basis);
    for (size_t k = 0; made && evn_payback_cell_at(story->payback, basis, k, 0, &c); k++)
        made = json_array_append_new(least, least_json(story, basis, k)) == 0 &&
               json_array_append_new(alike, alike_json(story, basis, k)) == 0 &&
               json_array_append_new(borders, borders_json(story, basis, k)) == 0 &&
               json_array_append_new(needed, needed_json(story, basis, k)) == 0 &&
               json_array_append_new(suffices, suffices_json(story, basis, k)) == 0;
    double price;
    for (size_t k = 1; made && k < evn_payback_truck_count(story->payback); k++)
        if (evn_payback_line_at(story->payback, basis, 0, k, &price))
            made = json_array_append_new(against, line_json(story, basis, k)) == 0;
    made = made && json_object_set(json, "costs_least", least) == 0 && json_object_set(json, "alike", alike) == 0 &&
           json_object_set(json, "takes_over", borders) == 0 && json_object_set(json, "trucks_needed", needed) == 0 &&
           json_object_set(json, "battery_suffices", suffices) == 0 &&
           json_object_set(json, "against_first", against) == 0;
    json_decref(suffices);
    json_decref(needed);
    json_decref(alike);
    json_decref(borders);
    json_decref(least);
    json_decref(against);
    return evn_json_if_made(made, json);
}

static json_t *basis_json(const evn_payback_story *story, evn_payback_basis basis)
{
    evn_payback_advice a;
    json_t *json = json_object(), *advice = json_array(), *trucks = json_array();
    bool made = json && advice && trucks && evn_json_put(json, "basis", evn_json_text(evn_payback_basis_name(basis))) &&
                evn_json_put(json, "title", evn_json_text(evn_payback_basis_title(basis))) &&
                evn_json_put(json, "alike", evn_json_text(evn_payback_basis_words(basis))) &&
                evn_json_put(json, "field", field_json(story, basis));
    for (size_t k = 0; made && evn_payback_advice_at(story->payback, basis, k, &a); k++)
        made = json_array_append_new(advice, advice_json(story, basis, k)) == 0;
    for (size_t k = 0; made && k < evn_payback_truck_count(story->payback); k++)
        made = json_array_append_new(trucks, truck_json(story, k, basis)) == 0;
    made = made && json_object_set(json, "advice", advice) == 0 && json_object_set(json, "trucks", trucks) == 0;
    json_decref(advice);
    json_decref(trucks);
    return evn_json_if_made(made, json);
}

static json_t *stops_json(const evn_payback *b)
{
    json_t *list = json_array();
    evn_payback_stop s;
    bool made = list;
    for (size_t k = 0; made && evn_payback_stop_at(b, k, &s); k++) {
        json_t *json = json_object();
        made = json && evn_json_put(json, "name", evn_json_text(s.name)) &&
               evn_json_put(json, "times", json_integer((json_int_t)s.times)) &&
               evn_json_put(json, "duration_min", evn_json_real(s.duration_min)) &&
               evn_json_put(json, "connector_kw", evn_json_real(s.connector_kw)) &&
               evn_json_put(json, "until_soc", evn_json_real(s.until_soc)) && json_array_append(list, json) == 0;
        json_decref(json);
    }
    return evn_json_if_made(made, list);
}

static json_t *not_counted_json(void)
{
    json_t *list = json_array();
    bool made = list;
    for (size_t k = 0; made && evn_payback_not_counted(k); k++)
        made = json_array_append_new(list, evn_json_text(evn_payback_not_counted(k))) == 0;
    return evn_json_if_made(made, list);
}

static bool put_prices(json_t *document, const evn_prices *p)
{
    return evn_json_put(document, "prices.name", evn_json_text(evn_prices_name(p))) &&
           evn_json_put(document, "prices.source", evn_json_text(evn_prices_source(p))) &&
           evn_json_put(document, "prices.invented", p ? json_boolean(evn_prices_invented(p)) : json_null()) &&
           evn_json_put(document, "prices.currency", evn_json_text(evn_prices_currency(p)));
}

static bool put_found(json_t *document, const evn_payback_story *story)
{
    json_t *bases = json_array();
    bool made = bases && evn_json_put(document, "partial", json_boolean(evn_payback_partial(story->payback))) &&
                evn_json_put(document, "physics", physics_json(story->payback)) &&
                evn_json_put(document, "charging_stops", stops_json(story->payback)) &&
                evn_json_put(document, "not_counted", not_counted_json()) &&
                evn_json_put(document, "annual_km", evn_json_real(evn_payback_annual_km(story->payback))) &&
                evn_json_put(document, "years", json_integer(evn_payback_years(story->payback)));
    for (int basis = EVN_PAYBACK_AS_LINEUP; made && basis <= EVN_PAYBACK_LEAST_BATTERY; basis++)
        made = json_array_append_new(bases, basis_json(story, (evn_payback_basis)basis)) == 0;
    made = made && json_object_set(document, "bases", bases) == 0;
    json_decref(bases);
    return made;
}

json_t *evn_payback_document(const evn_payback_story *story)
{
    json_t *document = evn_document_begin(EVN_PAYBACK_SCHEMA, story->status);
    bool made = document && evn_json_put(document, "lineup", evn_json_text(evn_lineup_name(story->lineup))) &&
                evn_json_put(document, "over", evn_json_text(evn_lineup_over(story->lineup))) &&
                evn_json_put(document, "over_source", evn_json_text(evn_lineup_over_source(story->lineup))) &&
                put_prices(document, story->prices) && evn_ask_put(document, &story->ask) &&
                (!story->payback || put_found(document, story)) &&
                evn_json_put(document, "caution", evn_json_text(EVN_PAYBACK_CAUTION));
    return evn_json_if_made(made, document);
}

bool evn_payback_json(const evn_payback_story *story, const evn_findings *findings, FILE *to)
{
    json_t *document = evn_payback_document(story);
    return document && evn_document_end(document, findings, to);
}
