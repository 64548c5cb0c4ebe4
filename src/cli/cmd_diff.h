/* evener diff. */
#ifndef EVENER_CLI_CMD_DIFF_H
#define EVENER_CLI_CMD_DIFF_H
#include "cli/command.h"

extern const evn_command evn_command_diff;

#endif
