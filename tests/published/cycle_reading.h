/* A shipped cycle as a published check needs it: read, its course made ready, and its statistics by key. */
#ifndef EVENER_TESTS_CYCLE_READING_H
#define EVENER_TESTS_CYCLE_READING_H
#include "../unit/course_probe.h"
#include "core/arena.h"
#include "read/read.h"
#include <string.h>

#define M_PER_MILE 1609.344 /* international yard and pound agreement, 1959 */

typedef struct reading {
    evn_arena *arena;
    evn_report *report;
    const evn_cycle_file *cycle;
    evn_course *course;
} reading;

static inline reading read_cycle(const char *path)
{
    reading it = {evn_arena_new(), evn_report_new(), NULL, NULL};
    ck_assert(it.arena && it.report);
    it.cycle = evn_read_file(path, &evn_cycle_object, NULL, it.arena, it.report);
    ck_assert_ptr_nonnull(it.cycle);
    ck_assert_uint_eq(evn_report_count(it.report), 0);
    it.course = prepare(it.cycle, &no_top);
    check_promises(it.course);
    return it;
}

static inline void done(reading it)
{
    evn_course_free(it.course);
    evn_report_free(it.report);
    evn_arena_free(it.arena);
}

static inline double figure(const evn_cycle_file *cycle, const char *key)
{
    for (size_t i = 0; i < evn_cycle_figures_count; i++)
        if (strcmp(evn_cycle_figures[i].what.key, key) == 0)
            return evn_cycle_figures[i].of(cycle);
    ck_abort_msg("no figure %s", key);
    return 0.0;
}

#endif
