/* What evener site tells: words, a document, and the files that were asked for. */
#define _POSIX_C_SOURCE 200809L
#include "cli/look_options.h"
#include "cli/page_file.h"
#include "cli/site_run.h"
#include "show/document.h"
#include <stdio.h>
#include <stdlib.h>

bool evn_site_all_found(const evn_site_run *run)
{
    bool all = run->count > 0;
    for (size_t i = 0; i < run->count; i++)
        all = all && run->site[i];
    return all;
}

/* Of the first truck that did not get to the end of the run for its energy use; all did: "finished". */
static const char *status_of(const evn_site_run *run)
{
    for (size_t i = 0; i < run->count; i++)
        if (run->use[i].status[0])
            return run->use[i].status;
    return "finished";
}

/* `truck` has room for all. */
static evn_site_story story_of(const evn_site_run *run, evn_site_truck truck[EVN_SITE_TRUCKS_MOST])
{
    bool found = evn_site_all_found(run) && !evn_mishap_happened(&run->call.mishap);
    for (size_t i = 0; i < run->count; i++)
        truck[i] = (evn_site_truck){run->name[i] ? run->name[i] : run->call.operands[i],
                                    run->title[i],
                                    run->of[i],
                                    run->site[i],
                                    run->use[i].kwh_per_km,
                                    run->use[i].status[0] != '\0'};
    return (evn_site_story){.status = found ? status_of(run) : "failed",
                            .truck = truck,
                            .count = run->count,
                            .ask = run->ask,
                            .site_ask = run->site_ask,
                            .groups = run->args->groups.at,
                            .brief = !run->args->all && !run->args->groups.at[0]};
}

bool evn_site_tell(void *self)
{
    const evn_site_run *run = self;
    evn_site_truck truck[EVN_SITE_TRUCKS_MOST];
    evn_site_story story = story_of(run, truck);
    evn_look look = evn_look_with(&run->call.console->out_look, run->args->digits);
    if (run->args->json)
        return evn_site_json(&story, &run->call.findings, run->call.console->out);
    return !evn_site_all_found(run) || evn_site_words(&story, run->call.console->out, &look);
}

/* One line for each truck: its name, and what of its demands it misses. To be freed; NULL when memory is out. */
static char *answer_lines(const evn_site_story *story)
{
    char *text = NULL;
    size_t bytes = 0;
    FILE *to = open_memstream(&text, &bytes);
    bool made = to && evn_site_answer_lines(story, to);
    if (to && fclose(to) == 0 && made)
        return text;
    free(text);
    return NULL;
}

static bool page_written(evn_site_run *run, const evn_site_story *story)
{
    evn_html_truck trucks[EVN_SITE_TRUCKS_MOST];
    char title[64];
    if (!run->page.stream)
        return true;
    snprintf(title, sizeof title, "Where %zu trucks work", story->count);
    for (size_t i = 0; i < story->count; i++)
        trucks[i] = (evn_html_truck){
            .name = story->truck[i].name, .title = evn_site_title(&story->truck[i]), .truck = story->truck[i].truck};
    char *answer = answer_lines(story);
    json_t *result = evn_site_document(story);
    evn_findings findings = {0};
    evn_findings_add_report(&findings, run->call.report);
    evn_html_page page = {.kind = "site",
                          .title = story->count > 1 ? title : evn_truck_name(story->truck[0].truck),
                          .result = result,
                          .answer = answer,
                          .trust = EVN_SITE_CAUTION "\n",
                          .truck = trucks,
                          .truck_count = story->count,
                          .command = run->call.console->words,
                          .site = story};
    bool made = answer && result && evn_document_findings(result, &findings);
    made = made ? evn_page_write(&run->page, &page, &run->call.mishap) : evn_mishap_no_memory(&run->call.mishap);
    json_decref(result);
    free(answer);
    return made;
}

void evn_site_write_files(void *self, evn_status found)
{
    evn_site_run *run = self;
    evn_site_truck truck[EVN_SITE_TRUCKS_MOST];
    evn_site_story story = story_of(run, truck);
    (void)found;
    if (evn_site_all_found(run) && (!run->csv.stream || evn_site_csv(&story, run->csv.stream)) &&
        page_written(run, &story))
        evn_call_commit(&run->call, (evn_out_file *const[]){&run->csv, &run->page}, 2);
}
