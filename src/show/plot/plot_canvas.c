/* Characters as dots: two across and four down in each with Braille patterns; one sign each in plain ASCII. */
#include "show/plot/plot.h"
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

enum { DOTS_DOWN = 4, DOTS_ACROSS = 2 };

struct evn_plot_canvas {
    size_t columns, rows;
    bool utf8;
    uint8_t *dots; /* of each character, bit 4 * across + down */
};

evn_plot_canvas *evn_plot_canvas_new(size_t columns, size_t rows, bool utf8)
{
    evn_plot_canvas *canvas = calloc(1, sizeof *canvas);
    if (!canvas)
        return NULL;
    *canvas = (evn_plot_canvas){columns, rows, utf8, calloc(columns * rows, 1)};
    if (canvas->dots)
        return canvas;
    free(canvas);
    return NULL;
}

void evn_plot_canvas_free(evn_plot_canvas *canvas)
{
    if (canvas)
        free(canvas->dots);
    free(canvas);
}

void evn_plot_canvas_span(evn_plot_canvas *canvas, size_t half, double from, double to)
{
    size_t dots = canvas->rows * DOTS_DOWN, column = half / DOTS_ACROSS;
    if (column >= canvas->columns || !(from <= to))
        return;
    size_t low = (size_t)lround(fmin(fmax(from, 0), 1) * (double)(dots - 1));
    size_t high = (size_t)lround(fmin(fmax(to, 0), 1) * (double)(dots - 1));
    for (size_t dot = low; dot <= high; dot++) {
        size_t down = dots - 1 - dot;
        uint8_t *cell = &canvas->dots[down / DOTS_DOWN * canvas->columns + column];
        *cell |= (uint8_t)(1u << (DOTS_DOWN * (half % DOTS_ACROSS) + down % DOTS_DOWN));
    }
}

/* Unicode numbers the dots of a Braille pattern 1 2 3 down the left, 4 5 6 down the right, then 7 and 8 below. */
static unsigned braille(uint8_t dots)
{
    static const unsigned bits[] = {0x01, 0x02, 0x04, 0x40, 0x08, 0x10, 0x20, 0x80};
    unsigned code = 0x2800;
    for (int k = 0; k < DOTS_ACROSS * DOTS_DOWN; k++)
        code |= dots >> k & 1u ? bits[k] : 0;
    return code;
}

static char plain(uint8_t dots)
{
    unsigned both = (dots | dots >> DOTS_DOWN) & 15u;
    if (both == 0)
        return ' ';
    if ((both & 9u) == 9u)
        return '|';
    return both & 1u ? '\'' : both & 8u ? '.' : '-';
}

static void put_utf8(unsigned code, FILE *to)
{
    fputc((int)(0xe0 | code >> 12), to);
    fputc((int)(0x80 | (code >> 6 & 0x3f)), to);
    fputc((int)(0x80 | (code & 0x3f)), to);
}

void evn_plot_canvas_row(const evn_plot_canvas *canvas, size_t row, FILE *to)
{
    for (size_t k = 0; k < canvas->columns; k++) {
        uint8_t dots = canvas->dots[row * canvas->columns + k];
        if (dots == 0 || !canvas->utf8)
            fputc(plain(dots), to);
        else
            put_utf8(braille(dots), to);
    }
}
