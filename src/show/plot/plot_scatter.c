/* What is off what was expected, as dots over one quantity, about a line of zero. */
#include "show/plot/plot.h"
#include "show/text.h"
#include <math.h>
#include <string.h>

enum { ROWS = 13, CELL = 32, TICK_COLUMNS = 10, COLUMNS_MOST = 128 };

typedef struct frame {
    const evn_plot_dots *dots;
    double least_x, most_x, low_y, high_y;
    size_t columns;
    evn_plot_canvas *canvas;
} frame;

static void set_scale(frame *f)
{
    f->least_x = INFINITY;
    f->most_x = -INFINITY;
    for (size_t k = 0; k < f->dots->count; k++) {
        f->least_x = fmin(f->least_x, f->dots->x[k]);
        f->most_x = fmax(f->most_x, f->dots->x[k]);
        f->low_y = fmin(f->low_y, f->dots->y[k]);
        f->high_y = fmax(f->high_y, f->dots->y[k]);
    }
    double step = evn_plot_step(f->most_x - f->least_x, f->columns / TICK_COLUMNS);
    f->least_x = step * floor(f->least_x / step);
    f->most_x = step * ceil(f->most_x / step);
    f->high_y = f->high_y > f->low_y ? f->high_y : f->low_y + 1;
}

static double height_of(const frame *f, double y) { return (y - f->low_y) / (f->high_y - f->low_y); }

static void draw(frame *f)
{
    size_t halves = 2 * f->columns;
    double zero = height_of(f, 0);
    for (size_t half = 0; half < halves; half += 4)
        evn_plot_canvas_span(f->canvas, half, zero, zero);
    for (size_t k = 0; k < f->dots->count; k++) {
        double along = (f->dots->x[k] - f->least_x) / (f->most_x - f->least_x);
        double up = height_of(f, f->dots->y[k]);
        evn_plot_canvas_span(f->canvas, (size_t)lround(along * (double)(halves - 1)), up, up);
    }
}

static void put_rows(const frame *f, FILE *to, const evn_look *look)
{
    for (size_t row = 0; row < ROWS; row++) {
        char cell[CELL] = "";
        size_t zero = (size_t)lround((1 - height_of(f, 0)) * (ROWS - 1));
        double value = row == zero ? 0 : row == 0 ? f->high_y : f->low_y;
        if (row == 0 || row + 1 == ROWS || row == zero)
            evn_format_decimals(cell, sizeof cell, f->dots->digits, value);
        fprintf(to, "%*s%s", EVN_PLOT_MARGIN, cell, look->utf8 ? "\u2502" : "|");
        evn_plot_canvas_row(f->canvas, row, to);
        fputc('\n', to);
    }
}

static void put_axis(const frame *f, FILE *to)
{
    double step = evn_plot_step(f->most_x - f->least_x, f->columns / TICK_COLUMNS);
    size_t used = 0;
    fprintf(to, "%*s", EVN_PLOT_MARGIN + 1, "");
    for (double x = f->least_x; x <= f->most_x + step / 2; x += step) {
        char tick[CELL];
        size_t length = (size_t)snprintf(tick, sizeof tick, "%g", x);
        size_t place = (size_t)lround((x - f->least_x) / (f->most_x - f->least_x) * (double)(f->columns - 1));
        if (place + length > f->columns)
            break;
        fprintf(to, "%*s%s", (int)(place - used), "", tick);
        used = place + length;
    }
    fprintf(to, " %s\n", f->dots->x_unit);
}

bool evn_plot_scatter(const evn_plot_dots *dots, FILE *to, const evn_look *look)
{
    size_t columns = evn_plot_columns(look);
    frame f = {.dots = dots, .columns = columns < COLUMNS_MOST ? columns : COLUMNS_MOST};
    if (dots->count == 0)
        return true;
    f.canvas = evn_plot_canvas_new(f.columns, ROWS, look->utf8);
    if (!f.canvas)
        return false;
    set_scale(&f);
    draw(&f);
    fputc('\n', to);
    evn_put_styled(to, look, EVN_STYLE_STRONG, dots->title);
    fprintf(to, "\n\n  %s\n", dots->y_unit);
    put_rows(&f, to, look);
    put_axis(&f, to);
    evn_plot_canvas_free(f.canvas);
    return true;
}
