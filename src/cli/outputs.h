/* Output files of a command, as they were asked for, before any is opened. */
#ifndef EVENER_CLI_OUTPUTS_H
#define EVENER_CLI_OUTPUTS_H
#include "evener/evener.h"
#include "show/findings.h"

typedef struct evn_output {
    const char *option; /* "--page" */
    const char *path;   /* NULL: not asked for */
} evn_output;

/*
 * True when each of them may be written: none takes the place of a file that was read, whatever named it (the command
 * line, a lineup, extends, use, a table), no two are one file, and none is "-". Else a mishap.
 */
bool evn_outputs_fit(const evn_output *, size_t count, const evn_report *read, evn_mishap *);

#endif
