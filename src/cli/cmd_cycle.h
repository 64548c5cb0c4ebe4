/* evener cycle info: statistics of a cycle. */
#ifndef EVENER_CLI_CMD_CYCLE_H
#define EVENER_CLI_CMD_CYCLE_H
#include "cli/command.h"

extern const evn_command evn_command_cycle_info;

#endif
