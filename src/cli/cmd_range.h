/* evener range: how far a truck gets on a day, and which battery the day takes. */
#ifndef EVENER_CLI_CMD_RANGE_H
#define EVENER_CLI_CMD_RANGE_H
#include "cli/command.h"

extern const evn_command evn_command_range;

#endif
