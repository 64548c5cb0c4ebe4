/* evener list: the trucks, cycles and parts there are. */
#ifndef EVENER_CLI_CMD_LIST_H
#define EVENER_CLI_CMD_LIST_H
#include "cli/command.h"

extern const evn_command evn_command_list;

#endif
