/* The options of every command that loads files. */
#ifndef EVENER_CLI_LOAD_OPTIONS_H
#define EVENER_CLI_LOAD_OPTIONS_H
#include "cli/options.h"

typedef struct evn_load_args {
    evn_texts set;
    bool strict;
} evn_load_args;

/* The report is strict from here on where that was asked for. */
void evn_load_begin(const evn_load_args *, evn_report *);
evn_load evn_load_of(const evn_load_args *);

/* A row of a table of options; `type` is the struct of the command, `member` its evn_texts; keys without a kind before
 * them are those of `root`. */
#define EVN_SET_OPTION(type, member, root, meaning)                                                                    \
    {.name = "set",                                                                                                    \
     .argument = "KEY=VALUE",                                                                                          \
     .kind = EVN_OPTION_TEXTS,                                                                                         \
     .offset = offsetof(type, member),                                                                                 \
     .takes = {EVN_TAKES_SET, (root), NULL},                                                                           \
     .help = (meaning)}

/* Two rows; `member` is an evn_load_args. */
#define EVN_LOAD_OPTIONS(type, member, root, meaning)                                                                  \
    EVN_SET_OPTION(type, member.set, root, meaning),                                                                   \
        {.name = "strict",                                                                                             \
         .kind = EVN_OPTION_FLAG,                                                                                      \
         .offset = offsetof(type, member.strict),                                                                      \
         .help = "warnings are errors: of values that are unusual, and of limits that a run passes"}

#define EVN_SET_NOTE                                                                                                   \
    "--set takes the dotted path of a key as it stands in the file, places in lists in brackets from 0, and a value "  \
    "written as in a file: mass_kg=900, ratios=[3.2, 1], path[4].final_drive={ratio: 4.1}. Maps merge, all else "      \
    "replaces. What is set goes through the same checks as what is written."

#endif
