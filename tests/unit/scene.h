/* A truck file with something written over it, on a cycle of a few lines: what tests of trips at their limits play. */
#ifndef EVENER_TESTS_SCENE_H
#define EVENER_TESTS_SCENE_H
#include "folder.h"
#include "trip_probe.h"

typedef struct scene {
    const char *truck, *changes; /* a truck and what is written over it, or NULL */
    const char *cycle;           /* after its name */
    evn_conditions ask;
    evn_watcher watcher;
    trace rows;
} scene;

static inline scene scene_of(const char *truck, const char *changes, const char *cycle)
{
    scene it = {.truck = truck, .changes = changes, .cycle = cycle, .ask = evn_conditions_default()};
    return it;
}

static inline drive play(scene *it)
{
    char truck_path[PATH_BYTES], cycle_path[PATH_BYTES], text[2000], here[300];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/%s\n%s\n", here, it->truck, it->changes ? it->changes : "");
    write_file("truck.yaml", text);
    snprintf(text, sizeof text, "name: a scene\ninvented: true\n%s\n", it->cycle);
    write_file("cycle.yaml", text);
    if (!it->watcher.self) {
        it->watcher.sample = keep_row;
        it->watcher.self = &it->rows;
    }
    return drive_any(in_folder(truck_path, "truck.yaml"), in_folder(cycle_path, "cycle.yaml"), &it->ask, &it->watcher);
}

static inline void must_finish(const drive *run)
{
    ck_assert_msg(run->status == EVN_DONE, "%s", first_finding(run->report));
    ck_assert_str_eq(evn_results_status(run->results), "finished");
    ck_assert_double_lt(result(run, "balance_error"), 2e-5);
}

static inline void scene_end(scene *it, drive *run)
{
    trace_end(&it->rows);
    drive_end(run);
}

#endif
