/* Trucks in columns, and where the energy goes, line by line. */
#include "show/report/compare_report.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    CELL = EVN_COMPARE_CELL,
    NAME_COLUMNS = 20,
    NARROW = 70,
    NAME_COLUMNS_NARROW = 12,
    TRUCKS = EVN_COMPARE_TRUCKS_MOST,
    LINES_MOST = 32,
    KEY = 64
};

#define COUNT(a) (sizeof(a) / sizeof *(a))

static const char indent[] = "  ";

static size_t name_columns(const evn_compare_report *report)
{
    return report->width < NARROW ? NAME_COLUMNS_NARROW : NAME_COLUMNS;
}

/* ------------------------------------------------------------------------------------------------ side by side */

typedef enum row_kind { PERCENT, CHANGE, DURATION, MASS, FORMULA, HELD_BY, HELD_FOR } row_kind;

typedef struct row {
    const char *label, *key;
    row_kind kind;
    evn_basis basis;
    int digits;
} row;

/* Around the results of the short list: what is known before anything drives, and what held each back. */
static const row rows_before[] = {
    {"gross mass, kg", "masses.gross_kg", MASS, EVN_BASIS_OWN, 0},
    {"own mass, kg", "masses.unladen_kg", MASS, EVN_BASIS_OWN, 0},
    {"payload, kg", "masses.payload_kg", MASS, EVN_BASIS_OWN, 0},
    {"wheel formula", "", FORMULA, EVN_BASIS_OWN, 0},
};
static const row rows_behind[] = {
    {"held back by", "", HELD_BY, EVN_BASIS_OWN, 0},
    {"for", "", HELD_FOR, EVN_BASIS_OWN, 0},
};

/* Per cent where a share says more than the difference: of what is consumed and of speeds. */
static row_kind kind_of(const evn_quantity *what)
{
    if (strcmp(what->unit, "s") == 0)
        return DURATION;
    return what->unit[0] == '\0' || strcmp(what->unit, "degC") == 0 ? CHANGE : PERCENT;
}

/* Nothing of it is 0 to speak of, and a value is there. */
static void change_cell(const evn_compare_report *report, size_t truck, const row *of, char out[CELL])
{
    char key[KEY];
    evn_figures differences = evn_compare_differences(report, truck, of->basis);
    bool percent = of->kind == PERCENT;
    snprintf(key, sizeof key, "%s.%s", percent ? "percent" : "difference", of->key);
    double change = evn_figures_value(&differences, key);
    out[0] = '\0';
    if (truck == 0 || !isfinite(change))
        return;
    if (of->kind == DURATION) {
        evn_format_duration(out + 1, CELL - 1, change);
        out[0] = change >= 0.05 ? '+' : ' ';
        memmove(out, out + (out[0] == ' '), strlen(out + (out[0] == ' ')) + 1);
    } else {
        evn_format_change(out, CELL, percent ? 1 : of->digits, change);
        if (percent)
            strcat(out, " %");
    }
}

static void held_cell(const evn_compare_report *report, size_t truck, row_kind kind, char out[CELL])
{
    evn_held held;
    snprintf(out, CELL, "-");
    if (!evn_compare_held(report, truck, &held))
        return;
    if (kind == HELD_BY)
        evn_format_label(out, CELL, held.limit, "");
    else
        evn_format_duration(out, CELL, held.seconds);
}

static void value_cell(const evn_compare_report *report, size_t truck, const row *of, char out[CELL])
{
    evn_figures rig = evn_figures_of_rig(evn_comparison_rig(report->story->comparison, truck));
    switch (of->kind) {
    case MASS:
        evn_format_decimals(out, CELL, 0, evn_figures_value(&rig, of->key));
        return;
    case FORMULA:
        snprintf(out, CELL, "%s", evn_truck_wheel_formula(evn_lineup_truck(report->story->lineup, truck)));
        return;
    case DURATION:
        evn_format_duration(out, CELL, evn_compare_result(report, truck, of->basis, of->key));
        return;
    case HELD_BY:
    case HELD_FOR:
        held_cell(report, truck, of->kind, out);
        return;
    case PERCENT:
    case CHANGE:
        break;
    }
    evn_format_decimals(out, CELL, of->digits, evn_compare_result(report, truck, of->basis, of->key));
}

/* A row of a label and two cells for each truck. */
static bool put_row(evn_wide_table *table, const evn_compare_report *report, const row *of)
{
    char value[TRUCKS][CELL], change[TRUCKS][CELL];
    const char *cells[1 + 2 * TRUCKS] = {of->label};
    for (size_t i = 0; i < report->count; i++) {
        value_cell(report, i, of, value[i]);
        change_cell(report, i, of, change[i]);
        cells[1 + 2 * i] = value[i];
        cells[2 + 2 * i] = change[i];
    }
    return evn_wide_row(table, cells);
}

static bool put_rows(evn_wide_table *table, const evn_compare_report *report, const row *of, size_t count)
{
    bool made = true;
    for (size_t k = 0; made && k < count; k++)
        made = put_row(table, report, &of[k]);
    return made;
}

/* One result; what is told on both bases has a row for each. */
static bool put_result(evn_wide_table *table, const evn_compare_report *report, const evn_quantity *what)
{
    char label[CELL];
    row of = {label, what->key, kind_of(what), EVN_BASIS_OWN, what->digits};
    if (strcmp(what->key, "kwh_per_km") == 0) {
        row both[] = {of, of};
        both[0].label = "kWh/km, own speeds";
        both[1].label = "kWh/km, common speed";
        both[1].basis = EVN_BASIS_COMMON;
        return put_rows(table, report, both, 2);
    }
    bool bare = of.kind == DURATION || what->unit[0] == '\0';
    snprintf(label, sizeof label, "%s%s%s", what->short_name, bare ? "" : ", ", bare ? "" : what->unit);
    return put_row(table, report, &of);
}

/* The short list, but for masses, which stand above it, and for yes and no. */
static bool put_results(evn_wide_table *table, const evn_compare_report *report)
{
    bool made = true;
    evn_quantity what;
    for (size_t i = 0; made && evn_headline_at(i, &what); i++)
        if (strcmp(what.unit, "kg") != 0 && what.kind != EVN_YES_NO)
            made = put_result(table, report, &what);
    return made;
}

/* How each came to its end, where one of them did not finish. */
static bool put_status(evn_wide_table *table, const evn_compare_report *report)
{
    char label[TRUCKS][CELL];
    const char *cells[1 + 2 * TRUCKS] = {"status"};
    bool all = true;
    for (size_t i = 0; i < report->count; i++) {
        const evn_outcome *own = evn_comparison_outcome(report->story->comparison, i, EVN_BASIS_OWN);
        evn_format_label(label[i], CELL, evn_outcome_status(own), "");
        cells[1 + 2 * i] = label[i];
        all = all && evn_compare_finished(report, i, EVN_BASIS_OWN);
    }
    return all || evn_wide_row(table, cells);
}

bool evn_compare_side_by_side(const evn_compare_report *report)
{
    char name[TRUCKS][CELL];
    evn_table_column columns[1 + 2 * TRUCKS] = {{"", false, true}};
    for (size_t i = 0; i < report->count; i++) {
        evn_compare_short_name(report, i, name_columns(report), name[i]);
        columns[1 + 2 * i] = (evn_table_column){name[i], true, false};
        columns[2 + 2 * i] = (evn_table_column){"", true, false};
    }
    evn_wide_table *table = evn_wide_new(columns, 1, report->count, 2);
    bool made = table && put_status(table, report) && put_rows(table, report, rows_before, COUNT(rows_before)) &&
                put_results(table, report) && put_rows(table, report, rows_behind, COUNT(rows_behind));
    if (made) {
        char heading[2 * CELL];
        snprintf(heading, sizeof heading, "Side by side, at their own speeds, and what is different from %s", name[0]);
        evn_compare_heading(report, heading);
        made = evn_wide_print(table, report->to, indent, report->width);
    }
    evn_wide_free(table);
    return made;
}

/* ------------------------------------------------------------------------------------------------ the ledger */

typedef struct line { /* of the ledger, on one basis */
    char key[KEY];
    const char *label;
    int digits;
    double first_kwh, change_kwh[TRUCKS], largest_kwh;
} line;

typedef struct ledger {
    line at[LINES_MOST];
    size_t count;
    double largest_kwh;
    size_t other[TRUCKS], others; /* trucks besides the first that finished */
} ledger;

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

static void gather(const evn_compare_report *report, evn_basis basis, ledger *of)
{
    evn_figures results = evn_compare_results(report, 0, basis);
    size_t count = evn_figures_count(&results);
    for (size_t i = 1; i < report->count; i++)
        if (evn_compare_finished(report, i, basis))
            of->other[of->others++] = i;
    for (size_t i = 0; i < count && of->count < LINES_MOST; i++) {
        evn_quantity what;
        double value;
        if (!evn_figures_at(&results, i, &what, &value) || !starts_with(what.key, "ledger."))
            continue;
        line *l = &of->at[of->count++];
        *l = (line){.digits = what.digits, .first_kwh = value};
        snprintf(l->key, sizeof l->key, "%s", what.key);
        fill_line(report, basis, l);
        of->largest_kwh = fmax(of->largest_kwh, l->largest_kwh);
    }
    qsort(of->at, of->count, sizeof of->at[0], larger_first);
}

static bool looks_like_nothing(int digits, double kwh)
{
    char shown[CELL];
    evn_format_decimals(shown, sizeof shown, digits, fabs(kwh));
    return strspn(shown, "0.") == strlen(shown);
}

/* Columns on each side of the zero line: all that is left beside two trucks, a handful beside more. */
static unsigned bar_columns(const evn_compare_report *report, const ledger *of)
{
    size_t taken = 48, room = report->width > taken ? (report->width - taken) / 2 : 0;
    return of->others == 1 && room > 6 ? (unsigned)(room < 24 ? room : 24) : 6;
}

static bool ledger_row(evn_wide_table *table, const evn_compare_report *report, const ledger *of, const line *l,
                       const char *label, double scale_kwh)
{
    char first[CELL], change[TRUCKS][CELL], bar[TRUCKS][4 * 49 + 8];
    const char *cells[2 + 2 * TRUCKS] = {label, first};
    evn_format_decimals(first, sizeof first, l->digits, l->first_kwh);
    for (size_t i = 0; i < of->others; i++) {
        double change_kwh = l->change_kwh[of->other[i]];
        evn_format_change(change[i], CELL, l->digits, change_kwh);
        bar[i][0] = '\0';
        if (scale_kwh > 0)
            evn_format_change_bar(bar[i], sizeof bar[i], report->look, change_kwh / scale_kwh, bar_columns(report, of));
        cells[2 + 2 * i] = change[i];
        cells[3 + 2 * i] = bar[i];
    }
    return evn_wide_row(table, cells);
}

/* What all lines add up to. */
static bool sum_row(evn_wide_table *table, const evn_compare_report *report, const ledger *of, evn_basis basis)
{
    line sum = {.key = "battery_kwh", .digits = 3, .first_kwh = evn_compare_result(report, 0, basis, "battery_kwh")};
    fill_line(report, basis, &sum);
    return ledger_row(table, report, of, &sum, "from the battery, net", 0);
}

static bool ledger_rows(evn_wide_table *table, const evn_compare_report *report, const ledger *of, char *alike,
                        size_t alike_size)
{
    for (size_t i = 0; i < of->count; i++) {
        const line *l = &of->at[i];
        char label[CELL];
        evn_format_label(label, sizeof label, l->key + strlen("ledger."), "kWh");
        size_t used = strlen(alike);
        if (looks_like_nothing(l->digits, l->largest_kwh))
            snprintf(alike + used, alike_size - used, "%s%s", used > 0 ? ", " : "", label);
        else if (!ledger_row(table, report, of, l, label, of->largest_kwh))
            return false;
    }
    return true;
}

static evn_wide_table *ledger_table(const evn_compare_report *report, const ledger *of)
{
    char name[TRUCKS][CELL];
    evn_table_column columns[2 + 2 * TRUCKS] = {{"kWh", false, true}};
    evn_compare_short_name(report, 0, name_columns(report), name[TRUCKS - 1]);
    columns[1] = (evn_table_column){name[TRUCKS - 1], true, false};
    for (size_t i = 0; i < of->others; i++) {
        evn_compare_short_name(report, of->other[i], name_columns(report), name[i]);
        columns[2 + 2 * i] = (evn_table_column){"", true, false};
        columns[3 + 2 * i] = (evn_table_column){name[i], false, false};
    }
    return evn_wide_new(columns, 2, of->others, 2);
}

bool evn_compare_ledger(const evn_compare_report *report, evn_basis basis)
{
    ledger of = {.count = 0};
    char alike[LINES_MOST * KEY] = "", sentence[LINES_MOST * KEY + 64];
    if (!evn_compare_finished(report, 0, basis))
        return true;
    gather(report, basis, &of);
    if (of.others == 0)
        return true;
    evn_wide_table *table = ledger_table(report, &of);
    bool made = table && ledger_rows(table, report, &of, alike, sizeof alike) && sum_row(table, report, &of, basis);
    if (made) {
        evn_compare_heading(report, basis == EVN_BASIS_COMMON ? "Where it goes, all at the common speed"
                                                              : "Where it goes, each at its own speeds");
        made = evn_wide_print(table, report->to, indent, report->width);
    }
    evn_wide_free(table);
    if (made && alike[0] != '\0') {
        snprintf(sentence, sizeof sentence, "No difference to speak of in: %s.", alike);
        fputc('\n', report->to);
        evn_compare_paragraph(report, EVN_STYLE_PLAIN, indent, sentence);
    }
    return made;
}
