/* A comparison as a JSON document: each truck on both bases. */
#define _POSIX_C_SOURCE 200809L
#include "evener/duty.h"
#include "show/ask.h"
#include "show/document.h"
#include "show/drive_story.h"
#include "show/json_number.h"
#include "show/limits_story.h"
#include "show/names.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What was found about one truck on one basis, as texts. */
static json_t *findings_json(const evn_report *report)
{
    json_t *list = json_array();
    evn_finding found;
    for (size_t i = 0; list && evn_report_at(report, i, &found); i++)
        if (json_array_append_new(list, evn_json_text(found.text)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

static json_t *limitations_json(const evn_results *results)
{
    json_t *list = json_array();
    evn_limitation is;
    for (size_t i = 0; list && results && evn_results_limitation_at(results, i, &is); i++)
        if (json_array_append_new(list, evn_limitation_json(&is)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

static json_t *outcome_json(const evn_outcome *outcome)
{
    const evn_results *results = evn_outcome_results(outcome);
    evn_figures figures = evn_figures_of_results(results), differences = evn_figures_of_differences(outcome);
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "status", evn_json_text(evn_outcome_status(outcome))) &&
                evn_json_put(json, "findings", findings_json(evn_outcome_report(outcome))) &&
                evn_json_put(json, "limited_by", limitations_json(results)) && evn_document_brakes(json, results) &&
                evn_document_figures(json, &figures) && evn_document_figures(json, &differences);
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

/* What is known of a truck before it drives. */
static bool put_masses(json_t *json, const evn_figures *rig)
{
    evn_quantity what;
    double value;
    bool made = true;
    for (size_t i = 0; made && evn_figures_at(rig, i, &what, &value); i++)
        if (strncmp(what.key, "masses.", strlen("masses.")) == 0)
            made = evn_json_put(json, what.key, evn_json_value(what.kind, value));
    return made;
}

static json_t *fact_json(const evn_fact *is)
{
    json_t *json = evn_document_row(is->what.key, &is->what);
    if (json && evn_json_put(json, "value", evn_json_real(is->value)) &&
        evn_json_put(json, "text", evn_json_text(is->text)))
        return json;
    json_decref(json);
    return NULL;
}

/* What the truck is, as it is read. */
static json_t *facts_json(const evn_rig *rig)
{
    json_t *list = json_array();
    evn_fact is;
    for (size_t k = 0; list && evn_rig_fact_at(rig, k, &is); k++)
        if (json_array_append_new(list, fact_json(&is)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

static json_t *limit_json(const char *limit, double value)
{
    json_t *json = json_object();
    if (json && evn_json_put(json, "value", evn_json_real(value)) &&
        evn_json_put(json, "limited_by", evn_json_text(limit)))
        return json;
    json_decref(json);
    return NULL;
}

/* What the truck can, by forces, by the names of the rows. */
static json_t *abilities_json(const evn_limits *limits)
{
    json_t *json = json_object();
    evn_limits_figure is;
    bool made = json;
    for (size_t k = 0; made && evn_limits_at(limits, k, &is); k++) {
        json_t *one = json_object();
        made = one && evn_json_put(one, "label", evn_json_text(is.row_label)) &&
               evn_json_put(one, "value", evn_json_real(is.value)) &&
               evn_json_put(one, "unit", evn_json_text(is.what.unit)) &&
               evn_json_put(one, "beyond", json_boolean(is.beyond)) &&
               evn_json_put(one, "limited_by", evn_json_text(is.limit)) &&
               evn_json_put(one, "limited_by_label", evn_json_text(is.limit_label)) &&
               evn_json_put(one, "next", limit_json(is.next, is.next_value));
        made = evn_json_put(json, is.row, one) && made;
    }
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

/* ---------------------------------------------------------------------------------------------------- likeness */

static json_t *held_against_one(const evn_likeness_row *row, const evn_likeness *is)
{
    json_t *json = json_object();
    if (json && evn_json_put(json, "value", evn_json_value(row->what.kind, is->value)) &&
        (!row->at_speed || evn_json_put(json, "at_km_h", evn_json_real(is->at_km_h))) &&
        evn_json_put(json, "alike", json_boolean(is->alike)))
        return json;
    json_decref(json);
    return NULL;
}

/* Of a truck, by the keys of the rows; empty where it, or the one that all are held against, could not be prepared. */
static json_t *likeness_json(const evn_compare_story *story, size_t truck)
{
    json_t *json = json_object();
    bool made = json;
    evn_likeness_row row;
    evn_likeness is;
    for (size_t k = 0; made && evn_likeness_row_at(k, &row); k++)
        if (evn_compare_likeness(story, truck, k, &is))
            made = evn_json_put(json, row.what.key, held_against_one(&row, &is));
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

static json_t *likeness_row_json(const evn_compare_story *story, size_t index, const evn_likeness_row *row)
{
    json_t *json = evn_document_row(row->what.key, &row->what);
    evn_likeness is = {.judged = true};
    evn_comparison_likeness_at(story->comparison, 0, index, &is);
    if (json && evn_json_put(json, "tolerance", evn_json_real(row->tolerance)) &&
        evn_json_put(json, "tolerance_of", evn_json_text(row->of_first ? "first" : "unit")) &&
        evn_json_put(json, "source", evn_json_text(row->source)) &&
        evn_json_put(json, "judged", json_boolean(is.judged)))
        return json;
    json_decref(json);
    return NULL;
}

/* Rows with their tolerances, the truck that all are held against in them, and whether all are alike. */
static bool put_likeness(json_t *document, const evn_compare_story *story)
{
    json_t *list = json_array();
    bool made = list;
    evn_likeness_row row;
    for (size_t k = 0; made && evn_likeness_row_at(k, &row); k++)
        made = json_array_append_new(list, likeness_row_json(story, k, &row)) == 0;
    if (made)
        return evn_json_put(document, "likeness.alike", json_boolean(evn_compare_all_alike(story))) &&
               evn_json_put(document, "likeness.against",
                            evn_json_text(evn_lineup_truck_name(story->lineup, evn_compare_alike_against(story)))) &&
               evn_json_put(document, "likeness.rows", list);
    json_decref(list);
    return false;
}

/* What a truck was given to be equal to the first. */
static bool put_given(json_t *truck, const evn_compare_story *story, size_t index)
{
    evn_equalised given = {.payload_kg = (double)NAN, .torque_scale = 1};
    evn_comparison_equalised(story->comparison, index, &given);
    return evn_json_put(truck, "equal.payload_kg", evn_json_real(given.payload_kg)) &&
           evn_json_put(truck, "equal.torque_scale", evn_json_real(given.torque_scale));
}

/* ---------------------------------------------------------------------------------------------------- trucks */

static json_t *season_json(const evn_day_season *s)
{
    static const char *const told[] = {"distance_km", "duration_s",  "battery_kwh",
                                       "kwh_per_km",  "charged_kwh", "energy_balance.power_take_off_kwh"};
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "name", evn_json_text(s->name)) &&
                evn_json_put(json, "share", evn_json_real(s->share)) &&
                evn_json_put(json, "status", evn_json_text(s->status)) &&
                evn_json_put(json, "lowest_soc", evn_json_real(s->lowest_soc)) &&
                evn_json_put(json, "reserve_soc", evn_json_real(s->reserve_soc)) &&
                evn_json_put(json, "reserve_kwh", evn_json_real(s->reserve_kwh));
    for (size_t k = 0; made && k < sizeof told / sizeof *told; k++) {
        double value = (double)NAN;
        if (evn_results_get(s->results, told[k], &value))
            made = evn_json_put(json, told[k], evn_json_real(value));
    }
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

/* The day in each season, and which of them is worst for it; nothing where they were not driven. */
static bool put_seasons(json_t *truck, const evn_comparison *c, size_t index)
{
    evn_day_season s;
    if (!evn_comparison_season_at(c, index, 0, &s))
        return true;
    json_t *list = json_array();
    bool made = list;
    for (size_t k = 0; made && evn_comparison_season_at(c, index, k, &s); k++)
        made = json_array_append_new(list, season_json(&s)) == 0;
    if (!made) {
        json_decref(list);
        return false;
    }
    size_t worst;
    bool there = evn_comparison_worst_season(c, index, &worst) && evn_comparison_season_at(c, index, worst, &s);
    return evn_json_put(truck, "seasons", list) &&
           evn_json_put(truck, "worst_season", evn_json_text(there ? s.name : NULL));
}

/* As evn_limits_verdicts_json has them, with the season. */
static bool put_day_demand(json_t *at, const char *season, const evn_day_demand *d)
{
    return evn_json_put(at, "demand", evn_json_text(d->what.key)) &&
           evn_json_put(at, "label", evn_json_text(d->what.label)) &&
           evn_json_put(at, "unit", evn_json_text(d->what.unit)) && evn_json_put(at, "season", evn_json_text(season)) &&
           evn_json_put(at, "value", evn_json_real(d->value)) &&
           evn_json_put(at, "demanded", evn_json_real(d->demanded)) &&
           evn_json_put(at, "met", d->judged ? json_boolean(d->met) : json_null());
}

/* What the lineup demands, and what its duty does. NULL when memory is out. */
static json_t *demands_json(const evn_compare_story *story, size_t truck)
{
    json_t *list = evn_limits_verdicts_json(evn_comparison_limits(story->comparison, truck));
    const char *season;
    evn_day_demand d;
    bool made = list;
    for (size_t k = 0; made && evn_comparison_day_demand_at(story->comparison, truck, k, &season, &d); k++) {
        json_t *one = json_object();
        made = one && put_day_demand(one, season, &d);
        made = made ? json_array_append_new(list, one) == 0 : (json_decref(one), false);
    }
    if (made)
        return list;
    json_decref(list);
    return NULL;
}

/* Differences of a truck's lines of the energy balance, kWh, by basis: of all lines that it or the one held against
 * has. */
static json_t *line_changes_json(const evn_compare_story *story, size_t truck)
{
    static const char balance[] = "energy_balance.";
    const size_t either[] = {truck, evn_compare_alike_against(story)};
    json_t *json = json_pack("{s:{}, s:{}}", evn_basis_name(EVN_BASIS_OWN), evn_basis_name(EVN_BASIS_COMMON));
    bool made = json;
    for (int k = 0; made && k < 4; k++) {
        evn_basis basis = k < 2 ? EVN_BASIS_OWN : EVN_BASIS_COMMON;
        json_t *lines = json_object_get(json, evn_basis_name(basis));
        evn_figures figures = evn_figures_of_results(
            evn_outcome_results(evn_comparison_outcome(story->comparison, either[k % 2], basis)));
        evn_quantity what;
        double value, change;
        for (size_t i = 0; made && evn_figures_at(&figures, i, &what, &value); i++)
            if (strncmp(what.key, balance, strlen(balance)) == 0 &&
                isfinite(change = evn_compare_line_change(story, truck, basis, what.key)))
                made = json_object_set_new(lines, what.key + strlen(balance), json_real(change)) == 0;
    }
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

/* Differences against the truck that all are held against (likeness.against), as they are told, by the keys of the
 * rows: in per cent or in the row's unit, as its `change` says. What is not told is not there. */
static json_t *changes_json(const evn_compare_story *story, size_t truck)
{
    json_t *json = json_object();
    bool made = json;
    evn_compare_row row;
    for (size_t i = 0; made && evn_compare_told_row_at(i, &row); i++) {
        double change = evn_compare_row_told_change(&row, story, truck);
        made = !isfinite(change) || !evn_compare_row_is_told(&row, story) ||
               evn_json_put(json, row.path, json_real(change));
    }
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

static json_t *truck_json(const evn_compare_story *story, size_t index)
{
    const evn_truck *truck = evn_lineup_truck(story->lineup, index);
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "name", evn_json_text(evn_lineup_truck_name(story->lineup, index))) &&
                evn_json_put(json, "short_name", evn_json_text(evn_lineup_truck_title(story->lineup, index))) &&
                evn_json_put(json, "truck", evn_json_text(evn_truck_name(truck))) &&
                evn_json_put(json, "truck_invented", json_boolean(evn_truck_invented(truck))) &&
                evn_json_put(json, "axle_configuration", evn_json_text(evn_truck_axle_configuration(truck))) &&
                evn_json_put(json, "axles", json_integer((json_int_t)evn_truck_axle_count(truck))) &&
                evn_json_put(json, "driven_axles", json_integer((json_int_t)evn_truck_driven_axle_count(truck)));
    evn_figures rig = evn_figures_of_rig(evn_comparison_rig(story->comparison, index));
    const evn_limits *limits = evn_comparison_limits(story->comparison, index);
    made = made && put_masses(json, &rig) && put_given(json, story, index) &&
           evn_json_put(json, "facts", facts_json(evn_comparison_rig(story->comparison, index))) &&
           evn_json_put(json, "alike",
                        evn_compare_is_held(story, index)
                            ? json_boolean(evn_compare_alike_with(story, index, evn_compare_alike_against(story)))
                            : json_null()) &&
           evn_json_put(json, "likeness", likeness_json(story, index)) &&
           evn_json_put(json, "limits", abilities_json(limits)) &&
           evn_json_put(json, "demands", demands_json(story, index)) &&
           evn_json_put(json, "standing_verdict",
                        story->standing ? evn_json_text(evn_verdict_name(evn_assessment_of(story->standing, index)))
                                        : json_null()) &&
           evn_json_put(json, "meets_demands",
                        evn_compare_demands(story) ? json_boolean(evn_compare_meets(story, index)) : json_null());
    made = made && evn_json_put(json, "changes", changes_json(story, index)) &&
           evn_json_put(json, "line_changes", line_changes_json(story, index)) &&
           put_seasons(json, story->comparison, index);
    for (int basis = EVN_BASIS_OWN; made && basis <= EVN_BASIS_COMMON; basis++)
        made = evn_json_put(json, evn_basis_name((evn_basis)basis),
                            outcome_json(evn_comparison_outcome(story->comparison, index, (evn_basis)basis)));
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

static bool put_names(json_t *document, const evn_compare_story *story)
{
    const evn_lineup *lineup = story->lineup;
    const evn_cycle *cycle = lineup ? evn_lineup_cycle(lineup) : NULL;
    bool duty = lineup && evn_lineup_has_duty(lineup);
    return evn_json_put(document, "lineup", evn_json_text(lineup ? evn_lineup_name(lineup) : NULL)) &&
           evn_json_put(document, "lineup_source", evn_json_text(lineup ? evn_lineup_source(lineup) : NULL)) &&
           evn_json_put(document, "cycle", evn_json_text(cycle ? evn_cycle_name(cycle) : NULL)) &&
           evn_json_put(document, "cycle_source", evn_json_text(cycle ? evn_cycle_source(cycle) : NULL)) &&
           (!duty || (evn_json_put(document, "duty", evn_json_text(evn_lineup_over(lineup))) &&
                      evn_json_put(document, "duty_source", evn_json_text(evn_lineup_over_source(lineup))) &&
                      evn_json_put(document, "season", evn_json_text(evn_lineup_season_name(lineup))))) &&
           evn_json_put(document, "driver", evn_json_text(evn_driver_name(story->ask.driving.driver))) &&
           evn_ask_put(document, &story->ask) &&
           (!evn_lineup_season_name(story->lineup) || evn_ask_put_before_seasons(document, &story->ask)) &&
           evn_ask_put_demands(document, &story->demands);
}

static bool put_trucks(json_t *document, const evn_compare_story *story)
{
    json_t *list = json_array();
    size_t count = evn_lineup_truck_count(story->lineup);
    bool made = list;
    for (size_t i = 0; made && i < count; i++)
        made = json_array_append_new(list, truck_json(story, i)) == 0;
    if (made)
        return evn_json_put(document, "trucks", list);
    json_decref(list);
    return false;
}

static json_t *name_json(const evn_compare_story *story, size_t truck)
{
    return evn_json_text(evn_lineup_truck_name(story->lineup, truck)); /* null: none */
}

/* Who uses least on a basis, by way and by what decides, and who does of those that can do what is demanded; and who
 * leads: the lowest alone, or with those that cannot be told apart from it. */
static json_t *lowest_json(const evn_compare_story *story, evn_basis basis)
{
    const char *use = evn_compare_decides_by(story)->key;
    bool demands = evn_compare_demands(story);
    size_t lowest = evn_compare_lowest(story, basis, use, false);
    bool there = lowest < evn_lineup_truck_count(story->lineup);
    json_t *json = json_object();
    if (json &&
        evn_json_put(json, "lowest_kwh_per_km",
                     name_json(story, evn_compare_lowest(story, basis, "kwh_per_km", false))) &&
        evn_json_put(json, "lowest", name_json(story, lowest)) &&
        evn_json_put(json, "leading", evn_document_leading(story, basis, false)) &&
        evn_json_put(json, "meets_demands",
                     demands && there ? json_boolean(evn_compare_meets(story, lowest)) : json_null()) &&
        evn_json_put(json, "lowest_that_meets_demands",
                     demands ? name_json(story, evn_compare_lowest(story, basis, use, true)) : json_null()) &&
        evn_json_put(json, "leading_that_meet_demands",
                     demands ? evn_document_leading(story, basis, true) : json_null()))
        return json;
    json_decref(json);
    return NULL;
}

/* Each line as a text. */
static json_t *lines_json(char *text)
{
    json_t *list = json_array();
    char *rest = NULL;
    for (char *line = strtok_r(text, "\n", &rest); list && line; line = strtok_r(NULL, "\n", &rest))
        if (json_array_append_new(list, evn_json_text(line)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

/* Sentences of the report in the terminal. */
static json_t *sentences_json(const evn_compare_story *story, evn_compare_part part)
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    bool made = memory && evn_compare_unheaded_lines(story, part, memory);
    made = memory && fclose(memory) == 0 && made;
    json_t *list = made ? lines_json(text) : NULL;
    free(text);
    return list;
}

static json_t *answer_json(const evn_compare_story *story)
{
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "sentences", sentences_json(story, EVN_PART_SENTENCES)) &&
                evn_json_put(json, "brief", sentences_json(story, EVN_PART_BRIEF)) &&
                evn_json_put(json, "why", sentences_json(story, EVN_PART_WHY)) &&
                evn_json_put(json, "change", sentences_json(story, EVN_PART_CHANGE)) &&
                evn_json_put(json, "decides", evn_json_text(evn_compare_decides_by(story)->key));
    for (int basis = EVN_BASIS_OWN; made && basis <= EVN_BASIS_COMMON; basis++)
        made = evn_json_put(json, evn_basis_name((evn_basis)basis), lowest_json(story, (evn_basis)basis));
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

/* ---------------------------------------------------------------------------------------------------- the whole */

static json_t *reached_json(const evn_compare_story *story, size_t truck)
{
    evn_compare_reached is = evn_compare_reached_by(story, truck);
    json_t *json = json_object();
    if (json && evn_json_put(json, "name", name_json(story, truck)) &&
        evn_json_put(json, "short_name", evn_json_text(evn_lineup_truck_title(story->lineup, truck))) &&
        evn_json_put(json, "status", evn_json_text(is.status)) &&
        evn_json_put(json, "finished", json_boolean(is.finished)) &&
        evn_json_put(json, "at_own_speeds_only", json_boolean(is.own_only)) &&
        evn_json_put(json, "at_the_common_speed_only", json_boolean(is.common_only)) &&
        evn_json_put(json, "distance_km", evn_json_real(is.distance_km)) &&
        evn_json_put(json, "of_km", evn_json_real(is.of_km)) &&
        evn_json_put(json, "reason", evn_json_text(is.reason)) && evn_json_put(json, "doubt", evn_json_text(is.doubt)))
        return json;
    json_decref(json);
    return NULL;
}

/* How far each truck came. */
static bool put_reached(json_t *document, const evn_compare_story *story)
{
    json_t *list = json_array();
    bool made = list;
    for (size_t i = 0; made && i < evn_lineup_truck_count(story->lineup); i++)
        made = json_array_append_new(list, reached_json(story, i)) == 0;
    if (made)
        return evn_json_put(document, "reached", list);
    json_decref(list);
    return false;
}

/* The rows of the comparison as they are told, those that tell nothing of any truck left out. */
static bool put_rows(json_t *document, const evn_compare_story *story)
{
    json_t *list = json_array();
    bool made = list;
    evn_compare_row row;
    for (size_t i = 0; made && evn_compare_told_row_at(i, &row); i++) {
        evn_compare_row_tell(&row, story);
        if (evn_compare_row_is_told(&row, story))
            made = json_array_append_new(list, evn_document_compare_row(&row)) == 0;
    }
    if (made)
        return evn_json_put(document, "rows", list);
    json_decref(list);
    return false;
}

json_t *evn_compare_document(const evn_compare_story *story)
{
    json_t *document = evn_document_begin(EVN_COMPARE_SCHEMA, story->status);
    bool made = document && put_names(document, story);
    if (made && story->comparison) {
        evn_figures figures = evn_figures_of_comparison(story->comparison);
        evn_equal by = evn_compare_equal_by(story);
        made = evn_json_put(document, "equal", evn_json_text(evn_equal_names[by - EVN_EQUAL_PAYLOAD])) &&
               put_likeness(document, story) && evn_json_put(document, "answer", answer_json(story)) &&
               put_reached(document, story) && evn_json_put(document, "uncertainty", evn_document_sure(story)) &&
               evn_json_put(document, "why", evn_document_why(story)) &&
               evn_json_put(document, "beside", evn_document_beside(story)) && put_trucks(document, story) &&
               evn_document_figures(document, &figures) && put_rows(document, story) &&
               evn_document_thresholds(document);
    }
    if (made)
        return document;
    json_decref(document);
    return NULL;
}

bool evn_compare_json(const evn_compare_story *story, const evn_findings *findings, FILE *to)
{
    json_t *document = evn_compare_document(story);
    return document && evn_document_end(document, findings, to);
}
