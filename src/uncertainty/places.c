/* Sorts rows of values by path, and finds them. */
#include "uncertainty/places.h"
#include <stdlib.h>
#include <string.h>

static int by_path(const void *a, const void *b)
{
    const evn_value *const *x = a, *const *y = b;
    return strcmp((*x)->path, (*y)->path);
}

bool evn_places_make(evn_places *p, const evn_value *values, size_t count, evn_arena *arena)
{
    *p = (evn_places){evn_arena_take(arena, (count + 1) * sizeof(const evn_value *)), 0};
    for (size_t i = 0; p->row && i < count; i++)
        if (values[i].file)
            p->row[p->count++] = &values[i];
    if (p->count > 1)
        qsort(p->row, p->count, sizeof *p->row, by_path);
    return p->row;
}

static int compare(const char *path, size_t length, const char *with)
{
    int order = strncmp(path, with, length);
    return order != 0 ? order : with[length] == '\0' ? 0 : -1;
}

const evn_value *evn_place_of(const evn_places *p, const char *path, size_t length)
{
    size_t low = 0, high = p->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        int order = compare(path, length, p->row[middle]->path);
        if (order == 0)
            return p->row[middle];
        if (order > 0)
            low = middle + 1;
        else
            high = middle;
    }
    return NULL;
}

/* The length of what a path names it in: up to its last dot, or to the bracket of its last place in a list. */
static size_t shorter(const char *path, size_t length)
{
    while (length > 0 && path[length - 1] != '.' && path[length - 1] != '[')
        length--;
    return length > 0 ? length - 1 : 0;
}

const evn_value *evn_place_around(const evn_places *p, const char *path)
{
    const evn_value *row = NULL;
    for (size_t length = strlen(path); !row && length > 0; length = shorter(path, length))
        row = evn_place_of(p, path, length);
    return row;
}

evn_spot evn_place_spot(const evn_value *row, evn_report *report)
{
    return row ? (evn_spot){evn_report_file(report, row->file), row->line, row->column} : evn_nowhere;
}
