/* Whether the files that a command is to write spare its inputs and each other. */
#include "cli/outputs.h"
#include "show/out_file.h"
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
