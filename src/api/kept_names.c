/* Names in kept results that are others now: refused where they are to be held against, taken where they are recorded
 * anew. */
#include "api/kept_names.h"
#include "evener/keys.h"
#include <stdio.h>
#include <string.h>

enum { NAME_BYTES = 4200 }; /* names may be as long as the reader's longest text */

/* The name now, in the arena; the name itself where it is called so still; NULL when memory is out. */
static const char *name_now(evn_arena *arena, const char *name)
{
    char now[NAME_BYTES];
    return evn_renamed_key(name, now, sizeof now) ? evn_arena_text(arena, now, strlen(now)) : name;
}

bool evn_kept_names_take(evn_arena *arena, evn_kept_run_file *run)
{
    const char **name = evn_arena_take(arena, (run->results.count + 1) * sizeof *name);
    bool all = name;
    for (size_t i = 0; all && i < run->results.count; i++) {
        name[i] = name_now(arena, run->results.name[i]);
        all = name[i];
    }
    if (all && run->status) {
        run->status = name_now(arena, run->status);
        all = run->status;
    }
    run->results.name = all ? name : run->results.name;
    return all;
}

/* Says one name where it stands. */
static void say(const char *name, const char *now, evn_spot at, evn_report *report)
{
    evn_say(report, EVN_FAULT_UNKNOWN_KEY, at, evn_nowhere,
            "'%s' is now '%s'; expected its name now: 'evener keep --accept' records all runs of the file anew", name,
            now);
}

bool evn_kept_names_refused(const evn_kept_run_file *run, evn_kept_place *place, const void *of, const char *run_name,
                            evn_report *report)
{
    char now[NAME_BYTES], key[NAME_BYTES];
    bool any = false;
    if (run->status && evn_renamed_key(run->status, now, sizeof now)) {
        say(run->status, now, place(of, run_name, "status", report), report);
        any = true;
    }
    for (size_t i = 0; i < run->results.count; i++)
        if (evn_renamed_key(run->results.name[i], now, sizeof now)) {
            snprintf(key, sizeof key, "results.%.4100s", run->results.name[i]);
            say(run->results.name[i], now, place(of, run_name, key, report), report);
            any = true;
        }
    return any;
}
