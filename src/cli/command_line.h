/* The words of a command line that name files, led to the files; and what the line should have been. */
#ifndef EVENER_CLI_COMMAND_LINE_H
#define EVENER_CLI_COMMAND_LINE_H
#include "cli/command.h"
#include "cli/inputs.h"

/* One command line, parsed: the struct that its options filled, its operands, and its words. */
typedef struct evn_command_line {
    const evn_command *command;
    const evn_option_list *options;
    void *args;
    evn_parsed *parsed;
    char *const *words; /* behind the name of the command */
    size_t word_count;
} evn_command_line;

/*
 * Puts the path of its file in place of each operand and option that takes an input. False, with a mishap, where a name
 * leads nowhere or a file holds another kind of thing. The paths live as long as `inputs`.
 */
bool evn_command_line_inputs(const evn_command_line *, evn_inputs *, evn_mishap *);

#endif
