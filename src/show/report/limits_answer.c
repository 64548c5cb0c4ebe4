/* The sentences that a report on limits begins and ends with. */
#define _POSIX_C_SOURCE 200809L
#include "show/ask.h"
#include "show/figures.h"
#include "show/report/limits_report.h"
#include "show/text.h"
#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ words */

void evn_limits_amount(const evn_limits_report *report, const evn_limits_figure *figure, double value,
                       char out[EVN_LIMITS_CELL])
{
    const evn_quantity *what = &figure->what;
    out[0] = '\0';
    if (isnan(value))
        return;
    if (strcmp(what->unit, "s") == 0 && !(report->look && report->look->all_digits)) {
        evn_format_duration(out, EVN_LIMITS_CELL, value);
        return;
    }
    const char *unit = evn_shown_unit(what);
    evn_format_value(out, EVN_LIMITS_CELL / 2, report->look, what, value);
    snprintf(out + strlen(out), EVN_LIMITS_CELL / 2, "%s%s", unit[0] != '\0' ? " " : "", unit);
}

void evn_limits_value(const evn_limits_report *report, const evn_limits_figure *figure, char out[EVN_LIMITS_CELL])
{
    static const char beyond[] = "more than ";
    char amount[EVN_LIMITS_CELL];
    evn_limits_figure told = *figure;
    if (told.beyond && told.value == rint(told.value)) /* a bound of the search, no figure with decimals */
        told.what.digits = 0;
    evn_limits_amount(report, &told, told.value, amount);
    if (amount[0] == '\0')
        snprintf(out, EVN_LIMITS_CELL, "none");
    else
        snprintf(out, EVN_LIMITS_CELL, "%s%.*s", told.beyond ? beyond : "", EVN_LIMITS_CELL - (int)sizeof beyond,
                 amount);
}

void evn_limits_paragraph(const evn_limits_report *report, evn_style style, const char *indent, const char *text)
{
    if (!report->look) {
        fprintf(report->to, "%s\n", text);
        return;
    }
    evn_style_begin(report->to, report->look, style);
    evn_put_paragraph_within(report->to, evn_look_prose(report->look), 0, indent, text);
    evn_style_end(report->to, report->look, style);
}

void evn_limits_heading(const evn_limits_report *report, const char *text)
{
    if (!report->look)
        return;
    fputc('\n', report->to);
    evn_put_styled(report->to, report->look, EVN_STYLE_STRONG, text);
    fputs("\n\n", report->to);
}

bool evn_limits_written(const evn_limits_report *report, evn_style style, const char *indent, evn_limits_writer *write,
                        size_t truck)
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    write(report, memory, truck);
    bool made = ferror(memory) == 0;
    made = fclose(memory) == 0 && made;
    if (made && text[0] != '\0')
        evn_limits_paragraph(report, style, indent, text);
    free(text);
    return made;
}

/* ------------------------------------------------------------------------------------------------ what decides */

/* The group that decides, figure by figure; false: no more. */
static bool deciding_at(const evn_limits *limits, size_t index, evn_limits_figure *out)
{
    for (size_t i = 0; evn_limits_at(limits, i, out); i++)
        if (strcmp(out->group, EVN_LIMITS_DECIDING) == 0 && index-- == 0)
            return true;
    return false;
}

static const evn_limits *first_found(const evn_limits_report *report)
{
    size_t i = 0;
    while (i + 1 < report->story->count && !report->story->truck[i].limits)
        i++;
    return report->story->truck[i].limits;
}

static void put_capital(FILE *to, const char *text)
{
    fprintf(to, "%c%s", toupper((unsigned char)text[0]), text[0] != '\0' ? text + 1 : "");
}

/* " central drive 18.93 % (limited by adhesion; next motor torque, 23.99 %)"; of one truck without its name. */
static void put_able(const evn_limits_report *report, FILE *to, size_t truck, const evn_limits_figure *f,
                     const char *verdict)
{
    char value[EVN_LIMITS_CELL], next[EVN_LIMITS_CELL];
    evn_limits_value(report, f, value);
    evn_limits_amount(report, f, f->next_value, next);
    fputc(' ', to);
    if (report->story->count > 1) {
        evn_put_safe(to, evn_limits_title(&report->story->truck[truck]));
        fputc(' ', to);
    }
    fprintf(to, "%s%s%s", verdict ? verdict : value, verdict ? " (" : f->limit ? " (" : "", verdict ? value : "");
    if (f->limit)
        fprintf(to, "%slimited by %s", verdict ? ", " : "", f->limit_label);
    if (f->next)
        fprintf(to, "; next %s%s%s", f->next_label, next[0] != '\0' ? ", " : "", next);
    fputs(verdict || f->limit ? ")" : "", to);
}

/* The truck of which a figure that decides is highest. */
static size_t highest(const evn_limits_report *report, size_t index)
{
    size_t best = 0;
    double most = -(double)INFINITY;
    evn_limits_figure f;
    for (size_t i = 0; i < report->story->count; i++)
        if (deciding_at(report->story->truck[i].limits, index, &f) && f.value > most) {
            best = i;
            most = f.value;
        }
    return best;
}

/* A figure that decides, of all trucks; where a table follows at once, as on a page, of the best of them. */
static void put_deciding(const evn_limits_report *report, FILE *to, size_t index)
{
    evn_limits_figure f;
    bool any = false, one = !report->look && report->story->count > 1;
    size_t best = highest(report, index);
    if (!deciding_at(first_found(report), index, &f))
        return;
    put_capital(to, f.row_label);
    fputs(one ? ": highest," : ":", to);
    for (size_t i = 0; i < report->story->count; i++)
        if ((!one || i == best) && deciding_at(report->story->truck[i].limits, index, &f)) {
            fputs(any ? "," : "", to);
            put_able(report, to, i, &f, NULL);
            any = true;
        }
    fputc('.', to);
}

static bool put_all_deciding(const evn_limits_report *report)
{
    bool made = true;
    evn_limits_figure f;
    evn_limits_verdict v;
    if (evn_limits_demand_at(first_found(report), 0, &v)) /* which speak of the same, and are told before */
        return true;
    for (size_t i = 0; made && deciding_at(first_found(report), i, &f); i++)
        made = evn_limits_written(report, EVN_STYLE_STRONG, "", put_deciding, i);
    return made;
}

/* ------------------------------------------------------------------------------------------------ demands */

/* A demand, of all trucks: whether each does it, what it can, and what binds. */
static void put_demand(const evn_limits_report *report, FILE *to, size_t index)
{
    evn_limits_verdict v;
    bool any = false;
    if (!evn_limits_demand_at(first_found(report), index, &v))
        return;
    put_capital(to, v.what.label);
    fputc(':', to);
    for (size_t i = 0; i < report->story->count; i++)
        if (evn_limits_demand_at(report->story->truck[i].limits, index, &v)) {
            const evn_limits_figure can = {.what = v.what,
                                           .value = v.value,
                                           .beyond = v.beyond,
                                           .limit = v.limit,
                                           .limit_label = v.limit_label,
                                           .next = v.next,
                                           .next_label = v.next_label,
                                           .next_value = v.next_value};
            fputs(any ? "," : "", to);
            put_able(report, to, i, &can, v.met ? "yes" : "no");
            any = true;
        }
    fputc('.', to);
}

/* The trucks that do, or that do not do, all that is demanded; false: none. */
static bool put_names(const evn_limits_report *report, FILE *to, bool does, const char *before)
{
    bool any = false;
    for (size_t i = 0; i < report->story->count; i++) {
        const evn_limits_truck *truck = &report->story->truck[i];
        if (!truck->limits || evn_limits_does_all(truck->limits) != does)
            continue;
        fputs(any ? ", " : before, to);
        evn_put_safe(to, evn_limits_title(truck));
        any = true;
    }
    return any;
}

static void put_judgement(const evn_limits_report *report, FILE *to, size_t unused)
{
    (void)unused;
    evn_limits_verdict v;
    if (!evn_limits_demand_at(first_found(report), 0, &v))
        return;
    if (report->story->count == 1) {
        fprintf(to, "It does %sall that is demanded.", evn_limits_does_all(first_found(report)) ? "" : "not do ");
        return;
    }
    bool any = put_names(report, to, true, "All that is demanded is done by ");
    put_names(report, to, false, any ? "; not by " : "None of ");
    fputs(any ? "." : " does all that is demanded.", to);
}

static bool put_demands(const evn_limits_report *report)
{
    evn_limits_verdict v;
    bool made = evn_limits_written(report, EVN_STYLE_STRONG, "", put_judgement, 0);
    for (size_t i = 0; made && evn_limits_demand_at(first_found(report), i, &v); i++)
        made = evn_limits_written(report, EVN_STYLE_STRONG, "", put_demand, i);
    return made;
}

/* ------------------------------------------------------------------------------------------------ the whole */

/* Of a truck that an interrupt left out. */
static void put_left_out(const evn_limits_report *report, FILE *to, size_t index)
{
    if (report->story->truck[index].limits)
        return;
    evn_put_safe(to, evn_limits_title(&report->story->truck[index]));
    fputs(": interrupted before its figures were found.", to);
}

static void put_subject(const evn_limits_report *report, FILE *to, size_t unused)
{
    (void)unused;
    const evn_limits_story *story = report->story;
    if (story->count > 1)
        fprintf(to, "%zu trucks: what they can do.", story->count);
    else {
        evn_put_safe(to, evn_truck_name(story->truck[0].truck));
        fputs(": what it can do.", to);
    }
}

static void put_asked(const evn_limits_report *report, FILE *to, size_t unused)
{
    (void)unused;
    evn_ask_words(&report->story->ask, to);
}

bool evn_limits_answer(const evn_limits_report *report)
{
    bool made = evn_limits_written(report, EVN_STYLE_STRONG, "", put_subject, 0) && put_demands(report) &&
                put_all_deciding(report);
    for (size_t i = 0; made && i < report->story->count; i++)
        made = evn_limits_written(report, EVN_STYLE_WARNING, "", put_left_out, i);
    return made && evn_limits_written(report, EVN_STYLE_PLAIN, "", put_asked, 0);
}

/* ------------------------------------------------------------------------------------------------ what it rests on */

static void put_load(const evn_limits_report *report, FILE *to, size_t unused)
{
    (void)unused;
    const evn_limits_story *story = report->story;
    fputs("Gross mass", to);
    for (size_t i = 0; i < story->count; i++) {
        evn_figures figures = evn_figures_of_rig(story->truck[i].rig);
        fputs(i > 0 ? "; " : story->count > 1 ? " of " : "", to);
        if (story->count > 1) {
            evn_put_safe(to, evn_limits_title(&story->truck[i]));
            fputc(':', to);
        }
        fprintf(to, " %.0f kg, of which %.0f kg payload", evn_figures_value(&figures, "masses.gross_kg"),
                evn_figures_value(&figures, "masses.payload_kg"));
    }
    fputs(".", to);
}

static void put_state(const evn_limits_report *report, FILE *to, size_t unused)
{
    (void)unused;
    double soc = report->story->ask.load_case.start_soc;
    fputs("Battery at the state of charge of the start, ", to);
    if (isnan(soc))
        fputs("as the truck file has it", to);
    else
        fprintf(to, "%.10g %%", 100 * soc);
    fputs("; motors, inverters and brakes as warm as at the start of a drive, but where a figure is one of heat. The "
          "ground is as the truck states it where no other is named.",
          to);
    if (report->story->only_forces)
        fputs(" Only what follows from forces: what heat, charge and time allow was not driven.", to);
}

static void put_invented(const evn_limits_report *report, FILE *to, size_t unused)
{
    (void)unused;
    bool any = false;
    for (size_t i = 0; i < report->story->count; i++)
        any = any || evn_truck_invented(report->story->truck[i].truck);
    if (any)
        fputs(report->story->count > 1 ? "Data of trucks are invented: they stand for no vehicle that exists."
                                       : "The data of the truck are invented: they stand for no vehicle that exists.",
              to);
}

bool evn_limits_trust(const evn_limits_report *report)
{
    static const char indent[] = "  ";
    evn_limits_heading(report, "What this rests on");
    bool made = evn_limits_written(report, EVN_STYLE_WARNING, indent, put_invented, 0) &&
                evn_limits_written(report, EVN_STYLE_PLAIN, indent, put_load, 0) &&
                evn_limits_written(report, EVN_STYLE_PLAIN, indent, put_state, 0);
    evn_limits_paragraph(report, EVN_STYLE_PLAIN, indent,
                         "The data of the parts, and the adhesion of the ground most of all, carry an uncertainty of "
                         "their own; --digits shows further digits, which are for comparing layouts.");
    char weather[EVN_ASK_WEATHER_BYTES];
    evn_limits_paragraph(report, EVN_STYLE_PLAIN, indent, evn_ask_weather(&report->story->ask, weather));
    evn_limits_paragraph(report, EVN_STYLE_PLAIN, indent,
                         "This is an engineering estimate, not a type approval. How a loaded vehicle is started on a "
                         "grade, taken downhill and braked is for local regulation, approved testing and licensed "
                         "practice to decide.");
    return made;
}
