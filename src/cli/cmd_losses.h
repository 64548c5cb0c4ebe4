/* evener losses: measured losses of gears made a part. */
#ifndef EVENER_CLI_CMD_LOSSES_H
#define EVENER_CLI_CMD_LOSSES_H
#include "cli/command.h"

extern const evn_command evn_command_losses;

#endif
