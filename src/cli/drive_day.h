/* evener drive with a duty in place of a cycle. */
#ifndef EVENER_CLI_DRIVE_DAY_H
#define EVENER_CLI_DRIVE_DAY_H
#include "cli/call.h"
#include "cli/load_options.h"
#include "evener/duty.h"
#include "show/csv/day_trace_csv.h"
#include "show/day_strip.h"
#include "show/out_file.h"
#include "show/page/html_page.h"

typedef struct evn_drive_day {
    const evn_truck *truck; /* NULL: it was not read (said) */
    evn_conditions ask;
    const char *csv, *trace, *page; /* as asked; NULL: none; a trace "-": standard output */
    const char *name;               /* of the truck, short */
    bool plot;

    evn_duty *duty; /* NULL: it was not read; what follows likewise */
    evn_day *day;
    evn_day_tape **tape;      /* of each season; NULL: nobody draws */
    evn_day_trace *rows;      /* NULL: nobody writes them */
    evn_html_run **over_time; /* of each season, for the page; NULL without one */
    evn_sampler sampler[3];
} evn_drive_day;

/* Reads the duty, drives it with the truck, and writes what was asked for. */
evn_status evn_drive_day_work(evn_call *, evn_drive_day *, const evn_load_args *);
bool evn_drive_day_tell(const evn_call *, const evn_drive_day *, bool digits);
void evn_drive_day_forget(evn_drive_day *);

#endif
