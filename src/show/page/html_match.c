/* Pages of a truck held against a log, without scripts: tables, and log and run over each other as graphs. */
#include "show/page/html_graph.h"
#include "show/page/html_parts.h"
#include <math.h>
#include <stdlib.h>

static void begin_section(FILE *to, const char *id, const char *title)
{
    fprintf(to, "<section id=\"%s\" aria-labelledby=\"%s-title\"><h2 id=\"%s-title\">%s</h2>\n", id, id, id, title);
}

static void put_cell(FILE *to, int digits, double value)
{
    fputs("<td>", to);
    evn_html_decimals(to, digits, value);
    fputs("</td>", to);
}

static void put_name(FILE *to, const evn_quantity *what)
{
    fputs("<tr><th scope=\"row\">", to);
    evn_html_heading(to, what->label, what);
    fputs("</th>", to);
}

/* ------------------------------------------------------------------------------------------------ tables */

static void put_errors(FILE *to, const evn_match *m)
{
    evn_match_error e;
    evn_html_table_begin(to, "results", "Row by row: means, and the run less the log");
    fputs("<thead><tr><th scope=\"col\"></th><th scope=\"col\">log</th><th scope=\"col\">run</th><th "
          "scope=\"col\">bias</th><th scope=\"col\">RMS</th><th scope=\"col\">RMS, explained</th><th "
          "scope=\"col\">furthest</th><th scope=\"col\">at s</th></tr></thead>\n<tbody>",
          to);
    for (size_t k = 0; evn_match_error_at(m, k, &e); k++) {
        int digits = e.what.digits;
        put_name(to, &e.what);
        put_cell(to, digits, e.mean_log);
        put_cell(to, digits, e.mean_run);
        put_cell(to, digits, e.bias);
        put_cell(to, digits, e.rms);
        put_cell(to, digits, e.fitted_rms);
        put_cell(to, digits, e.most);
        put_cell(to, 0, e.most_at_s);
        fputs("</tr>\n", to);
    }
    fputs("</tbody>", to);
    evn_html_table_end(to);
}

static void put_found(FILE *to, const evn_match_found *f)
{
    put_name(to, &f->what);
    put_cell(to, f->what.digits, f->stated);
    put_cell(to, f->what.digits, f->value);
    fputs("<td>", to);
    evn_html_decimals(to, f->what.digits, f->low);
    fputs(" to ", to);
    evn_html_decimals(to, f->what.digits, f->high);
    fputs("</td>", to);
    put_cell(to, 0, 100 * f->alone_share);
    fprintf(to, "<td class=\"words\">%s</td></tr>\n",
            f->at_bound         ? "at its bound"
            : f->not_told_apart ? "cannot be told apart"
            : f->differs        ? "differs"
                                : "may be as stated");
}

static void put_explained(FILE *to, const evn_match *m)
{
    evn_match_found f;
    if (!evn_match_found_at(m, 0, &f))
        return;
    begin_section(to, "explained", "What explains it");
    evn_html_table_begin(to, "results",
                         "Values that explain the log best, with intervals of 95 %; alone: share of the "
                         "squares that a value explains if nothing else is changed");
    fputs("<thead><tr><th scope=\"col\"></th><th scope=\"col\">stated</th><th scope=\"col\">explains</th><th "
          "scope=\"col\">interval</th><th scope=\"col\">alone, %</th><th scope=\"col\" "
          "class=\"words\"></th></tr></thead>\n"
          "<tbody>",
          to);
    for (size_t k = 0; evn_match_found_at(m, k, &f); k++)
        put_found(to, &f);
    fputs("</tbody>", to);
    evn_html_table_end(to);
    fputs("</section>\n", to);
}

/* ------------------------------------------------------------------------------------------------ graphs */

enum { POINTS = 600 };

typedef enum overlay_column { OVER_LOG, OVER_RUN, OVER_FITTED, OVERLAYS } overlay_column;

typedef struct overlay {
    double x[POINTS], y[OVERLAYS][POINTS];
    size_t count;
} overlay;

/* What of a row is drawn. */
typedef void picked(const evn_match_row *, double y[OVERLAYS]);

static void pick_power(const evn_match_row *r, double y[OVERLAYS])
{
    y[OVER_LOG] = r->power_kw;
    y[OVER_RUN] = r->run_power_kw;
    y[OVER_FITTED] = r->fitted_power_kw;
}

static void pick_energy(const evn_match_row *r, double y[OVERLAYS])
{
    y[OVER_LOG] = r->energy_kwh;
    y[OVER_RUN] = r->run_energy_kwh;
    y[OVER_FITTED] = r->fitted_energy_kwh;
}

static void pick_left(const evn_match_row *r, double y[OVERLAYS])
{
    y[OVER_LOG] = (double)NAN;
    y[OVER_RUN] = r->run_energy_kwh - r->energy_kwh;
    y[OVER_FITTED] = r->fitted_energy_kwh - r->energy_kwh;
}

static void pick_charge(const evn_match_row *r, double y[OVERLAYS])
{
    y[OVER_LOG] = 100 * r->soc;
    y[OVER_RUN] = 100 * r->run_soc;
    y[OVER_FITTED] = 100 * r->fitted_soc;
}

static void pick_motor(const evn_match_row *r, double y[OVERLAYS])
{
    y[OVER_LOG] = r->motor_rpm;
    y[OVER_RUN] = r->run_motor_rpm;
    y[OVER_FITTED] = (double)NAN;
}

static void pick_speed(const evn_match_row *r, double y[OVERLAYS])
{
    y[OVER_LOG] = r->speed_km_h;
    y[OVER_RUN] = r->run_speed_km_h;
    y[OVER_FITTED] = (double)NAN;
}

/* Means of as many rows as come to a point of the graph. */
static void gather(const evn_match *m, size_t rows, picked *pick, overlay *o)
{
    size_t each = (rows + POINTS - 1) / POINTS;
    evn_match_row r;
    o->count = 0;
    for (size_t first = 0; first < rows && o->count < POINTS; first += each) {
        double sum[OVERLAYS] = {0}, x = 0, y[OVERLAYS];
        size_t seen[OVERLAYS] = {0}, count = 0;
        for (size_t k = first; k < first + each && evn_match_row_at(m, k, &r); k++, count++) {
            x += r.time_s / 60;
            pick(&r, y);
            for (size_t c = 0; c < OVERLAYS; c++) {
                sum[c] += isnan(y[c]) ? 0 : y[c];
                seen[c] += isnan(y[c]) ? 0 : 1;
            }
        }
        o->x[o->count] = x / (double)count;
        for (size_t c = 0; c < OVERLAYS; c++)
            o->y[c][o->count] = seen[c] > 0 ? sum[c] / (double)seen[c] : (double)NAN;
        o->count++;
    }
}

static bool has_any(const overlay *o, size_t column)
{
    for (size_t k = 0; k < o->count; k++)
        if (!isnan(o->y[column][k]))
            return true;
    return false;
}

static void put_graph(FILE *to, const evn_match *m, size_t rows, picked *pick, bool needs_log, const char *label,
                      const char *unit)
{
    overlay *o = malloc(sizeof *o);
    evn_html_series series[OVERLAYS];
    static const char *const names[] = {"log", "run", "run with what explains it"};
    static const int colours[] = {2, 1, 3};
    static const size_t order[OVERLAYS] = {OVER_RUN, OVER_FITTED, OVER_LOG}; /* what is held against lies on top */
    size_t count = 0;
    if (!o)
        return;
    gather(m, rows, pick, o);
    for (size_t k = 0; k < OVERLAYS; k++) {
        size_t c = order[k];
        if (has_any(o, c))
            series[count++] = (evn_html_series){names[c], EVN_HTML_LINE, o->x, o->y[c], o->count, colours[c]};
    }
    if (!needs_log || has_any(o, OVER_LOG))
        evn_html_graph_put(&(evn_html_graph){label, "time, min", unit, series, count, false}, to);
    free(o);
}

static void put_graphs(FILE *to, const evn_match *m)
{
    evn_match_row r;
    evn_match_energy e;
    size_t rows = 0;
    evn_match_energy_of(m, &e);
    while (evn_match_row_at(m, rows, &r))
        rows++;
    begin_section(to, "beside", "Log and run over each other");
    if (e.there) {
        put_graph(to, m, rows, pick_energy, true, "Energy from the battery", "kWh");
        put_graph(to, m, rows, pick_left, false, "Energy of the run less that of the log", "kWh");
    }
    put_graph(to, m, rows, pick_power, true, "Battery power, means of as many rows as a point has", "kW");
    put_graph(to, m, rows, pick_charge, true, "State of charge", "%");
    put_graph(to, m, rows, pick_motor, true, "Motor speed", "1/min");
    put_graph(to, m, rows, pick_speed, true, "Speed", "km/h");
    fputs("</section>\n", to);
}

void evn_html_match(const evn_html_page *page, FILE *to)
{
    put_errors(to, page->match->match);
    put_explained(to, page->match->match);
    put_graphs(to, page->match->match);
}
