/*
 * Ctrl-C during a run. The signals that ask a program to end are held back and looked at between steps, so that no
 * handler, and no global variable for one, is needed, and a half-written file can be dealt with in peace.
 */
#ifndef EVENER_CLI_INTERRUPT_H
#define EVENER_CLI_INTERRUPT_H
#include <signal.h>
#include <stdbool.h>

typedef struct evn_interrupt {
    sigset_t watched, before;
    bool held; /* between begin and end */
} evn_interrupt;

/* From here on SIGINT, SIGTERM and SIGHUP wait, unless the program was started with them ignored. */
void evn_interrupt_begin(evn_interrupt *);
bool evn_interrupt_seen(const evn_interrupt *);
/* Takes the signals that came meanwhile and lets later ones through again. */
void evn_interrupt_end(evn_interrupt *);

#endif
