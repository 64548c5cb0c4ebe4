/* A comparison beside another lineup's: whether both say the same, and what makes the difference. */
#include "show/compare_sureness.h"
#include "show/names.h"
#include "show/report/compare_report.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = EVN_COMPARE_CELL, TRUCKS = EVN_COMPARE_TRUCKS_MOST, LINES_TOLD = 8, NAME_COLUMNS = 24 };

static const char indent[] = "  ";

/* ------------------------------------------------------------------------------------------------ sentences */

static void put_points(const evn_compare_report *report, FILE *to, double points)
{
    char text[CELL];
    evn_format_decimals(text, sizeof text, evn_look_digits(report->look, 1), points);
    fprintf(to, "%s", text);
}

static const evn_uncertainty *sureness_of(const evn_compare_report *report, evn_beside_side side)
{
    return side == EVN_BESIDE_HERE ? report->story->uncertainty : report->story->beside_uncertainty;
}

/* Nobody worked out how sure the differences are, though it was not left out on purpose. */
static bool is_open(const evn_compare_report *report, evn_beside_side side)
{
    return !sureness_of(report, side) && report->story->sure != EVN_SURE_OFF;
}

/* "electric axle is 2.3 points below central drive"; "central drive and electric axle cannot be told apart". */
static void put_lead(const evn_compare_report *report, FILE *to, evn_beside_side side, const evn_beside_verdict *v)
{
    if (evn_compare_beside_close(report->story, side, v)) {
        bool open = is_open(report, side);
        fprintf(to, "%s and %s %s", report->name[v->lowest], report->name[v->next],
                open ? "are left undecided" : "cannot be told apart");
        if (!open && !sureness_of(report, side))
            fprintf(to, ", less than %.1f points lying between them", EVN_BESIDE_CLOSE_POINTS);
        return;
    }
    fprintf(to, "%s is ", report->name[v->lowest]);
    put_points(report, to, v->lead_points);
    fprintf(to, " points below %s", report->name[v->next]);
}

/* Which line makes most of what moved of a truck against the first. */
static void put_most_moved(const evn_compare_report *report, FILE *to, size_t truck)
{
    evn_beside_line line;
    char here[CELL], there[CELL];
    if (!evn_beside_line_at(report->story->beside, truck, 0, &line))
        return;
    int digits = evn_look_digits(report->look, line.what.digits);
    evn_format_change(here, sizeof here, digits, line.difference_kwh_km[EVN_BESIDE_HERE]);
    evn_format_change(there, sizeof there, digits, line.difference_kwh_km[EVN_BESIDE_THERE]);
    fprintf(to, " What moved most of %s against %s: %s, from %s to %s kWh/km.", report->name[truck], report->name[0],
            line.what.label, here, there);
}

static void put_use_against_first(const evn_compare_report *report, FILE *to, double percent)
{
    put_points(report, to, fabs(percent));
    fprintf(to, " %% %s", percent < 0 ? "less" : "more");
}

/* "Against central drive electric axle uses 4.9 % less here, 3.8 % more there." */
static void put_turned(const evn_compare_report *report, FILE *to, size_t truck, const evn_beside_truck *is)
{
    fprintf(to, " Against %s %s uses ", report->name[0], report->name[truck]);
    put_use_against_first(report, to, is->percent[EVN_BESIDE_HERE]);
    fputs(" here, ", to);
    put_use_against_first(report, to, is->percent[EVN_BESIDE_THERE]);
    fputs(" there.", to);
}

/* Of each truck whose difference against the first turns round, and of those that are lowest where they differ. */
static void put_reasons(const evn_compare_report *report, FILE *to, const size_t lowest[2])
{
    bool differ = lowest[EVN_BESIDE_HERE] != lowest[EVN_BESIDE_THERE];
    evn_beside_truck is;
    for (size_t i = 1; evn_beside_truck_at(report->story->beside, i, &is); i++) {
        bool turned = evn_compare_beside_of_first(report->story, i, &is) == EVN_BESIDE_OTHER;
        if (turned)
            put_turned(report, to, i, &is);
        if (turned || (differ && (i == lowest[EVN_BESIDE_HERE] || i == lowest[EVN_BESIDE_THERE])))
            put_most_moved(report, to, i);
    }
}

/* What both say together. */
static void put_both(FILE *to, evn_beside_answer answer, bool close)
{
    if (close || answer == EVN_BESIDE_OPEN)
        fputs("at the common speed not both tell which truck is lowest. ", to);
    else
        fprintf(to, "%s truck is lowest at the common speed. ", answer == EVN_BESIDE_SAME ? "the same" : "another");
}

static void put_verdicts(const evn_compare_report *report, FILE *to)
{
    const evn_beside *beside = report->story->beside;
    evn_beside_verdict here, there;
    evn_beside_answer answer = evn_compare_beside_answer(report->story);
    if (answer == EVN_BESIDE_UNKNOWN || !evn_beside_verdict_of(beside, EVN_BESIDE_HERE, &here) ||
        !evn_beside_verdict_of(beside, EVN_BESIDE_THERE, &there)) {
        fputs("no verdict of both at the common speed, since not all of them finished.", to);
        return;
    }
    put_both(to, answer,
             evn_compare_beside_close(report->story, EVN_BESIDE_HERE, &here) ||
                 evn_compare_beside_close(report->story, EVN_BESIDE_THERE, &there));
    fputs("Here ", to);
    put_lead(report, to, EVN_BESIDE_HERE, &here);
    fputs("; there ", to);
    put_lead(report, to, EVN_BESIDE_THERE, &there);
    fputc('.', to);
    if (is_open(report, EVN_BESIDE_HERE) || is_open(report, EVN_BESIDE_THERE))
        fprintf(to,
                " How sure a difference is was not worked out, so no truck is called the lowest; --uncertainty "
                "first-order or --draws %d works it out.",
                EVN_DRAWS_USUAL);
    if (answer == EVN_BESIDE_OPEN)
        fputs(" In one of them the two cannot be told apart: these data do not decide.", to);
    else if (answer == EVN_BESIDE_OTHER)
        fputs(" Which is lowest hangs on what differs between the two lineups.", to);
    put_reasons(report, to, (const size_t[]){here.lowest, there.lowest});
}

/* "419 kW", "not known". */
static void put_data_value(const evn_compare_report *report, FILE *to, const evn_quantity *what, double value)
{
    char text[CELL];
    if (isnan(value)) {
        fputs("not known", to);
        return;
    }
    evn_format_decimals(text, sizeof text, evn_look_digits(report->look, what->digits), value);
    fprintf(to, "%s%s%s", text, what->unit[0] ? " " : "", what->unit);
}

static void put_other(const evn_compare_report *report, FILE *to, const evn_beside_data *data)
{
    fprintf(to, "%s of %s (", data->row.what.label, report->name[data->truck]);
    put_data_value(report, to, &data->row.what, data->value[EVN_BESIDE_HERE]);
    fputs(" here, ", to);
    put_data_value(report, to, &data->row.what, data->value[EVN_BESIDE_THERE]);
    fputs(" there)", to);
}

/* What else is other in the trucks there than what parts lose, and what is not: of the rows of likeness. */
static void put_data(const evn_compare_report *report, FILE *to)
{
    evn_beside_data data;
    for (int alike = 0; alike < 2; alike++) {
        bool any = false;
        for (size_t k = 0; evn_beside_data_at(report->story->beside, k, &data); k++) {
            if (data.alike != (alike == 1))
                continue;
            fputs(any ? ", " : alike ? "; alike: " : " Other there than here, beside what parts lose: ", to);
            if (alike)
                fputs(data.row.what.label, to);
            else
                put_other(report, to, &data);
            any = true;
        }
        if (!any && !alike)
            return;
    }
    fputc('.', to);
}

/* What the trucks there were given to be equal, as the answer tells it of those here. */
static void put_given_there(const evn_compare_report *report, FILE *to)
{
    evn_beside_truck is;
    bool any = false;
    for (size_t i = 1; evn_beside_truck_at(report->story->beside, i, &is); i++)
        if (evn_compare_put_given(report, to, any ? "; " : " Made equal there: ", i, &is.given[EVN_BESIDE_THERE]))
            any = true;
    if (any)
        fputc('.', to);
}

/* What differs among the trucks there beside their layouts is in the percentages there, as it would be here. */
static void put_unlike_there(const evn_compare_report *report, FILE *to)
{
    evn_beside_truck is;
    bool any = false;
    for (size_t i = 1; evn_beside_truck_at(report->story->beside, i, &is); i++)
        if (!is.alike[EVN_BESIDE_THERE]) {
            fprintf(to, "%s%s", any ? ", " : " There they are not like for like with the first: ", report->name[i]);
            any = true;
        }
    if (any)
        fputc('.', to);
}

static const char *name_of(const evn_compare_report *report)
{
    const char *name = evn_lineup_name(report->story->beside_lineup);
    return name ? name : "the other lineup";
}

void evn_compare_put_beside(const evn_compare_report *report, FILE *to)
{
    if (!report->story->beside)
        return;
    fputs("Beside ", to);
    evn_put_safe(to, name_of(report));
    fputs(": ", to);
    put_verdicts(report, to);
    put_data(report, to);
    put_given_there(report, to);
    put_unlike_there(report, to);
}

/* ------------------------------------------------------------------------------------------------ trucks */

/* Use of each truck and its difference against the first, on one side. */
static bool put_use(evn_wide_table *table, const evn_compare_report *report, evn_beside_side side, const char *where)
{
    const evn_compare_decides *by = evn_compare_decides_by(report->story);
    char label[CELL], value[TRUCKS][CELL], change[TRUCKS][CELL];
    const char *cells[1 + 2 * TRUCKS] = {label};
    snprintf(label, sizeof label, "%s, %s", where, by->unit);
    for (size_t i = 0; i < report->count; i++) {
        evn_beside_truck is = {.use = {(double)NAN, (double)NAN}, .percent = {(double)NAN, (double)NAN}};
        evn_beside_truck_at(report->story->beside, i, &is);
        evn_format_decimals(value[i], CELL, evn_look_digits(report->look, by->digits), is.use[side]);
        change[i][0] = '\0';
        if (i > 0 && isfinite(is.percent[side])) {
            evn_format_change(change[i], CELL, evn_look_digits(report->look, 1), is.percent[side]);
            strcat(change[i], " %");
        }
        cells[1 + 2 * i] = value[i];
        cells[2 + 2 * i] = change[i];
    }
    return evn_wide_row(table, cells);
}

/* The 90 % intervals of the differences, below them; nothing where none is known. */
static bool put_intervals(evn_wide_table *table, const evn_compare_report *report, evn_beside_side side)
{
    char interval[TRUCKS][CELL], low[CELL / 4], high[CELL / 4];
    const char *cells[1 + 2 * TRUCKS] = {"90 % interval"};
    int digits = evn_look_digits(report->look, 1);
    bool any = false;
    for (size_t i = 0; i < report->count; i++) {
        evn_beside_truck is;
        evn_sureness sure;
        interval[i][0] = '\0';
        if (evn_beside_truck_at(report->story->beside, i, &is) &&
            evn_compare_beside_sure(report->story, side, i, &is, &sure)) {
            evn_format_change(low, sizeof low, digits, sure.low_percent);
            evn_format_change(high, sizeof high, digits, sure.high_percent);
            snprintf(interval[i], sizeof interval[i], "%s to %s", low, high);
            any = true;
        }
        cells[1 + 2 * i] = "";
        cells[2 + 2 * i] = interval[i];
    }
    return !any || evn_wide_row(table, cells);
}

static bool put_trucks(const evn_compare_report *report)
{
    char name[TRUCKS][CELL];
    evn_table_column columns[1 + 2 * TRUCKS] = {{"", false, true}};
    for (size_t i = 0; i < report->count; i++) {
        evn_compare_short_name(report, i, NAME_COLUMNS, name[i]);
        columns[1 + 2 * i] = (evn_table_column){name[i], true, false};
        columns[2 + 2 * i] = (evn_table_column){"", true, false};
    }
    evn_wide_table *table = evn_wide_new(columns, 1, report->count, 2);
    bool made = table && put_use(table, report, EVN_BESIDE_HERE, "here") &&
                put_intervals(table, report, EVN_BESIDE_HERE) && put_use(table, report, EVN_BESIDE_THERE, "there") &&
                put_intervals(table, report, EVN_BESIDE_THERE) &&
                evn_wide_print(table, report->to, indent, report->width);
    evn_wide_free(table);
    return made;
}

/* ------------------------------------------------------------------------------------------------ lines */

static bool put_line(evn_wide_table *table, const evn_compare_report *report, const evn_beside_line *line)
{
    char here[CELL], there[CELL], moved[CELL];
    const char *cells[] = {line->what.label, here, there, moved};
    int digits = evn_look_digits(report->look, line->what.digits);
    evn_format_change(here, CELL, digits, line->difference_kwh_km[EVN_BESIDE_HERE]);
    evn_format_change(there, CELL, digits, line->difference_kwh_km[EVN_BESIDE_THERE]);
    evn_format_change(moved, CELL, digits, line->moved_kwh_km);
    return evn_wide_row(table, cells);
}

/* The lines of one truck that moved, the largest first. */
static bool put_lines(const evn_compare_report *report, size_t truck)
{
    evn_table_column columns[] = {
        {"kWh/km", false, true}, {"here", true, false}, {"there", true, false}, {"moved", true, false}};
    evn_wide_table *table = evn_wide_new(columns, 1, 1, 3);
    evn_beside_line line;
    bool made = table, any = false;
    for (size_t k = 0; made && k < LINES_TOLD && evn_beside_line_at(report->story->beside, truck, k, &line); k++) {
        if (evn_looks_like_nothing(line.what.digits, line.moved_kwh_km))
            break;
        made = put_line(table, report, &line);
        any = true;
    }
    if (made && any) {
        char sentence[2 * CELL + 64];
        snprintf(sentence, sizeof sentence, "%.100s against %.100s, what moved most:", report->name[truck],
                 report->name[0]);
        fputc('\n', report->to);
        evn_compare_paragraph(report, EVN_STYLE_PLAIN, indent, sentence);
        made = evn_wide_print(table, report->to, indent, report->width);
    }
    evn_wide_free(table);
    return made;
}

bool evn_compare_beside(const evn_compare_report *report)
{
    if (!report->story->beside)
        return true;
    char *name = evn_safe_text(name_of(report)), heading[512];
    if (!name)
        return false;
    snprintf(heading, sizeof heading, "Beside %.400s, at the common speed", name);
    free(name);
    evn_compare_heading(report, heading);
    bool made = put_trucks(report);
    for (size_t i = 1; made && i < report->count; i++)
        made = put_lines(report, i);
    return made;
}
