/* The table of commands, and how a command line finds its own. */
#include "cli/cmd_assess.h"
#include "cli/cmd_check.h"
#include "cli/cmd_coastdown.h"
#include "cli/cmd_compare.h"
#include "cli/cmd_cycle.h"
#include "cli/cmd_diff.h"
#include "cli/cmd_drive.h"
#include "cli/cmd_explain.h"
#include "cli/cmd_import.h"
#include "cli/cmd_keep.h"
#include "cli/cmd_keys.h"
#include "cli/cmd_limits.h"
#include "cli/cmd_list.h"
#include "cli/cmd_losses.h"
#include "cli/cmd_match.h"
#include "cli/cmd_matrix.h"
#include "cli/cmd_new.h"
#include "cli/cmd_payback.h"
#include "cli/cmd_range.h"
#include "cli/cmd_show.h"
#include "cli/cmd_site.h"
#include "cli/cmd_vary.h"
#include "cli/command.h"
#include <string.h>

const evn_command *const evn_commands[] = {
    &evn_command_drive,
    &evn_command_range,
    &evn_command_compare,
    &evn_command_cycle_info,
    &evn_command_show,
    &evn_command_limits,
    &evn_command_site,
    &evn_command_keys,
    &evn_command_list,
    &evn_command_new,
    &evn_command_keep,
    &evn_command_check,
    &evn_command_diff,
    &evn_command_explain,
    &evn_command_payback,
    &evn_command_assess,
    &evn_command_import,
    &evn_command_matrix,
    &evn_command_losses,
    &evn_command_coastdown,
    &evn_command_match,
    /* two words before the first of them alone */
    &evn_command_vary_tune,
    &evn_command_vary_show,
    &evn_command_vary_merge,
    &evn_command_vary,
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
