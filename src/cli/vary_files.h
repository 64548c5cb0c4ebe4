/* The files that commands on variants write: rows as CSV, a page. */
#ifndef EVENER_CLI_VARY_FILES_H
#define EVENER_CLI_VARY_FILES_H
#include "cli/call.h"
#include "show/out_file.h"
#include "show/vary_story.h"

typedef struct evn_vary_files {
    evn_out_file csv, page;
} evn_vary_files;

/* Signals are held from before until they are ended. Paths may be NULL. False, with a mishap. */
bool evn_vary_files_open(evn_vary_files *, const char *csv, const char *page, evn_call *);
/* All or none. */
void evn_vary_files_write(evn_vary_files *, const evn_vary_story *, evn_call *);
void evn_vary_files_drop(evn_vary_files *);

#define EVN_VARY_PAGE_OPTION(type, member)                                                                             \
    {.name = "page",                                                                                                   \
     .argument = "FILE.html",                                                                                          \
     .kind = EVN_OPTION_TEXT,                                                                                          \
     .offset = offsetof(type, member),                                                                                 \
     .takes = {EVN_TAKES_FILE, NULL, NULL},                                                                            \
     .help = "the best, points with their front, heat maps, shares of the variance and tables, to be opened in a "     \
             "browser"}

#endif
