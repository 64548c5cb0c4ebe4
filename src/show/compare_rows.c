/* The rows of a comparison, and their values. */
#include "show/compare_rows.h"
#include "evener/keys.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { KEY = 128 };

#define OWN "own."
#define LIMITS "limits."

/* ------------------------------------------------------------------------------------------------ the list */

static const char axle_configuration[] = "axle_configuration"; /* rows of likeness stand behind its row */

/* What stands behind a result of the short list, which is named by its key. */
typedef struct beside {
    const char *behind;
    evn_compare_row row;
} beside;

/* One that is a result bears its label, unit and help: only its decimals are told here. */
static const beside rows_beside[] = {
    {"time_below_target_s",
     {.what = {"limited_by", "",
               "limit that kept it below its target speed longest; in CSV by its name, such as motor_power", EVN_REAL,
               0, "limited by", "limited by"},
      .source = EVN_ROW_LIMITED_BY,
      .path = OWN "limited_by.0.label"}},
    {"time_below_target_s",
     {.what = {"limited_for_s", "s", "time during which that limit was the binding one", EVN_REAL, 1,
               "limited for, by however little", "limited, by however little"},
      .source = EVN_ROW_LIMITED_FOR,
      .path = OWN "limited_by.0.duration_s"}},
    {"regenerative_braking_kwh",
     {.what = {.key = "energy_balance.friction_brakes_kwh", .digits = 1}, .source = EVN_ROW_RESULT}},
    {"regenerated_kwh", {.what = {.key = "charged_kwh", .digits = 1}, .source = EVN_ROW_RESULT, .of_day = true}},
    {"regenerated_kwh",
     {.what = {.key = "energy_balance.power_take_off_kwh", .digits = 1}, .source = EVN_ROW_RESULT, .of_day = true}},
    {"gross_mass_kg",
     {.what = {"masses.kerb_kg", "kg", "truck and trailer, ready to drive, without payload", EVN_REAL, 0, "kerb mass",
               "kerb mass"},
      .source = EVN_ROW_MASS,
      .change = EVN_CHANGE_DIFFERENCE,
      .value_key = "masses.kerb_kg",
      .path = "masses.kerb_kg"}},
    {"payload_kg",
     {.what = {axle_configuration, "", "wheels by driven wheels, twin tyres counted as one", EVN_REAL, 0,
               "axle configuration", "axle configuration"},
      .source = EVN_ROW_FORMULA,
      .path = "axle_configuration"}},
#define ABILITY(name, unit, digits, label, help, figure)                                                               \
    {"payload_kg",                                                                                                     \
     {.what = {name, unit, help, EVN_REAL, digits, label, label},                                                      \
      .source = EVN_ROW_ABILITY,                                                                                       \
      .value_key = "deciding." name "." figure,                                                                        \
      .path = LIMITS name ".value"}},                                                                                  \
    {                                                                                                                  \
        "payload_kg", {.what = {name "_limited_by", "", "what limits that; in CSV by its name", EVN_REAL, 0,           \
                                label ": limited by", label ": limited by"},                                           \
                       .source = EVN_ROW_ABILITY_BY,                                                                   \
                       .value_key = "deciding." name "." figure,                                                       \
                       .path = LIMITS name ".limited_by_label"}                                                        \
    }
    ABILITY("startability", "%", 2, "startability",
            "steepest grade on which it moves off from rest, on the ground that is demanded, else as the truck states",
            "steepest_percent"),
    ABILITY("speed_on_3_percent", "km/h", 1, "highest speed on 3 %",
            "highest speed that it holds on a grade of 3 %, at the temperatures of the start", "balanced_km_h"),
    ABILITY("descent_held", "%", 2, "descent held",
            "steepest descent that motors alone hold, at the speed and the state of charge that are demanded, else at "
            "30 km/h and as charged at the start",
            "steepest_percent"),
#undef ABILITY
};

/* Behind the row of the axle configuration. */
static const evn_compare_row
    row_of_alike = {.what = {"alike", "",
                             "alike with the truck that all are held against in all that is judged: power at the "
                             "wheels, tyres, body, battery and load; kerb mass, gears and ratios are the layout's own",
                             EVN_YES_NO, 0, "like for like", "like for like"},
                    .source = EVN_ROW_ALIKE,
                    .path = "alike"},
    row_of_scale = {.what = {"torque_scale", "",
                             "factor on the torque of its motors (their active length) with which its peak wheel power "
                             "is the first truck's",
                             EVN_REAL, 3, "motors scaled in torque by", "motors scaled by"},
                    .source = EVN_ROW_SCALE,
                    .path = "equal.torque_scale"};

/* Those told first, by their paths in the document: what decides, what it takes, what it can. */
static const char *const main_rows[EVN_COMPARE_MAIN_ROWS] = {"common.kwh_per_km",
                                                             "common.kwh_per_t_km",
                                                             OWN "kwh_per_km",
                                                             OWN "duration_s",
                                                             OWN "limited_by.0.label",
                                                             OWN "final_soc",
                                                             OWN "charged_kwh",
                                                             OWN "energy_balance.power_take_off_kwh",
                                                             "masses.payload_kg",
                                                             "masses.kerb_kg",
                                                             LIMITS "startability.value",
                                                             LIMITS "speed_on_3_percent.value"};

/* Rows of likeness that other rows tell already. */
static const char *const told_anyway[] = {"speed_on_3_percent_km_h", "payload_kg", "gross_mass_kg"};

/* What is told of the rig, so that a truck that gives no results has it too. */
static const struct {
    const char *result, *figure;
} of_rig[] = {{"gross_mass_kg", "masses.gross_kg"}, {"payload_kg", "masses.payload_kg"}};

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* Differences of masses are told in kilograms, those of times in time; per cent where a share says more: of what is
 * consumed, and of speeds. */
static evn_row_change change_of(const evn_quantity *what)
{
    static const char *const in_their_unit[] = {"", "s", "kg", "degC"};
    if (what->kind == EVN_YES_NO)
        return EVN_CHANGE_NONE;
    for (size_t k = 0; k < COUNT(in_their_unit); k++)
        if (strcmp(what->unit, in_their_unit[k]) == 0)
            return EVN_CHANGE_DIFFERENCE;
    return EVN_CHANGE_PERCENT;
}

static evn_compare_row of_result(const evn_quantity *what)
{
    evn_compare_row row = {.what = *what, .source = EVN_ROW_RESULT, .change = change_of(what), .value_key = what->key};
    const char *place = OWN;
    for (size_t k = 0; k < COUNT(of_rig); k++)
        if (strcmp(what->key, of_rig[k].result) == 0) {
            row.source = EVN_ROW_MASS;
            row.value_key = of_rig[k].figure;
            place = "";
        }
    snprintf(row.path, sizeof row.path, "%s%s", place, row.value_key);
    return row;
}

static bool is_told_anyway(const char *key)
{
    for (size_t k = 0; k < COUNT(told_anyway); k++)
        if (strcmp(told_anyway[k], key) == 0)
            return true;
    return false;
}

static evn_compare_row of_likeness(const evn_likeness_row *is, size_t index)
{
    evn_compare_row row = {.what = is->what,
                           .source = EVN_ROW_LIKENESS,
                           .change = is->what.kind == EVN_REAL ? EVN_CHANGE_PERCENT : EVN_CHANGE_DIFFERENCE,
                           .likeness = index};
    snprintf(row.path, sizeof row.path, "likeness.%s.value", is->what.key);
    return row;
}

/* The rows of likeness, and what made trucks equal. */
static bool next_likeness(const evn_quantity *behind, size_t *left, evn_compare_row *out)
{
    evn_likeness_row is;
    bool found = false;
    if ((*left)-- == 0) {
        *out = row_of_alike;
        found = true;
    }
    for (size_t i = 0; !found && evn_likeness_row_at(i, &is); i++)
        if (!is_told_anyway(is.what.key) && (*left)-- == 0) {
            *out = of_likeness(&is, i);
            found = true;
        }
    if (!found && (*left)-- == 0) {
        *out = row_of_scale;
        found = true;
    }
    out->behind = behind->label;
    return found;
}

/* The use of energy is told on both bases. */
static const struct {
    const char *key, *label, *short_label;
} on_both[] = {
    {"kwh_per_km", "energy consumption at the common speed", "at the common speed"},
    {"kwh_per_t_km", "energy consumption per tonne of payload at the common speed", "per tonne, common speed"}};

static bool next_common(const evn_quantity *what, size_t *left, evn_compare_row *out)
{
    size_t k = 0;
    while (k < COUNT(on_both) && strcmp(what->key, on_both[k].key) != 0)
        k++;
    if (k == COUNT(on_both) || (*left)-- > 0)
        return false;
    *out = of_result(what);
    out->what.label = on_both[k].label;
    out->what.short_label = on_both[k].short_label;
    out->what.help = "the same, all held to the common speed; in CSV in the lines of the basis common";
    out->basis = EVN_BASIS_COMMON;
    out->behind = what->label;
    snprintf(out->path, sizeof out->path, "common.%s", what->key);
    return true;
}

static evn_compare_row row_beside(const beside *is, const evn_quantity *behind)
{
    evn_compare_row row = is->row;
    evn_quantity what;
    for (size_t i = 0; row.source == EVN_ROW_RESULT && evn_result_row_at(i, &what); i++)
        if (strcmp(what.key, is->row.what.key) == 0) {
            what.digits = is->row.what.digits;
            row = of_result(&what);
            row.of_day = is->row.of_day;
        }
    row.behind = behind->label;
    return row;
}

/* The list, without the places of those told first. */
static bool listed_at(size_t index, evn_compare_row *out)
{
    evn_quantity what;
    size_t left = index;
    for (size_t i = 0; evn_headline_at(i, &what); i++) {
        if (left-- == 0) {
            *out = of_result(&what);
            return true;
        }
        if (next_common(&what, &left, out))
            return true;
        for (size_t k = 0; k < COUNT(rows_beside); k++) {
            if (strcmp(rows_beside[k].behind, what.key) != 0)
                continue;
            if (left-- == 0) {
                *out = row_beside(&rows_beside[k], &what);
                return true;
            }
            if (strcmp(rows_beside[k].row.what.key, axle_configuration) == 0 && next_likeness(&what, &left, out))
                return true;
        }
    }
    return false;
}

bool evn_compare_row_at(size_t index, evn_compare_row *out)
{
    if (!listed_at(index, out))
        return false;
    out->main = 0;
    for (unsigned k = 0; k < EVN_COMPARE_MAIN_ROWS; k++)
        if (strcmp(out->path, main_rows[k]) == 0)
            out->main = k + 1;
    return true;
}

bool evn_compare_told_row_at(size_t index, evn_compare_row *out)
{
    bool first = index < EVN_COMPARE_MAIN_ROWS;
    size_t left = first ? 0 : index - EVN_COMPARE_MAIN_ROWS;
    for (size_t i = 0; evn_compare_row_at(i, out); i++)
        if (first ? out->main == index + 1 : out->main == 0 && left-- == 0)
            return true;
    return false;
}

/* The next row from *index on that stands beside the short list; *index goes behind it. */
bool evn_compare_row_beside(size_t *index, evn_compare_row *out)
{
    while (evn_compare_row_at((*index)++, out))
        if (out->behind)
            return true;
    return false;
}

bool evn_compare_row_is_text(const evn_compare_row *row)
{
    return row->source == EVN_ROW_FORMULA || row->source == EVN_ROW_LIMITED_BY || row->source == EVN_ROW_ABILITY_BY;
}

void evn_compare_row_column(const evn_compare_row *row, char *out, size_t size)
{
    snprintf(out, size, "%s", row->what.key);
    for (char *dot = out; (dot = strchr(dot, '.'));)
        *dot = '_';
}

double evn_compare_percent_from(const evn_compare_row *row)
{
    return row->change == EVN_CHANGE_PERCENT ? 10 * pow(10, -row->what.digits) : (double)NAN;
}

const char *evn_row_change_name(evn_row_change change)
{
    static const char *const names[] = {NULL, "percent", "difference"};
    return names[change];
}

/* Alike for all trucks: what is demanded of them is. */
void evn_compare_row_tell(evn_compare_row *row, const evn_compare_story *story)
{
    evn_limits_figure is;
    for (size_t i = 0; row->source == EVN_ROW_ABILITY && i < evn_lineup_truck_count(story->lineup); i++)
        if (evn_compare_ability(row, story, i, &is)) {
            row->what.label = row->what.short_label = is.row_label;
            return;
        }
}

/* ------------------------------------------------------------------------------------------------ likeness */

static bool any_unlike(const evn_compare_row *row, const evn_compare_story *story)
{
    evn_likeness is;
    for (size_t i = 0; i < evn_lineup_truck_count(story->lineup); i++)
        if (evn_compare_unlike(story, i, evn_compare_alike_against(story), row->likeness, &is))
            return true;
    return false;
}

static bool any_scaled(const evn_compare_story *story)
{
    evn_equalised given;
    for (size_t i = 0; evn_comparison_equalised(story->comparison, i, &given); i++)
        if (given.torque_scale != 1)
            return true;
    return false;
}

/* ------------------------------------------------------------------------------------------------ values */

bool evn_compare_ability(const evn_compare_row *row, const evn_compare_story *story, size_t truck,
                         evn_limits_figure *out)
{
    bool is = row->source == EVN_ROW_ABILITY || row->source == EVN_ROW_ABILITY_BY;
    return is && evn_limits_get(evn_comparison_limits(story->comparison, truck), row->value_key, out);
}

bool evn_compare_limitation(const evn_compare_story *story, size_t truck, evn_basis basis, evn_limitation *out)
{
    const evn_results *results = evn_outcome_results(evn_comparison_outcome(story->comparison, truck, basis));
    return results && evn_results_limitation_at(results, 0, out);
}

bool evn_compare_row_in_doubt(const evn_compare_row *row, const evn_compare_story *story, size_t truck)
{
    evn_limitation is;
    return row->source == EVN_ROW_LIMITED_BY && evn_compare_limitation(story, truck, row->basis, &is) &&
           evn_compare_limit_in_doubt(story, truck, row->basis, &is);
}

static bool is_heat(const evn_limitation *is)
{
    return strcmp(is->limit, "winding_temperature") == 0 || strcmp(is->limit, "inverter_temperature") == 0;
}

bool evn_compare_heat_beside(const evn_compare_story *story, size_t truck, evn_basis basis, evn_limitation *out)
{
    const evn_results *results = evn_outcome_results(evn_comparison_outcome(story->comparison, truck, basis));
    if (!results || !evn_results_limitation_at(results, 0, out) || is_heat(out))
        return false;
    for (size_t k = 1; evn_results_limitation_at(results, k, out); k++)
        if (is_heat(out))
            return true;
    return false;
}

double evn_compare_row_value(const evn_compare_row *row, const evn_compare_story *story, size_t truck)
{
    const evn_outcome *outcome = evn_comparison_outcome(story->comparison, truck, row->basis);
    evn_figures results = evn_figures_of_results(evn_outcome_results(outcome));
    evn_figures rig = evn_figures_of_rig(evn_comparison_rig(story->comparison, truck));
    evn_limitation is;
    evn_limits_figure ability;
    evn_likeness likeness;
    evn_equalised given;
    switch (row->source) {
    case EVN_ROW_RESULT:
        return evn_figures_value(&results, row->value_key);
    case EVN_ROW_MASS:
        return evn_figures_value(&rig, row->value_key);
    case EVN_ROW_LIMITED_FOR:
        return evn_compare_limitation(story, truck, row->basis, &is) ? is.duration_s : (double)NAN;
    case EVN_ROW_ALIKE:
        return evn_compare_is_held(story, truck)
                   ? evn_compare_alike_with(story, truck, evn_compare_alike_against(story))
                   : (double)NAN;
    case EVN_ROW_LIKENESS:
        return evn_compare_likeness(story, truck, row->likeness, &likeness) ? likeness.value : (double)NAN;
    case EVN_ROW_SCALE:
        return evn_comparison_equalised(story->comparison, truck, &given) ? given.torque_scale : (double)NAN;
    case EVN_ROW_ABILITY:
        return evn_compare_ability(row, story, truck, &ability) ? ability.value : (double)NAN;
    default:
        return (double)NAN;
    }
}

/* Differences are listed of results; those of likeness are worked out from both values. */
static double likeness_change(const evn_compare_row *row, const evn_compare_story *story, size_t truck)
{
    evn_likeness is;
    if (!evn_compare_likeness(story, truck, row->likeness, &is))
        return (double)NAN;
    double gap = is.value - is.first;
    return row->change == EVN_CHANGE_PERCENT ? 100 * gap / fabs(is.first) : gap;
}

/* The same of results where the first truck did not finish: no differences against another are listed. */
static double change_against(const evn_compare_row *row, const evn_compare_story *story, size_t truck, size_t against)
{
    double from = evn_compare_row_value(row, story, against), gap = evn_compare_row_value(row, story, truck) - from;
    bool counts = evn_compare_row_counts(row, story, truck) && evn_compare_row_counts(row, story, against);
    if (!counts || row->source == EVN_ROW_ABILITY_BY)
        return (double)NAN;
    return row->change == EVN_CHANGE_PERCENT ? 100 * gap / fabs(from) : gap;
}

double evn_compare_row_change(const evn_compare_row *row, const evn_compare_story *story, size_t truck)
{
    char key[KEY];
    size_t against = evn_compare_alike_against(story);
    evn_figures differences = evn_figures_of_differences(evn_comparison_outcome(story->comparison, truck, row->basis));
    const char *group = evn_row_change_name(row->change);
    if (truck == against || !group || fabs(evn_compare_row_value(row, story, against)) < evn_compare_percent_from(row))
        return (double)NAN;
    if (row->source == EVN_ROW_LIKENESS)
        return likeness_change(row, story, truck);
    if (against != 0)
        return change_against(row, story, truck, against);
    snprintf(key, sizeof key, "%s.%s", group, row->value_key);
    return evn_figures_value(&differences, key);
}

double evn_compare_row_told_change(const evn_compare_row *row, const evn_compare_story *story, size_t truck)
{
    bool held = evn_compare_has_finished(story, evn_compare_alike_against(story), EVN_BASIS_OWN);
    return held && evn_compare_row_counts(row, story, truck) ? evn_compare_row_change(row, story, truck) : (double)NAN;
}

static double result_of(const evn_compare_story *story, size_t truck, evn_basis basis, const char *key)
{
    const evn_outcome *outcome = evn_comparison_outcome(story->comparison, truck, basis);
    evn_figures figures = evn_figures_of_results(evn_outcome_results(outcome));
    return evn_figures_value(&figures, key);
}

double evn_compare_line_change(const evn_compare_story *story, size_t truck, evn_basis basis, const char *key)
{
    size_t against = evn_compare_alike_against(story);
    char name[KEY];
    if (truck == against)
        return (double)NAN;
    if (against == 0) {
        evn_figures differences = evn_figures_of_differences(evn_comparison_outcome(story->comparison, truck, basis));
        snprintf(name, sizeof name, "difference.%s", key);
        return evn_figures_value(&differences, name);
    }
    if (!evn_compare_has_finished(story, truck, basis) || !evn_compare_has_finished(story, against, basis))
        return (double)NAN;
    double here = result_of(story, truck, basis, key), there = result_of(story, against, basis, key);
    return (isfinite(here) ? here : 0) - (isfinite(there) ? there : 0);
}

const char *evn_compare_row_text(const evn_compare_row *row, const evn_compare_story *story, size_t truck)
{
    evn_limitation is;
    evn_limits_figure ability;
    if (row->source == EVN_ROW_FORMULA)
        return evn_truck_axle_configuration(evn_lineup_truck(story->lineup, truck));
    if (row->source == EVN_ROW_LIMITED_BY)
        return evn_compare_limitation(story, truck, row->basis, &is) ? is.label : NULL;
    if (row->source == EVN_ROW_ABILITY_BY)
        return evn_compare_ability(row, story, truck, &ability) ? ability.limit_label : NULL;
    return NULL;
}

static bool any_but_nothing(const evn_compare_row *row, const evn_compare_story *story)
{
    for (size_t i = 0; i < evn_lineup_truck_count(story->lineup); i++)
        if (fabs(evn_compare_row_value(row, story, i)) > 0)
            return true;
    return false;
}

bool evn_compare_row_is_told(const evn_compare_row *row, const evn_compare_story *story)
{
    if (row->of_day)
        return evn_lineup_has_duty(story->lineup) && any_but_nothing(row, story);
    if (row->source == EVN_ROW_ALIKE)
        return !evn_compare_all_alike(story);
    if (row->source == EVN_ROW_LIKENESS)
        return any_unlike(row, story);
    if (row->source == EVN_ROW_SCALE)
        return any_scaled(story);
    for (size_t i = 0; i < evn_lineup_truck_count(story->lineup); i++)
        if (isfinite(evn_compare_row_value(row, story, i)) || evn_compare_row_text(row, story, i))
            return true;
    return false;
}

bool evn_compare_row_counts(const evn_compare_row *row, const evn_compare_story *story, size_t truck)
{
    bool of_run =
        row->source == EVN_ROW_RESULT || row->source == EVN_ROW_LIMITED_BY || row->source == EVN_ROW_LIMITED_FOR;
    return !of_run || evn_compare_has_finished(story, truck, row->basis);
}
