/* Wheel force over speed as a picture, with the road load on grades as lines. */
#include "evener/charts.h"
#include "show/plot/plot.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { ROWS = 16, TICK_COLUMNS = 10, CELL = 32, LABEL_COLUMNS = 5, COLUMNS_MOST = 128 };

/* Behind the top of the highest line. */
#define HEADROOM 1.05
/* Behind the fastest speed. */
#define BEYOND 1.1

typedef struct picture {
    const evn_chart *chart;
    size_t columns;
    double top_km_h, most_kn;
    evn_plot_canvas *canvas;
    char label[ROWS][CELL]; /* grade at the end of a line, by the row in which it ends */
} picture;

static double at(const picture *p, size_t row, size_t column) { return evn_chart_row(p->chart, row)[column]; }

static bool column_of(const evn_chart *chart, const char *key, size_t *column)
{
    evn_quantity what;
    for (*column = 0; evn_chart_column_at(chart, *column, &what); ++*column)
        if (strcmp(what.key, key) == 0)
            return true;
    return false;
}

/* Straight between the rows of the chart; NAN where there is nothing. */
static double value_at(const picture *p, size_t column, double km_h)
{
    size_t row = 0, rows = evn_chart_row_count(p->chart);
    while (row + 2 < rows && at(p, row + 1, 0) < km_h)
        row++;
    double from = at(p, row, 0), to = at(p, row + 1, 0);
    double share = to > from ? fmin(fmax((km_h - from) / (to - from), 0), 1) : 1;
    return at(p, row, column) + share * (at(p, row + 1, column) - at(p, row, column));
}

static double km_h_of(const picture *p, size_t half)
{
    return p->top_km_h * (double)half / (2.0 * (double)p->columns - 1);
}

/* A line, each half a column joined to the one before; every so many halves are drawn. Above the picture nothing is. */
static void draw_line(picture *p, size_t column, size_t every)
{
    double before = (double)NAN;
    for (size_t half = 0; half < 2 * p->columns; half++) {
        double share = value_at(p, column, km_h_of(p, half)) / p->most_kn;
        bool joined = every == 1 && !isnan(before);
        if (share <= 1 && half % every == 0)
            evn_plot_canvas_span(p->canvas, half, joined ? fmin(share, before) : share,
                                 joined ? fmax(share, before) : share);
        before = share <= 1 ? share : (double)NAN;
    }
}

/* The grade stands where its line ends, unless another does in the same row; then the line is not drawn. */
static void draw_grade(picture *p, size_t column, const char *label)
{
    double share = value_at(p, column, p->top_km_h) / p->most_kn;
    if (!(share <= 1))
        return;
    size_t row = (size_t)((1 - share) * (ROWS - 1) + 0.5);
    if (p->label[row][0] != '\0')
        return;
    snprintf(p->label[row], CELL, "%s", label);
    draw_line(p, column, 1);
}

/* "road_load.6_percent_kn": 6 %. */
static void draw_grades(picture *p)
{
    evn_quantity what;
    int percent;
    char label[CELL];
    for (size_t k = 0; evn_chart_column_at(p->chart, k, &what); k++)
        if (sscanf(what.key, "road_load.%d_percent_kn", &percent) == 1) {
            snprintf(label, sizeof label, " %d %%", percent);
            draw_grade(p, k, label);
        }
}

static void put_rows(const picture *p, FILE *to, const evn_look *look)
{
    for (size_t row = 0; row < ROWS; row++) {
        char cell[CELL] = "";
        if (row == 0 || row + 1 == ROWS)
            evn_format_decimals(cell, sizeof cell, 0, row == 0 ? p->most_kn : 0);
        fprintf(to, "%*s%s", EVN_PLOT_MARGIN, cell, look->utf8 ? "\u2502" : "|");
        evn_plot_canvas_row(p->canvas, row, to);
        fprintf(to, "%s\n", p->label[row]);
    }
}

static void put_axis(const picture *p, FILE *to)
{
    double step = evn_plot_step(p->top_km_h, p->columns / TICK_COLUMNS);
    size_t used = 0;
    fprintf(to, "%*s", EVN_PLOT_MARGIN + 1, "");
    for (double km_h = 0; km_h <= p->top_km_h; km_h += step) {
        char tick[CELL];
        size_t length = (size_t)snprintf(tick, sizeof tick, "%g", km_h);
        size_t place = (size_t)lround(km_h / p->top_km_h * (double)(p->columns - 1));
        if (place + length > p->columns)
            break;
        fprintf(to, "%*s%s", (int)(place - used), "", tick);
        used = place + length;
    }
    fputs(" km/h\n", to);
}

/* A bit beyond the fastest at which it still pulls on the level, in whole tens, as far as the chart goes. */
static void set_scale(picture *p, size_t peak, size_t level)
{
    double fastest = 0;
    for (size_t row = 0; row < evn_chart_row_count(p->chart); row++)
        if (at(p, row, peak) > at(p, row, level))
            fastest = at(p, row, 0);
    p->top_km_h = fmin(at(p, evn_chart_row_count(p->chart) - 1, 0), 10 * ceil(BEYOND * fastest / 10));
    for (size_t row = 0; row < evn_chart_row_count(p->chart); row++)
        p->most_kn = fmax(p->most_kn, HEADROOM * at(p, row, peak));
}

static bool put_title(const char *name, FILE *to, const evn_look *look)
{
    fputc('\n', to);
    evn_style_begin(to, look, EVN_STYLE_STRONG);
    bool made = evn_put_sentence(to, evn_look_prose(look), "", "Wheel force over speed%s%s", name ? ": " : "",
                                 name ? name : "");
    evn_style_end(to, look, EVN_STYLE_STRONG);
    fputs("\n  kN\n", to);
    return made;
}

static bool draw(picture *p, const char *name, FILE *to, const evn_look *look)
{
    size_t peak, level, continuous;
    p->canvas = evn_plot_canvas_new(p->columns, ROWS, look->utf8);
    if (!p->canvas || !column_of(p->chart, "peak_driving_kn", &peak) ||
        !column_of(p->chart, "road_load.0_percent_kn", &level))
        return false;
    set_scale(p, peak, level);
    draw_line(p, peak, 1);
    if (column_of(p->chart, "continuous_driving_kn", &continuous))
        draw_line(p, continuous, 4);
    draw_grades(p);
    bool made = put_title(name, to, look);
    put_rows(p, to, look);
    put_axis(p, to);
    fputc('\n', to);
    evn_put_paragraph_within(
        to, evn_look_prose(look), 0, "  ",
        "Falling line: peak wheel force, of motors, adhesion and battery; dotted: continuous, by "
        "heat. Lines with a grade at their end: road load (rolling resistance, hub drag, air drag and grade).");
    return made;
}

bool evn_plot_forces(const evn_rig *rig, const char *name, FILE *to, const evn_look *look)
{
    evn_chart *chart = NULL;
    evn_report *report = evn_report_new();
    bool made = report && evn_chart_of_forces(rig, &chart, report) == EVN_DONE;
    if (made) {
        size_t columns = evn_plot_columns(look);
        columns = columns > LABEL_COLUMNS + EVN_PLOT_LEAST ? columns - LABEL_COLUMNS : EVN_PLOT_LEAST;
        picture p = {.chart = chart, .columns = columns < COLUMNS_MOST ? columns : COLUMNS_MOST};
        made = draw(&p, name, to, look);
        evn_plot_canvas_free(p.canvas);
        evn_chart_free(chart);
    }
    evn_report_free(report);
    return made;
}
