/* evener new: a commented file to start from. */
#ifndef EVENER_CLI_CMD_NEW_H
#define EVENER_CLI_CMD_NEW_H
#include "cli/command.h"

extern const evn_command evn_command_new;

#endif
