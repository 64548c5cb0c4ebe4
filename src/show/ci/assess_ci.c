/* Verdicts as tests for build servers: JUnit's XML. */
#include "show/assess_story.h"
#include "show/ci/xml.h"
#include <math.h>

static void put_why(const evn_assessed *is, FILE *to)
{
    char value[80], demanded[80], margin[80], sure[80];
    evn_assess_amount(value, sizeof value, &is->what, is->value);
    evn_assess_amount(demanded, sizeof demanded, &is->what, is->demanded);
    evn_put_xml(evn_verdict_words(is->verdict), to);
    fputs(": ", to);
    evn_put_xml(isnan(is->value) ? (is->missing ? is->missing : "not at all") : value, to);
    fputs(is->at_most ? ", at most " : ", at least ", to);
    evn_put_xml(demanded, to);
    if (is->verdict != EVN_VERDICT_NOT_KNOWN && !isnan(is->margin)) {
        evn_assess_amount(margin, sizeof margin, &is->what, is->margin);
        fputs("; margin ", to);
        evn_put_xml(margin, to);
        if (is->uncertainty > 0) {
            evn_assess_sure_words(is, sure, sizeof sure);
            fputs(", sure to ", to);
            evn_put_xml(sure, to);
        }
    }
    const char *const more[] = {is->why, is->left_out};
    for (size_t k = 0; k < 2; k++)
        if (more[k]) {
            fputs("; ", to);
            evn_put_xml(more[k], to);
        }
}

static void count(const evn_assess_story *story, size_t *tests, size_t *failures, size_t *skipped)
{
    evn_assessed is;
    for (size_t k = 0; k < evn_assessment_truck_count(story->assessment); k++)
        for (size_t i = 0; evn_assessed_at(story->assessment, k, i, &is); i++) {
            *tests += is.verdict != EVN_VERDICT_NOT_ASKED;
            *failures += is.verdict == EVN_VERDICT_FAIL;
            *skipped += is.verdict == EVN_VERDICT_MARGINAL || is.verdict == EVN_VERDICT_NOT_KNOWN;
        }
}

static void put_test(const char *truck, const evn_assessed *is, FILE *to)
{
    bool failure = is->verdict == EVN_VERDICT_FAIL;
    fputs("  <testcase classname=\"", to);
    evn_put_xml(truck, to);
    fputs("\" name=\"", to);
    evn_put_xml(is->what.key, to);
    if (is->verdict == EVN_VERDICT_PASS) {
        fputs(is->left_out ? "\"><system-out>" : "\"/>\n", to);
        evn_put_xml(is->left_out ? is->left_out : "", to);
        fputs(is->left_out ? "</system-out></testcase>\n" : "", to);
        return;
    }
    fputs(failure ? "\"><failure>" : "\"><skipped message=\"", to);
    put_why(is, to);
    fputs(failure ? "</failure></testcase>\n" : "\"/></testcase>\n", to);
}

void evn_assess_junit(const evn_assess_story *story, FILE *to)
{
    size_t tests = 0, failures = 0, skipped = 0;
    evn_assessed is;
    count(story, &tests, &failures, &skipped);
    fputs("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<testsuite name=\"", to);
    evn_put_xml(evn_lineup_over(story->lineup), to);
    fprintf(to, "\" tests=\"%zu\" failures=\"%zu\" skipped=\"%zu\">\n", tests, failures, skipped);
    for (size_t k = 0; k < evn_assessment_truck_count(story->assessment); k++)
        for (size_t i = 0; evn_assessed_at(story->assessment, k, i, &is); i++)
            if (is.verdict != EVN_VERDICT_NOT_ASKED)
                put_test(evn_lineup_truck_name(story->lineup, k), &is, to);
    fputs("</testsuite>\n", to);
}
