/* Cases: the three files of a run. */
#define _XOPEN_SOURCE 700
#include "case.h"
#include "api/kinds.h"
#include "suit.h"
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

static draft *invent_kept(inventor *i, const draft *truck)
{
    draft *kept = draft_new(i->arena, DRAFT_MAP, "kept"), *runs = draft_put(i->arena, kept, "runs", DRAFT_MAP);
    draft *run = draft_put(i->arena, runs, "random", DRAFT_MAP);
    draft_put_word(i->arena, run, "truck", "truck.yaml");
    draft_put_word(i->arena, run, "cycle", "cycle.yaml");
    draft *load_case = invent_object(i, evn_kind_object("load_case"), "load_case");
    suit_load_case(i, load_case, truck);
    draft_add(run, load_case);
    draft *driving = invent_object(i, evn_kind_object("driving"), "driving");
    suit_driving(i, driving);
    draft_add(run, driving);
    return kept;
}

random_case case_invent(uint64_t seed, uint64_t index, double wide)
{
    random_case c = {.arena = evn_arena_new()};
    if (!c.arena)
        abort(); /* as in draft.c */
    inventor i = {dice_of(seed, index), c.arena, wide};
    c.truck = invent_object(&i, evn_kind_object("truck"), "truck");
    suit_truck(&i, c.truck);
    c.cycle = invent_object(&i, evn_kind_object("cycle"), "cycle");
    suit_cycle(&i, c.cycle, c.truck);
    c.kept = invent_kept(&i, c.truck);
    return c;
}

void case_free(random_case *c) { evn_arena_free(c->arena); }

bool case_write(const random_case *c, const char *folder)
{
    return draft_write(c->truck, folder, "truck.yaml") && draft_write(c->cycle, folder, "cycle.yaml") &&
           draft_write(c->kept, folder, "kept.yaml");
}

/* ------------------------------------------------------------------------------------------------ folders */

bool case_folder(char out[CASE_FOLDER_BYTES])
{
    const char *under = getenv("TMPDIR");
    int length = snprintf(out, CASE_FOLDER_BYTES, "%s/evener-random.XXXXXX", under ? under : "/tmp");
    return length < CASE_FOLDER_BYTES && mkdtemp(out);
}

void case_remove(const char *folder)
{
    static const char *const stems[] = {"truck", "cycle", "kept"};
    enum { TABLES_MOST = 9 };
    char path[CASE_FOLDER_BYTES + 40];
    for (size_t k = 0; k < sizeof stems / sizeof *stems; k++) {
        snprintf(path, sizeof path, "%s/%s.yaml", folder, stems[k]);
        unlink(path);
        for (int table = 1; table <= TABLES_MOST; table++) {
            snprintf(path, sizeof path, "%s/%s-%d.csv", folder, stems[k], table);
            unlink(path);
        }
    }
    rmdir(folder);
}
