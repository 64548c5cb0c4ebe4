/* Trucks in columns, and differences of the energy balance, line by line. */
#include "show/report/compare_report.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    CELL = EVN_COMPARE_CELL,
    NAME_COLUMNS = 20,
    NARROW = 70,
    NAME_COLUMNS_NARROW = 14,
    WIDE = 110,
    NAME_COLUMNS_WIDE = 40,
    TRUCKS = EVN_COMPARE_TRUCKS_MOST,
    LINES_MOST = 32,
    KEY = 64
};

static const char indent[] = "  ";

/* Those of a name above a column that is so wide anyway. */
static size_t name_columns(const evn_compare_report *report, size_t column)
{
    size_t most = report->width < NARROW ? NAME_COLUMNS_NARROW
                  : report->width < WIDE ? NAME_COLUMNS
                                         : NAME_COLUMNS_WIDE;
    return column > most ? column : most;
}

/* ------------------------------------------------------------------------------------------------ side by side */

/* Told in hours, minutes and seconds; with all digits a time is a number of seconds like any other. */
static bool is_time(const evn_compare_report *report, const evn_compare_row *row)
{
    return strcmp(row->what.unit, "s") == 0 && !report->look->all_digits;
}

/* Nothing of it is 0 to speak of, and a value is there. */
static void change_cell(const evn_compare_report *report, size_t truck, const evn_compare_row *row, char out[CELL])
{
    double change = evn_compare_row_change(row, report->story, truck);
    out[0] = '\0';
    if (!isfinite(change) || !evn_compare_row_counts(row, report->story, truck))
        return;
    if (row->change == EVN_CHANGE_PERCENT) {
        evn_format_change(out, CELL, evn_look_digits(report->look, 1), change);
        strcat(out, " %");
    } else if (is_time(report, row)) {
        evn_format_duration(out + 1, CELL - 1, change);
        out[0] = change >= 0.05 ? '+' : ' ';
        memmove(out, out + (out[0] == ' '), strlen(out + (out[0] == ' ')) + 1);
    } else {
        evn_format_change(out, CELL, evn_look_digits(report->look, row->what.digits),
                          evn_shown_value(&row->what, change));
    }
}

static void value_cell(const evn_compare_report *report, size_t truck, const evn_compare_row *row, char out[CELL])
{
    const char *text = evn_compare_row_text(row, report->story, truck);
    double value = evn_compare_row_value(row, report->story, truck);
    evn_limits_figure ability;
    if (!evn_compare_row_counts(row, report->story, truck))
        snprintf(out, CELL, "-");
    else if (text)
        snprintf(out, CELL, "%s%s", text, evn_compare_row_in_doubt(row, report->story, truck) ? ", in doubt" : "");
    else if (is_time(report, row))
        evn_format_duration(out, CELL, value);
    else if (evn_compare_row_is_text(row))
        snprintf(out, CELL, "-");
    else if (evn_compare_ability(row, report->story, truck, &ability) && ability.beyond)
        snprintf(out, CELL, "> %.*f", evn_look_digits(report->look, row->what.digits), value);
    else
        evn_format_value(out, CELL, report->look, &row->what, value);
}

/* A row of a label and two cells for each truck: by how much it differs from the one held against, and its value. */
static bool put_row(evn_wide_table *table, const evn_compare_report *report, const evn_compare_row *row)
{
    char label[CELL], value[TRUCKS][CELL], change[TRUCKS][CELL];
    const char *cells[1 + 2 * TRUCKS] = {label};
    evn_format_heading(label, CELL, report->look, row->what.short_label, &row->what);
    for (size_t i = 0; i < report->count; i++) {
        value_cell(report, i, row, value[i]);
        change_cell(report, i, row, change[i]);
        cells[1 + 2 * i] = change[i];
        cells[2 + 2 * i] = value[i];
    }
    return evn_wide_row(table, cells);
}

/* One of those told first; the others where all are asked for. */
static bool is_asked(const evn_compare_report *report, const evn_compare_row *row)
{
    return (row->main > 0 || report->story->all_rows) && evn_compare_row_is_told(row, report->story);
}

static bool put_rows(evn_wide_table *table, const evn_compare_report *report)
{
    evn_compare_row row;
    for (size_t i = 0; evn_compare_told_row_at(i, &row); i++) {
        evn_compare_row_tell(&row, report->story);
        if (is_asked(report, &row) && !put_row(table, report, &row))
            return false;
    }
    return true;
}

/* How each came to its end and how far it came, where one of them did not finish. */
static bool put_status(evn_wide_table *table, const evn_compare_report *report)
{
    char label[TRUCKS][CELL], distance[TRUCKS][CELL];
    const char *status[1 + 2 * TRUCKS] = {"status"}, *way[1 + 2 * TRUCKS] = {"distance covered, km"};
    for (size_t i = 0; i < report->count; i++) {
        evn_compare_reached reached = evn_compare_reached_by(report->story, i);
        evn_format_label(label[i], CELL, reached.status, "");
        evn_format_decimals(distance[i], CELL, evn_look_digits(report->look, 2), reached.distance_km);
        status[2 + 2 * i] = label[i];
        way[2 + 2 * i] = distance[i];
    }
    return evn_compare_finished_count(report->story, EVN_BASIS_OWN) == report->count ||
           (evn_wide_row(table, status) && evn_wide_row(table, way));
}

/* Columns of the widest value of a truck. */
static size_t widest_value(const evn_compare_report *report, size_t truck)
{
    size_t widest = 0;
    evn_compare_row row;
    for (size_t i = 0; evn_compare_row_at(i, &row); i++) {
        char cell[CELL];
        value_cell(report, truck, &row, cell);
        size_t columns = is_asked(report, &row) ? evn_text_columns(cell) : 0;
        widest = columns > widest ? columns : widest;
    }
    return widest;
}

bool evn_compare_side_by_side(const evn_compare_report *report)
{
    char name[TRUCKS][CELL];
    evn_table_column columns[1 + 2 * TRUCKS] = {{"", false, true}};
    for (size_t i = 0; i < report->count; i++) {
        evn_compare_short_name(report, i, name_columns(report, widest_value(report, i)), name[i]);
        columns[1 + 2 * i] = (evn_table_column){"", true, false};
        columns[2 + 2 * i] = (evn_table_column){name[i], true, false};
    }
    evn_wide_table *table = evn_wide_new(columns, 1, report->count, 2);
    bool made = table && put_status(table, report) && put_rows(table, report);
    if (made) {
        char heading[512];
        size_t against = evn_compare_alike_against(report->story);
        bool held = evn_compare_finished(report, against, EVN_BASIS_OWN);
        snprintf(heading, sizeof heading, "Side by side at their own speeds%s%.400s",
                 held ? "; differences against " : "", held ? report->name[against] : "");
        evn_compare_heading(report, heading);
        made = evn_wide_print(table, report->to, indent, report->width);
    }
    evn_wide_free(table);
    return made;
}

/* ------------------------------------------------------------------------------------------------ energy balance */

typedef struct line { /* of the energy balance, on one basis */
    char key[KEY];
    const char *label;
    int digits;
    double first_kwh, change_kwh[TRUCKS], largest_kwh;
} line;

typedef struct balance {
    line at[LINES_MOST];
    size_t count;
    double largest_kwh;
    size_t other[TRUCKS], others; /* trucks besides the first that finished */
} balance;

static bool starts_with(const char *text, const char *start) { return strncmp(text, start, strlen(start)) == 0; }

/* Differences of one key, of all trucks that have them. */
static void fill_line(const evn_compare_report *report, evn_basis basis, line *l)
{
    char key[KEY + 16];
    snprintf(key, sizeof key, "difference.%s", l->key);
    for (size_t i = 0; i < report->count; i++) {
        evn_figures differences = evn_compare_differences(report, i, basis);
        l->change_kwh[i] = evn_figures_value(&differences, key);
        l->largest_kwh = fmax(l->largest_kwh, fabs(l->change_kwh[i]));
    }
}

static int larger_first(const void *left, const void *right)
{
    const line *a = left, *b = right;
    if (a->largest_kwh != b->largest_kwh)
        return a->largest_kwh > b->largest_kwh ? -1 : 1;
    return strcmp(a->key, b->key);
}

/* Lines are those that have differences: of all trucks, also where the first lacks their part. */
static void gather(const evn_compare_report *report, evn_basis basis, balance *of)
{
    static const char group[] = "difference.";
    for (size_t i = 1; i < report->count; i++)
        if (evn_compare_finished(report, i, basis))
            of->other[of->others++] = i;
    if (of->others == 0)
        return;
    evn_figures results = evn_compare_results(report, 0, basis);
    evn_figures differences = evn_compare_differences(report, of->other[0], basis);
    size_t count = evn_figures_count(&differences);
    for (size_t i = 0; i < count && of->count < LINES_MOST; i++) {
        evn_quantity what, own;
        double value;
        if (!evn_figures_at(&differences, i, &what, &value) || !starts_with(what.key, "difference.energy_balance."))
            continue;
        line *l = &of->at[of->count++];
        *l = (line){.label = what.label, .digits = what.digits};
        snprintf(l->key, sizeof l->key, "%s", what.key + sizeof group - 1);
        if (!evn_figures_find(&results, l->key, &own, &l->first_kwh))
            l->first_kwh = 0;
        fill_line(report, basis, l);
        of->largest_kwh = fmax(of->largest_kwh, l->largest_kwh);
    }
    qsort(of->at, of->count, sizeof of->at[0], larger_first);
}

/* Columns on each side of the zero line: all that is left beside two trucks, a handful beside more. */
static unsigned bar_columns(const evn_compare_report *report, const balance *of)
{
    size_t taken = 48, room = report->width > taken ? (report->width - taken) / 2 : 0;
    return of->others == 1 && room > 6 ? (unsigned)(room < 24 ? room : 24) : 6;
}

static bool balance_row(evn_wide_table *table, const evn_compare_report *report, const balance *of, const line *l,
                        const char *label, double scale_kwh)
{
    char first[CELL], change[TRUCKS][CELL], bar[TRUCKS][4 * 49 + 8];
    const char *cells[2 + 2 * TRUCKS] = {label, first};
    int digits = evn_look_digits(report->look, l->digits);
    evn_format_decimals(first, sizeof first, digits, l->first_kwh);
    for (size_t i = 0; i < of->others; i++) {
        double change_kwh = l->change_kwh[of->other[i]];
        evn_format_change(change[i], CELL, digits, change_kwh);
        bar[i][0] = '\0';
        if (scale_kwh > 0)
            evn_format_change_bar(bar[i], sizeof bar[i], report->look, change_kwh / scale_kwh, bar_columns(report, of));
        cells[2 + 2 * i] = change[i];
        cells[3 + 2 * i] = bar[i];
    }
    return evn_wide_row(table, cells);
}

/* A result as it is told; none of trucks without it. */
static bool result_row(evn_wide_table *table, const evn_compare_report *report, const balance *of, evn_basis basis,
                       const char *key)
{
    evn_figures results = evn_compare_results(report, 0, basis);
    evn_quantity what;
    line row = {.label = NULL};
    snprintf(row.key, sizeof row.key, "%s", key);
    if (!evn_figures_find(&results, row.key, &what, &row.first_kwh))
        return true;
    row.digits = what.digits;
    fill_line(report, basis, &row);
    return balance_row(table, report, of, &row, what.label, 0);
}

/* What all lines add up to, with what charging left in the battery. */
static bool sum_row(evn_wide_table *table, const evn_compare_report *report, const balance *of, evn_basis basis)
{
    return result_row(table, report, of, basis, "charged_stored_kwh") &&
           result_row(table, report, of, basis, "battery_kwh");
}

static bool balance_rows(evn_wide_table *table, const evn_compare_report *report, const balance *of, char *alike,
                         size_t alike_size)
{
    for (size_t i = 0; i < of->count; i++) {
        const line *l = &of->at[i];
        size_t used = strlen(alike);
        if (evn_looks_like_nothing(l->digits, l->largest_kwh))
            snprintf(alike + used, alike_size - used, "%s%s", used > 0 ? ", " : "", l->label);
        else if (!balance_row(table, report, of, l, l->label, of->largest_kwh))
            return false;
    }
    return true;
}

/* Columns of the widest line of the first truck. */
static size_t widest_first(const evn_compare_report *report, const balance *of)
{
    size_t widest = 0;
    for (size_t i = 0; i < of->count; i++) {
        char cell[CELL];
        evn_format_decimals(cell, CELL, evn_look_digits(report->look, of->at[i].digits), of->at[i].first_kwh);
        size_t columns = evn_text_columns(cell);
        widest = columns > widest ? columns : widest;
    }
    return widest;
}

static evn_wide_table *balance_table(const evn_compare_report *report, const balance *of)
{
    char name[TRUCKS][CELL];
    evn_table_column columns[2 + 2 * TRUCKS] = {{"kWh", false, true}};
    size_t bars = 2 * (size_t)bar_columns(report, of) + 1;
    evn_compare_short_name(report, 0, name_columns(report, widest_first(report, of)), name[TRUCKS - 1]);
    columns[1] = (evn_table_column){name[TRUCKS - 1], true, false};
    for (size_t i = 0; i < of->others; i++) {
        evn_compare_short_name(report, of->other[i], name_columns(report, bars), name[i]);
        columns[2 + 2 * i] = (evn_table_column){"", true, false};
        columns[3 + 2 * i] = (evn_table_column){name[i], false, false};
    }
    return evn_wide_new(columns, 2, of->others, 2);
}

bool evn_compare_balance(const evn_compare_report *report, evn_basis basis)
{
    balance of = {.count = 0};
    char alike[LINES_MOST * KEY] = "", sentence[LINES_MOST * KEY + 64];
    if (!evn_compare_finished(report, 0, basis))
        return true;
    gather(report, basis, &of);
    if (of.others == 0)
        return true;
    evn_wide_table *table = balance_table(report, &of);
    bool made = table && balance_rows(table, report, &of, alike, sizeof alike) && sum_row(table, report, &of, basis);
    if (made) {
        evn_compare_heading(report, basis == EVN_BASIS_COMMON ? "Energy balance, all at the common speed"
                                                              : "Energy balance, each at its own speeds");
        made = evn_wide_print(table, report->to, indent, report->width);
    }
    evn_wide_free(table);
    if (made && alike[0] != '\0') {
        snprintf(sentence, sizeof sentence, "Alike: %s.", alike);
        fputc('\n', report->to);
        evn_compare_paragraph(report, EVN_STYLE_PLAIN, indent, sentence);
    }
    return made;
}
