/* A day as a strip: the charge over the clock, with legs, stops, charging and the reserve; one of each truck. */
#include "show/day_story.h"
#include "show/plot/plot.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CHARGE_ROWS = 10, TICK_COLUMNS = 12, CELL = 64, SIGN_BYTES = 4 };

typedef struct strip {
    size_t columns;
    double end_s; /* of the longest day: all have one axis */
    FILE *to;
    const evn_look *look;
} strip;

static size_t width_of(const strip *s) { return s->columns + EVN_PLOT_MARGIN + 1; }

static void put_margin(const strip *s, const char *text)
{
    fprintf(s->to, "%*s%s", EVN_PLOT_MARGIN, text, s->look->utf8 ? "\u2502" : "|");
}

/* ------------------------------------------------------------------------------------------------ the charge */

static size_t half_of(const strip *s, double clock_s)
{
    double halves = 2 * (double)s->columns;
    return (size_t)fmin(fmax(clock_s / s->end_s * halves, 0), halves - 1);
}

/* From half column to half column the charge goes straight. */
static void draw_charge(const strip *s, evn_plot_canvas *canvas, const evn_day_strip *day)
{
    for (size_t k = 1; k < day->points; k++) {
        const evn_day_point *a = &day->point[k - 1], *b = &day->point[k];
        size_t from = half_of(s, a->clock_s), to = half_of(s, b->clock_s);
        for (size_t half = from; half <= to; half++) {
            double share = to > from ? (double)(half - from) / (double)(to - from) : 1;
            double soc = a->soc + share * (b->soc - a->soc);
            evn_plot_canvas_span(canvas, half, from == to ? fmin(a->soc, b->soc) : soc,
                                 from == to ? fmax(a->soc, b->soc) : soc);
        }
    }
}

/* What must be left, as dots with gaps between them. */
static double reserve_of(const evn_day_strip *day)
{
    return isnan(day->demanded_soc) ? day->usable_soc : day->demanded_soc;
}

static void draw_reserve(const strip *s, evn_plot_canvas *canvas, const evn_day_strip *day)
{
    double at = reserve_of(day);
    for (size_t half = 0; isfinite(at) && half < 2 * s->columns; half += 4)
        evn_plot_canvas_span(canvas, half, at, at);
}

/* Name of the truck, and what the dots are; on a line of their own where the window is narrow. */
static bool put_title(const strip *s, const evn_day_strip *day)
{
    char dots[CELL], *name = day->name ? evn_safe_text(day->name) : NULL;
    if (day->name && !name)
        return false;
    size_t fixed = strlen("  state of charge, %") + (name ? strlen(" of ") : 0);
    size_t cut = name ? evn_text_columns(name) : 0;
    cut = fixed + cut > width_of(s) ? width_of(s) - fixed : cut;
    fputs("  state of charge", s->to);
    if (name) {
        fputs(" of ", s->to);
        evn_plot_put_cut(s->to, name, cut);
    }
    free(name);
    snprintf(dots, sizeof dots, "dotted: %s, %.0f",
             isnan(day->demanded_soc) ? "end of the usable window" : "reserve demanded", 100 * reserve_of(day));
    bool beside = fixed + cut + 2 + strlen(dots) <= width_of(s);
    fprintf(s->to, ", %%%s%s\n", beside ? "; " : "\n  ", dots);
    return true;
}

static bool put_charge(const strip *s, const evn_day_strip *day)
{
    evn_plot_canvas *canvas = evn_plot_canvas_new(s->columns, CHARGE_ROWS, s->look->utf8);
    if (!canvas)
        return false;
    draw_reserve(s, canvas, day);
    draw_charge(s, canvas, day);
    for (size_t row = 0; row < CHARGE_ROWS; row++) {
        put_margin(s, row == 0 ? "100" : row + 1 == CHARGE_ROWS ? "0" : "");
        evn_plot_canvas_row(canvas, row, s->to);
        fputc('\n', s->to);
    }
    evn_plot_canvas_free(canvas);
    return true;
}

/* ------------------------------------------------------------------------------------------------ legs and stops */

typedef enum mark { NOTHING, LEG, NEXT_LEG, STOP, CHARGING, MARKS } mark;

static const char *sign_of(const strip *s, mark is)
{
    static const char *const plain[MARKS] = {" ", "=", "+", ".", "#"};
    static const char *const drawn[MARKS] = {" ", "\u2501", "\u2531", "\u00b7", "\u2592"};
    return s->look->utf8 ? drawn[is] : plain[is];
}

static size_t column_of(const strip *s, double clock_s) { return half_of(s, clock_s) / 2; }

/* The one behind its last. */
static size_t end_of(const strip *s, const evn_day_phase *p)
{
    double end_s = evn_day_phase_end_s(p);
    return end_s < s->end_s ? column_of(s, end_s) : s->columns;
}

/* Stops count before legs, so that a short one is seen. */
static void mark_phase(const strip *s, mark *band, const evn_day_strip *day, size_t index)
{
    const evn_day_phase *p = &day->phase[index];
    size_t from = column_of(s, p->begin_s), to = end_of(s, p);
    mark is = evn_day_phase_charges(p) ? CHARGING : p->stop ? STOP : LEG;
    for (size_t k = from; k < to || k == from; k++)
        if (is > band[k])
            band[k] = is;
    if (is == LEG && index > 0 && !day->phase[index - 1].stop && band[from] == LEG)
        band[from] = NEXT_LEG;
}

static bool put_band(const strip *s, const evn_day_strip *day)
{
    mark *band = calloc(s->columns, sizeof *band);
    for (size_t k = 0; band && k < day->phases; k++)
        mark_phase(s, band, day, k);
    put_margin(s, "");
    for (size_t k = 0; band && k < s->columns; k++)
        fputs(sign_of(s, band[k]), s->to);
    fputc('\n', s->to);
    free(band);
    return band;
}

/* Of legs, or of stops, those that have room until the next. */
static bool put_names(const strip *s, const evn_day_strip *day, bool stops)
{
    size_t used = 0;
    bool made = true;
    put_margin(s, "");
    for (size_t k = 0; made && k < day->phases; k++) {
        const evn_day_phase *p = &day->phase[k];
        size_t from = column_of(s, p->begin_s), until = k + 1 < day->phases ? end_of(s, p) : s->columns;
        for (size_t next = k + 1; next < day->phases && day->phase[next].stop != p->stop; next++)
            until = next + 1 < day->phases ? column_of(s, day->phase[next + 1].begin_s) : s->columns;
        char *name = p->stop == stops ? evn_safe_text(p->name) : NULL;
        size_t wide = name ? evn_text_columns(name) : 0;
        made = p->stop != stops || name;
        if (name && from >= used && wide + (until < s->columns ? 1 : 0) <= until - from) {
            fprintf(s->to, "%*s%s", (int)(from - used), "", name);
            used = from + wide;
        }
        free(name);
    }
    fputc('\n', s->to);
    return made;
}

static void put_key(const strip *s)
{
    fprintf(s->to, "  %s leg  %s stop  %s charging; names of legs, then of stops\n", sign_of(s, LEG), sign_of(s, STOP),
            sign_of(s, CHARGING));
}

/* ------------------------------------------------------------------------------------------------ the clock */

/* The least step that leaves room for its marks. */
static double clock_step_s(const strip *s)
{
    static const double minutes[] = {1, 2, 5, 10, 15, 30, 60, 120, 180, 360, 720, 1440};
    size_t marks = s->columns / TICK_COLUMNS, k = 0, last = sizeof minutes / sizeof *minutes - 1;
    while (k < last && s->end_s / (60 * minutes[k]) > (double)marks)
        k++;
    return 60 * minutes[k];
}

static void put_axis(const strip *s)
{
    double step_s = clock_step_s(s);
    size_t used = 0;
    fprintf(s->to, "%*s", EVN_PLOT_MARGIN + 1, "");
    for (double at_s = 0; at_s <= s->end_s; at_s += step_s) {
        char tick[CELL];
        long minutes = lround(at_s / 60);
        size_t wide = (size_t)snprintf(tick, sizeof tick, "%ld:%02ld", minutes / 60, minutes % 60);
        size_t place = column_of(s, at_s);
        if (place + wide > s->columns)
            break;
        fprintf(s->to, "%*s%s", (int)(place - used), "", tick);
        used = place + wide;
    }
    fprintf(s->to, "%s\n", used + 2 <= s->columns ? " h" : "");
}

/* ------------------------------------------------------------------------------------------------ the strips */

static bool put_day(const strip *s, const evn_day_strip *day)
{
    return put_title(s, day) && put_charge(s, day) && put_band(s, day) && put_names(s, day, false) &&
           put_names(s, day, true);
}

static bool put_heading(const strip *s, const char *season)
{
    char *safe = season ? evn_safe_text(season) : NULL, heading[2 * CELL] = "Along the day";
    if (season && !safe)
        return false;
    if (safe)
        snprintf(heading, sizeof heading, "Along the day, season %.80s", safe);
    free(safe);
    fputc('\n', s->to);
    evn_put_styled(s->to, s->look, EVN_STYLE_STRONG, heading);
    fputs("\n\n", s->to);
    return true;
}

bool evn_plot_day(const evn_day_strip *day, size_t count, const char *season, FILE *to, const evn_look *look)
{
    strip s = {.columns = evn_plot_columns(look), .to = to, .look = look};
    for (size_t k = 0; k < count; k++)
        s.end_s = fmax(s.end_s, day[k].end_s);
    if (!(s.end_s > 0))
        return true;
    bool made = put_heading(&s, season);
    for (size_t k = 0; made && k < count; k++)
        if (day[k].points > 0)
            made = put_day(&s, &day[k]);
    put_axis(&s);
    put_key(&s);
    return made;
}
