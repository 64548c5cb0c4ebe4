/* evener diff: two documents of results held against each other. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_diff.h"
#include "cli/call.h"
#include "show/check_story.h"
#include "show/diff_story.h"
#include <stddef.h>

typedef struct diff_args {
    bool json;
} diff_args;

static void set_defaults(void *args) { *(diff_args *)args = (diff_args){.json = false}; }

typedef struct diff_run {
    evn_call call;
    evn_documents *documents; /* NULL: not read */
} diff_run;

static evn_status work(void *self)
{
    diff_run *run = self;
    run->documents = evn_documents_read(run->call.operands[0], run->call.operands[1], &run->call.mishap);
    return run->documents && evn_documents_moved(run->documents) > 0 ? EVN_ANSWER_NO : EVN_DONE;
}

static bool tell(void *self)
{
    const diff_run *run = self;
    const evn_call *call = &run->call;
    if (call->json)
        return evn_documents_json(run->documents, EVN_DIFF_SCHEMA, call->status, &call->findings, call->console->out);
    return !run->documents || evn_documents_text(run->documents, call->console->out, &call->console->out_look);
}

static void forget(void *self) { evn_documents_free(((diff_run *)self)->documents); }

static const evn_operand operands[] = {
    {"A.json", "a JSON document file, as --json of a command writes it", {EVN_TAKES_FILE, NULL, NULL}},
    {"B.json", "another document file of the same kind", {EVN_TAKES_FILE, NULL, NULL}}};

static const evn_option options[] = {
    {.name = "json", .kind = EVN_OPTION_FLAG, .offset = offsetof(diff_args, json), .help = "one JSON document"},
};

static const char *const notes[] = {
    "Holds every number of the first document against the second's by the rules of evener check, with its default "
    "tolerances: what is gone, is no number any more, or differs by more than its tolerance has moved. Exit code 1 "
    "when "
    "something has.",
    NULL};

static const char *const examples[] = {"evener drive TRUCK CYCLE --json > before.json",
                                       "evener diff before.json after.json", NULL};

const evn_command evn_command_diff = {.name = "diff",
                                      .summary = "two documents of results held against each other",
                                      .schema = EVN_DIFF_SCHEMA,
                                      .operands = operands,
                                      .operand_count = 2,
                                      .options = options,
                                      .option_count = sizeof options / sizeof options[0],
                                      .notes = notes,
                                      .examples = examples,
                                      .args_size = sizeof(diff_args),
                                      .defaults = set_defaults,
                                      .run_size = sizeof(diff_run),
                                      .work = work,
                                      .tell = tell,
                                      .forget = forget};
