/* evener site: trucks where they work, as figures. */
#ifndef EVENER_CLI_CMD_SITE_H
#define EVENER_CLI_CMD_SITE_H
#include "cli/command.h"

extern const evn_command evn_command_site;

#endif
