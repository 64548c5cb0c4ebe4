/* What the page has without scripts: the answer, tables, limits, how far to trust it, how it was made; and the places
 * of the charts. */
#define _POSIX_C_SOURCE 200809L
#include "evener/values.h"
#include "show/json_number.h"
#include "show/page/html_day.h"
#include "show/page/html_parts.h"
#include "show/page/html_payback.h"
#include "show/page/html_vary.h"
#include "show/text.h"
#include <math.h>
#include <string.h>

enum { ALL_LINES = 1000, PART_LINES = 4, LABEL = 96 };

static bool compares(const evn_html_page *page) { return page->comparison; }
static bool drives(const evn_html_page *page) { return page->cycle || page->day; }

static bool is_measured(const evn_html_page *page) { return page->coastdown || page->match; }

bool evn_html_bare(const evn_html_page *page) { return page->site || page->assess || page->vary || is_measured(page); }

/* What a page of costs or of verdicts rests on is driven too; NULL: it is neither. */
static const evn_lineup *lineup_of(const evn_html_page *page)
{
    return page->payback ? page->payback->lineup : page->assess ? page->assess->lineup : NULL;
}
static const evn_prices *prices_of(const evn_html_page *page)
{
    return page->payback ? page->payback->prices : page->assess ? page->assess->prices : NULL;
}
static bool drives_duty(const evn_html_page *page) { return page->day || evn_lineup_duty(lineup_of(page)); }
static bool drives_cycle(const evn_html_page *page) { return page->cycle || (page->payback && !drives_duty(page)); }

static void begin_section(FILE *to, const char *id, const char *title)
{
    fprintf(to, "<section id=\"%s\" aria-labelledby=\"%s-title\"><h2 id=\"%s-title\">%s</h2>\n", id, id, id, title);
}

static void end_section(FILE *to) { fputs("</section>\n", to); }

/* ------------------------------------------------------------------------------------------------ heading */

static double cycle_figure(const evn_html_page *page, const char *key)
{
    evn_figures cycle = evn_figures_of_cycle(page->cycle);
    return evn_figures_value(&cycle, key);
}

/* Unless the title says so. */
static void put_where(const evn_html_page *page, FILE *to)
{
    if (!compares(page) || !evn_lineup_name(page->comparison->lineup))
        return;
    fprintf(to, "%zu trucks over ", page->truck_count);
    if (page->day)
        evn_html_day_about(page, to);
    else
        evn_html_text(to, evn_cycle_name(page->cycle));
    fputs(", ", to);
}

static void put_over(const evn_html_page *page, FILE *to)
{
    bool invented = strcmp(page->day ? page->day->source : evn_cycle_source(page->cycle), "invented") == 0;
    if (page->cycle) {
        evn_html_decimals(to, 1, cycle_figure(page, "distance_km"));
        fputs("&#160;km, ", to);
    } else if (!compares(page)) {
        evn_html_day_about(page, to);
        fputs(", ", to);
    }
    fprintf(to, "%s driver", json_string_value(json_object_get(page->result, "driver")));
    if (invented)
        fputs(page->day ? ", invented duty" : ", invented scenario", to);
}

static void put_about(const evn_html_page *page, FILE *to)
{
    fputs("<p class=\"about\">", to);
    if (page->site) {
        fputs("Where it works: heights over the ground, room on the frame, and what decides", to);
    } else if (page->payback) {
        evn_html_payback_about(page, to);
    } else if (page->assess) {
        evn_html_assess_about(page, to);
    } else if (page->coastdown) {
        fputs("What holds a truck back, out of logs of coast-downs", to);
    } else if (page->match) {
        fputs("Held against a log of its drive", to);
    } else if (page->vary) {
        evn_html_vary_about(page, to);
    } else if (!drives(page)) {
        fputs(page->truck_count > 1 ? "What each starts on, climbs and holds downhill, and what binds it"
                                    : "What it can do before any route, and what binds it",
              to);
    } else {
        put_where(page, to);
        put_over(page, to);
    }
    fputs("</p>", to);
}

/* Where no ranking tells them. */
static void put_signs(const evn_html_page *page, FILE *to)
{
    fputs("<p class=\"tools\">", to);
    for (size_t i = 0; i < page->truck_count; i++)
        evn_html_truck_name(page, to, i);
    fputs("</p>", to);
}

static void put_header(const evn_html_page *page, FILE *to)
{
    fputs("<header><h1>", to);
    evn_html_text(to, page->title);
    fputs("</h1>", to);
    put_about(page, to);
    if (!drives(page) && page->truck_count > 1)
        put_signs(page, to);
    fputs("</header>\n", to);
}

static void put_contents(const evn_html_page *page, FILE *to)
{
    bool many = page->truck_count > EVN_HTML_TRUCKS_OPEN; /* of few the rest is near */
    if (!compares(page))
        return;
    fprintf(to, "<nav%s aria-label=\"Contents\">", many ? " class=\"many\"" : "");
    fputs(many ? "<a href=\"#answer\">Answer</a> " : "", to);
    if (page->comparison->causes)
        fputs("<a href=\"#why\">Why they differ</a> ", to);
    fputs("<a href=\"#differ\">Where the energy goes</a> <a href=\"#limits\">Limits</a> ", to);
    fputs(page->day ? "<a href=\"#day\">The day</a> " : "<a href=\"#route\">Route</a> ", to);
    fputs("<a href=\"#trucks\">Trucks</a> ", to);
    fputs(many ? "<a href=\"#likeness\">Like for like</a> " : "", to);
    if (page->comparison->uncertainty)
        fputs("<a href=\"#sure\">How sure</a> ", to);
    fputs(many ? "<a href=\"#trust\">Trust</a> <a href=\"#made\">How it was made</a></nav>\n" : "</nav>\n", to);
}

/* ------------------------------------------------------------------------------------------------ one run */

/* As the results themselves name it: masses of a day are means. */
static bool find_result(const evn_results *r, const char *key, evn_quantity *what, double *value)
{
    for (size_t k = 0; evn_results_at(r, k, what, value); k++)
        if (strcmp(what->key, key) == 0)
            return true;
    return false;
}

static void put_results(const evn_html_page *page, FILE *to)
{
    evn_quantity listed, what;
    double value;
    evn_html_table_begin(to, "results", "Results");
    fputs("<tbody>", to);
    for (size_t i = 0; evn_headline_at(i, &listed); i++) {
        if (!find_result(page->truck[0].results, listed.key, &what, &value))
            continue;
        fputs("<tr><th scope=\"row\">", to);
        evn_html_heading(to, what.label, &what);
        fputs("</th><td>", to);
        evn_html_value(to, &what, value);
        fputs("</td></tr>\n", to);
    }
    fputs("</tbody>", to);
    evn_html_table_end(to);
}

/* Of a document: {"text": ...} each. */
static void put_noted(const json_t *findings, FILE *to)
{
    size_t index;
    json_t *finding;
    if (json_array_size(findings) == 0)
        return;
    fputs("<div class=\"caution\"><p>To be noted:</p><ul>", to);
    json_array_foreach(findings, index, finding)
    {
        fputs("<li>", to);
        evn_html_finding(to, json_string_value(json_object_get(finding, "text")));
        fputs("</li>\n", to);
    }
    fputs("</ul></div>\n", to);
}

/* Of many that did not finish, how far each came and what stopped it: a line each above the folded paragraphs that say
 * why. */
static void put_how_far(const evn_html_page *page, FILE *to)
{
    fputs("<ul class=\"how-far\">\n", to);
    for (size_t i = 0; i < page->truck_count; i++) {
        evn_compare_reached is = evn_compare_reached_by(page->comparison, i);
        if (is.finished || !isfinite(is.distance_km))
            continue;
        fputs("<li>", to);
        evn_html_truck_name(page, to, i);
        fputs(": ", to);
        evn_html_decimals(to, 2, is.distance_km);
        if (isfinite(is.of_km)) {
            fputs(" of ", to);
            evn_html_decimals(to, 2, is.of_km);
        }
        fprintf(to, "&#160;km%s%s%s</li>\n", is.cause ? ", " : "", is.cause ? is.cause : "",
                is.doubt ? ", in doubt" : "");
    }
    fputs("</ul>\n", to);
}

/* A part of a comparison whose first line is its heading, and where the rest of it stands; many lines are folded, but
 * not who is overloaded: that may be the first of the ranking. */
static void put_part(const evn_html_page *page, FILE *to, evn_compare_part part, const char *class_name,
                     const char *behind)
{
    const char *lines = page->part[part];
    size_t count = evn_html_line_count(lines), heading = strcspn(lines, "\n");
    bool many = count > PART_LINES && part != EVN_PART_LOADS;
    if (count == 0)
        return;
    fprintf(to, "<div class=\"part %s\"><h2>", class_name);
    evn_html_words_of(to, lines, heading);
    fputs("</h2>\n", to);
    if (many && part == EVN_PART_ENDS)
        put_how_far(page, to);
    fputs(many ? "<details class=\"paper\"><summary>Truck by truck</summary>\n" : "", to);
    evn_html_paragraphs(to, "", lines, 1, ALL_LINES);
    fprintf(to, "%s%s</div>\n", many ? "</details>\n" : "", behind);
}

/* The second sentence of the answer says the most of it, and the table of likeness has all: folded, in one line. */
static void put_unlike(const evn_html_page *page, FILE *to)
{
    const char *lines = page->part[EVN_PART_ALIKE];
    if (evn_html_line_count(lines) == 0)
        return;
    fputs("<details class=\"part unlike\"><summary>", to);
    evn_html_words_of(to, lines, strcspn(lines, "\n"));
    fputs("</summary>\n", to);
    evn_html_paragraphs(to, "", lines, 1, ALL_LINES);
    fputs("<p><a class=\"target\" href=\"#likeness\">Values and tolerances</a></p></details>\n", to);
}

/* In the order in which the terminal tells them (report/compare_text.c). */
static void put_parts(const evn_html_page *page, FILE *to)
{
    put_part(page, to, EVN_PART_ENDS, "status", "");
    put_unlike(page, to);
    put_part(page, to, EVN_PART_LOADS, "caution loads", "");
    evn_html_compared(page, to);
    put_part(page, to, EVN_PART_WHY, "because",
             page->comparison->causes ? "<p><a class=\"target\" href=\"#why\">By causes</a></p>\n" : "");
    put_part(page, to, EVN_PART_CHANGE, "change", "");
}

static void put_verdict(const evn_html_page *page, FILE *to)
{
    if (compares(page))
        evn_html_ranked(page, to);
    fputs("<div class=\"verdict\">", to);
    evn_html_paragraphs(to, "", page->answer, drives(page) || page->site || is_measured(page) ? 0 : 1,
                        ALL_LINES); /* that of limits begins with the title */
    fputs("</div>\n", to);
    evn_html_paragraphs(to, "note", page->notes, 0, ALL_LINES);
}

static void put_answer(const evn_html_page *page, FILE *to)
{
    fputs("<section id=\"answer\" aria-label=\"The answer\">\n", to);
    if (page->payback)
        evn_html_payback_answer(page, to);
    else if (page->assess)
        evn_html_assess_answer(page, to);
    else if (page->vary)
        evn_html_vary_answer(page, to);
    else
        put_verdict(page, to);
    if (compares(page)) {
        put_parts(page, to);
        evn_html_day_seasons(page, to);
    } else if (drives(page)) {
        if (page->day)
            evn_html_day_answer(page, to);
        put_results(page, to);
    } else if (!page->site && !page->payback && !page->assess && !page->vary && !is_measured(page))
        evn_html_deciding(page, to);
    if (!compares(page))
        put_noted(json_object_get(page->result, "findings"), to);
    end_section(to);
}

/* ------------------------------------------------------------------------------------------------ what limited it */

/* What is told of one that did not finish ends where it stopped. */
static void put_short_of_end(const evn_html_page *page, FILE *to, size_t truck)
{
    evn_compare_reached is = evn_compare_reached_by(page->comparison, truck);
    if (is.finished || !isfinite(is.distance_km))
        return;
    fputs("<small class=\"words\">did not finish, ", to);
    evn_html_decimals(to, 2, is.distance_km);
    fputs("&#160;km", to);
    fputs("</small>", to);
}

static void put_limitation(const evn_html_page *page, FILE *to, size_t truck, size_t index, size_t rows,
                           const evn_limitation *is)
{
    fputs("<tr>", to);
    if (compares(page) && index == 0) {
        fprintf(to, "<th scope=\"rowgroup\" rowspan=\"%zu\">", rows);
        evn_html_truck_name(page, to, truck);
        put_short_of_end(page, to, truck);
        fputs("</th>", to);
    }
    fputs(compares(page) ? "<td class=\"words\">" : "<th scope=\"row\">", to);
    evn_html_text(to, is->label);
    if (compares(page) && evn_compare_limit_in_doubt(page->comparison, truck, EVN_BASIS_OWN, is))
        fputs(", in doubt", to);
    fputs(compares(page) ? "</td><td>" : "</th><td>", to);
    evn_html_duration(to, is->duration_s);
    fputs("</td><td>", to);
    evn_html_decimals(to, 2, is->at_m / 1000);
    const evn_day_phase *leg = page->day ? evn_html_day_leg_of(page->day, truck, is) : NULL;
    if (leg) {
        char name[EVN_PHASE_NAME_BYTES];
        fputs("<small class=\"words\">", to);
        evn_html_text(to, evn_phase_name(name, leg));
        fputs("</small>", to);
    }
    fputs("</td><td>", to);
    evn_html_decimals(to, 1, is->below_target_km_h);
    fputs("</td></tr>\n", to);
}

/* Limits come by how long they were the binding one: those at the end that show as no time are not told. */
static size_t told_limitations(const evn_results *results)
{
    size_t count = results ? evn_results_limitation_count(results) : 0;
    evn_limitation is;
    while (count > 0 && evn_results_limitation_at(results, count - 1, &is) && evn_looks_like_nothing(1, is.duration_s))
        count--;
    return count;
}

static size_t limitations(const evn_html_page *page, FILE *to)
{
    size_t all = 0;
    for (size_t i = 0; i < page->truck_count; i++) {
        const evn_results *results = page->truck[i].results;
        size_t rows = told_limitations(results);
        evn_limitation is;
        all += rows;
        for (size_t k = 0; to && k < rows && evn_results_limitation_at(results, k, &is); k++) {
            fputs(k == 0 && compares(page) ? "<tbody>" : "", to);
            put_limitation(page, to, i, k, rows, &is);
            fputs(k + 1 == rows && compares(page) ? "</tbody>" : "", to);
        }
    }
    return all;
}

static void put_free(const evn_html_page *page, FILE *to)
{
    const char *before = "<p>Target speed met everywhere: ";
    for (size_t i = 0; i < page->truck_count; i++) {
        const evn_results *results = page->truck[i].results;
        if (!results || told_limitations(results) > 0 || strcmp(evn_results_status(results), "finished") != 0)
            continue;
        fputs(before, to);
        evn_html_text(to, page->truck[i].title);
        before = ", ";
    }
    fputs(before[0] == ',' ? ".</p>\n" : "", to);
}

static void put_limits(const evn_html_page *page, FILE *to)
{
    begin_section(to, "limits", compares(page) ? "What limited them" : "What limited it");
    if (limitations(page, NULL) > 0) {
        evn_html_table_begin(to, "limits",
                             "How long each limit was the one that kept the truck below its target speed, by however "
                             "little, and where it was furthest below it");
        fputs(compares(page)
                  ? "<thead><tr><th scope=\"col\">truck</th><th scope=\"col\" class=\"words\">limited by</th>"
                  : "<thead><tr><th scope=\"col\">limited by</th>",
              to);
        fprintf(to,
                "<th scope=\"col\">time</th><th scope=\"col\">furthest below target at km%s</th><th scope=\"col\">by, "
                "km/h</th></tr></thead>\n",
                page->day ? " of its leg" : "");
        limitations(page, to);
        evn_html_table_end(to);
    }
    put_free(page, to);
    end_section(to);
}

/* ------------------------------------------------------------------------------------------------ the route */

static void put_route(const evn_html_page *page, FILE *to)
{
    static const char *const keys[] = {"distance_km",       "climb_m",           "descent_m",
                                       "max_grade_percent", "min_grade_percent", "stops"};
    evn_figures cycle = evn_figures_of_cycle(page->cycle);
    const char *before = "<p>";
    begin_section(to, "route", "The route");
    for (size_t k = 0; k < sizeof keys / sizeof *keys; k++) {
        evn_quantity what;
        double value;
        if (!evn_figures_find(&cycle, keys[k], &what, &value))
            continue;
        fputs(before, to);
        evn_html_text(to, what.label);
        fputc(' ', to);
        evn_html_value(to, &what, value);
        fprintf(to, "%s%s", what.unit[0] != '\0' ? "&#160;" : "", evn_html_unit(what.unit));
        /* the chart marks those on the way */
        fputs(strcmp(what.key, "stops") == 0 ? value > 1 ? ", of which one at the end" : ", at the end" : "", to);
        before = "; ";
    }
    fputs(before[0] == ';' ? ".</p>\n" : "", to);
    evn_html_place(to, "route");
    end_section(to);
}

static void put_day(const evn_html_page *page, FILE *to)
{
    begin_section(to, "day", "The day");
    evn_html_place(to, "day");
    evn_html_day_legs(page, to);
    end_section(to);
}

/* What was driven. */
static void put_driven(const evn_html_page *page, FILE *to)
{
    if (page->day)
        put_day(page, to);
    else
        put_route(page, to);
}

/* ------------------------------------------------------------------------------------------------ trust */

static void put_error(const evn_results *results, FILE *to)
{
    double error;
    char text[32];
    bool there = results && evn_results_get(results, "balance_error", &error);
    fputs("<td>", to);
    snprintf(text, sizeof text, "%.1e", there ? error : 0);
    evn_html_figure(to, there ? text : "-");
    fputs("</td>", to);
}

static void put_errors(const evn_html_page *page, FILE *to)
{
    evn_html_table_begin(
        to, "errors",
        "Balance error: what the energy balance leaves open, of all energy that went through the battery");
    fprintf(to, "<thead><tr><th scope=\"col\">truck</th><th scope=\"col\">%s</th>%s</tr></thead>\n<tbody>",
            compares(page) ? "own speeds"
            : page->day    ? "this day"
                           : "this run",
            compares(page) ? "<th scope=\"col\">common speed</th>" : "");
    for (size_t i = 0; i < page->truck_count; i++) {
        fputs("<tr><th scope=\"row\">", to);
        evn_html_truck_name(page, to, i);
        fputs("</th>", to);
        put_error(page->truck[i].results, to);
        if (compares(page))
            put_error(evn_outcome_results(evn_comparison_outcome(page->comparison->comparison, i, EVN_BASIS_COMMON)),
                      to);
        fputs("</tr>\n", to);
    }
    fputs("</tbody>", to);
    evn_html_table_end(to);
}

static void put_trust(const evn_html_page *page, FILE *to)
{
    size_t lines = evn_html_line_count(page->trust);
    begin_section(to, "trust", drives(page) ? "Accuracy and validity" : "What this rests on");
    if (lines > 1)
        evn_html_paragraphs(to, "", page->trust, 0, lines - 1);
    if (drives(page))
        put_errors(page, to);
    evn_html_paragraphs(to, "caution", page->trust, lines - 1, 1);
    end_section(to);
}

/* ------------------------------------------------------------------------------------------------ how it was made */

/* As a shell reads it. */
static void put_word(FILE *to, const char *word)
{
    static const char plain[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_./=:,+-";
    if (word[0] != '\0' && word[strspn(word, plain)] == '\0') {
        evn_html_text(to, word);
        return;
    }
    fputs("&#39;", to);
    for (const char *quote; (quote = strchr(word, '\'')); word = quote + 1) {
        char *before = strndup(word, (size_t)(quote - word));
        evn_html_text(to, before ? before : "");
        fputs("&#39;\\&#39;&#39;", to);
        free(before);
    }
    evn_html_text(to, word);
    fputs("&#39;", to);
}

/* The program by its name: where it stands is of no use to who reads. */
static const char *program_of(const char *word)
{
    const char *slash = strrchr(word, '/');
    return slash ? slash + 1 : word;
}

static void put_command(const evn_html_page *page, FILE *to)
{
    fputs("<pre>", to);
    for (const char *const *word = page->command; *word; word++) {
        fputs(word == page->command ? "" : " ", to);
        put_word(to, word == page->command ? program_of(*word) : *word);
    }
    fputs("</pre>\n", to);
}

static void put_fact(FILE *to, const char *name, const char *before, const char *text, const char *behind)
{
    fputs("<tr><th scope=\"row\">", to);
    evn_html_text(to, name);
    fputs("</th><td class=\"words hash\">", to);
    evn_html_text(to, before);
    evn_html_text(to, text);
    evn_html_text(to, behind);
    fputs("</td></tr>\n", to);
}

static void put_hashed(FILE *to, const char *kind, const char *of, const char *name, const char *hash)
{
    fputs("<tr><th scope=\"row\">", to);
    evn_html_text(to, kind);
    evn_html_text(to, of);
    fputs("</th><td class=\"words hash\">", to);
    evn_html_text(to, name);
    fprintf(to, ", %s</td></tr>\n", hash);
}

/* "wind_from_deg" as "wind from, deg"; what has no unit as words. */
static void asked_label(char *out, size_t size, const char *key)
{
    static const char *const ends[][2] = {{"_kg_m3", "kg/m3"}, {"_km_h", "km/h"},   {"_m_s2", "m/s2"},
                                          {"_m_s", "m/s"},     {"_1_s", "1/s"},     {"_degc", "degC"},
                                          {"_deg", "deg"},     {"_years", "years"}, {"_percent", "%"},
                                          {"_kg", "kg"},       {"_s", "s"},         {"_m", "m"}};
    size_t bytes = strlen(key);
    const char *unit = "";
    for (size_t k = 0; k < sizeof ends / sizeof *ends && unit[0] == '\0'; k++) {
        size_t end = strlen(ends[k][0]);
        if (bytes > end && strcmp(key + bytes - end, ends[k][0]) == 0) {
            unit = ends[k][1];
            bytes -= end;
        }
    }
    snprintf(out, size, "%.*s%s%s", (int)bytes, key, unit[0] != '\0' ? ", " : "", evn_html_unit(unit));
    for (size_t k = 0; k < bytes && k < size; k++)
        out[k] = out[k] == '_' ? ' ' : out[k];
}

/* What holds where nothing was asked (null in the document): as the keys of load case and driving have it. */
static const char *unasked(const char *key)
{
    static const char *const holds[][2] = {{"air_density_kg_m3", "by altitude and temperature"},
                                           {"temperature_degc", "of the standard atmosphere at this altitude"},
                                           {"wind_from_deg", "mean over all directions"},
                                           {"endurance_speed_km_h", "none"}};
    for (size_t k = 0; k < sizeof holds / sizeof *holds; k++)
        if (strcmp(holds[k][0], key) == 0)
            return holds[k][1];
    return "as the files say";
}

/* Load case and driving as the document has them. */
static void put_asked(const evn_html_page *page, FILE *to, const char *kind)
{
    const char *key;
    json_t *value;
    json_object_foreach(json_object_get(page->result, kind), key, value)
    {
        char number[32], label[LABEL];
        const char *text = number;
        if (json_is_number(value))
            evn_format_exact(number, json_number_value(value));
        else
            text = json_is_string(value) ? json_string_value(value)
                   : json_is_null(value) ? unasked(key)
                   : json_is_true(value) ? "true"
                                         : "false";
        asked_label(label, sizeof label, key);
        put_fact(to, label, "", text, "");
    }
}

/* Hashes of study, trucks and what they drove, as the store has them. */
static void put_studied(const evn_html_page *page, FILE *to)
{
    const char *key, *value, *version = evn_variants_fact(page->vary->variants, "version");
    if (strcmp(version ? version : "", evn_version()) != 0)
        put_hashed(to, "driven by", "", "evener", version ? version : "");
    for (size_t k = 0; evn_variants_fact_at(page->vary->variants, k, &key, &value); k++)
        if (strcmp(key, "study_hash") == 0)
            put_hashed(to, "study", "", page->title, value);
        else if (strcmp(key, "over_hash") == 0)
            put_hashed(to, "driven over", "", evn_variants_fact(page->vary->variants, "over"), value);
        else if (strncmp(key, "truck.", 6) == 0)
            put_hashed(to, "truck ", "", key + 6, value);
        else if (strcmp(key, "truck") == 0)
            put_hashed(to, "truck", "", "as its file has it", value);
}

/* What was driven, and the prices. */
static void put_priced(const evn_html_page *page, FILE *to)
{
    const evn_prices *prices = prices_of(page);
    char hash[EVN_HASH_BYTES];
    evn_lineup_over_hash(lineup_of(page), hash);
    put_hashed(to, drives_duty(page) ? "duty" : "cycle", "", evn_lineup_over(lineup_of(page)), hash);
    if (!prices)
        return;
    put_fact(to, "prices", "", evn_prices_name(prices), evn_prices_invented(prices) ? " (invented)" : "");
    if (evn_prices_source(prices))
        put_fact(to, "source of the prices", "", evn_prices_source(prices), "");
}

static void put_made(const evn_html_page *page, FILE *to)
{
    char hash[EVN_HASH_BYTES];
    begin_section(to, "made", "How this page was made");
    if (!page->coastdown)
        fprintf(
            to,
            "<p>Sixteen digits behind a truck%s are a hash of all values that count, defaults included: equal values, "
            "equal hash.</p>\n",
            drives_cycle(page)  ? " or the cycle"
            : drives_duty(page) ? " or the duty"
                                : "");
    put_command(page, to);
    evn_html_table_begin(to, "made", "What went in");
    fputs("<tbody>", to);
    put_fact(to, "program", "evener ", evn_version(), "");
    if (page->cycle) {
        evn_cycle_hash(page->cycle, hash);
        put_hashed(to, "cycle", "", evn_cycle_name(page->cycle), hash);
    }
    if (page->day)
        put_hashed(to, "duty", "", page->day->duty, page->day->hash);
    if (lineup_of(page))
        put_priced(page, to);
    if (page->vary)
        put_studied(page, to);
    for (size_t i = 0; i < page->truck_count; i++) {
        evn_truck_hash(page->truck[i].truck, hash);
        put_hashed(to, page->truck_count > 1 ? "truck " : "truck", page->truck_count > 1 ? page->truck[i].name : "",
                   evn_truck_name(page->truck[i].truck), hash);
    }
    put_asked(page, to, "load_case");
    put_asked(page, to, "driving");
    fputs("</tbody>", to);
    evn_html_table_end(to);
    fprintf(to, "<p class=\"about\">%sThe page asks for nothing from any network.</p>\n",
            evn_html_bare(page) ? "" : "Charts are drawn by ECharts (Apache-2.0). ");
    end_section(to);
}

/* ------------------------------------------------------------------------------------------------ the whole */

/* How it was found stands behind charts and tables. */
static void put_why(const evn_html_page *page, FILE *to)
{
    begin_section(to, "why", "Why they differ, by causes");
    evn_html_place(to, "why");
    evn_html_why(page, to);
    evn_html_paragraphs(to, "", page->part[EVN_PART_CAUSES], 0, ALL_LINES);
    end_section(to);
}

/* A section that is folded where there are many trucks. */
static void put_folded(const evn_html_page *page, FILE *to, const char *id, const char *title,
                       void (*put)(const evn_html_page *, FILE *))
{
    bool many = page->truck_count > EVN_HTML_TRUCKS_UNFOLDED;
    begin_section(to, id, title);
    fputs(many ? "<details class=\"paper\"><summary>Every truck</summary>\n" : "", to);
    put(page, to);
    fputs(many ? "</details>\n" : "", to);
    end_section(to);
}

/* What each is, and what it looks like where its file says so. */
static void put_trucks(const evn_html_page *page, FILE *to)
{
    evn_conditions ask = page->comparison->ask;
    evn_html_facts(page, to);
    evn_html_frames(page, to, &ask.load_case);
}

static void put_compared_sections(const evn_html_page *page, FILE *to)
{
    if (page->comparison->causes)
        put_why(page, to);
    begin_section(to, "differ", "Where the energy goes");
    evn_html_differ(page, to);
    evn_html_place(to, "differ");
    end_section(to);
    put_limits(page, to);
    put_driven(page, to);
    put_folded(page, to, "trucks", "The trucks", put_trucks);
    put_folded(page, to, "likeness", "Like for like", evn_html_likeness);
}

void evn_html_body(const evn_html_page *page, FILE *to)
{
    put_header(page, to);
    put_contents(page, to);
    put_answer(page, to);
    if (!evn_html_bare(page))
        fputs(
            "<p class=\"about\" id=\"plain\">Charts are drawn by a script in this page, which has not run; what stands "
            "here "
            "is whole without them.</p>\n",
            to);
    if (compares(page))
        put_compared_sections(page, to);
    else if (page->day) {
        put_driven(page, to);
        put_limits(page, to);
    } else if (page->cycle) {
        put_limits(page, to);
        put_driven(page, to);
    } else if (page->site)
        evn_html_site(page, to);
    else if (page->payback)
        evn_html_payback_sections(page, to);
    else if (page->assess)
        evn_html_assess_sections(page, to);
    else if (page->coastdown)
        evn_html_coastdown(page, to);
    else if (page->match)
        evn_html_match(page, to);
    else if (page->vary)
        evn_html_vary_sections(page, to);
    else
        evn_html_abilities(page, to);
    if (!evn_html_bare(page) && !page->payback)
        evn_html_place(to, "evidence");
    if (compares(page) && page->comparison->uncertainty)
        evn_html_sure(page, to);
    put_trust(page, to);
    put_made(page, to);
}
