/*
 * What is asked of a run and demanded of a truck, on the command line: one option for each key of the kinds
 * "load_case", "driving" and "demands", with the bounds, the default and the help of its row.
 */
#ifndef EVENER_CLI_ASK_OPTIONS_H
#define EVENER_CLI_ASK_OPTIONS_H
#include "cli/options.h"
#include "evener/limits.h"
#include "show/ask.h"

enum { EVN_ASK_KINDS = 3, EVN_ASK_ROWS = 24, EVN_ASK_NAME_BYTES = 48 }; /* a test watches that there is room */

/* The first of evn_ask_kinds alone; and all of these with what is demanded. Both end with NULL. */
extern const char *const evn_asks_load_case[];
extern const char *const evn_asks_and_demands[];

/* What the options of a command gave, row by row. */
typedef struct evn_asked_row {
    double number; /* NAN: not given */
    int choice;    /* -1: not given */
    bool flag;
} evn_asked_row;

typedef struct evn_asked {
    evn_asked_row row[EVN_ASK_KINDS][EVN_ASK_ROWS];
} evn_asked;

void evn_asked_clear(evn_asked *);

/* The options of some kinds, and the texts that they point to. */
typedef struct evn_ask_text {
    char name[EVN_ASK_NAME_BYTES], argument[EVN_ASK_NAME_BYTES], facts[EVN_ASK_NAME_BYTES];
} evn_ask_text;
typedef struct evn_ask_texts {
    evn_ask_text row[EVN_ASK_KINDS][EVN_ASK_ROWS];
} evn_ask_texts;

/* Writes at most `room` options that fill an evn_asked at the offset; how many there are. */
size_t evn_ask_options(const char *const *kinds, size_t asked_offset, evn_ask_texts *, evn_option *out, size_t room);

/* Puts what was given over what is asked already. False when something of it was refused (said). */
bool evn_asked_apply(const evn_asked *, evn_conditions *, evn_report *);

/* The same of what is demanded. */
bool evn_asked_demand(const evn_asked *, evn_demands *, evn_report *);

/* Whether the option of a key was given. */
bool evn_asked_given(const evn_asked *, const char *kind, const char *key);

/* The name of the first option that was given, in `name`; false: none was. */
bool evn_asked_first(const evn_asked *, char name[EVN_ASK_NAME_BYTES]);

#endif
