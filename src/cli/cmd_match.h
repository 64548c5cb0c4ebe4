/* evener match: a truck held against a log. */
#ifndef EVENER_CLI_CMD_MATCH_H
#define EVENER_CLI_CMD_MATCH_H
#include "cli/command.h"

extern const evn_command evn_command_match;

#endif
