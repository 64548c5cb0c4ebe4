/* Graphs as SVG. */
#include "show/page/html_graph.h"
#include "show/page/html_write.h"
#include <math.h>

/* In units of the drawing; text is set in style.css. */
static const double WIDTH = 640, HEIGHT = 300, LEFT = 64, RIGHT = 10, TOP = 12, BOTTOM = 44;
enum { TICKS_ALONG = 8, TICKS_UP = 6 };

typedef struct axes {
    double from_x, to_x, step_x, from_y, to_y, step_y;
} axes;

/* 1, 2 or 5 times a power of ten, at most so many steps in a range. */
static double step_of(double range, int most)
{
    double rough = range / most, power = pow(10, floor(log10(rough)));
    double times = rough / power;
    return power * (times <= 1 ? 1 : times <= 2 ? 2 : times <= 5 ? 5 : 10);
}

static bool measure(const evn_html_graph *g, axes *a)
{
    *a = (axes){.from_x = INFINITY, .to_x = -INFINITY, .from_y = g->from_zero ? 0 : INFINITY, .to_y = -INFINITY};
    for (size_t s = 0; s < g->count; s++)
        for (size_t k = 0; k < g->series[s].count; k++) {
            double x = g->series[s].x[k], y = g->series[s].y[k];
            if (!isfinite(x) || !isfinite(y))
                continue;
            a->from_x = fmin(a->from_x, x);
            a->to_x = fmax(a->to_x, x);
            a->from_y = fmin(a->from_y, y);
            a->to_y = fmax(a->to_y, y);
        }
    if (!(a->to_x > a->from_x))
        return false;
    if (!(a->to_y > a->from_y))
        a->to_y = a->from_y + 1;
    a->step_x = step_of(a->to_x - a->from_x, TICKS_ALONG);
    a->step_y = step_of(a->to_y - a->from_y, TICKS_UP);
    a->from_y = a->step_y * floor(a->from_y / a->step_y);
    a->to_y = a->step_y * ceil(a->to_y / a->step_y);
    return true;
}

static double along(const axes *a, double x)
{
    return LEFT + (x - a->from_x) / (a->to_x - a->from_x) * (WIDTH - LEFT - RIGHT);
}

static double upright(const axes *a, double y)
{
    return HEIGHT - BOTTOM - (y - a->from_y) / (a->to_y - a->from_y) * (HEIGHT - TOP - BOTTOM);
}

static int digits_of(double step) { return step < 1 ? (int)ceil(-log10(step) - 1e-9) : 0; }

static void put_number(FILE *to, int digits, double value)
{
    fprintf(to, "%s%.*f", value < 0 ? "\u2212" : "", digits, fabs(value));
}

static void put_axes(const axes *a, const evn_html_graph *g, FILE *to)
{
    for (double y = a->from_y; y <= a->to_y + a->step_y / 2; y += a->step_y) {
        double value = fabs(y) < a->step_y / 1e6 ? 0 : y;
        fprintf(to, "<path class=\"%s\" d=\"M%.1f %.1fH%.1f\"/>", value == 0 ? "zero" : "tick", LEFT, upright(a, y),
                WIDTH - RIGHT);
        fprintf(to, "<text class=\"number\" text-anchor=\"end\" x=\"%.1f\" y=\"%.1f\">", LEFT - 6, upright(a, y) + 4);
        put_number(to, digits_of(a->step_y), value);
        fputs("</text>", to);
    }
    for (double x = a->step_x * ceil(a->from_x / a->step_x); x <= a->to_x + a->step_x / 1e6; x += a->step_x) {
        fprintf(to, "<text class=\"number\" text-anchor=\"middle\" x=\"%.1f\" y=\"%.1f\">", along(a, x),
                HEIGHT - BOTTOM + 18);
        put_number(to, digits_of(a->step_x), fabs(x) < a->step_x / 1e6 ? 0 : x);
        fputs("</text>", to);
    }
    fprintf(to, "<text class=\"axis\" text-anchor=\"end\" x=\"%.1f\" y=\"%.1f\">", WIDTH - RIGHT, HEIGHT - 6);
    evn_html_text(to, g->x_label);
    fputs("</text>", to);
}

static void put_line(const axes *a, const evn_html_series *s, FILE *to)
{
    bool goes_on = false;
    fprintf(to, "<path class=\"line series-%d\" d=\"", s->colour);
    for (size_t k = 0; k < s->count; k++) {
        bool there = isfinite(s->y[k]);
        if (there)
            fprintf(to, "%s%.1f %.1f", goes_on ? "L" : "M", along(a, s->x[k]), upright(a, s->y[k]));
        goes_on = there;
    }
    fputs("\"/>", to);
}

static void put_dots(const axes *a, const evn_html_series *s, FILE *to)
{
    const char *kind = s->kind == EVN_HTML_RINGS ? "ring" : "dot";
    for (size_t k = 0; k < s->count; k++)
        if (isfinite(s->y[k]))
            fprintf(to, "<circle class=\"%s series-%d\" cx=\"%.1f\" cy=\"%.1f\" r=\"2.6\"/>", kind, s->colour,
                    along(a, s->x[k]), upright(a, s->y[k]));
}

static void put_legend(const evn_html_graph *g, FILE *to)
{
    fputs("<p class=\"about legend\">", to);
    evn_html_text(to, g->y_label);
    for (size_t s = 0; s < g->count; s++) {
        const evn_html_series *is = &g->series[s];
        fprintf(to, "%s<svg class=\"sample\" viewBox=\"0 0 22 10\" width=\"22\" height=\"10\" aria-hidden=\"true\">",
                s == 0 ? ": " : "; ");
        if (is->kind == EVN_HTML_LINE)
            fprintf(to, "<path class=\"line series-%d\" d=\"M1 5H21\"/>", is->colour);
        else
            fprintf(to, "<circle class=\"%s series-%d\" cx=\"11\" cy=\"5\" r=\"2.6\"/>",
                    is->kind == EVN_HTML_RINGS ? "ring" : "dot", is->colour);
        fputs("</svg> ", to);
        evn_html_text(to, is->name);
    }
    fputs("</p>", to);
}

void evn_html_graph_put(const evn_html_graph *g, FILE *to)
{
    axes a;
    if (!measure(g, &a))
        return;
    fputs("<figure class=\"graph\"><figcaption>", to);
    evn_html_text(to, g->label);
    fputs("</figcaption>", to);
    put_legend(g, to);
    fprintf(to, "<svg viewBox=\"0 0 %.0f %.0f\" role=\"img\" aria-label=\"", WIDTH, HEIGHT);
    evn_html_text(to, g->label);
    fputs("\">", to);
    put_axes(&a, g, to);
    for (size_t s = 0; s < g->count; s++)
        if (g->series[s].kind == EVN_HTML_LINE)
            put_line(&a, &g->series[s], to);
        else
            put_dots(&a, &g->series[s], to);
    fputs("</svg></figure>\n", to);
}
