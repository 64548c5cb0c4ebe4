/* evener drive with a duty in place of a cycle. */
#ifndef EVENER_CLI_DRIVE_DAY_H
#define EVENER_CLI_DRIVE_DAY_H
#include "cli/call.h"
#include "cli/load_options.h"
#include "evener/duty.h"

typedef struct evn_drive_day {
    evn_duty *duty; /* NULL: a cycle is driven, or it was not read */
    evn_day *day;
    const char *csv; /* as asked; NULL: none */
} evn_drive_day;

/* Reads the duty, drives it with the truck, which may be NULL (said), and writes what was asked for. */
evn_status evn_drive_day_work(evn_call *, evn_drive_day *, const evn_truck *, const evn_load_args *,
                              const evn_conditions *);
bool evn_drive_day_tell(const evn_call *, const evn_drive_day *, const evn_truck *, const evn_conditions *,
                        bool digits);
void evn_drive_day_forget(evn_drive_day *);

#endif
