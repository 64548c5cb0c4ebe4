/* Why the trucks differ, by causes, without scripts. */
#include "show/compare_causes.h"
#include "show/page/html_parts.h"
#include <math.h>
#include <string.h>

enum { CAPTION = 640, LINES_TOLD = 6 };

typedef struct told { /* the lineup whose causes are told: the page's, or the one beside it */
    const evn_compare_story *story;
    const char *where; /* before a caption: "" or "there, " */
} told;

static const evn_causes *causes_of(const told *of) { return of->story->causes; }

static const char *unit_of(const told *of) { return evn_compare_decides_by(of->story)->unit; }

static int digits_of(const told *of) { return evn_compare_part_digits(of->story); }

static size_t against(const told *of) { return evn_causes_against(causes_of(of)); }

static const char *title_of(const told *of, size_t truck) { return evn_lineup_truck_title(of->story->lineup, truck); }

static bool any_sure(const told *of, size_t truck)
{
    evn_cause_part part;
    for (size_t k = 0; evn_causes_part_at(causes_of(of), truck, k, &part); k++)
        if (part.sure)
            return true;
    return false;
}

static void put_head(const told *of, FILE *to, bool by_order, bool sure)
{
    fprintf(to, "<thead><tr><td></td><th scope=\"col\">%s</th><th scope=\"col\">%%</th>", evn_html_unit(unit_of(of)));
    if (by_order)
        fputs("<th scope=\"col\">by order, %</th>", to);
    if (sure)
        fputs("<th scope=\"col\">90&#160;% interval, %</th>", to);
    fputs("</tr></thead>\n<tbody>", to);
}

static void put_amount(const told *of, FILE *to, const char *name, double part, double percent)
{
    fputs("<tr><th scope=\"row\">", to);
    evn_html_text(to, name);
    fputs("</th><td>", to);
    evn_html_change(to, digits_of(of), part);
    fputs("</td><td>", to);
    evn_html_change(to, 1, percent);
    fputs("</td>", to);
}

/* ------------------------------------------------------------------------------------------------ causes */

/* As in the terminal: what rounds to nothing is nothing, for no verdict hangs on its sign. */
static void put_range(FILE *to, double low, double high)
{
    evn_html_change(to, 1, low);
    fputs(" to ", to);
    evn_html_change(to, 1, high);
}

static void put_part(const told *of, FILE *to, const evn_cause_part *part)
{
    char name[EVN_CAUSE_NAME_BYTES];
    evn_cause_name(part->causes, name);
    if (part->alike) {
        fputs("<tr><th scope=\"row\">", to);
        evn_html_text(to, name);
        fputs("</th><td colspan=\"4\" class=\"words\">alike</td></tr>\n", to);
        return;
    }
    put_amount(of, to, name, part->part, part->percent);
    fputs("<td>", to);
    put_range(to, part->least, part->most);
    if (part->sure) {
        fputs("</td><td>", to);
        put_range(to, part->low_percent, part->high_percent);
    }
    fputs("</td></tr>\n", to);
}

/* A line outside of the average. */
static void put_outside(const told *of, FILE *to, const evn_causes_pair *is, const char *name, double part)
{
    if (isnan(part))
        return;
    put_amount(of, to, name, part, 100 * part / fabs(is->first_parted));
    fputs("<td></td></tr>\n", to);
}

static void put_causes(const told *of, FILE *to, size_t truck, const evn_causes_pair *is)
{
    char caption[CAPTION];
    evn_cause_part part;
    bool sure = any_sure(of, truck);
    snprintf(caption, sizeof caption, "%s%.200s against %.200s at the common speed, by causes", of->where,
             title_of(of, truck), title_of(of, against(of)));
    evn_html_table_begin(to, "causes", caption);
    put_head(of, to, true, sure);
    for (size_t k = 0; evn_causes_part_at(causes_of(of), truck, k, &part); k++)
        put_part(of, to, &part);
    put_outside(of, to, is, "all of it", is->other_parted - is->first_parted);
    put_outside(of, to, is, "speed of the hybrids", evn_compare_lowered(is));
    put_outside(of, to, is, "own speeds", is->own_speed);
    fputs("</tbody>", to);
    evn_html_table_end(to);
}

/* ------------------------------------------------------------------------------------------------ the drivetrain */

static void put_lines(const told *of, FILE *to, size_t truck, size_t index, const evn_cause_part *part)
{
    evn_cause_line line[LINES_TOLD];
    char caption[CAPTION], name[EVN_CAUSE_NAME_BYTES];
    size_t count = evn_compare_largest_lines(causes_of(of), truck, index, line, LINES_TOLD);
    double left = part->part, left_percent = part->percent;
    snprintf(caption, sizeof caption, "%s%.200s: %s, by the lines of the energy balance that change most", of->where,
             title_of(of, truck), evn_cause_name(part->causes, name));
    evn_html_table_begin(to, "causes", caption);
    put_head(of, to, false, false);
    for (size_t k = 0; k < count; k++) {
        put_amount(of, to, line[k].what.label, line[k].part, line[k].percent);
        fputs("</tr>\n", to);
        left -= line[k].part;
        left_percent -= line[k].percent;
    }
    put_amount(of, to, "all other lines", left, left_percent);
    fputs("</tr>\n", to);
    fputs("</tbody>", to);
    evn_html_table_end(to);
}

static void put_laws(const told *of, FILE *to, size_t truck)
{
    char caption[CAPTION];
    evn_cause_law law;
    snprintf(caption, sizeof caption, "%s%.200s: one law at a time in %.200s, at its own ratios", of->where,
             title_of(of, truck), title_of(of, against(of)));
    evn_html_table_begin(to, "causes", caption);
    put_head(of, to, false, false);
    for (size_t k = 0; evn_causes_law_at(causes_of(of), truck, k, &law); k++) {
        if (law.found) {
            put_amount(of, to, law.label, law.part, law.percent);
        } else {
            fputs("<tr><th scope=\"row\">", to);
            evn_html_text(to, law.label);
            fputs("</th><td colspan=\"2\" class=\"words\">not exchanged: ", to);
            evn_html_text(to, law.why_not);
            fputs("</td>", to);
        }
        fputs("</tr>\n", to);
    }
    fputs("</tbody>", to);
    evn_html_table_end(to);
}

/* ------------------------------------------------------------------------------------------------ the section */

static void put_truck(const told *of, FILE *to, size_t truck)
{
    evn_causes_pair is;
    evn_cause_part part;
    size_t index;
    if (!evn_causes_pair_at(causes_of(of), truck, &is) || is.state != EVN_CAUSES_FOUND)
        return;
    put_causes(of, to, truck, &is);
    if (!evn_compare_drivetrain_part(causes_of(of), truck, &index, &part) || part.alike)
        return;
    put_lines(of, to, truck, index, &part);
    put_laws(of, to, truck);
}

static void put_lineup(const told *of, FILE *to)
{
    for (size_t i = 0; causes_of(of) && i < evn_lineup_truck_count(of->story->lineup); i++)
        put_truck(of, to, i);
}

void evn_html_why(const evn_html_page *page, FILE *to)
{
    const evn_compare_story there = evn_compare_story_there(page->comparison);
    put_lineup(&(told){page->comparison, ""}, to);
    put_lineup(&(told){&there, "there, "}, to);
}
