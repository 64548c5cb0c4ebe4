/* The frame around every command. */
#define _POSIX_C_SOURCE 200809L
#include "cli/call.h"
#include <stdlib.h>

evn_status evn_command_mishap(const evn_mishap *mishap, const evn_console *console)
{
    evn_findings findings = {0};
    evn_findings_add_mishap(&findings, mishap);
    evn_findings_print(&findings, console->err, &console->err_look);
    return mishap->status;
}

bool evn_call_go_on(void *self, double done_share)
{
    evn_call *call = self;
    evn_progress_show(&call->progress, done_share);
    call->stopped = call->stopped || evn_interrupt_seen(&call->interrupt);
    return !call->stopped;
}

bool evn_call_may_commit(evn_call *call)
{
    call->stopped = call->stopped || evn_interrupt_seen(&call->interrupt);
    if (call->stopped && evn_report_status(call->report) < EVN_NO_RESULT)
        evn_mishap_say(&call->mishap, "interrupted", EVN_NO_RESULT, "interrupted; no file was written");
    return !call->stopped;
}

bool evn_call_commit(evn_call *call, evn_out_file *const *file, size_t count)
{
    if (evn_call_may_commit(call))
        return evn_out_commit_all(file, count, &call->mishap);
    for (size_t i = 0; i < count; i++)
        evn_out_drop(file[i]);
    return false;
}

static evn_status no_memory(const evn_console *console)
{
    evn_mishap mishap = {0};
    evn_mishap_no_memory(&mishap);
    return evn_command_mishap(&mishap, console);
}

/* Findings first, so that they stand above what came of it where both go to one terminal. False when memory is out. */
static bool work_and_tell(const evn_command *command, evn_call *call)
{
    if (!call->report)
        return false;
    call->status = command->work(call);
    if (evn_mishap_happened(&call->mishap))
        call->status = call->mishap.status;
    if (evn_stream_unread(call->console->out)) /* nobody is there any more to be told */
        return true;
    evn_findings_add_mishap(&call->findings, &call->mishap);
    evn_findings_add_report(&call->findings, call->report);
    evn_findings_print(&call->findings, call->console->err, &call->console->err_look);
    return command->tell(call);
}

evn_status evn_call_run(const evn_command *command, const evn_console *console, const char *const *operands,
                        const void *args, bool json)
{
    evn_call *call = calloc(1, command->run_size);
    if (!call)
        return no_memory(console);
    *call =
        (evn_call){.console = console, .operands = operands, .args = args, .report = evn_report_new(), .json = json};
    evn_status status = work_and_tell(command, call) ? call->status : no_memory(console);
    if (command->forget)
        command->forget(call);
    evn_report_free(call->report);
    free(call);
    return status;
}
