/* The rows of an explanation: gathered, asked, freed. */
#include "api/explanation.h"
#include <stdlib.h>

evn_explanation *evn_explanation_new(void)
{
    evn_explanation *e = calloc(1, sizeof *e);
    if (e)
        e->arena = evn_arena_new();
    if (e && e->arena)
        return e;
    free(e);
    return NULL;
}

size_t evn_explanation_add(evn_explanation *e, evn_explained row)
{
    if (e->count == e->room) {
        size_t room = e->room > 0 ? 2 * e->room : 64;
        evn_explained *more = realloc(e->at, room * sizeof *more);
        if (!more)
            return SIZE_MAX;
        e->at = more;
        e->room = room;
    }
    e->at[e->count] = row;
    return e->count++;
}

void evn_explanation_free(evn_explanation *e)
{
    if (!e)
        return;
    evn_arena_free(e->arena);
    free(e->at);
    free(e);
}

size_t evn_explanation_count(const evn_explanation *e) { return e ? e->count : 0; }

bool evn_explanation_at(const evn_explanation *e, size_t index, evn_explained *out)
{
    if (!e || !out || index >= e->count)
        return false;
    *out = e->at[index];
    return true;
}
