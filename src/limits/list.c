/* The list of figures and verdicts: what is added to it, and what of it is asked for. */
#include "limits/list.h"
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct bound_row {
    const char *key, *label;
} bound_row;
static const bound_row bounds[EVN_BOUND_COUNT] = {{NULL, NULL},
#define X(name, key, label) {key, label},
                                                  EVN_BOUNDS(X)
#undef X
};

bool evn_limits_bound_at(size_t index, const char **limit, const char **label)
{
    if (index >= EVN_BOUND_COUNT - 1 || !limit || !label)
        return false;
    *limit = bounds[index + 1].key;
    *label = bounds[index + 1].label;
    return true;
}

/* ------------------------------------------------------------------------------------------------ adding */

const char *evn_limits_text(evn_limits_work *w, const char *format, ...)
{
    char text[4400];
    va_list values;
    va_start(values, format);
    vsnprintf(text, sizeof text, format, values);
    va_end(values);
    const char *kept = evn_arena_text(w->to->arena, text, strlen(text));
    w->to->short_of_memory = w->to->short_of_memory || !kept;
    return kept ? kept : "";
}

evn_rig *evn_limits_rig_copy(evn_limits_work *w, const evn_rig *rig)
{
    evn_rig *copy = evn_arena_take(w->to->arena, sizeof *copy);
    w->to->short_of_memory = w->to->short_of_memory || !copy;
    if (copy)
        *copy = *rig;
    return copy;
}

static evn_limits_figure *add_figure(evn_limits *l)
{
    if (l->count == l->room) {
        size_t room = l->room ? 2 * l->room : 128;
        evn_limits_figure *more = realloc(l->figure, room * sizeof *more);
        l->short_of_memory = l->short_of_memory || !more;
        if (!more)
            return NULL;
        l->figure = more;
        l->room = room;
    }
    return &l->figure[l->count++];
}

void evn_limits_add(evn_limits_work *w, const evn_limits_name *name, const evn_limits_column *column,
                    const evn_answer *a)
{
    evn_limits_figure *f = add_figure(w->to);
    if (!f)
        return;
    const char *key = evn_limits_text(w, "%s.%s.%s", name->group, name->row, column->key);
    const char *label = evn_limits_text(w, "%s, %s", name->row_label, column->label);
    *f = (evn_limits_figure){.what = {key, column->unit, column->help, EVN_REAL, column->digits, label, label},
                             .group = name->group,
                             .row = name->row,
                             .row_label = name->row_label,
                             .column = column->key,
                             .column_label = column->label,
                             .value = a->value,
                             .beyond = a->beyond,
                             .limit = bounds[a->bound].key,
                             .limit_label = bounds[a->bound].label,
                             .next = bounds[a->next].key,
                             .next_label = bounds[a->next].label,
                             .next_value = a->next_value,
                             .low = a->low,
                             .high = a->high};
}

void evn_limits_add_verdict(evn_limits_work *w, const evn_quantity *what, double demanded, const evn_answer *a)
{
    w->to->verdict[w->to->verdict_count++] = (evn_limits_verdict){.what = *what,
                                                                  .demanded = demanded,
                                                                  .value = a->value,
                                                                  .beyond = a->beyond,
                                                                  .met = a->value >= demanded,
                                                                  .limit = bounds[a->bound].key,
                                                                  .limit_label = bounds[a->bound].label,
                                                                  .next = bounds[a->next].key,
                                                                  .next_label = bounds[a->next].label,
                                                                  .next_value = a->next_value,
                                                                  .low = a->low,
                                                                  .high = a->high};
}

/* ------------------------------------------------------------------------------------------------ asking */

void evn_limits_free(evn_limits *l)
{
    if (!l)
        return;
    evn_arena_free(l->arena);
    free(l->figure);
    free(l);
}

size_t evn_limits_count(const evn_limits *l) { return l ? l->count : 0; }

bool evn_limits_at(const evn_limits *l, size_t index, evn_limits_figure *out)
{
    if (!l || !out || index >= l->count)
        return false;
    *out = l->figure[index];
    return true;
}

bool evn_limits_get(const evn_limits *l, const char *key, evn_limits_figure *out)
{
    for (size_t k = 0; key && out && k < evn_limits_count(l); k++)
        if (strcmp(l->figure[k].what.key, key) == 0)
            return evn_limits_at(l, k, out);
    return false;
}

bool evn_limits_demand_at(const evn_limits *l, size_t index, evn_limits_verdict *out)
{
    if (!l || !out || index >= l->verdict_count)
        return false;
    *out = l->verdict[index];
    return true;
}
