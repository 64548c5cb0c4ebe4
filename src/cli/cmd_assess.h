/* evener assess: each truck held against every demand of its duty. */
#ifndef EVENER_CLI_CMD_ASSESS_H
#define EVENER_CLI_CMD_ASSESS_H
#include "cli/command.h"

extern const evn_command evn_command_assess;

#endif
