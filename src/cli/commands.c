/* The table of commands, and how a command line finds its own. */
#define _POSIX_C_SOURCE 200809L
#include "cli/call.h"
#include "cli/cmd_check.h"
#include "cli/cmd_compare.h"
#include "cli/cmd_cycle.h"
#include "cli/cmd_diff.h"
#include "cli/cmd_drive.h"
#include "cli/cmd_keep.h"
#include "cli/cmd_keys.h"
#include "cli/cmd_list.h"
#include "cli/cmd_new.h"
#include "cli/cmd_show.h"
#include "cli/command.h"
#include "show/document.h"
#include <stdlib.h>
#include <string.h>

const evn_command *const evn_commands[] = {
    &evn_command_drive, &evn_command_compare, &evn_command_cycle_info, &evn_command_show,  &evn_command_keys,
    &evn_command_list,  &evn_command_new,     &evn_command_keep,       &evn_command_check, &evn_command_diff,
};
const size_t evn_command_count = sizeof evn_commands / sizeof evn_commands[0];

/* Words of the name that the arguments begin with; 0 when they do not. */
static int words_matched(const char *name, int argument_count, char *const *arguments)
{
    int words = 0;
    for (;;) {
        size_t length = strcspn(name, " ");
        if (words == argument_count || strlen(arguments[words]) != length ||
            strncmp(arguments[words], name, length) != 0)
            return 0;
        words++;
        if (name[length] == '\0')
            return words;
        name += length + 1;
    }
}

const evn_command *evn_command_find(int argument_count, char *const *arguments, int *words)
{
    for (size_t i = 0; i < evn_command_count; i++) {
        *words = words_matched(evn_commands[i]->name, argument_count, arguments);
        if (*words > 0)
            return evn_commands[i];
    }
    return NULL;
}

bool evn_command_is_group(const char *word)
{
    size_t length = strlen(word);
    for (size_t i = 0; i < evn_command_count; i++)
        if (strncmp(evn_commands[i]->name, word, length) == 0 && evn_commands[i]->name[length] == ' ')
            return true;
    return false;
}

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

static void check_operands(const evn_command *command, const evn_parsed *parsed, evn_mishap *mishap)
{
    if (parsed->operand_count + command->operands_optional < command->operand_count)
        evn_mishap_say(mishap, "usage", EVN_BAD_INPUT, "%s is missing; %s was expected; 'evener help %s' tells more",
                       command->operands[parsed->operand_count].name, command->operands[parsed->operand_count].help,
                       command->name);
    else if (parsed->operand_count > command->operand_count && !command->operands_many)
        evn_mishap_say(mishap, "usage", EVN_BAD_INPUT,
                       "'%s' is one word too many for 'evener %s'; 'evener help %s' tells more",
                       parsed->operands[command->operand_count], command->name, command->name);
}

void evn_command_options(const evn_command *command, evn_option_list *out)
{
    out->count = command->option_count;
    for (size_t i = 0; i < command->option_count; i++)
        out->at[i] = command->options[i];
    if (command->asks)
        out->count += evn_ask_options(command->asks, command->asked_offset, &out->texts, out->at + out->count,
                                      EVN_OPTIONS_MOST - out->count);
}

void evn_command_defaults(const evn_command *command, void *args)
{
    command->defaults(args);
    if (command->asks)
        evn_asked_clear((evn_asked *)(void *)((char *)args + command->asked_offset));
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
        return evn_help_command(command, console->out) ? EVN_DONE : EVN_NO_RESULT;
    check_operands(command, parsed, &mishap);
    if (evn_mishap_happened(&mishap))
        return refuse(command, parsed->json, &mishap, console);
    return evn_call_run(command, console, parsed->operands, args, parsed->json);
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
