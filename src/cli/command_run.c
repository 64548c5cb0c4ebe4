/* A command line is parsed by the command's options, and the command runs; or why not is told. */
#define _POSIX_C_SOURCE 200809L
#include "cli/call.h"
#include "cli/command_line.h"
#include "show/document.h"
#include <stdlib.h>

/* A document is owed even when the command line was wrong. */
static evn_status refuse(const evn_command *command, bool json, const evn_mishap *mishap, const evn_console *console)
{
    evn_findings findings = {0};
    evn_findings_add_mishap(&findings, mishap);
    evn_command_mishap(mishap, console);
    if (json && !evn_document_failure(command->schema, &findings, console->out))
        return EVN_NO_RESULT;
    return mishap->status;
}

static bool none_is_missing(const evn_command *command, const evn_parsed *parsed, evn_mishap *mishap)
{
    if (parsed->operand_count + command->operands_optional >= command->operand_count)
        return true;
    evn_mishap_say(mishap, "usage", EVN_BAD_INPUT, "%s is missing; %s was expected; 'evener help %s' tells more",
                   command->operands[parsed->operand_count].name, command->operands[parsed->operand_count].help,
                   command->name);
    return false;
}

static void none_is_too_many(const evn_command *command, const evn_parsed *parsed, evn_mishap *mishap)
{
    if (parsed->operand_count > command->operand_count && !command->operands_many)
        evn_mishap_say(mishap, "usage", EVN_BAD_INPUT,
                       "'%s' is one word too many for 'evener %s'; 'evener help %s' tells more",
                       parsed->operands[command->operand_count], command->name, command->name);
}

static evn_status parse_and_run(const evn_command *command, int argument_count, char *const *arguments, void *args,
                                evn_parsed *parsed, const evn_console *console)
{
    evn_mishap mishap = {0};
    evn_option_list options;
    evn_command_defaults(command, args);
    evn_command_options(command, &options);
    evn_options_parse(options.at, options.count, argument_count, arguments, args, parsed, &mishap);
    if (parsed->help)
        return evn_help_command(command, console->out, evn_look_prose(&console->out_look)) ? EVN_DONE : EVN_NO_RESULT;
    none_is_too_many(command, parsed, &mishap);
    evn_command_line line = {.command = command,
                             .options = &options,
                             .args = args,
                             .parsed = parsed,
                             .words = arguments,
                             .word_count = argument_count > 0 ? (size_t)argument_count : 0};
    evn_inputs inputs = {0};
    /* what those that are there are comes first: a lineup in a truck's place tells why nothing stands behind it */
    bool fits = !evn_mishap_happened(&mishap) && evn_command_line_inputs(&line, &inputs, &mishap) &&
                none_is_missing(command, parsed, &mishap);
    evn_status status = fits ? evn_call_run(command, console, parsed->operands, args, parsed->json)
                             : refuse(command, parsed->json, &mishap, console);
    evn_inputs_free(&inputs);
    return status;
}

evn_status evn_command_run(const evn_command *command, int argument_count, char *const *arguments,
                           const evn_console *console)
{
    evn_parsed parsed = {.operands = calloc((size_t)argument_count + 1, sizeof *parsed.operands)};
    void *args = calloc(1, command->args_size);
    evn_status status = EVN_NO_RESULT;
    if (parsed.operands && args) {
        status = parse_and_run(command, argument_count, arguments, args, &parsed, console);
    } else {
        evn_mishap mishap = {0};
        evn_mishap_no_memory(&mishap);
        evn_command_mishap(&mishap, console);
    }
    free(args);
    free(parsed.operands);
    return status;
}
