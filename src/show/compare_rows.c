/* The rows of a comparison, and their values. */
#include "show/compare_rows.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { KEY = 128 };

#define OWN "own."

/* ------------------------------------------------------------------------------------------------ the list */

/* What stands behind a result of the short list, which is named by its key. */
typedef struct beside {
    const char *behind;
    evn_compare_row row;
} beside;

static const beside rows_beside[] = {
    {"time_below_target_s",
     {{"limited_by", "", "limit that kept it below its target speed longest, at its own speeds", EVN_REAL, 0,
       "limited by", "limited by"},
      EVN_ROW_LIMITED_BY,
      EVN_CHANGE_NONE,
      EVN_BASIS_OWN,
      "",
      OWN "limited_by.0.label"}},
    {"time_below_target_s",
     {{"limited_for_s", "s", "time during which that limit was the binding one", EVN_REAL, 1, "limited for",
       "limited for"},
      EVN_ROW_LIMITED_FOR,
      EVN_CHANGE_NONE,
      EVN_BASIS_OWN,
      "",
      OWN "limited_by.0.duration_s"}},
    {"regenerative_braking_kwh",
     {{"energy_balance.friction_brakes_kwh", "kWh", "heat in the friction brakes", EVN_REAL, 1, "friction braking work",
       "friction braking"},
      EVN_ROW_RESULT,
      EVN_CHANGE_PERCENT,
      EVN_BASIS_OWN,
      "energy_balance.friction_brakes_kwh",
      OWN "energy_balance.friction_brakes_kwh"}},
    {"gross_mass_kg",
     {{"kerb_mass_kg", "kg", "truck and trailer, ready to drive, without payload", EVN_REAL, 0, "kerb mass",
       "kerb mass"},
      EVN_ROW_MASS,
      EVN_CHANGE_DIFFERENCE,
      EVN_BASIS_OWN,
      "masses.kerb_kg",
      "masses.kerb_kg"}},
    {"payload_kg",
     {{"axle_configuration", "", "wheels by driven wheels, twin tyres counted as one", EVN_REAL, 0,
       "axle configuration", "axle configuration"},
      EVN_ROW_FORMULA,
      EVN_CHANGE_NONE,
      EVN_BASIS_OWN,
      "",
      "axle_configuration"}},
};

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
    evn_compare_row row = {*what, EVN_ROW_RESULT, change_of(what), EVN_BASIS_OWN, what->key, ""};
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

/* The use of energy is told on both bases. */
static bool next_common(const evn_quantity *what, size_t *left, evn_compare_row *out)
{
    if (strcmp(what->key, "kwh_per_km") != 0 || (*left)-- > 0)
        return false;
    *out = of_result(what);
    out->what.label = "energy consumption at the common speed";
    out->what.short_label = "at the common speed";
    out->basis = EVN_BASIS_COMMON;
    snprintf(out->path, sizeof out->path, "common.%s", what->key);
    return true;
}

bool evn_compare_row_at(size_t index, evn_compare_row *out)
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
        for (size_t k = 0; k < COUNT(rows_beside); k++)
            if (strcmp(rows_beside[k].behind, what.key) == 0 && left-- == 0) {
                *out = rows_beside[k].row;
                return true;
            }
    }
    return false;
}

const char *evn_row_change_name(evn_row_change change)
{
    static const char *const names[] = {NULL, "percent", "difference"};
    return names[change];
}

/* ------------------------------------------------------------------------------------------------ values */

bool evn_compare_limitation(const evn_compare_story *story, size_t truck, evn_basis basis, evn_limitation *out)
{
    const evn_results *results = evn_outcome_results(evn_comparison_outcome(story->comparison, truck, basis));
    return results && evn_results_limitation_at(results, 0, out);
}

double evn_compare_row_value(const evn_compare_row *row, const evn_compare_story *story, size_t truck)
{
    const evn_outcome *outcome = evn_comparison_outcome(story->comparison, truck, row->basis);
    evn_figures results = evn_figures_of_results(evn_outcome_results(outcome));
    evn_figures rig = evn_figures_of_rig(evn_comparison_rig(story->comparison, truck));
    evn_limitation is;
    switch (row->source) {
    case EVN_ROW_RESULT:
        return evn_figures_value(&results, row->value_key);
    case EVN_ROW_MASS:
        return evn_figures_value(&rig, row->value_key);
    case EVN_ROW_LIMITED_FOR:
        return evn_compare_limitation(story, truck, row->basis, &is) ? is.duration_s : (double)NAN;
    default:
        return (double)NAN;
    }
}

double evn_compare_row_change(const evn_compare_row *row, const evn_compare_story *story, size_t truck)
{
    char key[KEY];
    evn_figures differences = evn_figures_of_differences(evn_comparison_outcome(story->comparison, truck, row->basis));
    const char *group = evn_row_change_name(row->change);
    if (truck == 0 || !group)
        return (double)NAN;
    snprintf(key, sizeof key, "%s.%s", group, row->value_key);
    return evn_figures_value(&differences, key);
}

const char *evn_compare_row_text(const evn_compare_row *row, const evn_compare_story *story, size_t truck)
{
    evn_limitation is;
    if (row->source == EVN_ROW_FORMULA)
        return evn_truck_axle_configuration(evn_lineup_truck(story->lineup, truck));
    if (row->source == EVN_ROW_LIMITED_BY)
        return evn_compare_limitation(story, truck, row->basis, &is) ? is.label : NULL;
    return NULL;
}

bool evn_compare_row_is_told(const evn_compare_row *row, const evn_compare_story *story)
{
    for (size_t i = 0; i < evn_lineup_truck_count(story->lineup); i++)
        if (isfinite(evn_compare_row_value(row, story, i)) || evn_compare_row_text(row, story, i))
            return true;
    return false;
}
