/* evener import: a log of a drive made a cycle. */
#ifndef EVENER_CLI_CMD_IMPORT_H
#define EVENER_CLI_CMD_IMPORT_H
#include "cli/command.h"

extern const evn_command evn_command_import;

#endif
