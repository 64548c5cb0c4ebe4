/* Trucks and cycles copied and changed in memory. */
#include "api/objects.h"
#include "core/change.h"
#include "core/field_copy.h"
#include <stdlib.h>
#include <string.h>

/* What is read belongs to its handle, which the caller may change; the handle alone holds it as constant. */
static void *own(const void *file)
{
    void *own;
    memcpy(&own, &file, sizeof own);
    return own;
}

static evn_status no_memory(evn_arena *arena, evn_report *report)
{
    if (arena)
        evn_arena_free(arena);
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over a copy");
    return evn_report_status(report);
}

evn_status evn_truck_copy(const evn_truck *t, evn_truck **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"truck", t}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_arena *arena = evn_arena_new();
    const evn_truck_file *file = arena ? evn_object_copy(&evn_truck_object, t->file, arena) : NULL;
    *out = file ? malloc(sizeof **out) : NULL;
    if (!*out)
        return no_memory(arena, report);
    **out = evn_truck_on(arena, file, (evn_value_list){0});
    return evn_report_status(report);
}

evn_status evn_cycle_copy(const evn_cycle *c, evn_cycle **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"cycle", c}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_arena *arena = evn_arena_new();
    const evn_cycle_file *file = arena ? evn_object_copy(&evn_cycle_object, c->file, arena) : NULL;
    *out = file ? malloc(sizeof **out) : NULL;
    if (!*out)
        return no_memory(arena, report);
    **out = (evn_cycle){.arena = arena, .file = file};
    return evn_report_status(report);
}

evn_status evn_truck_number(const evn_truck *t, const char *path, double *out, evn_report *report)
{
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"truck", t}, {"path", path}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_number_get(&evn_truck_object, t->file, path, out, report);
    return evn_report_status(report);
}

evn_status evn_cycle_number(const evn_cycle *c, const char *path, double *out, evn_report *report)
{
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"cycle", c}, {"path", path}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_number_get(&evn_cycle_object, c->file, path, out, report);
    return evn_report_status(report);
}

/* An empty list may be NULL. */
static bool changes_given(const void *object, const evn_change *changes, size_t count, evn_report *report)
{
    const void *list = count > 0 ? (const void *)changes : object;
    bool all = evn_not_null(report, "a change of numbers",
                            (const evn_argument[]){{"its object", object}, {"its list", list}, {0}});
    for (size_t i = 0; all && i < count; i++)
        all = evn_not_null(report, "a change of numbers", (const evn_argument[]){{"a path", changes[i].path}, {0}});
    return all;
}

evn_status evn_truck_set_numbers(evn_truck *t, const evn_change *changes, size_t count, evn_report *report)
{
    bool given = changes_given(t, changes, count, report);
    if (given && evn_numbers_set(&evn_truck_object, own(t->file), changes, count, report))
        *t = evn_truck_on(t->arena, t->file, (evn_value_list){0});
    return evn_report_status(report);
}

evn_status evn_cycle_set_numbers(evn_cycle *c, const evn_change *changes, size_t count, evn_report *report)
{
    if (changes_given(c, changes, count, report))
        evn_numbers_set(&evn_cycle_object, own(c->file), changes, count, report);
    return evn_report_status(report);
}

evn_status evn_truck_set_number(evn_truck *t, const char *path, double value, evn_report *report)
{
    return evn_truck_set_numbers(t, &(evn_change){path, value}, 1, report);
}

evn_status evn_cycle_set_number(evn_cycle *c, const char *path, double value, evn_report *report)
{
    return evn_cycle_set_numbers(c, &(evn_change){path, value}, 1, report);
}
