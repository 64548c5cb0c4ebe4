/* Trucks ranked, each with its difference against the first as a dot and its interval as a bar about it. */
#include "show/plot/plot.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    CELL = 64,
    TICK_COLUMNS = 8,
    FIELD_LEAST = 10,
    FIELD_FULL = 24,
    NAME_LEAST = 6,
    LEGEND = 4096,
    FIGURES = 3 * CELL
};

/* Signs of a line, with UTF-8 and without. */
typedef enum sign { BLANK, ZERO, BAR, FROM, TO, CROSS, DOT, SIGNS } sign;
static const char *const signs[2][SIGNS] = {{" ", ":", "-", "[", "]", "+", "o"},
                                            {" ", "\u2502", "\u2500", "\u251c", "\u2524", "\u253c", "\u25cf"}};

typedef struct picture {
    const evn_plot_ranked *truck;
    size_t count;
    size_t names, field; /* columns of names, and of the lines */
    double low, high;    /* per cent at the ends of the lines */
    bool below;          /* intervals stand as figures below the lines, which would get too short before them */
    FILE *to;
    const evn_look *look;
} picture;

/* ------------------------------------------------------------------------------------------------ scale */

static size_t column_of(const picture *p, double percent)
{
    double share = (percent - p->low) / (p->high - p->low);
    return (size_t)lround(fmin(fmax(share, 0), 1) * (double)(p->field - 1));
}

/* All intervals and zero, with a little room. */
static void set_scale(picture *p)
{
    p->low = p->high = 0;
    for (size_t i = 0; i < p->count; i++) {
        const evn_plot_ranked *t = &p->truck[i];
        p->low = fmin(p->low, t->sure ? t->low_percent : t->percent);
        p->high = fmax(p->high, t->sure ? t->high_percent : t->percent);
    }
    double room = fmax(0.04 * (p->high - p->low), 0.05);
    p->low -= p->low < 0 ? room : 0;
    p->high += p->high > 0 || p->low >= 0 ? room : 0;
}

/* ------------------------------------------------------------------------------------------------ figures */

static void format_change(char *out, size_t size, int digits, double percent)
{
    char text[CELL / 2 - 1];
    evn_format_decimals(text, sizeof text, digits, percent);
    snprintf(out, size, "%s%s", percent > 0 && !evn_looks_like_nothing(digits, percent) ? "+" : "", text);
}

/* As in the words: an end that one decimal would tell as zero has two. */
static void format_end(char *out, size_t size, double percent)
{
    format_change(out, size, evn_looks_like_nothing(1, percent) ? 2 : 1, percent);
}

/* "(-7.9 to -4.5)". */
static void format_interval(const evn_plot_ranked *truck, char out[2 * CELL])
{
    char low[CELL / 2], high[CELL / 2];
    format_end(low, sizeof low, truck->low_percent);
    format_end(high, sizeof high, truck->high_percent);
    snprintf(out, 2 * CELL, "(%s to %s)", low, high);
}

/* "-6.2 (-7.9 to -4.5)", or the first of it. */
static void format_figures(const picture *p, const evn_plot_ranked *truck, char out[FIGURES])
{
    char interval[2 * CELL];
    format_change(out, CELL, 1, truck->percent);
    if (p->below || !truck->sure)
        return;
    format_interval(truck, interval);
    strcat(out, " ");
    strcat(out, interval);
}

static size_t widest_figures(const picture *p)
{
    size_t widest = 0;
    char text[FIGURES];
    for (size_t i = 0; i < p->count; i++) {
        format_figures(p, &p->truck[i], text);
        widest = strlen(text) > widest ? strlen(text) : widest;
    }
    return widest;
}

/* Names take what they need up to a third; figures of the intervals go below the lines where these would get too short.
 */
static void set_columns(picture *p, char *const *name)
{
    size_t all = evn_plot_columns(p->look) + EVN_PLOT_MARGIN + 1;
    p->names = NAME_LEAST;
    for (size_t i = 0; i < p->count; i++)
        p->names = evn_text_columns(name[i]) > p->names ? evn_text_columns(name[i]) : p->names;
    p->names = p->names > all / 3 ? all / 3 : p->names;
    for (int below = 0; below < 2; below++) {
        p->below = below == 1;
        size_t taken = 2 + p->names + 2 + 2 + widest_figures(p);
        p->field = all > taken + FIELD_LEAST ? all - taken : FIELD_LEAST;
        if (p->field >= FIELD_FULL)
            return;
    }
}

/* ------------------------------------------------------------------------------------------------ lines */

static bool is_cut(const picture *p, const char *name) { return evn_text_columns(name) > p->names; }

/* What is left out is marked. */
static void put_name(const picture *p, const char *name)
{
    const char *dots = p->look->utf8 ? "\u2026" : "..";
    size_t marks = is_cut(p, name) ? evn_text_columns(dots) : 0;
    evn_plot_put_cut(p->to, name, p->names - marks);
    fputs(marks > 0 ? dots : "", p->to);
}

static void put_interval_below(const picture *p, const evn_plot_ranked *truck)
{
    char interval[2 * CELL];
    format_interval(truck, interval);
    size_t middle = (column_of(p, truck->low_percent) + column_of(p, truck->high_percent)) / 2,
           half = strlen(interval) / 2;
    size_t most = p->field > strlen(interval) ? p->field - strlen(interval) : 0, at = middle > half ? middle - half : 0;
    fprintf(p->to, "  %*s  %*s%s\n", (int)p->names, "", (int)(at < most ? at : most), "", interval);
}

static void put_line(const picture *p, const evn_plot_ranked *truck, const char *name, sign *at)
{
    size_t zero = column_of(p, 0);
    char figures[FIGURES];
    for (size_t k = 0; k < p->field; k++)
        at[k] = k == zero ? ZERO : BLANK;
    if (truck->sure) {
        size_t from = column_of(p, truck->low_percent), to = column_of(p, truck->high_percent);
        for (size_t k = from; k <= to; k++)
            at[k] = k == from ? FROM : k == to ? TO : k == zero ? CROSS : BAR;
    }
    at[column_of(p, truck->percent)] = DOT;
    format_figures(p, truck, figures);
    fputs("  ", p->to);
    put_name(p, name);
    fputs("  ", p->to);
    for (size_t k = 0; k < p->field; k++)
        fputs(signs[p->look->utf8][at[k]], p->to);
    fprintf(p->to, "  %s\n", figures);
    if (p->below && truck->sure)
        put_interval_below(p, truck);
}

static bool put_axis(const picture *p)
{
    double step = evn_plot_step(p->high - p->low, p->field / TICK_COLUMNS);
    size_t used = 0;
    char *line = malloc(p->field + CELL);
    if (!line)
        return false;
    memset(line, ' ', p->field + CELL);
    for (double at = ceil(p->low / step) * step; at <= p->high; at += step) {
        char tick[CELL];
        int length = snprintf(tick, sizeof tick, "%g", fabs(at) < step / 2 ? 0 : at);
        size_t place = column_of(p, at), half = (size_t)length / 2;
        place = place > half ? place - half : 0;
        if ((used > 0 && place < used + 1) || place + (size_t)length > p->field + 1)
            continue;
        memcpy(line + place, tick, (size_t)length);
        used = place + (size_t)length;
    }
    fprintf(p->to, "  %*s  %.*s  %%\n", (int)p->names, "", (int)(used > p->field ? used : p->field), line);
    free(line);
    return true;
}

/* Names that were cut, in the order of the lines. */
static void put_full_names(const picture *p, char *const *name)
{
    char list[LEGEND] = "";
    for (size_t i = 0; i < p->count; i++) {
        size_t used = strlen(list);
        if (is_cut(p, name[i]))
            snprintf(list + used, sizeof list - used, "%s%s", used > 0 ? "; " : "", name[i]);
    }
    if (list[0] != '\0')
        evn_put_sentence(p->to, evn_look_prose(p->look), "  ", "Names in full, from above: %s", list);
}

static void put_legend(const picture *p, const char *by, const char *first)
{
    const char *const *s = signs[p->look->utf8];
    if (by)
        evn_put_sentence(p->to, evn_look_prose(p->look), "  ", "%s difference; %s%s%s 90 %% interval %s; %s %s", s[DOT],
                         s[FROM], s[BAR], s[TO], by, s[ZERO], first);
    else
        evn_put_sentence(p->to, evn_look_prose(p->look), "  ", "%s difference, not asked how sure; %s %s", s[DOT],
                         s[ZERO], first);
}

bool evn_plot_ranked_print(const evn_plot_ranked *truck, size_t count, const evn_plot_ranking *of, FILE *to,
                           const evn_look *look)
{
    picture p = {.truck = truck, .count = count, .to = to, .look = look};
    char **name = calloc(count, sizeof *name), *first = evn_safe_text(of->first);
    bool made = name && first;
    for (size_t i = 0; made && i < count; i++)
        made = (name[i] = evn_safe_text(truck[i].name)) != NULL;
    sign *line = NULL;
    if (made) {
        set_scale(&p);
        set_columns(&p, name);
        line = malloc(p.field * sizeof *line);
        made = line;
    }
    if (made) {
        fputc('\n', to);
        evn_put_styled(to, look, EVN_STYLE_STRONG, of->title);
        fputs("\n\n", to);
        for (size_t i = 0; i < count; i++)
            put_line(&p, &truck[i], name[i], line);
        made = put_axis(&p);
        put_legend(&p, of->by, first);
        put_full_names(&p, name);
    }
    for (size_t i = 0; name && i < count; i++)
        free(name[i]);
    free(name);
    free(first);
    free(line);
    return made;
}
