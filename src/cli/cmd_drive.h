/* evener drive: one truck over one cycle. */
#ifndef EVENER_CLI_CMD_DRIVE_H
#define EVENER_CLI_CMD_DRIVE_H
#include "cli/command.h"

extern const evn_command evn_command_drive;

#endif
