/* The options of every command that reads logs. */
#ifndef EVENER_CLI_LOG_OPTIONS_H
#define EVENER_CLI_LOG_OPTIONS_H
#include "cli/options.h"
#include "evener/logs.h"

typedef struct evn_log_args {
    const char *mapping, *separator, *decimal; /* NULL: not given */
    evn_texts columns;
    size_t header_line;
} evn_log_args;

evn_log_ask evn_log_ask_of(const evn_log_args *);

extern const char *const evn_separator_words[], *const evn_decimal_words[];

/* Rows of a table of options; `member` is an evn_log_args. */
#define EVN_LOG_OPTIONS(type, member)                                                                                  \
    {.name = "mapping",                                                                                                \
     .argument = "FILE.yaml",                                                                                          \
     .kind = EVN_OPTION_TEXT,                                                                                          \
     .offset = offsetof(type, member.mapping),                                                                         \
     .takes = {EVN_TAKES_FILE, NULL, NULL},                                                                            \
     .help = "which column of the log holds which quantity, in which unit"},                                           \
        {.name = "column",                                                                                             \
         .argument = "QUANTITY=NAME [UNIT]",                                                                           \
         .kind = EVN_OPTION_TEXTS,                                                                                     \
         .offset = offsetof(type, member.columns),                                                                     \
         .help = "the same of one column, as 'speed=v_gps [km/h]'; once for each"},                                    \
        {.name = "separator",                                                                                          \
         .argument = "WORD",                                                                                           \
         .kind = EVN_OPTION_TEXT,                                                                                      \
         .offset = offsetof(type, member.separator),                                                                   \
         .takes = {EVN_TAKES_WORD, NULL, evn_separator_words},                                                         \
         .help = "between cells of the log: comma, semicolon, tab or bar; not given: found out"},                      \
        {.name = "decimal",                                                                                            \
         .argument = "WORD",                                                                                           \
         .kind = EVN_OPTION_TEXT,                                                                                      \
         .offset = offsetof(type, member.decimal),                                                                     \
         .takes = {EVN_TAKES_WORD, NULL, evn_decimal_words},                                                           \
         .help = "decimal mark of the log: point or comma; not given: found out"},                                     \
        {.name = "header-line",                                                                                        \
         .argument = "LINE",                                                                                           \
         .kind = EVN_OPTION_COUNT,                                                                                     \
         .offset = offsetof(type, member.header_line),                                                                 \
         .least = 0,                                                                                                   \
         .most = 1000000,                                                                                              \
         .help = "line of the log that names its columns",                                                             \
         .facts = "the first that is neither empty nor a comment"}

#endif
