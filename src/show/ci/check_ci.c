/* Kept results held against new ones, for build servers: the Test Anything Protocol, and JUnit's XML. */
#include "show/check_story.h"
#include "show/ci/xml.h"
#include "show/names.h"
#include <math.h>

static bool is_well(evn_checked_state state) { return state == EVN_CHECKED_SAME; }

static void put_number(double value, FILE *to)
{
    if (isfinite(value))
        fprintf(to, "%.9g", value);
    else
        fputs("none", to);
}

/* A line of what moved, for reports that have room for one. */
static void put_short(const evn_check *check, size_t index, const evn_checked *checked, FILE *to)
{
    evn_moved_quantity q;
    fputs(evn_checked_state_name(checked->state), to);
    for (size_t k = 0; evn_check_moved_at(check, index, k, &q); k++) {
        fprintf(to, "; %s ", q.key);
        put_number(q.kept, to);
        fputs(" kept, ", to);
        put_number(q.now, to);
        fputs(" now", to);
    }
}

void evn_check_tap(const evn_check_story *story, FILE *to)
{
    evn_kept_run run;
    evn_checked checked;
    size_t index, number = 0, count = 0;
    for (size_t i = 0; evn_kept_at(story->kept, i, &run); i++)
        count += evn_check_find(story->check, run.name, &index, &checked);
    fprintf(to, "TAP version 13\n1..%zu\n", count);
    for (size_t i = 0; evn_kept_at(story->kept, i, &run); i++) {
        if (!evn_check_find(story->check, run.name, &index, &checked))
            continue;
        fprintf(to, "%sok %zu - %s\n", is_well(checked.state) ? "" : "not ", ++number, run.name);
        if (!is_well(checked.state)) {
            fputs("# ", to);
            put_short(story->check, index, &checked, to);
            fputc('\n', to);
        }
    }
}

void evn_check_junit(const evn_check_story *story, FILE *to)
{
    evn_kept_run run;
    evn_checked checked;
    size_t index, count = 0, failures = 0;
    for (size_t i = 0; evn_kept_at(story->kept, i, &run); i++)
        if (evn_check_find(story->check, run.name, &index, &checked)) {
            count++;
            failures += !is_well(checked.state);
        }
    fputs("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<testsuite name=\"", to);
    evn_put_xml(story->file, to);
    fprintf(to, "\" tests=\"%zu\" failures=\"%zu\">\n", count, failures);
    for (size_t i = 0; evn_kept_at(story->kept, i, &run); i++) {
        if (!evn_check_find(story->check, run.name, &index, &checked))
            continue;
        fputs("  <testcase classname=\"kept\" name=\"", to);
        evn_put_xml(run.name, to);
        fputs(is_well(checked.state) ? "\"/>\n" : "\"><failure>", to);
        if (!is_well(checked.state)) {
            put_short(story->check, index, &checked, to);
            fputs("</failure></testcase>\n", to);
        }
    }
    fputs("</testsuite>\n", to);
}
