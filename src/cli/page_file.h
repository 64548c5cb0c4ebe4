/* --page FILE.html, as all commands that write pages take it. */
#ifndef EVENER_CLI_PAGE_FILE_H
#define EVENER_CLI_PAGE_FILE_H
#include "show/look.h"
#include "show/out_file.h"
#include "show/page/html_page.h"

#define EVN_PAGE_NOTE                                                                                                  \
    "A page is one HTML file with charts and their tables that opens in any browser and needs no network. Like all "   \
    "output files it is written whole or not at all."

/*
 * Opens the file; the path may be NULL: no page. False, with a mishap, when this program was built without pages, or
 * the file cannot be written.
 */
bool evn_page_open(evn_out_file *, const char *path, evn_mishap *);

/* Writes the page into the file, which stays open. False with a mishap when it could not be made. */
bool evn_page_write(const evn_out_file *, const evn_html_page *, evn_mishap *);

#endif
