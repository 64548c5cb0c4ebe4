/* The list of figures: what is added to it, and what of it is asked for. */
#include "site/list.h"
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ adding */

const char *evn_site_text(evn_site_work *w, const char *format, ...)
{
    char text[1024];
    va_list values;
    va_start(values, format);
    vsnprintf(text, sizeof text, format, values);
    va_end(values);
    const char *kept = evn_arena_text(w->to->arena, text, strlen(text));
    w->to->short_of_memory = w->to->short_of_memory || !kept;
    return kept ? kept : "";
}

void evn_site_short_of_memory(evn_site_work *w) { w->to->short_of_memory = true; }

void *evn_site_take(evn_site_work *w, size_t bytes)
{
    void *taken = evn_arena_take(w->to->arena, bytes);
    w->to->short_of_memory = w->to->short_of_memory || !taken;
    return taken;
}

evn_arena *evn_site_arena(evn_site_work *w) { return w->to->arena; }

evn_site_answer evn_site_value(double value, const char *why)
{
    return (evn_site_answer){.value = value, .limit = (double)NAN, .why = why};
}

evn_site_answer evn_site_unknown(evn_site_work *w, const char *key)
{
    return evn_site_value((double)NAN, evn_site_text(w, "not known: %s is not stated", key));
}

static evn_site_figure *add_figure(evn_site *s)
{
    if (s->count == s->room) {
        size_t room = s->room ? 2 * s->room : 64;
        evn_site_figure *more = realloc(s->figure, room * sizeof *more);
        s->short_of_memory = s->short_of_memory || !more;
        if (!more)
            return NULL;
        s->figure = more;
        s->room = room;
    }
    return &s->figure[s->count++];
}

void evn_site_add(evn_site_work *w, const evn_site_name *name, const evn_site_column *column, const evn_site_answer *a)
{
    evn_site_figure *f = add_figure(w->to);
    if (!f)
        return;
    const char *key = evn_site_text(w, "%s.%s.%s", name->group, name->row, column->key);
    const char *label = evn_site_text(w, "%s, %s", name->row_label, column->label);
    *f = (evn_site_figure){.what = {key, column->unit, column->help, EVN_REAL, column->digits, label, label, 0},
                           .group = name->group,
                           .row = name->row,
                           .row_label = name->row_label,
                           .column = column->key,
                           .column_label = column->label,
                           .value = a->value,
                           .limit = a->limit,
                           .margin = column->at_most ? a->limit - a->value : a->value - a->limit,
                           .demanded = a->demanded,
                           .why = a->why,
                           .leg = a->leg,
                           .source = a->source};
}

/* ------------------------------------------------------------------------------------------------ asking */

void evn_site_free(evn_site *s)
{
    if (!s)
        return;
    evn_arena_free(s->arena);
    free(s->figure);
    free(s);
}

size_t evn_site_count(const evn_site *s) { return s ? s->count : 0; }

bool evn_site_at(const evn_site *s, size_t index, evn_site_figure *out)
{
    if (!s || !out || index >= s->count)
        return false;
    *out = s->figure[index];
    return true;
}

bool evn_site_get(const evn_site *s, const char *key, evn_site_figure *out)
{
    for (size_t k = 0; key && out && k < evn_site_count(s); k++)
        if (strcmp(s->figure[k].what.key, key) == 0)
            return evn_site_at(s, k, out);
    return false;
}

bool evn_site_meets_all(const evn_site *s)
{
    bool all = true;
    for (size_t k = 0; k < evn_site_count(s); k++)
        all = all && !(s->figure[k].demanded && !(s->figure[k].margin >= 0));
    return all;
}
