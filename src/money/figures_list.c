/* The list of figures, and the texts of their formulas. */
#include "money/figures.h"
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static const char *kept(evn_money_figures *to, const char *text)
{
    char *copy = text ? evn_arena_text(to->arena, text, strlen(text)) : NULL;
    to->broken = to->broken || (text && !copy);
    return copy;
}

static bool has_room(evn_money_figures *to)
{
    if (to->count < to->room)
        return true;
    size_t room = to->room > 0 ? 2 * to->room : 256;
    evn_money_figure *larger = evn_arena_take(to->arena, room * sizeof *larger);
    to->broken = to->broken || !larger;
    if (!larger)
        return false;
    if (to->count > 0)
        memcpy(larger, to->at, to->count * sizeof *larger);
    to->at = larger;
    to->room = room;
    return true;
}

/* One that follows from others by a formula, or from elsewhere; one of both is given. */
static void put(const evn_figures_filling *f, const char *key, evn_figure_told as, double value, const char *formula,
                const char *from)
{
    if (f->to->broken || !has_room(f->to))
        return;
    f->to->at[f->to->count++] = (evn_money_figure){.key = kept(f->to, key),
                                                   .unit = as.unit,
                                                   .label = kept(f->to, as.label),
                                                   .formula = kept(f->to, formula),
                                                   .from = kept(f->to, from),
                                                   .value = value,
                                                   .digits = as.digits};
}

void evn_figure_by(const evn_figures_filling *f, const char *key, evn_figure_told as, double value, const char *formula)
{
    put(f, key, as, value, formula, NULL);
}

void evn_figure_given(const evn_figures_filling *f, const char *key, evn_figure_told as, double value, const char *from)
{
    put(f, key, as, value, NULL, from);
}

void evn_figure_add(evn_figure_line *l, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    int more = vsnprintf(l->at + l->length, sizeof l->at - l->length, format, values);
    va_end(values);
    if (more > 0 && l->length + (size_t)more < sizeof l->at)
        l->length += (size_t)more;
}

void evn_figure_add_term(evn_figure_line *l, const char *term)
{
    evn_figure_add(l, "%s%s", l->length > 0 ? " + " : "", term);
}
