/* evener explain: how numbers of a run come about. */
#ifndef EVENER_CLI_CMD_EXPLAIN_H
#define EVENER_CLI_CMD_EXPLAIN_H
#include "cli/command.h"

extern const evn_command evn_command_explain;

#endif
