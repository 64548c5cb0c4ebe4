/* The rows that results and traces have, the limits that may be named, and names that are others now, as tables. */
#include "evener/traces.h"
#include "show/compare_rows.h"
#include "show/keys_story.h"
#include "show/report/table.h"
#include "show/text.h"

static void put_heading(const char *text, FILE *to, const evn_look *look)
{
    evn_style_begin(to, look, EVN_STYLE_STRONG);
    evn_put_paragraph_within(to, evn_look_prose(look), 0, "", text);
    evn_style_end(to, look, EVN_STYLE_STRONG);
    fputc('\n', to);
}

static bool put_quantities(bool (*at)(size_t, evn_quantity *), FILE *to, const evn_look *look)
{
    static const evn_table_column columns[] = {
        {"key", false, true}, {"unit", false, false}, {"", false, true}, {"what it means", false, true}};
    evn_table *table = evn_table_new(columns, 4, true);
    bool made = table;
    evn_quantity what;
    for (size_t i = 0; made && at(i, &what); i++)
        made = evn_table_row(table, (const char *const[]){what.key, what.unit, what.label, what.help});
    made = made && evn_table_print(table, to, "  ", evn_look_width(look));
    evn_table_free(table);
    return made;
}

/* A row with its decimals, and behind which result it stands. */
static bool put_comparison_row(evn_table *table, const evn_compare_row *row)
{
    char column[EVN_COMPARE_COLUMN], digits[16];
    evn_compare_row_column(row, column, sizeof column);
    snprintf(digits, sizeof digits, "%d", row->what.digits);
    return evn_table_row(table, (const char *const[]){row->path, column, row->what.unit,
                                                      evn_compare_row_is_text(row) ? "" : digits, row->what.label,
                                                      row->behind, row->what.help});
}

static bool put_comparison_rows(FILE *to, const evn_look *look)
{
    static const evn_table_column columns[] = {{"key of JSON", false, true},
                                               {"column of CSV", false, true},
                                               {"unit", false, false},
                                               {"decimals", true, false},
                                               {"", false, true},
                                               {"stands behind", false, true},
                                               {"what it means", false, true}};
    evn_table *table = evn_table_new(columns, sizeof columns / sizeof *columns, true);
    bool made = table;
    evn_compare_row row;
    for (size_t i = 0; made && evn_compare_row_beside(&i, &row);)
        made = put_comparison_row(table, &row);
    made = made && evn_table_print(table, to, "  ", evn_look_width(look));
    evn_table_free(table);
    return made;
}

static bool put_limits(FILE *to, const evn_look *look)
{
    static const evn_table_column columns[] = {{"limit", false, true}, {"", false, true}};
    evn_table *table = evn_table_new(columns, 2, true);
    bool made = table;
    const char *limit, *label;
    for (size_t i = 0; made && evn_limit_at(i, &limit, &label); i++)
        made = evn_table_row(table, (const char *const[]){limit, label});
    made = made && evn_table_print(table, to, "  ", evn_look_width(look));
    evn_table_free(table);
    return made;
}

static bool put_renamed(FILE *to, const evn_look *look)
{
    static const evn_table_column columns[] = {{"before", false, true}, {"now", false, true}, {"of", false, true}};
    evn_table *table = evn_table_new(columns, 3, true);
    bool made = table;
    evn_renaming is;
    for (size_t i = 0; made && evn_renamed_at(i, &is); i++)
        made = evn_table_row(table, (const char *const[]){is.before, is.now, is.of});
    made = made && evn_table_print(table, to, "  ", evn_look_width(look));
    evn_table_free(table);
    return made;
}

bool evn_results_text(FILE *to, const evn_look *look)
{
    put_heading("Results: the short list, further ones, the energy balance, axles, drive units", to, look);
    bool made = put_quantities(evn_result_row_at, to, look);
    fputc('\n', to);
    put_heading("Rows of comparisons, beside the short list", to, look);
    made = made && put_comparison_rows(to, look);
    fputc('\n', to);
    put_heading("Limits that limited_by names", to, look);
    made = made && put_limits(to, look);
    fputc('\n', to);
    put_heading("Columns of a trace", to, look);
    made = made && put_quantities(evn_trace_quantity_at, to, look);
    fputc('\n', to);
    put_heading("Names of documents and files of schema 1, and what stands in their place", to, look);
    return made && put_renamed(to, look);
}
