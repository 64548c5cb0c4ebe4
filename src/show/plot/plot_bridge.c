/* From one truck's consumption to another's, step by step: each cause begins where the one before it ended. */
#include "show/plot/plot.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 64, FIELD_LEAST = 10, NAME_LEAST = 6 };

/* Signs of a line, with UTF-8 and without: nothing, a step down, a step up, a truck. */
typedef enum sign { BLANK, DOWN, UP, WHOLE, SIGNS } sign;
static const char *const signs[2][SIGNS] = {{" ", "-", "+", "="}, {" ", "\u2591", "\u2593", "\u2588"}};

typedef struct picture {
    const evn_plot_step_of *step;
    size_t count;
    size_t names, field;
    double low, high; /* at the ends of the lines */
    int digits;
    FILE *to;
    const evn_look *look;
} picture;

/* ------------------------------------------------------------------------------------------------ scale */

static size_t column_of(const picture *p, double value)
{
    double share = (value - p->low) / (p->high - p->low);
    return (size_t)lround(fmin(fmax(share, 0), 1) * (double)p->field);
}

/* All places that the steps come to; trucks are cut so that steps can be seen. */
static void set_scale(picture *p)
{
    double at = 0;
    p->low = (double)INFINITY;
    p->high = -(double)INFINITY;
    for (size_t k = 0; k < p->count; k++) {
        at = p->step[k].whole ? p->step[k].value : at + p->step[k].value;
        p->low = fmin(p->low, at);
        p->high = fmax(p->high, at);
    }
    double room = fmax(p->high - p->low, 0.001 * fabs(p->high));
    p->low -= 0.3 * room;
    p->high += 0.02 * room;
}

static void format_value(const picture *p, const evn_plot_step_of *step, char out[CELL])
{
    char text[CELL - 1];
    evn_format_decimals(text, sizeof text, p->digits, step->value);
    bool plus = !step->whole && step->value > 0 && !evn_looks_like_nothing(p->digits, step->value);
    snprintf(out, CELL, "%s%s", plus ? "+" : "", text);
}

static void set_columns(picture *p, char *const *name)
{
    size_t all = evn_plot_columns(p->look) + EVN_PLOT_MARGIN + 1, widest = 0;
    char text[CELL];
    p->names = NAME_LEAST;
    for (size_t k = 0; k < p->count; k++) {
        format_value(p, &p->step[k], text);
        widest = strlen(text) > widest ? strlen(text) : widest;
        p->names = evn_text_columns(name[k]) > p->names ? evn_text_columns(name[k]) : p->names;
    }
    p->names = p->names > all / 3 ? all / 3 : p->names;
    size_t taken = 2 + p->names + 2 + 2 + widest;
    p->field = all > taken + FIELD_LEAST ? all - taken : FIELD_LEAST;
}

/* ------------------------------------------------------------------------------------------------ lines */

static void put_line(const picture *p, const evn_plot_step_of *step, const char *name, double before)
{
    double after = step->whole ? step->value : before + step->value;
    size_t from = column_of(p, step->whole ? p->low : fmin(before, after)), to = column_of(p, fmax(before, after));
    char text[CELL];
    if (step->whole)
        to = column_of(p, after);
    if (to == from) /* what is too small for a column is seen none the less */
        from -= from > 0 ? 1 : 0;
    sign with = step->whole ? WHOLE : step->value < 0 ? DOWN : UP;
    format_value(p, step, text);
    fputs("  ", p->to);
    evn_plot_put_cut(p->to, name, p->names);
    fputs("  ", p->to);
    for (size_t k = 0; k < p->field; k++)
        fputs(signs[p->look->utf8][k >= from && k < to ? with : BLANK], p->to);
    fprintf(p->to, "  %s\n", text);
}

static void put_legend(const picture *p, const char *unit)
{
    const char *const *s = signs[p->look->utf8];
    char low[CELL];
    evn_format_decimals(low, sizeof low, p->digits, p->low);
    evn_put_sentence(p->to, evn_look_prose(p->look), "  ", "%s truck, %s less, %s more, %s; lines begin at %s",
                     s[WHOLE], s[DOWN], s[UP], unit, low);
}

bool evn_plot_bridge_print(const evn_plot_step_of *step, size_t count, const evn_plot_bridge *of, FILE *to,
                           const evn_look *look)
{
    picture p = {.step = step, .count = count, .digits = of->digits, .to = to, .look = look};
    char **name = calloc(count, sizeof *name);
    double at = 0;
    bool made = name;
    for (size_t k = 0; made && k < count; k++)
        made = (name[k] = evn_safe_text(step[k].name)) != NULL;
    if (made) {
        set_scale(&p);
        set_columns(&p, name);
        fputc('\n', to);
        evn_put_styled(to, look, EVN_STYLE_STRONG, of->title);
        fputs("\n\n", to);
        for (size_t k = 0; k < count; k++) {
            put_line(&p, &step[k], name[k], at);
            at = step[k].whole ? step[k].value : at + step[k].value;
        }
        put_legend(&p, of->unit);
        if (of->note)
            evn_put_sentence(to, evn_look_prose(look), "  ", "%s", of->note);
    }
    for (size_t k = 0; name && k < count; k++)
        free(name[k]);
    free(name);
    return made;
}
