/* Pages about the program that the build writes from its tables of commands and options. */
#ifndef EVENER_CLI_MANUAL_MANUAL_H
#define EVENER_CLI_MANUAL_MANUAL_H
#include "cli/command.h"

/* A manual page (troff, macros man) of the program, and of one command. False when memory is out. */
void evn_manual_of_program(FILE *);
bool evn_manual_of_command(const evn_command *, FILE *);

/* What a run comes to, row by row; limits, trace columns, and what changed of their names. */
void evn_manual_of_results(FILE *);

/* The tour as a manual page, from the Markdown of tour.md. False when it could not be read. */
bool evn_manual_of_tour(FILE *from, FILE *to);

/* Completion for bash: one function, which needs nothing but bash. */
void evn_bash_completion(FILE *);

#endif
