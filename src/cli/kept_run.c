#define _POSIX_C_SOURCE 200809L
#include "cli/kept_run.h"
#include "cli/command.h"

static bool go_on(void *self, double done_share)
{
    evn_kept_drive *drive = self;
    evn_progress_show(&drive->progress, done_share);
    return !evn_interrupt_seen(&drive->interrupt);
}

evn_status evn_kept_drive_all(evn_kept_drive *drive, const char *only, double threads)
{
    evn_check_how how = {.threads = (size_t)threads, .only = only, .self = drive, .go_on = go_on};
    evn_interrupt_begin(&drive->interrupt);
    drive->progress = evn_progress_begin(drive->console, "all runs");
    evn_status status = evn_kept_check(drive->kept, &how, &drive->check, drive->report);
    evn_progress_end(&drive->progress);
    evn_interrupt_end(&drive->interrupt);
    return status;
}

evn_check_story evn_kept_drive_story(const evn_kept_drive *drive)
{
    return (evn_check_story){drive->kept, drive->check, drive->path};
}

evn_findings evn_kept_drive_findings(const evn_kept_drive *drive)
{
    evn_findings findings = {0};
    evn_findings_add_mishap(&findings, &drive->mishap);
    evn_findings_add_report(&findings, drive->report);
    return findings;
}

evn_status evn_kept_drive_end(evn_kept_drive *drive, bool told, evn_status status)
{
    if (evn_mishap_happened(&drive->mishap))
        status = drive->mishap.status;
    if (!told) {
        evn_mishap mishap = {0};
        evn_mishap_say(&mishap, "out_of_memory", EVN_NO_RESULT, "memory ran out");
        status = evn_command_mishap(&mishap, drive->console);
    }
    evn_check_free(drive->check);
    evn_kept_free(drive->kept);
    evn_report_free(drive->report);
    return status;
}
