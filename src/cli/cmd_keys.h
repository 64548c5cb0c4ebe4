/* evener keys: the reference of every key that a file may hold. */
#ifndef EVENER_CLI_CMD_KEYS_H
#define EVENER_CLI_CMD_KEYS_H
#include "cli/command.h"

extern const evn_command evn_command_keys;

#endif
