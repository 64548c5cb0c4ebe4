/* Pages of a site without scripts: drawings to scale, then the groups of figures, each with what decides it. */
#define _POSIX_C_SOURCE 200809L
#include "show/page/html_frame.h"
#include "show/page/html_parts.h"
#include "show/site_answer.h"
#include "show/site_plain.h"
#include "show/text.h"
#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { TEXT = 400, TRUCKS_MOST = 12 };

static void put_capital(FILE *to, const char *text)
{
    fputc(toupper((unsigned char)text[0]), to);
    evn_html_words(to, text[0] != '\0' ? text + 1 : text);
}

/* ------------------------------------------------------------------------------------------------ drawings */

/* Drawings need a load, and nothing else that is asked. NULL: none can be made, or, where only those are wanted that
 * are whole, something is not stated. */
static char *drawn(const evn_html_page *page, size_t truck, const evn_load_case *load_case, bool whole)
{
    char *text = NULL;
    size_t size = 0;
    evn_drawing *drawing = NULL;
    evn_report *aside = evn_report_new();
    bool made = aside && page->truck[truck].truck &&
                evn_drawing_of(page->truck[truck].truck, load_case, &drawing, aside) == EVN_DONE;
    FILE *memory = made && !(whole && evn_drawing_missing(drawing)) ? open_memstream(&text, &size) : NULL;
    if (memory) {
        evn_html_frame(memory, drawing);
        bool failed = ferror(memory) != 0;
        if (fclose(memory) != 0 || failed) {
            free(text);
            text = NULL;
        }
    }
    evn_drawing_free(drawing);
    evn_report_free(aside);
    return text;
}

/* Trucks that look alike to the last line share a drawing, which stands where the first of them would. */
static void put_frames(const evn_html_page *page, FILE *to, const evn_load_case *load_case, bool whole)
{
    char *of[TRUCKS_MOST] = {NULL};
    for (size_t i = 0; i < page->truck_count && i < TRUCKS_MOST; i++)
        of[i] = drawn(page, i, load_case, whole);
    for (size_t i = 0; i < page->truck_count && i < TRUCKS_MOST; i++) {
        if (!of[i])
            continue;
        fputs("<figure class=\"frame\"><figcaption>Frame: ", to);
        evn_html_truck_name(page, to, i);
        for (size_t k = i + 1; k < page->truck_count && k < TRUCKS_MOST; k++) {
            if (!of[k] || strcmp(of[i], of[k]) != 0)
                continue;
            fputs(", the same of ", to);
            evn_html_truck_name(page, to, k);
            free(of[k]);
            of[k] = NULL;
        }
        fprintf(to, "</figcaption>\n%s</figure>\n", of[i]);
        free(of[i]);
        of[i] = NULL;
    }
}

void evn_html_frames(const evn_html_page *page, FILE *to, const evn_load_case *load_case)
{
    put_frames(page, to, load_case, true);
}

/* ------------------------------------------------------------------------------------------------ figures */

static void put_amount(FILE *to, const evn_site_figure *f, double value)
{
    evn_html_decimals(to, f->what.digits, value);
    if (f->what.unit[0] != '\0')
        fprintf(to, "&#160;%s", evn_html_unit(f->what.unit));
}

static bool is_unknown(const evn_site_figure *f)
{
    static const char not_known[] = "not known";
    return isnan(f->value) && f->why && strncmp(f->why, not_known, sizeof not_known - 1) == 0;
}

/* Names of files' parts with spaces, as in the terminal. */
static void put_words(FILE *to, const char *text)
{
    char *words = evn_site_in_words(text);
    evn_html_text(to, words ? words : text);
    free(words);
}

/* What a figure is held against: of a payload the one that is asked for, which limits nothing. */
static const char *held_to(const evn_site_figure *f)
{
    return strcmp(f->group, "payload") == 0 ? "asked" : f->demanded ? "demanded" : "limit";
}

static void put_figure(FILE *to, const evn_site_figure *f, const char *why)
{
    if (isnan(f->value))
        fputs(is_unknown(f) ? "not known" : "none", to);
    else
        put_amount(to, f, f->value);
    if (!isnan(f->limit)) {
        fprintf(to, "<small class=\"words\">%s ", held_to(f));
        put_amount(to, f, f->limit);
        fputs(", margin ", to);
        fputs(f->margin > 0 ? "+" : "", to);
        put_amount(to, f, f->margin);
        fputs(f->margin < 0 ? ", not met</small>" : "</small>", to);
    }
    if (why) {
        fputs("<small class=\"words\">", to);
        put_words(to, isnan(f->value) ? evn_site_without_value(why) : why);
        fputs("</small>", to);
    }
}

static void put_cell(FILE *to, const evn_site *site, const evn_site_figure *row)
{
    evn_site_figure f;
    fputs("<td>", to);
    if (evn_site_get(site, row->what.key, &f))
        put_figure(to, &f, f.why);
    fputs("</td>", to);
}

static void put_line(const evn_html_page *page, FILE *to, const evn_html_columns *columns, const evn_site_figure *row)
{
    fputs("<tr><th scope=\"row\" title=\"", to);
    evn_html_text(to, row->what.help);
    fputs("\">", to);
    put_words(to, row->column_label);
    fputs("</th>", to);
    for (size_t i = columns->from; i < columns->to; i++)
        put_cell(to, page->site->truck[i].site, row);
    fputs("</tr>\n", to);
}

static void put_table(const evn_html_page *page, FILE *to, const evn_html_columns *columns, const evn_site_rows *rows,
                      const char *group)
{
    const char *row = NULL;
    static const char caption[] = "Each figure, below it its limit and what decides it";
    fprintf(to,
            "<div class=\"scroll whole\" tabindex=\"0\" role=\"region\" aria-label=\"%s\"><table class=\"side "
            "abilities\">\n<caption><span>%s</span></caption>\n",
            caption, caption);
    evn_html_head(page, to, columns, NULL);
    fputs("<tbody>", to);
    for (size_t k = 0; k < rows->count; k++) {
        const evn_site_figure *f = &rows->at[k];
        if (strcmp(f->group, group) != 0)
            continue;
        if (!row || strcmp(row, f->row) != 0) {
            fprintf(to, "<tr class=\"row\"><th scope=\"rowgroup\" colspan=\"%zu\">", columns->to - columns->from + 1);
            put_words(to, f->row_label);
            fputs("</th></tr>\n", to);
        }
        row = f->row;
        put_line(page, to, columns, f);
    }
    fputs("</tbody>", to);
    evn_html_table_end(to);
}

/* Sources of limits and laws, each once. */
static void put_sources(FILE *to, const evn_site_rows *rows, const char *group)
{
    for (size_t k = 0; k < rows->count; k++) {
        bool told = !rows->at[k].source || strcmp(rows->at[k].group, group) != 0;
        for (size_t i = 0; i < k && !told; i++)
            told = rows->at[i].source && strcmp(rows->at[i].source, rows->at[k].source) == 0 &&
                   strcmp(rows->at[i].group, group) == 0;
        if (told)
            continue;
        fputs("<p class=\"about\">Source: ", to);
        evn_html_words(to, rows->at[k].source);
        fputs(".</p>\n", to);
    }
}

static bool has_group(const evn_site_rows *rows, const char *group)
{
    bool has = false;
    for (size_t k = 0; k < rows->count; k++)
        has = has || strcmp(rows->at[k].group, group) == 0;
    return has;
}

static void put_group(const evn_html_page *page, FILE *to, const evn_site_rows *rows, const char *group,
                      const char *title, const char *help)
{
    if (!has_group(rows, group))
        return;
    fprintf(to, "<section id=\"%s\" aria-labelledby=\"%s-title\"><h2 id=\"%s-title\">", group, group, group);
    put_capital(to, title);
    fputs("</h2>\n<p>", to);
    put_capital(to, help);
    fputs(".</p>\n", to);
    for (evn_html_columns columns = {0}; evn_html_columns_next(page, &columns);)
        put_table(page, to, &columns, rows, group);
    put_sources(to, rows, group);
    fputs("</section>\n", to);
}

/* ------------------------------------------------------------------------------------------------ what decides */

static bool any_decides(const evn_html_page *page, size_t index)
{
    evn_site_figure f;
    char where[EVN_SITE_WHERE];
    bool any = false;
    for (size_t i = 0; i < page->truck_count; i++)
        any = any || evn_site_decides(page->site, index, page->site->truck[i].site, &f, where);
    return any;
}

static void put_deciding(const evn_html_page *page, FILE *to, const evn_html_columns *columns)
{
    static const char caption[] = "What decides, with the margin where a limit holds";
    evn_site_deciding row;
    evn_site_figure f;
    char where[EVN_SITE_WHERE];
    fprintf(to,
            "<div class=\"scroll whole\" tabindex=\"0\" role=\"region\" aria-label=\"%s\"><table class=\"side "
            "abilities decides\">\n<caption><span>%s</span></caption>\n",
            caption, caption);
    evn_html_head(page, to, columns, NULL);
    fputs("<tbody>", to);
    for (size_t k = 0; evn_site_deciding_at(k, &row); k++) {
        if (!any_decides(page, k))
            continue;
        fprintf(to, "<tr><th scope=\"row\">%s</th>", row.words);
        for (size_t i = columns->from; i < columns->to; i++) {
            fputs("<td>", to);
            if (evn_site_decides(page->site, k, page->site->truck[i].site, &f, where))
                put_figure(to, &f, where[0] != '\0' ? where : NULL);
            fputs("</td>", to);
        }
        fputs("</tr>\n", to);
    }
    fputs("</tbody>", to);
    evn_html_table_end(to);
}

void evn_html_site(const evn_html_page *page, FILE *to)
{
    const char *group, *title, *help;
    evn_site_rows rows;
    fputs("<section id=\"decides\" aria-labelledby=\"decides-title\"><h2 id=\"decides-title\">What decides</h2>\n", to);
    for (evn_html_columns columns = {0}; evn_html_columns_next(page, &columns);)
        put_deciding(page, to, &columns);
    fputs("</section>\n", to);
    fputs("<section id=\"frames\" aria-labelledby=\"frames-title\"><h2 id=\"frames-title\">The frame, to "
          "scale</h2>\n",
          to);
    put_frames(page, to, &page->site->ask.load_case, false);
    fputs("</section>\n", to);
    if (!evn_site_rows_of(page->site, &rows))
        return;
    for (size_t k = 0; evn_site_group_at(k, &group, &title, &help); k++)
        put_group(page, to, &rows, group, title, help);
    evn_site_rows_free(&rows);
}
