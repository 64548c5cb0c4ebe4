/* evener limits: what trucks can do, before any route. */
#ifndef EVENER_CLI_CMD_LIMITS_H
#define EVENER_CLI_CMD_LIMITS_H
#include "cli/command.h"

extern const evn_command evn_command_limits;

#endif
