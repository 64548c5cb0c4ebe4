/* evener vary show: variants of a store, sorted and picked. */
#define _POSIX_C_SOURCE 200809L
#include "cli/call.h"
#include "cli/cmd_vary.h"
#include "cli/look_options.h"
#include "cli/outputs.h"
#include "cli/vary_files.h"
#include "show/out_file.h"
#include "show/vary_story.h"
#include <stddef.h>

typedef struct show_args {
    bool json, digits, most_first, may_be;
    const char *by, *csv, *page; /* NULL: not given */
    evn_texts where;
    size_t rows;
} show_args;

enum { ROWS_USUAL = 20 };

static void set_defaults(void *args) { *(show_args *)args = (show_args){.rows = ROWS_USUAL}; }

typedef struct show_run {
    evn_call call;
    const show_args *args;
    evn_variants *variants;
    evn_vary_table table;
    bool has_table;
    evn_variants_ask ask;
} show_run;

/* ------------------------------------------------------------------------------------------------ work */

static bool asks_rows(const show_args *a) { return a->where.count > 0 || a->by || a->may_be || a->most_first; }

static evn_vary_story story_of(const show_run *run)
{
    return (evn_vary_story){.status = run->has_table ? "finished" : "failed",
                            .variants = run->variants,
                            .table = run->has_table ? &run->table : NULL,
                            .ask = asks_rows(run->args) || run->args->csv ? &run->ask : NULL,
                            .store = run->call.operands[0],
                            .report = run->call.report};
}

static bool take(void *self, const evn_variant *v)
{
    (void)self;
    (void)v;
    return false;
}

/* Columns and conditions are tried before anything is told. */
static bool ask_fits(show_run *run)
{
    const show_args *a = run->args;
    run->ask = (evn_variants_ask){
        .where = a->where.at, .by = a->by, .most_first = a->most_first, .only_may_be = a->may_be, .most = a->rows};
    evn_variants_ask one = run->ask;
    one.most = 1;
    return evn_variants_each(run->variants, &one, NULL, take, run->call.report) == EVN_DONE;
}

/* All rows that are asked for. */
static void write_files(show_run *run)
{
    evn_vary_files files = {0};
    evn_vary_story story = story_of(run);
    evn_variants_ask all = run->ask;
    all.most = 0;
    story.ask = &all;
    if (evn_vary_files_open(&files, run->args->csv, run->args->page, &run->call))
        evn_vary_files_write(&files, &story, &run->call);
    evn_vary_files_drop(&files);
}

static evn_status work(void *self)
{
    show_run *run = self;
    run->args = run->call.args;
    const evn_output output[] = {{"--csv", run->args->csv}, {"--page", run->args->page}};
    for (size_t k = 0; k < 2; k++)
        if (output[k].path && evn_out_is_file(output[k].path, run->call.operands[0])) {
            evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                           "%s is the store itself, '%s'; expected another file", output[k].option, output[k].path);
            return EVN_BAD_INPUT;
        }
    if (!evn_outputs_fit(output, 2, run->call.report, &run->call.mishap) ||
        evn_variants_open(run->call.operands[0], &run->variants, run->call.report) != EVN_DONE || !ask_fits(run))
        return evn_report_status(run->call.report);
    run->has_table = evn_vary_table_read(&run->table, run->variants, run->call.report);
    evn_interrupt_begin(&run->call.interrupt);
    if (run->has_table)
        write_files(run);
    evn_interrupt_end(&run->call.interrupt);
    return evn_report_status(run->call.report);
}

static bool tell(void *self)
{
    const show_run *run = self;
    evn_vary_story story = story_of(run);
    evn_look look = evn_look_with(&run->call.console->out_look, run->args->digits);
    if (run->args->json)
        return evn_vary_json(&story, &run->call.findings, run->call.console->out);
    if (!run->has_table)
        return true;
    return asks_rows(run->args) ? evn_vary_rows(&story, run->call.console->out, &look)
                                : evn_vary_words(&story, run->call.console->out, &look);
}

static void forget(void *self)
{
    show_run *run = self;
    if (run->has_table)
        evn_vary_table_free(&run->table);
    evn_variants_free(run->variants);
}

/* ------------------------------------------------------------------------------------------------ tables */

static const evn_option options[] = {
    {.name = "where",
     .argument = "CONDITION",
     .kind = EVN_OPTION_TEXTS,
     .offset = offsetof(show_args, where),
     .takes = {EVN_TAKES_ANYTHING, NULL, NULL},
     .help = "only variants of which it holds: 'COLUMN >= VALUE', '<=' or '='; a column is a variable, the key of a "
             "result that was recorded, truck, status, fault or may_be; once for each"},
    {.name = "by",
     .argument = "COLUMN",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(show_args, by),
     .takes = {EVN_TAKES_ANYTHING, NULL, NULL},
     .help = "sorted by it, least first; not given: in the order of the study"},
    {.name = "most-first",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(show_args, most_first),
     .help = "the most first"},
    {.name = "may-be",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(show_args, may_be),
     .help = "only variants that came to their end and break no constraint"},
    {.name = "rows",
     .argument = "N",
     .kind = EVN_OPTION_COUNT,
     .offset = offsetof(show_args, rows),
     .least = 1,
     .most = 1e7,
     .help = "so many of them; --csv writes all"},
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(show_args, json),
     .help = "one JSON document, also when something fails"},
    {.name = "csv",
     .argument = "FILE.csv",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(show_args, csv),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "a line for each of these variants: what varies, and all that was recorded"},
    EVN_VARY_PAGE_OPTION(show_args, page),
    EVN_DIGITS_OPTION(show_args, digits),
};

static const evn_operand operands[] = {
    {"STORE", "a file of variants that 'evener vary --store' made", {EVN_TAKES_FILE, NULL, NULL}}};

static const char *const notes[] = {
    "Without options the same is told as behind 'evener vary': the best, how flat it is, the front, the best ten. With "
    "conditions or an order the variants that are asked for are told, also those that failed, with their reasons.",
    NULL};

static const char *const examples[] = {"evener vary show study.sqlite",
                                       "evener vary show study.sqlite --where 'final_drive >= 4' --by kwh_per_km",
                                       "evener vary show study.sqlite --where status=refused",
                                       "evener vary show study.sqlite --by masses.gross_kg --most-first --rows 5",
                                       "evener vary show study.sqlite --csv rows.csv",
                                       NULL};

const evn_command evn_command_vary_show = {.name = "vary show",
                                           .summary = "variants that were kept, sorted and picked",
                                           .schema = EVN_VARY_SCHEMA,
                                           .operands = operands,
                                           .operand_count = 1,
                                           .options = options,
                                           .option_count = sizeof options / sizeof options[0],
                                           .notes = notes,
                                           .examples = examples,
                                           .args_size = sizeof(show_args),
                                           .defaults = set_defaults,
                                           .run_size = sizeof(show_run),
                                           .work = work,
                                           .tell = tell,
                                           .forget = forget};
