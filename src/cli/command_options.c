/* All options of a command: its own, and those of what is asked of a run. */
#include "cli/command.h"

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
