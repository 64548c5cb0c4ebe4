/* Output files of a command: whether they spare its inputs and each other, and the work between opening and ending. */
#define _POSIX_C_SOURCE 200809L
#include "cli/outputs.h"
#include "cli/call.h"
#include "cli/page_file.h"
#include <string.h>

static bool spares_inputs(const evn_output *output, const evn_report *read, evn_mishap *mishap)
{
    const char *input;
    for (size_t i = 0; (input = evn_report_file_at(read, i)); i++)
        if (evn_out_is_file(output->path, input)) {
            evn_mishap_say(mishap, "usage", EVN_BAD_INPUT,
                           "%s would overwrite the input '%s'; another file was expected", output->option, input);
            return false;
        }
    return true;
}

static bool spares_other(const evn_output *output, const evn_output *other, evn_mishap *mishap)
{
    if (!other->path || !evn_out_same_target(output->path, other->path))
        return true;
    evn_mishap_say(mishap, "usage", EVN_BAD_INPUT, "%s and %s both write '%s'; two files were expected", other->option,
                   output->option, output->path);
    return false;
}

bool evn_outputs_fit(const evn_output *output, size_t count, const evn_report *read, evn_mishap *mishap)
{
    for (size_t i = 0; i < count; i++) {
        if (!output[i].path)
            continue;
        if (strcmp(output[i].path, "-") == 0) {
            evn_mishap_say(mishap, "usage", EVN_BAD_INPUT, "%s - has no standard output to itself; a file was expected",
                           output[i].option);
            return false;
        }
        if (!spares_inputs(&output[i], read, mishap))
            return false;
        for (size_t k = 0; k < i; k++)
            if (!spares_other(&output[i], &output[k], mishap))
                return false;
    }
    return true;
}

static bool open_all(evn_call *call, const evn_output *output, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const evn_output *o = &output[i];
        if (o->path &&
            !(o->page ? evn_page_open(o->file, o->path, &call->mishap) : evn_out_open(o->file, o->path, &call->mishap)))
            return false;
    }
    return true;
}

evn_status evn_outputs_work(evn_call *call, const evn_output *output, size_t count, evn_status (*find)(void *),
                            void (*write)(void *, evn_status))
{
    evn_status status = EVN_BAD_IO;
    if (!evn_outputs_fit(output, count, call->report, &call->mishap))
        return EVN_BAD_INPUT;
    evn_interrupt_begin(&call->interrupt);
    if (open_all(call, output, count)) {
        status = find(call);
        write(call, status);
    }
    for (size_t i = 0; i < count; i++)
        evn_out_drop(output[i].file);
    evn_interrupt_end(&call->interrupt);
    return status;
}
