/* evener compare: several trucks side by side on one cycle. */
#ifndef EVENER_CLI_CMD_COMPARE_H
#define EVENER_CLI_CMD_COMPARE_H
#include "cli/command.h"

extern const evn_command evn_command_compare;

#endif
