/* A comparison without scripts: what is demanded, rows side by side, where the energy goes. */
#include "evener/duty.h"
#include "show/page/html_parts.h"
#include "show/text.h"
#include <math.h>
#include <string.h>

enum { CAPTION = 1024, KEY = 128, LINES_MOST = 128 };

/* ------------------------------------------------------------------------------------------------ columns */

/* The caption, and which trucks it has where it has not all. */
static void begin(const evn_html_page *page, FILE *to, const evn_html_columns *columns, const char *class_name,
                  const char *caption)
{
    char text[CAPTION];
    bool parted = columns->from > 0 || columns->to < page->truck_count;
    if (parted)
        snprintf(text, sizeof text, "%s; trucks %zu to %zu of %zu", caption, columns->from + 1, columns->to,
                 page->truck_count);
    evn_html_table_begin(to, class_name, parted ? text : caption);
    evn_html_head(page, to, columns, NULL);
    fputs("<tbody>", to);
}

static void end(FILE *to)
{
    fputs("</tbody>", to);
    evn_html_table_end(to);
}

/* ------------------------------------------------------------------------------------------------ who finished */

static const evn_outcome *outcome_of(const evn_html_page *page, size_t truck, evn_basis basis)
{
    return evn_comparison_outcome(page->comparison->comparison, truck, basis);
}

static bool finished(const evn_html_page *page, size_t truck, evn_basis basis)
{
    return strcmp(evn_outcome_status(outcome_of(page, truck, basis)), "finished") == 0;
}

static double result(const evn_html_page *page, size_t truck, evn_basis basis, const char *key)
{
    evn_figures figures = evn_figures_of_results(evn_outcome_results(outcome_of(page, truck, basis)));
    return evn_figures_value(&figures, key);
}

static bool all_finished(const evn_html_page *page)
{
    return evn_compare_finished_count(page->comparison, EVN_BASIS_OWN) == page->truck_count;
}

/* ------------------------------------------------------------------------------------------------ side by side */

/* The text of a row; below what limited a truck longest the heat that limited it too. */
static void put_row_text(const evn_html_page *page, FILE *to, const evn_compare_row *row, size_t truck,
                         const char *text)
{
    evn_limitation heat;
    fputs("<span class=\"words\">", to);
    evn_html_text(to, text);
    fputs(evn_compare_row_in_doubt(row, page->comparison, truck) ? ", in doubt</span>" : "</span>", to);
    if (row->source != EVN_ROW_LIMITED_BY || !evn_compare_heat_beside(page->comparison, truck, row->basis, &heat))
        return;
    fputs("<small class=\"words\">too: ", to);
    evn_html_text(to, heat.label);
    fputs(", ", to);
    evn_html_duration(to, heat.duration_s);
    fputs(evn_compare_limit_in_doubt(page->comparison, truck, row->basis, &heat) ? ", in doubt</small>" : "</small>",
          to);
}

static void put_value(const evn_html_page *page, FILE *to, const evn_compare_row *row, size_t truck)
{
    const char *text = evn_compare_row_text(row, page->comparison, truck);
    evn_limits_figure ability;
    if (!evn_compare_row_counts(row, page->comparison, truck)) {
        evn_html_figure(to, "-");
        return;
    }
    if (text) {
        put_row_text(page, to, row, truck, text);
        return;
    }
    if (evn_compare_ability(row, page->comparison, truck, &ability) && ability.beyond)
        fputs("&gt; ", to);
    evn_html_value(to, &row->what, evn_compare_row_value(row, page->comparison, truck));
}

static void put_change(FILE *to, const evn_compare_row *row, double change)
{
    if (row->change == EVN_CHANGE_PERCENT) {
        evn_html_change(to, 1, change);
        fputs("&#160;%", to);
    } else if (strcmp(row->what.unit, "s") == 0) {
        if (change > 0 && !evn_looks_like_nothing(1, change))
            fputc('+', to);
        evn_html_duration(to, change);
    } else {
        evn_html_change(to, row->what.digits, evn_shown_value(&row->what, change));
    }
}

/* The truck of which all differences are, as in the ranking; where it did not finish none is told. */
static size_t against_of(const evn_html_page *page) { return evn_compare_alike_against(page->comparison); }
static bool is_held(const evn_html_page *page, evn_basis basis) { return finished(page, against_of(page), basis); }

/* What stands in the cells: against whom differences are. */
static void put_caption(const evn_html_page *page, evn_basis basis, const char *what, char caption[CAPTION])
{
    const char *title = page->truck[against_of(page)].title;
    if (is_held(page, basis))
        snprintf(caption, CAPTION, "%s: difference against %s, and value", what, title);
    else
        snprintf(caption, CAPTION, "%s: no differences, as %s did not finish", what, title);
}

/* The difference first, the value below it. */
static void put_cell(const evn_html_page *page, FILE *to, const evn_compare_row *row, size_t truck)
{
    double change = evn_compare_row_told_change(row, page->comparison, truck);
    bool told = isfinite(change);
    fputs(evn_compare_row_is_text(row) ? "<td class=\"words\">" : "<td>", to);
    if (told) {
        put_change(to, row, change);
        fputs("<small>", to);
    }
    put_value(page, to, row, truck);
    fputs(told ? "</small></td>" : "</td>", to);
}

/* "at the common speed" is told behind the row that it is of; by itself it is none. */
static bool is_quantity(const char *label) { return strncmp(label, "at ", 3) != 0; }

static void put_row(const evn_html_page *page, FILE *to, const evn_html_columns *columns, const evn_compare_row *row)
{
    fputs("<tr><th scope=\"row\"><span class=\"long\">", to);
    evn_html_heading(to, row->what.label, &row->what);
    fputs("</span><span class=\"short\">", to);
    evn_html_heading(to, is_quantity(row->what.short_label) ? row->what.short_label : row->what.label, &row->what);
    fputs("</span></th>", to);
    for (size_t i = columns->from; i < columns->to; i++)
        put_cell(page, to, row, i);
    fputs("</tr>\n", to);
}

/* How far each came, where one of them did not finish. */
static void put_distances(const evn_html_page *page, FILE *to, const evn_html_columns *columns)
{
    if (all_finished(page))
        return;
    fputs("<tr><th scope=\"row\">distance covered, km</th>", to);
    for (size_t i = columns->from; i < columns->to; i++) {
        evn_compare_reached is = evn_compare_reached_by(page->comparison, i);
        fputs("<td>", to);
        evn_html_decimals(to, 2, is.distance_km);
        if (!is.finished)
            fprintf(to, "<small class=\"words\">did not finish%s</small>", is.doubt ? ", in doubt" : "");
        fputs("</td>", to);
    }
    fputs("</tr>\n", to);
}

static void put_rows(const evn_html_page *page, FILE *to, bool main_rows)
{
    char caption[CAPTION];
    put_caption(page, EVN_BASIS_OWN,
                main_rows ? "Side by side at their own speeds unless a row says otherwise"
                          : "Further figures at their own speeds unless a row says otherwise",
                caption);
    for (evn_html_columns columns = {0}; evn_html_columns_next(page, &columns);) {
        evn_compare_row row;
        begin(page, to, &columns, "side", caption);
        if (main_rows)
            put_distances(page, to, &columns);
        for (size_t i = 0; evn_compare_told_row_at(i, &row); i++) {
            evn_compare_row_tell(&row, page->comparison);
            if ((row.main > 0) == main_rows && evn_compare_row_is_told(&row, page->comparison))
                put_row(page, to, &columns, &row);
        }
        end(to);
    }
}

/* ------------------------------------------------------------------------------------------------ what was found amiss
 */

static bool is_fault(const json_t *finding, const char *fault)
{
    const char *is = json_string_value(json_object_get(finding, "fault"));
    return !fault || (is && strcmp(is, fault) == 0);
}

static size_t finding_count(const json_t *findings, const char *fault)
{
    size_t index, count = 0;
    json_t *finding;
    json_array_foreach(findings, index, finding) count += is_fault(finding, fault);
    return count;
}

/* "truck.yaml:5:24: ", where it is of a file. */
static void put_file(FILE *to, const json_t *finding)
{
    static const char *const places[] = {"line", "column"};
    const char *file = json_string_value(json_object_get(finding, "file"));
    if (!file)
        return;
    evn_html_text(to, file);
    for (size_t k = 0; k < sizeof places / sizeof *places; k++)
        if (json_is_integer(json_object_get(finding, places[k])))
            fprintf(to, ":%" JSON_INTEGER_FORMAT, json_integer_value(json_object_get(finding, places[k])));
    fputs(": ", to);
}

/* The name that the files have for a truck at the head of a finding, as the page calls that truck. */
static void put_finding(const evn_html_page *page, FILE *to, const json_t *finding)
{
    const char *text = json_string_value(json_object_get(finding, "text"));
    put_file(to, finding);
    for (size_t i = 0; i < page->truck_count; i++) {
        size_t bytes = strlen(page->truck[i].name);
        if (strncmp(text, page->truck[i].name, bytes) == 0 && strncmp(text + bytes, ": ", 2) == 0) {
            evn_html_text(to, page->truck[i].title);
            text += bytes;
            break;
        }
    }
    evn_html_finding(to, text);
}

void evn_html_found(const evn_html_page *page, FILE *to, const char *fault)
{
    const json_t *findings = json_object_get(page->result, "findings");
    size_t index, count = finding_count(findings, fault);
    json_t *finding;
    if (count == 0)
        return;
    fprintf(to, "<details class=\"caution paper\"%s><summary>To be noted, %zu finding%s</summary><ul>",
            count <= EVN_HTML_TRUCKS_UNFOLDED || fault ? " open" : "", count, count == 1 ? "" : "s");
    json_array_foreach(findings, index, finding)
    {
        if (!is_fault(finding, fault))
            continue;
        fputs("<li>", to);
        put_finding(page, to, finding);
        fputs("</li>\n", to);
    }
    json_int_t left_out = json_integer_value(json_object_get(page->result, "findings_left_out"));
    if (left_out > 0 && !fault)
        fprintf(to, "<li>%" JSON_INTEGER_FORMAT " more are not listed</li>\n", left_out);
    fputs("</ul></details>\n", to);
}

/* ------------------------------------------------------------------------------------------------ what is demanded */

static bool demand_of(const evn_html_page *page, size_t truck, size_t index, evn_limits_verdict *out)
{
    return evn_limits_demand_at(evn_comparison_limits(page->comparison->comparison, truck), index, out);
}

/* What is demanded is alike for all; it stands with any truck that could be prepared. */
static bool any_demand(const evn_html_page *page, size_t index, evn_limits_verdict *out)
{
    for (size_t i = 0; i < page->truck_count; i++)
        if (demand_of(page, i, index, out))
            return true;
    return false;
}

static void put_verdict(const evn_html_page *page, FILE *to, size_t truck, size_t index)
{
    evn_limits_verdict is;
    if (!demand_of(page, truck, index, &is)) {
        fputs("<td>\u2013</td>", to);
        return;
    }
    fprintf(to, "<td class=\"words\"><strong>%s</strong><small class=\"words\">", is.met ? "yes" : "no");
    if (isfinite(is.value)) {
        fputs(is.beyond ? "&gt; " : "", to);
        evn_html_value(to, &is.what, is.value);
        fprintf(to, "&#160;%s", strcmp(is.what.unit, "s") == 0 ? "" : evn_html_unit(is.what.unit));
    }
    if (is.limit_label)
        fprintf(to, "%s%s", isfinite(is.value) ? ", " : "", is.limit_label);
    fputs("</small></td>", to);
}

static void put_demands(const evn_html_page *page, FILE *to)
{
    evn_limits_verdict is;
    if (!any_demand(page, 0, &is))
        return;
    for (evn_html_columns columns = {0}; evn_html_columns_next(page, &columns);) {
        begin(page, to, &columns, "side told", "What is demanded, whether it is done, and what binds");
        for (size_t k = 0; any_demand(page, k, &is); k++) {
            fputs("<tr><th scope=\"row\">", to);
            evn_html_words(to, is.what.label);
            fputs("</th>", to);
            for (size_t i = columns.from; i < columns.to; i++)
                put_verdict(page, to, i, k);
            fputs("</tr>\n", to);
        }
        end(to);
    }
}

static bool day_demand_of(const evn_html_page *page, size_t truck, size_t index, const char **season,
                          evn_day_demand *out)
{
    return evn_comparison_day_demand_at(page->comparison->comparison, truck, index, season, out);
}

static bool any_day_demand(const evn_html_page *page, size_t index, const char **season, evn_day_demand *out)
{
    for (size_t i = 0; i < page->truck_count; i++)
        if (day_demand_of(page, i, index, season, out))
            return true;
    return false;
}

static void put_day_value(FILE *to, const evn_day_demand *d, double value)
{
    evn_html_value(to, &d->what, value);
    fprintf(to, "&#160;%s", d->what.kind == EVN_SHARE ? "%" : evn_html_unit(d->what.unit));
}

static void put_day_verdict(const evn_html_page *page, FILE *to, size_t truck, size_t index)
{
    const char *season;
    evn_day_demand d;
    if (!day_demand_of(page, truck, index, &season, &d)) {
        fputs("<td>\u2013</td>", to);
        return;
    }
    fprintf(to, "<td class=\"words\"><strong>%s</strong><small class=\"words\">", d.met ? "yes" : "no");
    if (isfinite(d.value))
        put_day_value(to, &d, d.value);
    fputs("</small></td>", to);
}

static void put_day_demands(const evn_html_page *page, FILE *to)
{
    const char *season;
    evn_day_demand d;
    if (!any_day_demand(page, 0, &season, &d))
        return;
    for (evn_html_columns columns = {0}; evn_html_columns_next(page, &columns);) {
        begin(page, to, &columns, "side told", "What the duty demands of the day at own speeds");
        for (size_t k = 0; any_day_demand(page, k, &season, &d); k++) {
            fputs("<tr><th scope=\"row\">", to);
            evn_html_words(to, d.what.label);
            fputs(" at least ", to);
            put_day_value(to, &d, d.demanded);
            fputs(season ? ", season " : "", to);
            evn_html_text(to, season ? season : "");
            fputs("</th>", to);
            for (size_t i = columns.from; i < columns.to; i++)
                put_day_verdict(page, to, i, k);
            fputs("</tr>\n", to);
        }
        end(to);
    }
}

void evn_html_compared(const evn_html_page *page, FILE *to)
{
    put_demands(page, to);
    put_day_demands(page, to);
    evn_html_unfit(to, page->comparison->lineup, page->comparison->standing);
    put_rows(page, to, true);
    fputs("<details class=\"rows paper\"><summary>Further figures side by side</summary>\n", to);
    put_rows(page, to, false);
    fputs("</details>\n", to);
    evn_html_found(page, to, NULL);
}

/* ------------------------------------------------------------------------------------------------ energy balance */

#define BALANCE "energy_balance."

/* The line as any truck has it. */
static bool line_is_told(const evn_html_page *page, evn_basis basis, const evn_quantity *what)
{
    for (size_t i = 0; i < page->truck_count; i++) {
        double kwh = finished(page, i, basis) ? result(page, i, basis, what->key) : (double)NAN;
        if (isfinite(kwh) && !evn_looks_like_nothing(what->digits, kwh))
            return true;
    }
    return false;
}

static double line_change(const evn_html_page *page, size_t truck, evn_basis basis, const char *key)
{
    return evn_compare_line_change(page->comparison, truck, basis, key);
}

static void put_line(const evn_html_page *page, FILE *to, const evn_html_columns *columns, evn_basis basis,
                     const evn_quantity *what)
{
    fputs("<tr><th scope=\"row\">", to);
    evn_html_text(to, what->label);
    fputs("</th>", to);
    for (size_t i = columns->from; i < columns->to; i++) {
        double change = line_change(page, i, basis, what->key);
        fputs("<td>", to);
        if (isfinite(change)) {
            evn_html_change(to, what->digits, change);
            fputs("<small>", to);
        }
        evn_html_decimals(to, what->digits, finished(page, i, basis) ? result(page, i, basis, what->key) : (double)NAN);
        fputs(isfinite(change) ? "</small></td>" : "</td>", to);
    }
    fputs("</tr>\n", to);
}

/* Each line once, from whichever truck has it first. */
static bool line_at(const evn_html_page *page, evn_basis basis, size_t truck, size_t index, evn_quantity *what)
{
    evn_figures figures = evn_figures_of_results(evn_outcome_results(outcome_of(page, truck, basis)));
    double value;
    return evn_figures_at(&figures, index, what, &value);
}

static bool has_line(const evn_html_page *page, evn_basis basis, size_t before, const char *key)
{
    for (size_t i = 0; i < before; i++)
        if (isfinite(result(page, i, basis, key)))
            return true;
    return false;
}

typedef struct line {
    evn_quantity what;
    double gap; /* the largest difference of any truck, either way */
} line;

static double largest_gap(const evn_html_page *page, evn_basis basis, const char *key)
{
    double gap = 0;
    for (size_t i = 0; i < page->truck_count; i++)
        gap = fmax(gap, fabs(line_change(page, i, basis, key)));
    return gap;
}

/* The line with the largest difference first, as on the terminal; those alike in the order of the balance. */
static size_t take_lines(const evn_html_page *page, evn_basis basis, line taken[LINES_MOST])
{
    evn_quantity what;
    size_t count = 0;
    for (size_t i = 0; i < page->truck_count; i++)
        for (size_t k = 0; count < LINES_MOST && line_at(page, basis, i, k, &what); k++) {
            if (strncmp(what.key, BALANCE, strlen(BALANCE)) != 0 || has_line(page, basis, i, what.key) ||
                !line_is_told(page, basis, &what))
                continue;
            line one = {what, largest_gap(page, basis, what.key)};
            size_t at = count++;
            for (; at > 0 && taken[at - 1].gap < one.gap; at--)
                taken[at] = taken[at - 1];
            taken[at] = one;
        }
    return count;
}

static void put_lines(const evn_html_page *page, FILE *to, const evn_html_columns *columns, evn_basis basis)
{
    line taken[LINES_MOST];
    size_t count = take_lines(page, basis, taken);
    for (size_t k = 0; k < count; k++)
        put_line(page, to, columns, basis, &taken[k].what);
}

/* A result that some truck has. */
static void put_result(const evn_html_page *page, FILE *to, const evn_html_columns *columns, evn_basis basis,
                       const char *key)
{
    evn_quantity what;
    for (size_t i = 0; i < page->truck_count; i++)
        for (size_t k = 0; line_at(page, basis, i, k, &what); k++)
            if (strcmp(what.key, key) == 0) {
                put_line(page, to, columns, basis, &what);
                return;
            }
}

/* What all lines add up to, with what charging left in the battery. */
static void put_sum(const evn_html_page *page, FILE *to, const evn_html_columns *columns, evn_basis basis)
{
    fputs("</tbody><tbody class=\"sum\">", to);
    put_result(page, to, columns, basis, "charged_stored_kwh");
    put_result(page, to, columns, basis, "battery_kwh");
}

void evn_html_differ(const evn_html_page *page, FILE *to)
{
    evn_basis basis =
        evn_compare_finished_count(page->comparison, EVN_BASIS_COMMON) > 0 ? EVN_BASIS_COMMON : EVN_BASIS_OWN;
    char caption[CAPTION];
    if (evn_compare_finished_count(page->comparison, basis) == 0)
        return;
    put_caption(page, basis,
                basis == EVN_BASIS_COMMON ? "Where the energy goes, all at the common speed, kWh"
                                          : "Where the energy goes, each at its own speeds, kWh",
                caption);
    if (page->truck_count > EVN_HTML_TRUCKS_PARTED)
        fputs("<details class=\"paper\"><summary>Energy balance of every truck</summary>\n", to);
    for (evn_html_columns columns = {0}; evn_html_columns_next(page, &columns);) {
        begin(page, to, &columns, "side", caption);
        put_lines(page, to, &columns, basis);
        put_sum(page, to, &columns, basis);
        end(to);
    }
    if (page->truck_count > EVN_HTML_TRUCKS_PARTED)
        fputs("</details>\n", to);
}

/* ------------------------------------------------------------------------------------------------ likeness */

static void put_likeness_cell(const evn_html_page *page, FILE *to, size_t truck, size_t index,
                              const evn_likeness_row *row)
{
    evn_likeness is;
    if (!evn_compare_likeness(page->comparison, truck, index, &is)) {
        fputs("<td>\u2013</td>", to);
        return;
    }
    fputs(is.alike ? "<td>" : "<td><strong>", to);
    evn_html_value(to, &row->what, is.value);
    fputs(is.alike ? "" : "</strong>", to);
    if (row->at_speed && isfinite(is.at_km_h)) {
        fputs("<small>at ", to);
        evn_html_decimals(to, 0, is.at_km_h);
        fputs("&#160;km/h</small>", to);
    }
    fputs(is.alike ? "</td>" : "<small>not alike</small></td>", to);
}

/* "3 %" of the value of the truck that all are held against, "0.5 kg", "none" of a count; a dash where the row is told
 * only. */
static void put_tolerance(const evn_html_page *page, FILE *to, size_t index, const evn_likeness_row *row)
{
    evn_likeness is = {.judged = true};
    char number[32];
    evn_comparison_likeness_at(page->comparison->comparison, 0, index, &is);
    evn_format_exact(number, row->of_first ? 100 * row->tolerance : row->tolerance);
    fputs("<td>", to);
    if (!is.judged)
        evn_html_figure(to, "-");
    else if (row->tolerance == 0)
        fputs("none", to);
    else
        fprintf(to, "%s&#160;%s", number, row->of_first ? "%" : evn_html_unit(row->what.unit));
    fputs("</td>", to);
}

void evn_html_likeness(const evn_html_page *page, FILE *to)
{
    char caption[CAPTION];
    snprintf(caption, sizeof caption,
             "What trucks must have alike for a difference to be the layout's, each against %s",
             page->truck[evn_compare_alike_against(page->comparison)].title);
    evn_html_paragraphs(
        to, "",
        "Kerb mass, gears and ratios are the layout's own and no unlikeness. Tolerances in per cent are of "
        "the value of the truck that all are held against; a row without one is told, not judged. They are common "
        "practice, "
        "without a source.",
        0, 1);
    for (evn_html_columns columns = {0}; evn_html_columns_next(page, &columns);) {
        evn_likeness_row row;
        evn_html_table_begin(to, "side", caption);
        evn_html_head(page, to, &columns, "tolerance");
        fputs("<tbody>", to);
        for (size_t k = 0; evn_likeness_row_at(k, &row); k++) {
            fputs("<tr><th scope=\"row\"><span class=\"long\">", to);
            evn_html_heading(to, row.what.label, &row.what);
            fputs("</span><span class=\"short\">", to);
            evn_html_heading(to, row.what.short_label, &row.what);
            fputs("</span></th>", to);
            for (size_t i = columns.from; i < columns.to; i++)
                put_likeness_cell(page, to, i, k, &row);
            put_tolerance(page, to, k, &row);
            fputs("</tr>\n", to);
        }
        end(to);
    }
}

/* ------------------------------------------------------------------------------------------------ what the trucks are
 */

static void put_fact(const evn_html_page *page, FILE *to, size_t truck, size_t index)
{
    const evn_rig *rig = evn_comparison_rig(page->comparison->comparison, truck);
    evn_fact is;
    if (!rig || !evn_rig_fact_at(rig, index, &is)) {
        fputs("<td>\u2013</td>", to);
        return;
    }
    fputs(is.text ? "<td class=\"words\">" : "<td>", to);
    if (is.text)
        evn_html_text(to, is.text);
    else
        evn_html_value(to, &is.what, is.value);
    fputs("</td>", to);
}

static bool any_fact(const evn_html_page *page, size_t index, evn_fact *out)
{
    for (size_t i = 0; i < page->truck_count; i++) {
        const evn_rig *rig = evn_comparison_rig(page->comparison->comparison, i);
        if (rig && evn_rig_fact_at(rig, index, out))
            return true;
    }
    return false;
}

void evn_html_facts(const evn_html_page *page, FILE *to)
{
    for (evn_html_columns columns = {0}; evn_html_columns_next(page, &columns);) {
        evn_fact is;
        begin(page, to, &columns, "side told", "What each truck is, as it is read and loaded");
        for (size_t k = 0; any_fact(page, k, &is); k++) {
            fputs("<tr><th scope=\"row\">", to);
            evn_html_heading(to, is.what.label, &is.what);
            fputs("</th>", to);
            for (size_t i = columns.from; i < columns.to; i++)
                put_fact(page, to, i, k);
            fputs("</tr>\n", to);
        }
        end(to);
    }
}
