/* A lineup with prices: read, asked, and as a page. */
#define _POSIX_C_SOURCE 200809L
#include "cli/priced_lineup.h"
#include "cli/page_file.h"
#include "show/document.h"

bool evn_priced_lineup_read(evn_priced_lineup *of, evn_call *call, const evn_load_args *load, const char *prices)
{
    evn_load how = evn_load_of(load);
    bool lineup = evn_lineup_load_with(call->operands[0], &how, &of->lineup, call->report) == EVN_DONE;
    return (!prices || evn_prices_load(prices, &of->prices, call->report) == EVN_DONE) && lineup;
}

bool evn_priced_lineup_asked(evn_priced_lineup *of, evn_call *call, const evn_asked *asked)
{
    of->ask = evn_lineup_ask(of->lineup);
    return evn_asked_apply(asked, &of->ask, call->report);
}

void evn_priced_lineup_free(evn_priced_lineup *of)
{
    evn_prices_free(of->prices);
    evn_lineup_free(of->lineup);
}

bool evn_priced_lineup_page(const evn_priced_lineup *of, evn_call *call, const evn_out_file *file, evn_html_page *page,
                            json_t *result)
{
    enum { TRUCKS = 12 };
    evn_html_truck trucks[TRUCKS];
    evn_findings findings = {0};
    page->truck = trucks;
    page->truck_count = evn_lineup_truck_count(of->lineup);
    for (size_t k = 0; k < page->truck_count; k++)
        trucks[k] = (evn_html_truck){.name = evn_lineup_truck_name(of->lineup, k),
                                     .title = evn_lineup_truck_title(of->lineup, k),
                                     .truck = evn_lineup_truck(of->lineup, k)};
    page->title = evn_lineup_name(of->lineup) ? evn_lineup_name(of->lineup) : page->title;
    page->result = result;
    page->command = call->console->words;
    evn_findings_add_report(&findings, call->report);
    bool made = result && evn_document_findings(result, &findings);
    made = made ? evn_page_write(file, page, &call->mishap) : evn_mishap_no_memory(&call->mishap);
    json_decref(result);
    return made;
}
