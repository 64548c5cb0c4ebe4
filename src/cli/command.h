/* A command of the program: one row in the table of commands.c, one file cmd_*.c. */
#ifndef EVENER_CLI_COMMAND_H
#define EVENER_CLI_COMMAND_H
#include "cli/ask_options.h"

typedef struct evn_operand {
    const char *name, *help;
    evn_takes takes;
} evn_operand;

typedef struct evn_command {
    const char *name;    /* one or two words: "drive", "cycle info" */
    const char *summary; /* one line */
    const char *schema;  /* of its JSON document */
    const evn_operand *operands;
    size_t operand_count;
    size_t operands_optional; /* so many of the last may be left out */
    bool operands_many;       /* the last may stand any number of times */
    const char *kind_option;  /* NULL, or a text: where it is given, the operands are of another kind: */
    const char *kind_with;    /* NULL: of none */
    const char *without_with; /* NULL, or an option: where it is given, there is no operand of this place: */
    size_t without;
    const char *not_of, *in_its_place; /* NULL, or a kind that it does not take, and what to do with such a file */
    const evn_option *options;
    size_t option_count;
    const char *const *asks;     /* kinds whose keys are options too (ask_options.h); NULL: none */
    size_t asked_offset;         /* with them: of the evn_asked in the struct that the options fill */
    const char *const *notes;    /* paragraphs of help; ends with NULL */
    const char *const *examples; /* ends with NULL */
    size_t args_size;            /* of the struct that the options fill */
    void (*defaults)(void *args);
    size_t run_size; /* of the struct that it works on, which begins with an evn_call (call.h) and is zero behind it */
    evn_status (*work)(void *run); /* computes, and writes the files that were asked for */
    /* Writes to standard output what came of the work and its findings: one JSON document, also of a failure, or words.
     * False when memory is out; whether the stream could be written is checked behind it. */
    bool (*tell)(void *run);
    void (*forget)(void *run); /* frees what the struct holds behind its evn_call; NULL: nothing */
} evn_command;

/* All options of a command: those of its table, then those made of what it asks. */
enum { EVN_OPTIONS_MOST = 64 };
typedef struct evn_option_list {
    size_t count;
    evn_option at[EVN_OPTIONS_MOST];
    evn_ask_texts texts; /* that some of them point to */
} evn_option_list;
void evn_command_options(const evn_command *, evn_option_list *);

/* Fills the struct of a command as it is before any option is given. */
void evn_command_defaults(const evn_command *, void *args);

extern const evn_command *const evn_commands[];
extern const size_t evn_command_count;

/* The command that the first one or two words name; `words` is how many it took. NULL: none. */
const evn_command *evn_command_find(int argument_count, char *const *arguments, int *words);

/* True when commands of two words begin with this one. */
bool evn_command_is_group(const char *word);

/* Parses the arguments behind the command's name and runs it. */
evn_status evn_command_run(const evn_command *, int argument_count, char *const *arguments, const evn_console *);

/* Help: of the program, of the commands that begin with a word, of one command, in lines of so many columns. False when
 * memory is out. */
void evn_help_program(FILE *, size_t width);
void evn_help_group(const char *word, FILE *, size_t width);
bool evn_help_command(const evn_command *, FILE *, size_t width);

/* One operand of a line of usage, with a space before it: " CYCLE", " [PATH...]". */
void evn_help_operand(const evn_command *, size_t index, FILE *);

/* What every help says besides: the options that need no command, --help of each command, the exit codes from 0. */
extern const evn_option evn_program_options[];
extern const size_t evn_program_option_count;
extern const evn_option evn_help_option;
extern const char *const evn_exit_meanings[]; /* ends with NULL */

#endif
