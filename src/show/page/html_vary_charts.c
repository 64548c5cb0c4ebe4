/* Charts of variants as SVG: points over what varies, both aims with their fronts, the best over two variables. */
#include "show/page/html_parts.h"
#include "show/page/html_vary.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double WIDTH = 720, HEIGHT = 360, LEFT = 78, RIGHT = 14, TOP = 12, FOOT = 46;

typedef struct axis {
    double least, most, from_px, to_px;
} axis;

typedef struct plot {
    FILE *to;
    const evn_vary_table *t;
    axis x, y;
} plot;

static double px(const axis *a, double value)
{
    return a->from_px + (a->to_px - a->from_px) * (value - a->least) / (a->most - a->least);
}

/* ------------------------------------------------------------------------------------------------ axes */

/* A step of 1, 2 or 5 times a power of ten, of which about `wanted` fit. */
static double step_of(double range, int wanted)
{
    double raw = range / wanted, power = pow(10, floor(log10(raw)));
    double of = raw / power;
    return power * (of <= 1 ? 1 : of <= 2 ? 2 : of <= 5 ? 5 : 10);
}

static bool is_told(const evn_vary_table *t, size_t row) { return t->state[row] != EVN_VARY_FAILED; }

/* Over all that came to an end; a single value gets some room. */
static axis axis_of(const evn_vary_table *t, size_t column, double from_px, double to_px)
{
    axis a = {(double)INFINITY, -(double)INFINITY, from_px, to_px};
    for (size_t row = 0; row < t->rows; row++)
        if (is_told(t, row) && isfinite(evn_vary_at(t, row, column))) {
            a.least = fmin(a.least, evn_vary_at(t, row, column));
            a.most = fmax(a.most, evn_vary_at(t, row, column));
        }
    double room = a.most > a.least ? 0.03 * (a.most - a.least) : fmax(fabs(a.most), 1) * 0.01;
    a.least -= room;
    a.most += room;
    return a;
}

static void put_number(FILE *to, double value, double step)
{
    char text[40];
    int digits = step < 1 ? (int)ceil(-log10(step) - 1e-9) : 0;
    evn_format_decimals(text, sizeof text, digits, value);
    evn_html_figure(to, text);
}

static void put_across(const plot *p, const char *label, const evn_quantity *what)
{
    enum { WANTED = 7 };
    double step = step_of(p->x.most - p->x.least, WANTED);
    for (double value = step * ceil(p->x.least / step); value <= p->x.most; value += step) {
        fprintf(p->to, "<path class=\"grid\" d=\"M%.1f %.1fV%.1f\"/><text class=\"middle\" x=\"%.1f\" y=\"%.1f\">",
                px(&p->x, value), p->y.from_px, p->y.to_px, px(&p->x, value), p->y.from_px + 16);
        put_number(p->to, fabs(value) < step / 1e6 ? 0 : value, step);
        fputs("</text>", p->to);
    }
    fprintf(p->to, "<text class=\"middle\" x=\"%.1f\" y=\"%.1f\">", (p->x.from_px + p->x.to_px) / 2, p->y.from_px + 36);
    evn_html_heading(p->to, label, what);
    fputs("</text>\n", p->to);
}

static void put_upward(const plot *p, const char *label, const evn_quantity *what)
{
    enum { WANTED = 6 };
    double step = step_of(p->y.most - p->y.least, WANTED);
    for (double value = step * ceil(p->y.least / step); value <= p->y.most; value += step) {
        fprintf(p->to, "<path class=\"grid\" d=\"M%.1f %.1fH%.1f\"/><text class=\"end\" x=\"%.1f\" y=\"%.1f\">",
                p->x.from_px, px(&p->y, value), p->x.to_px, p->x.from_px - 6, px(&p->y, value) + 4);
        put_number(p->to, fabs(value) < step / 1e6 ? 0 : value, step);
        fputs("</text>", p->to);
    }
    double middle = (p->y.from_px + p->y.to_px) / 2;
    fprintf(p->to, "<text class=\"middle\" transform=\"rotate(-90)\" x=\"%.1f\" y=\"14\">", -middle);
    evn_html_heading(p->to, label, what);
    fputs("</text>\n", p->to);
}

static void begin(const plot *p, const char *what)
{
    fprintf(p->to, "<svg class=\"plot\" viewBox=\"0 0 %.0f %.0f\" role=\"img\" aria-label=\"", WIDTH, HEIGHT);
    evn_html_text(p->to, what);
    fputs("\">\n", p->to);
}

/* ------------------------------------------------------------------------------------------------ points */

/* Points that would lie upon each other are one: the chart is as long as it has places, not as there are variants. */
enum { PLACES_ACROSS = 314, PLACES_UP = 152 };
static const double PLACE_PX = 2;

typedef struct places {
    unsigned char seen[PLACES_UP][PLACES_ACROSS];
} places;

static bool is_new(places *s, const plot *p, double x, double y)
{
    size_t i = (size_t)fmin(fmax((x - p->x.from_px) / PLACE_PX, 0), PLACES_ACROSS - 1);
    size_t k = (size_t)fmin(fmax((y - p->y.to_px) / PLACE_PX, 0), PLACES_UP - 1);
    bool fresh = !s->seen[k][i];
    s->seen[k][i] = 1;
    return fresh;
}

static void put_points_of(const plot *p, size_t across, size_t upward, size_t truck, evn_vary_state state)
{
    const evn_vary_table *t = p->t;
    places *seen = calloc(1, sizeof *seen);
    if (!seen)
        return;
    fprintf(p->to, "<g class=\"s%zu %s\">", truck % EVN_HTML_SIGNS + 1, state == EVN_VARY_BREAKS ? "breaks" : "dots");
    for (size_t row = 0; row < t->rows; row++) {
        double x = evn_vary_at(t, row, across), y = evn_vary_at(t, row, upward);
        if (t->truck[row] != truck || t->state[row] != (unsigned char)state || !isfinite(x) || !isfinite(y) ||
            !is_new(seen, p, px(&p->x, x), px(&p->y, y)))
            continue;
        fprintf(p->to, "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"2\"/>", px(&p->x, x), px(&p->y, y));
    }
    fputs("</g>\n", p->to);
    free(seen);
}

static void put_points(const plot *p, size_t across, size_t upward)
{
    for (size_t k = 0; k < p->t->trucks; k++)
        put_points_of(p, across, upward, k, EVN_VARY_BREAKS);
    for (size_t k = 0; k < p->t->trucks; k++)
        put_points_of(p, across, upward, k, EVN_VARY_MAY_BE);
}

static plot plot_of(const evn_html_page *page, FILE *to, size_t across, size_t upward)
{
    const evn_vary_table *t = page->vary->table;
    return (plot){to, t, axis_of(t, across, LEFT, WIDTH - RIGHT), axis_of(t, upward, HEIGHT - FOOT, TOP)};
}

static void put_best(const plot *p, size_t across)
{
    for (size_t k = 0; k < p->t->trucks; k++) {
        evn_vary_best b = evn_vary_best_of(p->t, k);
        if (b.row < 0)
            continue;
        fprintf(p->to, "<g class=\"s%zu best\"><circle cx=\"%.1f\" cy=\"%.1f\" r=\"6\"/></g>", k % EVN_HTML_SIGNS + 1,
                px(&p->x, evn_vary_at(p->t, (size_t)b.row, across)),
                px(&p->y, evn_vary_at(p->t, (size_t)b.row, p->t->inputs)));
    }
}

void evn_html_vary_points(const evn_html_page *page, FILE *to, size_t input)
{
    const evn_vary_table *t = page->vary->table;
    plot p = plot_of(page, to, input, t->inputs);
    fputs("<figure><figcaption>", to);
    evn_html_heading(to, t->column[t->inputs].what.label, &t->column[t->inputs].what);
    fputs(", over ", to);
    evn_html_text(to, t->column[input].what.key);
    fputs("; pale: breaks a constraint; ringed: the best</figcaption>\n", to);
    begin(&p, "Points of all variants over one variable");
    put_upward(&p, t->column[t->inputs].what.short_label, &t->column[t->inputs].what);
    put_across(&p, t->column[input].what.key, &t->column[input].what);
    put_points(&p, input, t->inputs);
    put_best(&p, input);
    fputs("</svg></figure>\n", to);
}

static void put_front(const plot *p, size_t truck)
{
    size_t count = 0, *front = evn_vary_front(p->t, truck, &count);
    if (front && count > 0) {
        fprintf(p->to, "<g class=\"s%zu front\"><path d=\"", truck % EVN_HTML_SIGNS + 1);
        for (size_t k = 0; k < count; k++) {
            double x = px(&p->x, evn_vary_at(p->t, front[k], p->t->inputs));
            double y = px(&p->y, evn_vary_at(p->t, front[k], p->t->inputs + 1));
            fprintf(p->to, "%c%.1f %.1f", k > 0 ? 'L' : 'M', x, y);
        }
        fputs("\"/>", p->to);
        for (size_t k = 0; k < count; k++)
            fprintf(p->to, "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"4\"/>",
                    px(&p->x, evn_vary_at(p->t, front[k], p->t->inputs)),
                    px(&p->y, evn_vary_at(p->t, front[k], p->t->inputs + 1)));
        fputs("</g>\n", p->to);
    }
    free(front);
}

void evn_html_vary_front(const evn_html_page *page, FILE *to)
{
    const evn_vary_table *t = page->vary->table;
    const evn_variants_column *first = &t->column[t->inputs], *second = first + 1;
    plot p = plot_of(page, to, t->inputs, t->inputs + 1);
    fputs("<figure><figcaption>Upwards ", to);
    evn_html_heading(to, second->what.label, &second->what);
    fputs("; ringed and joined: what no variant betters in both; pale: breaks a constraint</figcaption>\n", to);
    begin(&p, "Both results of all variants, with the front");
    put_upward(&p, second->what.short_label, &second->what);
    put_across(&p, first->what.label, &first->what);
    put_points(&p, t->inputs, t->inputs + 1);
    for (size_t k = 0; k < t->trucks; k++)
        put_front(&p, k);
    fputs("</svg></figure>\n", to);
}

/* ------------------------------------------------------------------------------------------------ heat map */

enum { CELLS = 12, SHADES = 9 };

typedef struct cells {
    double best[CELLS][CELLS]; /* NAN: none */
    double least, most;
} cells;

static size_t cell_of(const axis *a, double value)
{
    return (size_t)fmin(floor((value - a->least) / (a->most - a->least) * CELLS), CELLS - 1);
}

static cells fill(const evn_vary_table *t, size_t truck, const plot *p, size_t across, size_t upward)
{
    cells c = {.least = (double)INFINITY, .most = -(double)INFINITY};
    bool most = t->column[t->inputs].aimed == EVN_AIMED_MOST;
    for (size_t k = 0; k < CELLS; k++)
        for (size_t i = 0; i < CELLS; i++)
            c.best[k][i] = (double)NAN;
    for (size_t row = 0; row < t->rows; row++) {
        double value = evn_vary_at(t, row, t->inputs);
        if (t->truck[row] != truck || t->state[row] != EVN_VARY_MAY_BE || isnan(value))
            continue;
        double *at = &c.best[cell_of(&p->y, evn_vary_at(t, row, upward))][cell_of(&p->x, evn_vary_at(t, row, across))];
        *at = most ? fmax(*at, value) : fmin(*at, value); /* of which NAN is neither */
    }
    for (size_t k = 0; k < CELLS * CELLS; k++) {
        c.least = fmin(c.least, c.best[k / CELLS][k % CELLS]);
        c.most = fmax(c.most, c.best[k / CELLS][k % CELLS]);
    }
    return c;
}

/* 0 for the best. */
static int shade_of(const cells *c, double value, bool most)
{
    double share = c->most > c->least ? (value - c->least) / (c->most - c->least) : 0;
    return (int)fmin(floor((most ? 1 - share : share) * SHADES), SHADES - 1);
}

static void put_cells(const plot *p, const cells *c)
{
    bool most = p->t->column[p->t->inputs].aimed == EVN_AIMED_MOST;
    double wide = (p->x.to_px - p->x.from_px) / CELLS, high = (p->y.from_px - p->y.to_px) / CELLS;
    for (size_t k = 0; k < CELLS; k++)
        for (size_t i = 0; i < CELLS; i++) {
            double value = c->best[k][i];
            if (isnan(value))
                continue;
            fprintf(p->to, "<rect class=\"h%d\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\"><title>",
                    shade_of(c, value, most), p->x.from_px + (double)i * wide, p->y.from_px - (double)(k + 1) * high,
                    wide, high);
            char text[EVN_VARY_CELL];
            evn_vary_number_words(&p->t->column[p->t->inputs].what, false, value, text);
            evn_html_text(p->to, text);
            fputs("</title></rect>", p->to);
        }
    fputc('\n', p->to);
}

void evn_html_vary_map(const evn_html_page *page, FILE *to, size_t truck, size_t across, size_t upward)
{
    const evn_vary_table *t = page->vary->table;
    const evn_variants_column *aim = &t->column[t->inputs];
    char low[EVN_VARY_CELL], high[EVN_VARY_CELL];
    plot p = plot_of(page, to, across, upward);
    cells c = fill(t, truck, &p, across, upward);
    if (isinf(c.least))
        return;
    bool most = aim->aimed == EVN_AIMED_MOST;
    evn_vary_number_words(&aim->what, false, most ? c.most : c.least, low);
    evn_vary_number_words(&aim->what, false, most ? c.least : c.most, high);
    fputs("<figure><figcaption>", to);
    const char *name = evn_vary_truck_words(t, truck);
    evn_html_text(to, name);
    fputs(name[0] != '\0' ? ": the" : "The", to);
    fputs(" best ", to);
    evn_html_text(to, aim->what.label);
    fputs(" that may be in each cell, upwards ", to);
    evn_html_text(to, t->column[upward].what.key);
    fputs("; strongest colour: ", to);
    evn_html_words(to, low);
    fputs(", faintest: ", to);
    evn_html_words(to, high);
    fputs("; empty: none may be</figcaption>\n", to);
    begin(&p, "The best result over two variables");
    put_cells(&p, &c);
    put_upward(&p, t->column[upward].what.key, &t->column[upward].what);
    put_across(&p, t->column[across].what.key, &t->column[across].what);
    fputs("</svg></figure>\n", to);
}
