/* evener keep. */
#ifndef EVENER_CLI_CMD_KEEP_H
#define EVENER_CLI_CMD_KEEP_H
#include "cli/command.h"

extern const evn_command evn_command_keep;

#endif
