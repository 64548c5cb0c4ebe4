/* The file of --page: opened before the run, written behind it. */
#include "cli/page_file.h"

bool evn_page_open(evn_out_file *file, const char *path, evn_mishap *mishap)
{
    if (!path)
        return true;
    if (evn_html_missing()) {
        evn_mishap_say(
            mishap, "usage", EVN_BAD_INPUT,
            "--page: this evener was built without pages, as %s; with npm there, build it anew (tools/build)",
            evn_html_missing());
        return false;
    }
    return evn_out_open(file, path, mishap);
}

bool evn_page_write(const evn_out_file *file, const evn_html_page *page, evn_mishap *mishap)
{
    for (size_t k = 0; k < page->truck_count; k++)
        if (!evn_html_run_fits(page->truck[k].run)) {
            evn_mishap_say(mishap, "usage", EVN_NO_RESULT,
                           "the page could not be made: rows of '%s' do not have the columns of its rig",
                           page->truck[k].name);
            return false;
        }
    evn_report *report = evn_report_new();
    bool made = report && evn_html_write(page, file->stream, report) == EVN_DONE;
    evn_finding found;
    if (!made)
        evn_mishap_say(mishap, "out_of_memory", EVN_NO_RESULT, "the page could not be made: %s",
                       report && evn_report_at(report, 0, &found) ? found.text : "memory ran out");
    evn_report_free(report);
    return made;
}
