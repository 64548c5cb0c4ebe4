/* A lineup with prices, as the commands that ask what its trucks cost read it, and its page. */
#ifndef EVENER_CLI_PRICED_LINEUP_H
#define EVENER_CLI_PRICED_LINEUP_H
#include "cli/call.h"
#include "cli/load_options.h"
#include "evener/payback.h"
#include "show/page/html_page.h"

typedef struct evn_priced_lineup {
    evn_lineup *lineup;
    evn_prices *prices; /* NULL: not asked for */
    evn_conditions ask; /* the lineup's, and above it what the command line asks */
} evn_priced_lineup;

/* Reads the lineup that is the command's operand, and prices (NULL: none). All are read even if the first is refused,
 * so that all that is wrong comes out at once. False: said in the call's report. */
bool evn_priced_lineup_read(evn_priced_lineup *, evn_call *, const evn_load_args *, const char *prices);
/* Behind it: what the lineup asks, and what options ask above that. False: said. */
bool evn_priced_lineup_asked(evn_priced_lineup *, evn_call *, const evn_asked *);
void evn_priced_lineup_free(evn_priced_lineup *);

/* Writes the page of a command about the lineup's trucks, whose findings it adds to the result. Of `page` kind, trust
 * and story are there; its title is for a lineup that has no name. Takes the result; NULL: memory is out. False with a
 * mishap. */
bool evn_priced_lineup_page(const evn_priced_lineup *, evn_call *, const evn_out_file *, evn_html_page *page,
                            json_t *result);

#endif
