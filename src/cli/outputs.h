/* Output files of a command: as they were asked for, and opened, written and ended around its work. */
#ifndef EVENER_CLI_OUTPUTS_H
#define EVENER_CLI_OUTPUTS_H
#include "evener/evener.h"
#include "show/findings.h"
#include "show/out_file.h"

struct evn_call; /* call.h */

typedef struct evn_output {
    const char *option; /* "--page" */
    const char *path;   /* NULL: not asked for */
    evn_out_file *file; /* where evn_outputs_work opens it */
    bool page;          /* it is a page (page_file.h) */
} evn_output;

/*
 * True when each of them may be written: none takes the place of a file that was read, whatever named it (the command
 * line, a lineup, extends, use, a table), no two are one file, and none is "-". Else a mishap.
 */
bool evn_outputs_fit(const evn_output *, size_t count, const evn_report *read, evn_mishap *);

/*
 * The work of a command with output files: where they may be written (else EVN_BAD_INPUT) all are opened, `find` works,
 * `write` writes and ends those that are to stay (evn_call_commit), and the others are dropped. Signals are held from
 * before the first is opened until the last is ended. Both get the call, with which the command's struct begins, and
 * `write` what `find` came to. EVN_BAD_IO where one cannot be opened, else what `find` came to.
 */
evn_status evn_outputs_work(struct evn_call *, const evn_output *, size_t count, evn_status (*find)(void *call),
                            void (*write)(void *call, evn_status found));

#endif
