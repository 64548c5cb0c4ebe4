/* evener vary merge: stores of the parts of a study joined into one. */
#define _POSIX_C_SOURCE 200809L
#include "cli/call.h"
#include "cli/cmd_vary.h"
#include "show/out_file.h"
#include "show/vary_story.h"
#include <stddef.h>

typedef struct merge_args {
    bool json;
    const char *store; /* NULL: not given */
} merge_args;

static void set_defaults(void *args) { *(merge_args *)args = (merge_args){.json = false}; }

typedef struct merge_run {
    evn_call call;
    const merge_args *args;
    evn_variants *variants;
    evn_vary_table table;
    bool has_table;
} merge_run;

static bool arguments_fit(merge_run *run, size_t count)
{
    const char *store = run->args->store;
    if (!store)
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "no --store; the file that the parts are joined into was expected");
    for (size_t k = 0; store && k < count; k++)
        if (evn_out_same_target(store, run->call.operands[k]))
            evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                           "--store is one of the parts, '%s'; expected another file", store);
    return !evn_mishap_happened(&run->call.mishap);
}

static evn_status work(void *self)
{
    merge_run *run = self;
    size_t count = 0;
    run->args = run->call.args;
    while (run->call.operands[count])
        count++;
    if (!arguments_fit(run, count))
        return EVN_BAD_INPUT;
    evn_interrupt_begin(&run->call.interrupt);
    if (evn_vary_merge(run->call.operands, count, run->args->store, run->call.report) == EVN_DONE &&
        evn_variants_open(run->args->store, &run->variants, run->call.report) == EVN_DONE)
        run->has_table = evn_vary_table_read(&run->table, run->variants, run->call.report);
    evn_interrupt_end(&run->call.interrupt);
    return evn_report_status(run->call.report);
}

static bool tell(void *self)
{
    const merge_run *run = self;
    evn_vary_story story = {.status = run->has_table ? "finished" : "failed",
                            .variants = run->variants,
                            .table = run->has_table ? &run->table : NULL,
                            .store = run->args->store,
                            .report = run->call.report};
    if (run->args->json)
        return evn_vary_json(&story, &run->call.findings, run->call.console->out);
    return !run->has_table || evn_vary_words(&story, run->call.console->out, &run->call.console->out_look);
}

static void forget(void *self)
{
    merge_run *run = self;
    if (run->has_table)
        evn_vary_table_free(&run->table);
    evn_variants_free(run->variants);
}

static const evn_option options[] = {
    {.name = "store",
     .argument = "FILE.sqlite",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(merge_args, store),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "the file that they are joined into, whole or not at all; always needed"},
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(merge_args, json),
     .help = "one JSON document, also when something fails"},
};

static const evn_operand operands[] = {
    {"STORE", "files of variants that 'evener vary --part' made", {EVN_TAKES_FILE, NULL, NULL}}};

static const char *const notes[] = {
    "Stores belong together where study, data, what is asked and version of the program are the same, which their "
    "hashes tell; others are refused. A variant that several hold must be the same in all of them. What is not there "
    "yet is driven by 'evener vary STUDY --store FILE' with the file that they are joined into.",
    NULL};

static const char *const examples[] = {"evener vary merge part-1.sqlite part-2.sqlite --store study.sqlite",
                                       "evener vary merge part-*.sqlite --store study.sqlite --json", NULL};

const evn_command evn_command_vary_merge = {.name = "vary merge",
                                            .summary = "parts of a study joined into one store",
                                            .schema = EVN_VARY_SCHEMA,
                                            .operands = operands,
                                            .operand_count = 1,
                                            .operands_many = true,
                                            .options = options,
                                            .option_count = sizeof options / sizeof options[0],
                                            .notes = notes,
                                            .examples = examples,
                                            .args_size = sizeof(merge_args),
                                            .defaults = set_defaults,
                                            .run_size = sizeof(merge_run),
                                            .work = work,
                                            .tell = tell,
                                            .forget = forget};
