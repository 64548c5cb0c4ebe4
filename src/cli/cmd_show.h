/* evener show: a truck as it stands after all files are put together, and what follows from it. */
#ifndef EVENER_CLI_CMD_SHOW_H
#define EVENER_CLI_CMD_SHOW_H
#include "cli/command.h"

extern const evn_command evn_command_show;

#endif
