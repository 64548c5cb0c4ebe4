/* evener coastdown: what holds a truck back, out of logs of coast-downs. */
#ifndef EVENER_CLI_CMD_COASTDOWN_H
#define EVENER_CLI_CMD_COASTDOWN_H
#include "cli/command.h"

extern const evn_command evn_command_coastdown;

#endif
