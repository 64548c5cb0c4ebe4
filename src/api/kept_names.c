/* Names in kept results: those that are others now are refused where they are to be held against, and taken where they
 * are recorded anew; those that are none are told. */
#include "api/kept_names.h"
#include "core/words.h"
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

/* Where a result of a run stands. */
static evn_spot result_place(evn_kept_place *place, const void *of, const char *run_name, const char *name,
                             evn_report *report)
{
    char key[NAME_BYTES];
    snprintf(key, sizeof key, "results.%.4100s", name);
    return place(of, run_name, key, report);
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
    char now[NAME_BYTES];
    bool any = false;
    if (run->status && evn_renamed_key(run->status, now, sizeof now)) {
        say(run->status, now, place(of, run_name, "status", report), report);
        any = true;
    }
    for (size_t i = 0; i < run->results.count; i++)
        if (evn_renamed_key(run->results.name[i], now, sizeof now)) {
            say(run->results.name[i], now, result_place(place, of, run_name, run->results.name[i], report), report);
            any = true;
        }
    return any;
}

/* Whether the result from this one on, or any by its name of today, is called so. */
static bool is_there_too(const evn_numbers *results, size_t from, const char *now)
{
    char other[NAME_BYTES];
    for (size_t i = 0; i < results->count; i++)
        if (strcmp(results->name[i], now) == 0 ||
            (i >= from && evn_renamed_key(results->name[i], other, sizeof other) && strcmp(other, now) == 0))
            return true;
    return false;
}

bool evn_kept_names_once(const evn_kept_run_file *run, evn_kept_place *place, const void *of, const char *run_name,
                         evn_report *report)
{
    char now[NAME_BYTES];
    bool once = true;
    for (size_t i = 0; i < run->results.count; i++) {
        const char *name = run->results.name[i];
        if (!evn_renamed_key(name, now, sizeof now) || !is_there_too(&run->results, i + 1, now))
            continue;
        evn_say(report, EVN_FAULT_DUPLICATE_KEY, result_place(place, of, run_name, name, report), evn_nowhere,
                "'%s' is now '%s', which stands in this run too; expected one of them", name, now);
        once = false;
    }
    return once;
}

bool evn_result_names_gather(evn_arena *arena, evn_result_names *out)
{
    evn_quantity what;
    *out = (evn_result_names){.count = 0};
    while (evn_result_row_at(out->count, &what))
        out->count++;
    out->at = evn_arena_take(arena, (out->count + 1) * sizeof *out->at);
    for (size_t i = 0; out->at && evn_result_row_at(i, &what); i++)
        out->at[i] = what.key;
    return out->at;
}

/* With NAME for what stands between the first part and the last, as the list of results has it. */
static void put_pattern(const char *key, char *out, size_t size)
{
    const char *first = strchr(key, '.'), *last = strrchr(key, '.');
    if (first == last)
        snprintf(out, size, "%s", key);
    else
        snprintf(out, size, "%.*s.NAME%s", (int)(first - key), key, last);
}

static bool is_result(const evn_result_names *names, const char *pattern)
{
    for (size_t i = 0; i < names->count; i++)
        if (strcmp(names->at[i], pattern) == 0)
            return true;
    return false;
}

void evn_kept_names_doubt(const evn_kept_run_file *run, const evn_result_names *names, evn_kept_place *place,
                          const void *of, const char *run_name, evn_report *report)
{
    char pattern[NAME_BYTES + sizeof ".NAME"], now[NAME_BYTES], nearest[EVN_PHRASE_BYTES];
    for (size_t i = 0; i < run->results.count; i++) {
        const char *name = run->results.name[i];
        put_pattern(name, pattern, sizeof pattern);
        if (is_result(names, pattern) || evn_renamed_key(name, now, sizeof now))
            continue;
        evn_say(report, EVN_FAULT_UNKNOWN_RESULT, result_place(place, of, run_name, name, report), evn_nowhere,
                "no result is called '%s'; expected one that 'evener keys --results' shows%s", name,
                evn_nearest_phrase(nearest, pattern, names->at, names->count));
    }
}
