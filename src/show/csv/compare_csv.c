/* A comparison as CSV: a line for each truck and basis; first the rows of the comparison, as columns, then every other
 * result that any of them has. */
#include "evener/duty.h"
#include "show/compare_sureness.h"
#include "show/csv/trace_csv.h"
#include "show/names.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Keys of further results that any truck has on any basis, each once, in the order in which they come. */
typedef struct keys {
    const char **at;
    size_t count, room;
} keys;

static bool is_there(const keys *of, const char *key)
{
    for (size_t i = 0; i < of->count; i++)
        if (strcmp(of->at[i], key) == 0)
            return true;
    return false;
}

static bool is_row(const char *key)
{
    evn_compare_row row;
    for (size_t i = 0; evn_compare_row_at(i, &row); i++)
        if (strcmp(row.what.key, key) == 0 && !row.of_day)
            return true;
    return false;
}

static bool add_key(keys *to, const char *key)
{
    if (is_there(to, key) || is_row(key))
        return true;
    if (to->count == to->room) {
        size_t room = to->room > 0 ? 2 * to->room : 128;
        const char **larger = realloc(to->at, room * sizeof *larger);
        if (!larger)
            return false;
        to->at = larger;
        to->room = room;
    }
    to->at[to->count++] = key;
    return true;
}

static bool add_keys(keys *to, const evn_outcome *outcome)
{
    evn_figures results = evn_figures_of_results(evn_outcome_results(outcome));
    size_t count = evn_figures_count(&results);
    evn_quantity what;
    double value;
    for (size_t i = 0; i < count; i++)
        if (evn_figures_at(&results, i, &what, &value) && !add_key(to, what.key))
            return false;
    return true;
}

/* On the basis of its line, but for what is told of one only. */
static bool is_column(const evn_compare_row *row) { return row->basis == EVN_BASIS_OWN && !row->of_day; }

static void put_number(double value, evn_trace_csv *csv)
{
    fputc(',', csv->stream);
    if (isfinite(value))
        fprintf(csv->stream, "%.12g", value);
}

/* Limits by their names in documents. */
static const char *text_of(const evn_compare_row *row, const evn_compare_story *story, size_t truck)
{
    evn_limitation is;
    evn_limits_figure ability;
    if (row->source == EVN_ROW_ABILITY_BY)
        return evn_compare_ability(row, story, truck, &ability) ? ability.limit : NULL;
    if (row->source != EVN_ROW_LIMITED_BY)
        return evn_compare_row_text(row, story, truck);
    return evn_compare_limitation(story, truck, row->basis, &is) ? is.limit : NULL;
}

/* What the truck uses beside, where another lineup is; at the common speed, where both are held. */
static void put_beside(const evn_compare_story *story, size_t truck, evn_basis basis, evn_trace_csv *csv)
{
    evn_beside_truck is;
    bool told = basis == EVN_BASIS_COMMON && evn_beside_truck_at(story->beside, truck, &is);
    if (!story->beside)
        return;
    put_number(told ? is.use[EVN_BESIDE_THERE] : (double)NAN, csv);
    put_number(told ? is.percent[EVN_BESIDE_THERE] : (double)NAN, csv);
}

/* How sure the difference against the first is, where that was found. */
static void put_sure(const evn_compare_story *story, size_t truck, evn_basis basis, evn_trace_csv *csv)
{
    evn_sureness is;
    bool told = evn_compare_sure_between(story->uncertainty, truck, 0, basis, EVN_UNCERTAINTY_OFF, &is);
    if (!story->uncertainty)
        return;
    put_number(told ? is.nominal_percent : (double)NAN, csv);
    put_number(told ? is.low_percent : (double)NAN, csv);
    put_number(told ? is.high_percent : (double)NAN, csv);
    put_number(told ? is.probability_lower : (double)NAN, csv);
    evn_trace_csv_text(csv, told ? evn_apart_name(is.apart) : "", false);
    evn_trace_csv_text(csv, told ? evn_method_name(is.by) : "", false);
}

/* Intervals of the causes have columns where they were asked in any draw. */
static bool has_drawn(const evn_compare_story *story)
{
    evn_causes_pair is;
    for (size_t i = 0; i < evn_lineup_truck_count(story->lineup); i++)
        if (evn_causes_pair_at(story->causes, i, &is) && is.draws_asked > 0)
            return true;
    return false;
}

/* The part that is told in the column of a cause: of merged ones that of the first of them. At the common speed, where
 * they are parted. */
static bool part_of(const evn_compare_story *story, size_t truck, evn_basis basis, unsigned cause, evn_cause_part *out)
{
    for (size_t k = 0; basis == EVN_BASIS_COMMON && evn_causes_part_at(story->causes, truck, k, out); k++)
        if (out->causes >> cause & 1u && (out->causes & ((1u << cause) - 1)) == 0)
            return true;
    return false;
}

/* Keys of causes that are told as one, "body+driven_axles; hub_drag+drivetrain"; those alone are not named. */
static void put_merged(const evn_compare_story *story, size_t truck, evn_basis basis, evn_trace_csv *csv)
{
    char text[EVN_CAUSE_COUNT * EVN_COMPARE_COLUMN] = "";
    size_t used = 0;
    evn_cause_row row;
    evn_cause_part part;
    for (size_t k = 0; basis == EVN_BASIS_COMMON && evn_causes_part_at(story->causes, truck, k, &part); k++) {
        const char *before = used > 0 ? "; " : "";
        if ((part.causes & (part.causes - 1)) == 0)
            continue;
        for (unsigned c = 0; evn_cause_row_at(c, &row); c++)
            if (part.causes >> c & 1u) {
                used += (size_t)snprintf(text + used, sizeof text - used, "%s%s", before, row.key);
                before = "+";
            }
    }
    evn_trace_csv_text(csv, text, false);
}

/* What each cause makes of the difference, per cent of the one that it is parted from; which were told as one; and
 * intervals of the parts. */
static void put_causes(const evn_compare_story *story, size_t truck, evn_basis basis, evn_trace_csv *csv)
{
    evn_cause_row row;
    evn_cause_part part;
    if (!story->causes)
        return;
    for (unsigned c = 0; evn_cause_row_at(c, &row); c++)
        put_number(part_of(story, truck, basis, c, &part) ? part.percent : (double)NAN, csv);
    put_merged(story, truck, basis, csv);
    for (unsigned c = 0; has_drawn(story) && evn_cause_row_at(c, &row); c++) {
        bool sure = part_of(story, truck, basis, c, &part) && part.sure;
        put_number(sure ? part.low_percent : (double)NAN, csv);
        put_number(sure ? part.high_percent : (double)NAN, csv);
    }
}

static void put_cause_heads(const evn_compare_story *story, evn_trace_csv *csv)
{
    evn_cause_row row;
    char column[EVN_COMPARE_COLUMN];
    if (!story->causes)
        return;
    for (size_t c = 0; evn_cause_row_at(c, &row); c++) {
        snprintf(column, sizeof column, "why_%s_percent", row.key);
        evn_trace_csv_key(csv, column, false);
    }
    evn_trace_csv_key(csv, "why_told_as_one", false);
    for (size_t c = 0; has_drawn(story) && evn_cause_row_at(c, &row); c++) {
        snprintf(column, sizeof column, "why_%s_low_percent", row.key);
        evn_trace_csv_key(csv, column, false);
        snprintf(column, sizeof column, "why_%s_high_percent", row.key);
        evn_trace_csv_key(csv, column, false);
    }
}

/* Any truck that could be prepared has the seasons of all. */
static bool find_season(const evn_compare_story *story, size_t season, evn_day_season *out)
{
    for (size_t i = 0; i < evn_lineup_truck_count(story->lineup); i++)
        if (evn_comparison_season_at(story->comparison, i, season, out))
            return true;
    return false;
}

/* What each season's day leaves at own speeds, how it ended, and the worst; where they were driven. */
static void put_seasons(const evn_compare_story *story, size_t truck, evn_basis basis, evn_trace_csv *csv)
{
    const evn_comparison *c = story->comparison;
    evn_day_season any, s;
    for (size_t k = 0; find_season(story, k, &any); k++) {
        bool there = basis == EVN_BASIS_OWN && evn_comparison_season_at(c, truck, k, &s);
        put_number(there ? s.reserve_soc : (double)NAN, csv);
        evn_trace_csv_text(csv, there ? s.status : "", false);
    }
    if (!find_season(story, 0, &any))
        return;
    size_t worst;
    bool there = basis == EVN_BASIS_OWN && evn_comparison_worst_season(c, truck, &worst) &&
                 evn_comparison_season_at(c, truck, worst, &s);
    evn_trace_csv_text(csv, there ? s.name : "", false);
}

static void put_season_heads(const evn_compare_story *story, evn_trace_csv *csv)
{
    evn_day_season any;
    char column[EVN_COMPARE_COLUMN];
    for (size_t k = 0; find_season(story, k, &any); k++) {
        snprintf(column, sizeof column, "season_%.40s_reserve_soc", any.name);
        evn_trace_csv_text(csv, column, false);
        snprintf(column, sizeof column, "season_%.40s_status", any.name);
        evn_trace_csv_text(csv, column, false);
    }
    if (find_season(story, 0, &any))
        evn_trace_csv_key(csv, "worst_season", false);
}

static void put_row(const evn_compare_story *story, size_t truck, evn_basis basis, const keys *of, evn_trace_csv *csv)
{
    const evn_outcome *outcome = evn_comparison_outcome(story->comparison, truck, basis);
    evn_figures results = evn_figures_of_results(evn_outcome_results(outcome));
    evn_compare_row row;
    evn_trace_csv_text(csv, evn_lineup_truck_name(story->lineup, truck), true);
    evn_trace_csv_text(csv, evn_lineup_truck_title(story->lineup, truck), false);
    evn_trace_csv_text(csv, evn_basis_name(basis), false);
    evn_trace_csv_text(csv, evn_outcome_status(outcome), false);
    for (size_t i = 0; evn_compare_row_at(i, &row); i++) {
        if (!is_column(&row))
            continue;
        row.basis = basis;
        const char *text = text_of(&row, story, truck);
        if (text)
            evn_trace_csv_text(csv, text, false);
        else
            put_number(evn_compare_row_value(&row, story, truck), csv);
    }
    for (size_t i = 0; i < of->count; i++)
        put_number(evn_figures_value(&results, of->at[i]), csv);
    put_sure(story, truck, basis, csv);
    put_causes(story, truck, basis, csv);
    put_beside(story, truck, basis, csv);
    put_seasons(story, truck, basis, csv);
    evn_trace_csv_end_line(csv);
}

static void put_head(const evn_compare_story *story, const keys *of, evn_trace_csv *csv)
{
    static const char *const before[] = {"truck", "short_name", "basis", "status"};
    static const char *const beside[] = {"beside_use", "beside_percent"};
    static const char *const sure[] = {
        "percent", "interval_low_percent", "interval_high_percent", "probability_lower", "apart", "apart_by"};
    evn_compare_row row;
    char column[EVN_COMPARE_COLUMN];
    for (size_t i = 0; i < sizeof before / sizeof before[0]; i++)
        evn_trace_csv_key(csv, before[i], i == 0);
    for (size_t i = 0; evn_compare_row_at(i, &row); i++)
        if (is_column(&row)) {
            evn_compare_row_column(&row, column, sizeof column);
            evn_trace_csv_key(csv, column, false);
        }
    for (size_t i = 0; i < of->count; i++)
        evn_trace_csv_key(csv, of->at[i], false);
    for (size_t i = 0; story->uncertainty && i < sizeof sure / sizeof sure[0]; i++)
        evn_trace_csv_key(csv, sure[i], false);
    put_cause_heads(story, csv);
    for (size_t i = 0; story->beside && i < sizeof beside / sizeof beside[0]; i++)
        evn_trace_csv_key(csv, beside[i], false);
    put_season_heads(story, csv);
    evn_trace_csv_end_line(csv);
}

bool evn_compare_csv(const evn_compare_story *story, FILE *to)
{
    size_t trucks = evn_lineup_truck_count(story->lineup);
    evn_trace_csv csv = {.stream = to};
    keys of = {.count = 0};
    bool made = true;
    for (size_t i = 0; made && i < 2 * trucks; i++)
        made = add_keys(&of, evn_comparison_outcome(story->comparison, i / 2, (evn_basis)(i % 2)));
    if (made)
        put_head(story, &of, &csv);
    for (size_t i = 0; made && i < 2 * trucks; i++)
        put_row(story, i / 2, (evn_basis)(i % 2), &of, &csv);
    free(of.at);
    return made;
}
