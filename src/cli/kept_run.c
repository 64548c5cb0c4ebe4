/* Driving the runs of a kept file, for evener check and evener keep. */
#define _POSIX_C_SOURCE 200809L
#include "cli/kept_run.h"

evn_status evn_kept_drive_all(evn_kept_drive *drive, const char *only, size_t threads)
{
    evn_call *call = &drive->call;
    evn_check_how how = {.threads = threads, .only = only, .self = call, .go_on = evn_call_go_on};
    call->progress = evn_progress_begin(call->console, "all runs");
    evn_status status = evn_kept_check(drive->kept, &how, &drive->check, call->report);
    evn_progress_end(&call->progress);
    return status;
}

evn_check_story evn_kept_drive_story(const evn_kept_drive *drive)
{
    return (evn_check_story){drive->kept, drive->check, drive->call.operands[0]};
}

void evn_kept_drive_forget(void *self)
{
    evn_kept_drive *drive = self;
    evn_check_free(drive->check);
    evn_kept_free(drive->kept);
}
