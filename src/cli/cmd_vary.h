/* evener vary, evener vary tune, show and merge. */
#ifndef EVENER_CLI_CMD_VARY_H
#define EVENER_CLI_CMD_VARY_H
#include "cli/command.h"

extern const evn_command evn_command_vary, evn_command_vary_show, evn_command_vary_merge, evn_command_vary_tune;

#endif
