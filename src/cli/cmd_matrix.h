/* evener matrix: a map or loss table in matrix form made a table that files take. */
#ifndef EVENER_CLI_CMD_MATRIX_H
#define EVENER_CLI_CMD_MATRIX_H
#include "cli/command.h"

extern const evn_command evn_command_matrix;

#endif
