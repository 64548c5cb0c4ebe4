/* Rows and page of a study, written together or not at all. */
#define _POSIX_C_SOURCE 200809L
#include "cli/vary_files.h"
#include "cli/page_file.h"
#include "show/document.h"

bool evn_vary_files_open(evn_vary_files *f, const char *csv, const char *page, evn_call *call)
{
    return (!csv || evn_out_open(&f->csv, csv, &call->mishap)) && evn_page_open(&f->page, page, &call->mishap);
}

static bool csv_written(const evn_vary_files *f, const evn_vary_story *story, evn_call *call)
{
    int error_number = 0;
    if (!f->csv.stream || evn_vary_csv(story, f->csv.stream, &error_number))
        return true;
    evn_out_failed(&f->csv, &call->mishap, error_number);
    return false;
}

static bool page_written(const evn_vary_files *f, const evn_vary_story *story, evn_call *call)
{
    evn_vary_story best = *story;
    evn_findings findings = {0};
    if (!f->page.stream)
        return true;
    best.ask = NULL;
    json_t *result = evn_vary_document(&best);
    evn_findings_add_report(&findings, call->report);
    evn_html_page page = {.kind = "vary",
                          .title = evn_variants_fact(story->variants, "study"),
                          .result = result,
                          .trust = "Each variant is driven at its own speeds. Ratios, motors and batteries that vary "
                                   "keep the laws that the study states for them; what a part can be built like is for "
                                   "its maker, and what a loaded vehicle may do for local regulation and licensed "
                                   "practice.\n",
                          .command = call->console->words,
                          .vary = &best};
    bool made = result && evn_document_findings(result, &findings);
    made = made ? evn_page_write(&f->page, &page, &call->mishap) : evn_mishap_no_memory(&call->mishap);
    json_decref(result);
    return made;
}

void evn_vary_files_write(evn_vary_files *f, const evn_vary_story *story, evn_call *call)
{
    if (csv_written(f, story, call) && page_written(f, story, call))
        evn_call_commit(call, (evn_out_file *const[]){&f->csv, &f->page}, 2);
}

void evn_vary_files_drop(evn_vary_files *f)
{
    evn_out_drop(&f->csv);
    evn_out_drop(&f->page);
}
