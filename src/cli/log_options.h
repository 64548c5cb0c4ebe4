/* The options of every command that reads a log. */
#ifndef EVENER_CLI_LOG_OPTIONS_H
#define EVENER_CLI_LOG_OPTIONS_H
#include "cli/options.h"
#include "evener/logs.h"

typedef struct evn_log_args {
    const char *mapping;
    evn_texts columns;
    int separator, decimal; /* 0: found out */
    size_t header_line;
} evn_log_args;

extern const char *const evn_log_separator_words[], *const evn_log_decimal_words[];

/* What they ask; `args` must outlive it. */
evn_log_ask evn_log_asked(const evn_log_args *);

/* Five rows of a table of options; `type` is the struct of the command, `member` its evn_log_args. */
#define EVN_LOG_OPTIONS(type, member)                                                                                  \
    {.name = "mapping",                                                                                                \
     .argument = "FILE",                                                                                               \
     .kind = EVN_OPTION_TEXT,                                                                                          \
     .offset = offsetof(type, member.mapping),                                                                         \
     .takes = {EVN_TAKES_RECORD, "mapping", NULL},                                                                     \
     .help = "a YAML file that says which column holds what; 'evener new mapping FILE' writes one"},                   \
        {.name = "column",                                                                                             \
         .argument = "QUANTITY=NAME",                                                                                  \
         .kind = EVN_OPTION_TEXTS,                                                                                     \
         .offset = offsetof(type, member.columns),                                                                     \
         .help = "which column holds a quantity, its unit in brackets behind the name: 'speed=v_gps [km/h]'; "         \
                 "QUANTITY= alone leaves it out"},                                                                     \
        {.name = "separator",                                                                                          \
         .argument = "WORD",                                                                                           \
         .kind = EVN_OPTION_CHOICE,                                                                                    \
         .choices = evn_log_separator_words,                                                                           \
         .offset = offsetof(type, member.separator),                                                                   \
         .help = "between the columns of a CSV log"},                                                                  \
        {.name = "decimal",                                                                                            \
         .argument = "WORD",                                                                                           \
         .kind = EVN_OPTION_CHOICE,                                                                                    \
         .choices = evn_log_decimal_words,                                                                             \
         .offset = offsetof(type, member.decimal),                                                                     \
         .help = "before the decimals of a number"},                                                                   \
        {.name = "header-line",                                                                                        \
         .argument = "N",                                                                                              \
         .kind = EVN_OPTION_COUNT,                                                                                     \
         .offset = offsetof(type, member.header_line),                                                                 \
         .least = 1,                                                                                                   \
         .most = 1e6,                                                                                                  \
         .help = "line of a CSV log that names its columns, where lines of another kind stand before it",              \
         .facts = "from 1"}

#define EVN_LOG_NOTE                                                                                                   \
    "A log is a CSV file or GPX 1.1. Columns of a CSV file say what they hold by name and unit: speed_km_h, "          \
    "'speed [km/h]', 'Altitude (m)', or a row of units below the names; time is in seconds or, with date, as ISO "     \
    "8601 writes it. A column without a unit is refused, and so is a value that no truck has. Other names are said "   \
    "by --column or --mapping."

#endif
