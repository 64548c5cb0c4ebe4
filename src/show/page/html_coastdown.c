/* Pages of coast-downs, without scripts: coefficients, forces and what is left of them as graphs, run by run. */
#include "show/page/html_graph.h"
#include "show/page/html_parts.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { WAYS = 2 }; /* out and back */

static void begin_section(FILE *to, const char *id, const char *title)
{
    fprintf(to, "<section id=\"%s\" aria-labelledby=\"%s-title\"><h2 id=\"%s-title\">%s</h2>\n", id, id, id, title);
}

/* ------------------------------------------------------------------------------------------------ tables */

static void put_cell(FILE *to, int digits, double value)
{
    fputs("<td>", to);
    evn_html_decimals(to, digits, value);
    fputs("</td>", to);
}

static void put_method(FILE *to, const evn_coastdown *c, evn_coastdown_method method, size_t row)
{
    evn_coastdown_figure f;
    evn_coastdown_figure_at(c, method, row, &f);
    put_cell(to, f.what.digits, f.value);
    fputs("<td>", to);
    if (!isnan(f.value)) {
        evn_html_decimals(to, f.what.digits, f.low);
        fputs(" to ", to);
        evn_html_decimals(to, f.what.digits, f.high);
    }
    fputs("</td>", to);
}

static void put_figures(FILE *to, const evn_coastdown *c)
{
    evn_coastdown_figure f;
    evn_html_table_begin(to, "results", "Coefficients, with intervals of 95 %");
    fputs("<thead><tr><th scope=\"col\"></th><th scope=\"col\">fit</th><th scope=\"col\">interval</th><th "
          "scope=\"col\">regression</th><th scope=\"col\">interval</th></tr></thead>\n<tbody>",
          to);
    for (size_t k = 0; evn_coastdown_figure_at(c, EVN_COASTDOWN_FIT, k, &f); k++) {
        if (isnan(f.value))
            continue;
        fputs("<tr><th scope=\"row\">", to);
        evn_html_heading(to, f.what.label, &f.what);
        fputs("</th>", to);
        put_method(to, c, EVN_COASTDOWN_FIT, k);
        put_method(to, c, EVN_COASTDOWN_REGRESSION, k);
        fputs("</tr>\n", to);
    }
    fputs("</tbody>", to);
    evn_html_table_end(to);
}

static const char *file_name(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

static void put_run(FILE *to, size_t number, const evn_coastdown_run *run)
{
    fprintf(to, "<tr><th scope=\"row\">%zu</th><td class=\"words\">", number);
    evn_html_text(to, file_name(run->file));
    fprintf(to, ", line&#160;%u</td><td class=\"words\">", run->line);
    if (run->refused) {
        fputs("left out: ", to);
        evn_html_words(to, run->why);
    } else
        fprintf(to, "%zu, %s", run->pair, run->back ? "back" : "out");
    fputs("</td><td>", to);
    evn_html_decimals(to, 1, run->from_km_h);
    fputs(" to ", to);
    evn_html_decimals(to, 1, run->to_km_h);
    fputs("</td>", to);
    put_cell(to, 1, run->duration_s);
    put_cell(to, 5, run->rolling);
    put_cell(to, 2, run->drag_area_m2);
    put_cell(to, 2, run->rms_km_h);
    fputs("</tr>\n", to);
}

static void put_runs(FILE *to, const evn_coastdown *c)
{
    evn_coastdown_run run;
    begin_section(to, "runs", "Run by run");
    evn_html_table_begin(to, "results", "Each run with the coefficients that fit it best by itself");
    fputs("<thead><tr><th scope=\"col\">run</th><th scope=\"col\" class=\"words\">begins at</th><th scope=\"col\" "
          "class=\"words\">pair</th><th scope=\"col\">km/h</th><th scope=\"col\">s</th><th scope=\"col\">rolling "
          "coefficient</th><th scope=\"col\">drag area, m²</th><th scope=\"col\">off the fit, km/h "
          "RMS</th></tr></thead>\n"
          "<tbody>",
          to);
    for (size_t k = 0; evn_coastdown_run_at(c, k, &run); k++)
        put_run(to, k + 1, &run);
    fputs("</tbody>", to);
    evn_html_table_end(to);
    fputs("</section>\n", to);
}

/* ------------------------------------------------------------------------------------------------ graphs */

typedef struct bands {
    double *speed_km_h, *force_n, *left_n, *fitted_n;
    size_t count;
} bands;

/* Of runs one way, in the order of the bands. */
static bool take_bands(const evn_coastdown *c, bool back, bands *out)
{
    evn_coastdown_band band;
    evn_coastdown_run run;
    size_t all = 0;
    while (evn_coastdown_band_at(c, all, &band))
        all++;
    double *room = malloc((4 * all + 1) * sizeof *room);
    *out = (bands){room, room + all, room + 2 * all, room + 3 * all, 0};
    for (size_t k = 0; room && k < all; k++) {
        evn_coastdown_band_at(c, k, &band);
        evn_coastdown_run_at(c, band.run, &run);
        if (run.back != back)
            continue;
        out->speed_km_h[out->count] = band.speed_km_h;
        out->force_n[out->count] = band.force_n;
        out->fitted_n[out->count] = band.fitted_n;
        out->left_n[out->count++] = band.force_n - band.fitted_n;
    }
    return room;
}

/* The law of the fit over speed, in the air of the test and without wind. */
enum { LAW_POINTS = 60 };
static void put_law(const evn_coastdown *c, double x[LAW_POINTS], double y[LAW_POINTS])
{
    evn_coastdown_told told;
    evn_coastdown_figure rolling_n, drag, rolling, with_speed;
    evn_coastdown_told_of(c, &told);
    evn_coastdown_figure_of(c, EVN_COASTDOWN_FIT, "rolling_n", &rolling_n);
    evn_coastdown_figure_of(c, EVN_COASTDOWN_FIT, "rolling_coefficient", &rolling);
    evn_coastdown_figure_of(c, EVN_COASTDOWN_FIT, "drag_n_s2_m2", &drag);
    bool grows = evn_coastdown_figure_of(c, EVN_COASTDOWN_FIT, "rolling_coefficient_s_m", &with_speed);
    for (size_t k = 0; k < LAW_POINTS; k++) {
        x[k] = told.to_km_h + (told.from_km_h - told.to_km_h) * (double)k / (LAW_POINTS - 1);
        double m_s = x[k] / 3.6, more = grows ? with_speed.value / rolling.value * m_s : 0;
        y[k] = rolling_n.value * (1 + more) + drag.value * m_s * m_s;
    }
}

static void put_graphs(FILE *to, const evn_coastdown *c)
{
    double law_x[LAW_POINTS], law_y[LAW_POINTS];
    bands way[WAYS];
    bool there = take_bands(c, false, &way[0]);
    there = take_bands(c, true, &way[1]) && there;
    put_law(c, law_x, law_y);
    begin_section(to, "forces", "Forces, and what is left of them");
    if (there) {
        const evn_html_series force[] = {
            {"runs out", EVN_HTML_DOTS, way[0].speed_km_h, way[0].force_n, way[0].count, 1},
            {"runs back", EVN_HTML_RINGS, way[1].speed_km_h, way[1].force_n, way[1].count, 2},
            {"the fit, without wind", EVN_HTML_LINE, law_x, law_y, LAW_POINTS, 3}};
        const evn_html_series left[] = {
            {"runs out", EVN_HTML_DOTS, way[0].speed_km_h, way[0].left_n, way[0].count, 1},
            {"runs back", EVN_HTML_RINGS, way[1].speed_km_h, way[1].left_n, way[1].count, 2}};
        evn_html_graph_put(&(evn_html_graph){"Force that slows the truck, band by band", "speed, km/h",
                                             "Force without grade, N", force, 3, true},
                           to);
        evn_html_graph_put(&(evn_html_graph){"Residuals: force of each band less that of the fit", "speed, km/h",
                                             "Force left, N", left, 2, false},
                           to);
    }
    fputs("</section>\n", to);
    free(way[0].speed_km_h);
    free(way[1].speed_km_h);
}

void evn_html_coastdown(const evn_html_page *page, FILE *to)
{
    put_figures(to, page->coastdown->coastdown);
    put_graphs(to, page->coastdown->coastdown);
    put_runs(to, page->coastdown->coastdown);
}
