/* evener check. */
#ifndef EVENER_CLI_CMD_CHECK_H
#define EVENER_CLI_CMD_CHECK_H
#include "cli/command.h"

extern const evn_command evn_command_check;

#endif
