/* evener payback: what the dearer truck earns. */
#ifndef EVENER_CLI_CMD_PAYBACK_H
#define EVENER_CLI_CMD_PAYBACK_H
#include "cli/command.h"

extern const evn_command evn_command_payback;

#endif
