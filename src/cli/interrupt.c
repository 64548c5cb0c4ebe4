/* Signals that ask a program to end, held back and looked at between the steps of a run. */
#define _POSIX_C_SOURCE 200809L
#include "cli/interrupt.h"
#include <stddef.h>

static const int asked_to_end[] = {SIGINT, SIGTERM, SIGHUP};
enum { ASKED_COUNT = sizeof asked_to_end / sizeof asked_to_end[0] };

void evn_interrupt_begin(evn_interrupt *interrupt)
{
    sigemptyset(&interrupt->watched);
    for (size_t i = 0; i < ASKED_COUNT; i++) {
        struct sigaction now;
        if (sigaction(asked_to_end[i], NULL, &now) == 0 && now.sa_handler != SIG_IGN)
            sigaddset(&interrupt->watched, asked_to_end[i]);
    }
    interrupt->held = sigprocmask(SIG_BLOCK, &interrupt->watched, &interrupt->before) == 0;
}

bool evn_interrupt_seen(const evn_interrupt *interrupt)
{
    sigset_t waiting;
    if (!interrupt->held || sigpending(&waiting) != 0)
        return false;
    for (size_t i = 0; i < ASKED_COUNT; i++)
        if (sigismember(&interrupt->watched, asked_to_end[i]) == 1 && sigismember(&waiting, asked_to_end[i]) == 1)
            return true;
    return false;
}

void evn_interrupt_end(evn_interrupt *interrupt)
{
    if (!interrupt->held)
        return;
    int taken;
    while (evn_interrupt_seen(interrupt) && sigwait(&interrupt->watched, &taken) == 0)
        continue;
    sigprocmask(SIG_SETMASK, &interrupt->before, NULL);
    interrupt->held = false;
}
