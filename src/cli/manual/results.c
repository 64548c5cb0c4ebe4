/* The manual page of results: every row, limit and trace column, and what changed of their names. */
#include "cli/manual/manual.h"
#include "cli/manual/troff.h"
#include "evener/keys.h"
#include "evener/traces.h"
#include "show/compare_rows.h"

static void put_line(const char *text, FILE *to)
{
    evn_troff_start(text, to);
    evn_troff_text(text, to);
    fputc('\n', to);
}

/* "energy consumption, kWh/km" */
static void put_label(const evn_quantity *what, FILE *to)
{
    evn_troff_text(what->label, to);
    if (what->unit[0] != '\0') {
        fputs(", ", to);
        evn_troff_text(what->unit, to);
    }
    fputc('\n', to);
}

/* "kwh_per_km: energy consumption, kWh/km" and what it means. */
static void put_quantities(const char *title, bool (*at)(size_t, evn_quantity *), FILE *to)
{
    fprintf(to, ".SH %s\n", title);
    evn_quantity what;
    for (size_t i = 0; at(i, &what); i++) {
        fputs(".TP\n\\fB", to);
        evn_troff_text(what.key, to);
        fputs("\\fR: ", to);
        put_label(&what, to);
        put_line(what.help, to);
    }
}

static void put_comparison_row(const evn_compare_row *row, FILE *to)
{
    char column[EVN_COMPARE_COLUMN];
    evn_compare_row_column(row, column, sizeof column);
    fputs(".TP\n\\fB", to);
    evn_troff_text(row->path, to);
    fputs("\\fR, CSV \\fB", to);
    evn_troff_text(column, to);
    fputs("\\fR: ", to);
    put_label(&row->what, to);
    put_line(row->what.help, to);
    fputs(evn_compare_row_is_text(row) ? "(a text" : "(decimals: ", to);
    if (!evn_compare_row_is_text(row))
        fprintf(to, "%d", row->what.digits);
    fputs("; stands behind: ", to);
    evn_troff_text(row->behind, to);
    fputs(")\n", to);
}

static void put_comparison_rows(FILE *to)
{
    evn_compare_row row;
    fputs(
        ".SH ROWS OF COMPARISONS\nWhat \\fBevener compare\\fR tells beside the short list of results: key in the JSON "
        "document of a truck, column of the CSV file, decimals, and behind which result the row stands.\n",
        to);
    for (size_t i = 0; evn_compare_row_beside(&i, &row);)
        put_comparison_row(&row, to);
    fputs(".PP\nIn the JSON document each truck has \\fBchanges\\fR, its differences against the truck that "
          "\\fBlikeness.against\\fR names, as they are told: by the keys of the rows, in per cent or in the unit of "
          "the row "
          "as its \\fBchange\\fR says; what may not be told is not there. \\fBline_changes\\fR has those of the lines "
          "of the "
          "energy balance, kWh, on both bases. \\fBanswer.brief\\fR is the answer in the short sentences of the page; "
          "\\fBreached.doubt\\fR is what leaves open whether a truck stops where it did, null for nothing.\n",
          to);
}

static void put_limits(FILE *to)
{
    const char *limit, *label;
    fputs(".SH LIMITS\nWhat may keep a truck below its target speed, as limited_by names it.\n", to);
    for (size_t i = 0; evn_limit_at(i, &limit, &label); i++) {
        fputs(".TP\n\\fB", to);
        evn_troff_text(limit, to);
        fputs("\\fR\n", to);
        put_line(label, to);
    }
}

static void put_renamed(FILE *to)
{
    evn_renaming is;
    fputs(".SH NAMES THAT CHANGED\nDocuments, kept files and tables of schema 1 bore other names. They are refused, "
          "and told "
          "what stands in their place; \\fBevener keep \\-\\-accept\\fR records a kept file anew.\n",
          to);
    for (size_t i = 0; evn_renamed_at(i, &is); i++) {
        fputs(".TP\n\\fB", to);
        evn_troff_text(is.before, to);
        fputs("\\fR (", to);
        evn_troff_text(is.of, to);
        fputs(")\nis now \\fB", to);
        evn_troff_text(is.now, to);
        fputs("\\fR\n", to);
    }
}

void evn_manual_of_results(FILE *to)
{
    fprintf(
        to,
        ".TH \"evener\\-results\" 1 \"\" \"evener %s\" \"evener\"\n.SH NAME\n"
        "evener\\-results \\- what a run comes to, row by row\n.SH DESCRIPTION\n"
        "Rows of reports, JSON documents, CSV files and pages, in the one order in which all of them tell them. NAME "
        "stands for the name of an axle or of a drive unit. Reports show the decimals that the data deserve; "
        "\\fB\\-\\-digits\\fR, JSON and CSV all that are computed.\n",
        evn_version());
    put_quantities("RESULTS", evn_result_row_at, to);
    put_comparison_rows(to);
    put_limits(to);
    put_quantities("TRACE COLUMNS", evn_trace_quantity_at, to);
    put_renamed(to);
    fputs(".SH SEE ALSO\nevener(1), evener\\-drive(1), evener\\-compare(1), evener\\-keep(1)\n", to);
}
