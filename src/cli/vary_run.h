/* What commands that drive the variants of a study share: options, the work, what is told. */
#ifndef EVENER_CLI_VARY_RUN_H
#define EVENER_CLI_VARY_RUN_H
#include "cli/call.h"
#include "cli/load_options.h"
#include "show/vary_story.h"

typedef struct evn_vary_args {
    evn_load_args load;
    evn_asked asked;
    bool json, digits;
    const char *store, *part, *csv, *page; /* NULL: not given */
    size_t threads;
} evn_vary_args;

typedef struct evn_vary_run {
    evn_call call;
    const evn_vary_args *args;
    evn_conditions ask;
    evn_study *study;
    evn_variants *variants;
    evn_vary_table table;
    bool has_table;
    unsigned part, parts;
    struct timespec begin;
} evn_vary_run;

/* What of the arguments can be judged before anything is read. False, with a mishap. */
bool evn_vary_arguments_fit(evn_vary_run *);
/* Drives the study and writes the files that were asked for. */
evn_status evn_vary_drive(evn_vary_run *);
bool evn_vary_tell(void *run);
void evn_vary_forget(void *run);

/* Rows of a table of options; `member` is an evn_vary_args. */
#define EVN_VARY_OPTIONS(type, member)                                                                                 \
    {.name = "store",                                                                                                  \
     .argument = "FILE.sqlite",                                                                                        \
     .kind = EVN_OPTION_TEXT,                                                                                          \
     .offset = offsetof(type, member.store),                                                                           \
     .takes = {EVN_TAKES_FILE, NULL, NULL},                                                                            \
     .help = "where the variants are kept, as SQLite has files; where it is there, what it holds is not driven "       \
             "again, so that the same command goes on after whatever ended it"},                                       \
        {.name = "part",                                                                                               \
         .argument = "N/M",                                                                                            \
         .kind = EVN_OPTION_TEXT,                                                                                      \
         .offset = offsetof(type, member.part),                                                                        \
         .takes = {EVN_TAKES_ANYTHING, NULL, NULL},                                                                    \
         .help = "only the N-th of M parts, each into a store of its own, on as many machines; 'evener vary merge' "   \
                 "joins them"},                                                                                        \
        {.name = "threads",                                                                                            \
         .argument = "N",                                                                                              \
         .kind = EVN_OPTION_COUNT,                                                                                     \
         .offset = offsetof(type, member.threads),                                                                     \
         .most = 64,                                                                                                   \
         .help = "variants at a time; 0: as many as there are processors. The rows are the same"},                     \
        {.name = "json",                                                                                               \
         .kind = EVN_OPTION_FLAG,                                                                                      \
         .offset = offsetof(type, member.json),                                                                        \
         .help = "one JSON document, also when something fails: the best with what is told of it, and the best ten"},  \
        {.name = "csv",                                                                                                \
         .argument = "FILE.csv",                                                                                       \
         .kind = EVN_OPTION_TEXT,                                                                                      \
         .offset = offsetof(type, member.csv),                                                                         \
         .takes = {EVN_TAKES_FILE, NULL, NULL},                                                                        \
         .help = "a line for each variant: what varies, and all that was recorded"},                                   \
        EVN_VARY_PAGE_OPTION(type, member.page), EVN_DIGITS_OPTION(type, member.digits)

#endif
