/*
 * The frame around every command: it makes the list of findings, lets the command work, prints what was found and then
 * what came of it, in words or as JSON, and forgets. A command is its options, its work and its telling.
 */
#ifndef EVENER_CLI_CALL_H
#define EVENER_CLI_CALL_H
#include "cli/command.h"
#include "cli/interrupt.h"
#include "cli/progress.h"
#include "show/out_file.h"

/* What every command has in hand. The struct that a command works on begins with one. */
typedef struct evn_call {
    const evn_console *console;
    const char *const *operands; /* ends with NULL */
    const void *args;            /* the struct that the options filled */
    evn_report *report;          /* what the library finds */
    evn_mishap mishap;           /* what the program itself could not do */
    evn_interrupt interrupt;     /* for work that takes long, */
    evn_progress progress;       /* likewise */
    bool stopped;                /* by a signal */
    bool json;                   /* what is told is a document */
    evn_status status;           /* behind the work: a mishap's, else what the work came to */
    evn_findings findings;       /* behind the work: all there are */
} evn_call;

/* Runs the command behind its options; returns the status of the program. */
evn_status evn_call_run(const evn_command *, const evn_console *, const char *const *operands, const void *args,
                        bool json);

/* Shows how far the work is and looks for a signal; false: stop. `call` is an evn_call, as the library's watchers want
 * it. */
bool evn_call_go_on(void *call, double done_share);

/*
 * Output files are opened, written and ended while signals are held (interrupt.h): so none leaves a temporary file
 * behind. The last look before a file takes its name: false, where a signal came; that is a mishap unless the report
 * says it.
 */
bool evn_call_may_commit(evn_call *);
/* With that look: ends so many files together (evn_out_commit_all), or drops them. */
bool evn_call_commit(evn_call *, evn_out_file *const *, size_t count);

/* Prints a mishap as a finding; returns its status. */
evn_status evn_command_mishap(const evn_mishap *, const evn_console *);

#endif
