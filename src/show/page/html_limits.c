/* Pages of limits without scripts: what is demanded, what decides, then the groups of figures, each with what binds it
 * and what would next. All of it is taken from the document. */
#include "show/page/html_parts.h"
#include <ctype.h>
#include <math.h>
#include <string.h>

#define DECIDING "deciding"

/* So many figures side by side fit a narrow window. */
enum { SIDE_BY_SIDE = 3, PATH = 128 };

static const char caption_below[] = "Each figure, below it what binds it and what would next";
static const char caption_beside[] = "Each figure, what binds it, and what would next";

/* ------------------------------------------------------------------------------------------------ the document */

static const char *text_of(const json_t *object, const char *key)
{
    const char *text = json_string_value(json_object_get(object, key));
    return text ? text : "";
}

static bool same_text(const json_t *a, const json_t *b, const char *key)
{
    return strcmp(text_of(a, key), text_of(b, key)) == 0;
}

static const json_t *rows_of(const evn_html_page *page) { return json_object_get(page->result, "rows"); }

/* The next row of a group from an index on; NULL: no more. */
static const json_t *next_row(const evn_html_page *page, const char *group, size_t *from)
{
    const json_t *row;
    while ((row = json_array_get(rows_of(page), (*from)++)))
        if (strcmp(text_of(row, "group"), group) == 0)
            return row;
    return NULL;
}

static bool has_rows(const evn_html_page *page, const char *group)
{
    size_t from = 0;
    return next_row(page, group, &from);
}

/* At a dotted key below the figures of a truck; NULL: it has none. */
static const json_t *figure_of(const evn_html_page *page, size_t truck, const json_t *row)
{
    const json_t *at = json_array_get(json_object_get(page->result, "trucks"), truck);
    char path[PATH];
    snprintf(path, sizeof path, "figures.%s", text_of(row, "key"));
    for (char *part = path, *dot; part && at; part = dot) {
        dot = strchr(part, '.');
        if (dot)
            *dot++ = '\0';
        at = json_object_get(at, part);
    }
    return json_is_object(at) ? at : NULL;
}

/* A limit that binds, as readers know it; NULL: none does. */
static const char *limit_of(const evn_html_page *page, const json_t *figure)
{
    const char *limit = json_string_value(json_object_get(figure, "limited_by"));
    const char *label =
        limit ? json_string_value(json_object_get(json_object_get(page->result, "limits"), limit)) : NULL;
    return label ? label : limit;
}

/* ------------------------------------------------------------------------------------------------ figures */

static void put_amount(FILE *to, const char *unit, int digits, double value)
{
    if (strcmp(unit, "s") == 0) {
        evn_html_duration(to, value);
        return;
    }
    evn_html_decimals(to, digits, value);
    if (unit[0] != '\0')
        fprintf(to, "&#160;%s", evn_html_unit(unit));
}

/* The bound of a search is no figure with decimals; words before a figure may break on a narrow screen. */
static void put_figure(FILE *to, const json_t *figure, const char *unit, int digits)
{
    const json_t *is = json_object_get(figure, "value");
    double value = json_number_value(is);
    if (!json_is_number(is)) {
        fputs("none", to);
        return;
    }
    if (!json_is_true(json_object_get(figure, "beyond"))) {
        put_amount(to, unit, digits, value);
        return;
    }
    fputs("<span class=\"words\">more than ", to);
    put_amount(to, unit, value == rint(value) ? 0 : digits, value);
    fputs("</span>", to);
}

static int digits_of(const json_t *row) { return (int)json_integer_value(json_object_get(row, "digits")); }

static void put_value(FILE *to, const json_t *figure, const json_t *row)
{
    put_figure(to, figure, text_of(row, "unit"), digits_of(row));
}

static bool has_next(const evn_html_page *page, const json_t *figure)
{
    return limit_of(page, json_object_get(figure, "next"));
}

static void put_next(const evn_html_page *page, FILE *to, const json_t *figure, const json_t *row)
{
    const json_t *next = json_object_get(figure, "next"), *value = json_object_get(next, "value");
    evn_html_text(to, limit_of(page, next));
    if (!json_is_number(value))
        return;
    fputs(", ", to);
    put_amount(to, text_of(row, "unit"), digits_of(row), json_number_value(value));
}

/* The figure, below it what binds it, and what would next. */
static void put_cell(const evn_html_page *page, FILE *to, size_t truck, const json_t *row)
{
    const json_t *figure = figure_of(page, truck, row);
    fputs("<td>", to);
    if (figure)
        put_value(to, figure, row);
    if (figure && limit_of(page, figure)) {
        fputs("<small class=\"words\">", to);
        evn_html_text(to, limit_of(page, figure));
        fputs("</small>", to);
    }
    if (figure && has_next(page, figure)) {
        fputs("<small class=\"words\">next ", to);
        put_next(page, to, figure, row);
        fputs("</small>", to);
    }
    fputs("</td>", to);
}

/* Of one truck, side by side: the figure with its range, what binds it, what would next. */
static void put_cells_of_one(const evn_html_page *page, FILE *to, const json_t *row)
{
    const json_t *figure = figure_of(page, 0, row), *low = json_object_get(figure, "low");
    if (!figure) {
        fputs("<td></td><td></td><td></td>", to);
        return;
    }
    fputs("<td>", to);
    put_value(to, figure, row);
    if (json_is_number(low)) {
        fputs("<small>", to);
        evn_html_decimals(to, digits_of(row), json_number_value(low));
        fputs(" to ", to);
        evn_html_decimals(to, digits_of(row), json_number_value(json_object_get(figure, "high")));
        fputs("</small>", to);
    }
    fputs("</td><td><span class=\"words\">", to);
    evn_html_text(to, limit_of(page, figure) ? limit_of(page, figure) : "");
    fputs("</span></td><td><span class=\"words\">", to);
    if (has_next(page, figure))
        put_next(page, to, figure, row);
    fputs("</span></td>", to);
}

/* ------------------------------------------------------------------------------------------------ tables */

static void begin_table(FILE *to, const char *class_name, const char *caption)
{
    fprintf(to,
            "<div class=\"scroll whole\" tabindex=\"0\" role=\"region\" aria-label=\"%s\"><table class=\"%s\">\n"
            "<caption><span>%s</span></caption>\n",
            caption, class_name, caption);
}

static void end_table(FILE *to)
{
    fputs("</tbody>", to);
    evn_html_table_end(to);
}

static void put_row_head(FILE *to, const json_t *row)
{
    fputs("<th scope=\"row\" title=\"", to);
    evn_html_text(to, text_of(row, "help"));
    fputs("\">", to);
    evn_html_text(to, text_of(row, "column_label"));
    fputs("</th>", to);
}

/* A line for each figure, below the label of its row. */
static void put_line(const evn_html_page *page, FILE *to, const evn_html_columns *columns, const json_t *row,
                     bool begins_row)
{
    size_t wide = page->truck_count > 1 ? columns->to - columns->from : 3;
    if (begins_row) {
        fprintf(to, "<tr class=\"row\"><th scope=\"rowgroup\" colspan=\"%zu\">", wide + 1);
        evn_html_text(to, text_of(row, "row_label"));
        fputs("</th></tr>\n", to);
    }
    fputs("<tr>", to);
    put_row_head(to, row);
    if (page->truck_count == 1)
        put_cells_of_one(page, to, row);
    for (size_t i = columns->from; page->truck_count > 1 && i < columns->to; i++)
        put_cell(page, to, i, row);
    fputs("</tr>\n", to);
}

static void begin_list(const evn_html_page *page, FILE *to, const evn_html_columns *columns, const char *caption)
{
    begin_table(to, "side abilities", caption);
    if (page->truck_count > 1)
        evn_html_head(page, to, columns, NULL);
    else
        fputs("<thead><tr><td></td><td></td><th scope=\"col\">limited by</th><th scope=\"col\">next limit, figure "
              "then</th></tr></thead>\n",
              to);
    fputs("<tbody>", to);
}

/* Of several trucks: each a column. */
static void put_list(const evn_html_page *page, FILE *to, const char *group, const char *caption)
{
    for (evn_html_columns columns = {0}; evn_html_columns_next(page, &columns);) {
        const json_t *row, *last = NULL;
        begin_list(page, to, &columns, caption);
        for (size_t from = 0; (row = next_row(page, group, &from)); last = row)
            put_line(page, to, &columns, row, !last || !same_text(row, last, "row"));
        end_table(to);
    }
}

/* ------------------------------------------------------------------------------------------------ one truck */

/* How many rows of the document, from an index on, belong to the same line of a group. */
static size_t line_length(const evn_html_page *page, size_t at)
{
    const json_t *first = json_array_get(rows_of(page), at), *row;
    size_t count = 1;
    while ((row = json_array_get(rows_of(page), at + count)) && same_text(row, first, "row") &&
           same_text(row, first, "group"))
        count++;
    return count;
}

/* Whether the line at another place has the same columns. */
static bool same_columns(const evn_html_page *page, size_t at, size_t other)
{
    size_t count = line_length(page, at);
    const json_t *there = json_array_get(rows_of(page), other);
    if (!there || !same_text(json_array_get(rows_of(page), at), there, "group") || line_length(page, other) != count)
        return false;
    for (size_t k = 0; k < count; k++)
        if (!same_text(json_array_get(rows_of(page), at + k), json_array_get(rows_of(page), other + k), "column"))
            return false;
    return true;
}

/* Lines with the same columns that follow each other: up to where. */
static size_t block_end(const evn_html_page *page, size_t at)
{
    size_t length = line_length(page, at), end = at + length;
    while (same_columns(page, at, end))
        end += length;
    return end;
}

static void put_grid(const evn_html_page *page, FILE *to, size_t at, size_t end)
{
    size_t length = line_length(page, at);
    begin_table(to, "side abilities", caption_below);
    fputs("<thead><tr><td></td>", to);
    for (size_t k = 0; k < length; k++) {
        fputs("<th scope=\"col\">", to);
        evn_html_text(to, text_of(json_array_get(rows_of(page), at + k), "column_label"));
        fputs("</th>", to);
    }
    fputs("</tr></thead>\n<tbody>", to);
    for (size_t k = at; k < end; k++) {
        const json_t *row = json_array_get(rows_of(page), k);
        if ((k - at) % length == 0) {
            fputs("<tr><th scope=\"row\">", to);
            evn_html_text(to, text_of(row, "row_label"));
            fputs("</th>", to);
        }
        put_cell(page, to, 0, row);
        fputs((k - at) % length + 1 == length ? "</tr>\n" : "", to);
    }
    end_table(to);
}

static void put_block(const evn_html_page *page, FILE *to, size_t at, size_t end)
{
    static const evn_html_columns one = {0, 1};
    const json_t *last = NULL;
    begin_list(page, to, &one, caption_beside);
    for (size_t k = at; k < end; k++) {
        const json_t *row = json_array_get(rows_of(page), k);
        put_line(page, to, &one, row, !last || !same_text(row, last, "row"));
        last = row;
    }
    end_table(to);
}

/* Blocks of lines with the same columns: where these are few they stand side by side. */
static void put_blocks(const evn_html_page *page, FILE *to, const char *group)
{
    size_t rows = json_array_size(rows_of(page));
    for (size_t at = 0, end; at < rows; at = end) {
        size_t length = line_length(page, at);
        end = block_end(page, at);
        if (strcmp(text_of(json_array_get(rows_of(page), at), "group"), group) != 0)
            continue;
        if (end > at + length && length <= SIDE_BY_SIDE)
            put_grid(page, to, at, end);
        else
            put_block(page, to, at, end);
    }
}

/* ------------------------------------------------------------------------------------------------ what is demanded */

static void put_verdict(const evn_html_page *page, FILE *to, const json_t *demand)
{
    const char *unit = text_of(demand, "unit"), *limit = limit_of(page, demand);
    fprintf(to, "<td><b>%s</b><small class=\"words\">", json_is_true(json_object_get(demand, "met")) ? "yes" : "no");
    put_figure(to, demand, unit, strcmp(unit, "%") == 0 ? 2 : 1);
    fputs(limit ? ", " : "", to);
    evn_html_text(to, limit ? limit : "");
    fputs("</small></td>", to);
}

static void put_demands(const evn_html_page *page, FILE *to)
{
    const json_t *answers = json_object_get(page->result, "answer"), *demand;
    const json_t *demands = json_object_get(json_array_get(answers, 0), "demands");
    if (json_array_size(demands) == 0)
        return;
    for (evn_html_columns columns = {0}; evn_html_columns_next(page, &columns);) {
        begin_table(to, "side", "What is demanded, whether it is done, and what binds");
        evn_html_head(page, to, &columns, NULL);
        fputs("<tbody>", to);
        for (size_t k = 0; (demand = json_array_get(demands, k)); k++) {
            fputs("<tr><th scope=\"row\">", to);
            evn_html_words(to, text_of(demand, "label"));
            fputs("</th>", to);
            for (size_t i = columns.from; i < columns.to; i++)
                put_verdict(page, to, json_array_get(json_object_get(json_array_get(answers, i), "demands"), k));
            fputs("</tr>\n", to);
        }
        end_table(to);
    }
}

/* ------------------------------------------------------------------------------------------------ the whole */

void evn_html_deciding(const evn_html_page *page, FILE *to)
{
    static const char caption[] = "What decides, with what binds and what would next";
    put_demands(page, to);
    if (has_rows(page, DECIDING) && page->truck_count > 1)
        put_list(page, to, DECIDING, caption);
    else if (has_rows(page, DECIDING)) {
        const json_t *row, *last = NULL;
        static const evn_html_columns one = {0, 1};
        begin_list(page, to, &one, caption);
        for (size_t from = 0; (row = next_row(page, DECIDING, &from)); last = row)
            put_line(page, to, &one, row, !last || !same_text(row, last, "row"));
        end_table(to);
    }
}

static void put_capital(FILE *to, const char *text, const char *behind)
{
    fputc(toupper((unsigned char)text[0]), to);
    evn_html_words(to, text[0] != '\0' ? text + 1 : text);
    fputs(behind, to);
}

/* A group of figures that any of the trucks has, with the place of its charts. */
static void put_group(const evn_html_page *page, FILE *to, const json_t *group)
{
    const char *id = text_of(group, "group");
    fprintf(to, "<section id=\"%s\" aria-labelledby=\"%s-title\"><h2 id=\"%s-title\">", id, id, id);
    put_capital(to, text_of(group, "title"), "</h2>\n<p>");
    put_capital(to, text_of(group, "help"), ".</p>\n");
    evn_html_place(to, id);
    if (page->truck_count > 1)
        put_list(page, to, id, caption_below);
    else
        put_blocks(page, to, id);
    fputs("</section>\n", to);
}

void evn_html_abilities(const evn_html_page *page, FILE *to)
{
    const json_t *groups = json_object_get(page->result, "groups"), *group;
    for (size_t k = 0; (group = json_array_get(groups, k)); k++) {
        const char *id = text_of(group, "group");
        if (strcmp(id, DECIDING) == 0 || !has_rows(page, id))
            continue;
        put_group(page, to, group);
        if (strcmp(id, "start") == 0)
            evn_html_place(to, "forces");
    }
}
