#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_diff.h"
#include "show/check_story.h"
#include "show/diff_story.h"
#include <stddef.h>

typedef struct diff_args {
    bool json;
} diff_args;

static void set_defaults(void *args) { *(diff_args *)args = (diff_args){.json = false}; }

static evn_status run(const evn_console *console, const char *const *operands, const void *self)
{
    const diff_args *args = self;
    evn_mishap mishap = {0};
    evn_findings findings = {0};
    evn_documents *documents = evn_documents_read(operands[0], operands[1], &mishap);
    evn_status status = documents == NULL                     ? mishap.status
                        : evn_documents_moved(documents) == 0 ? EVN_DONE
                                                              : EVN_ANSWER_NO;
    evn_findings_add_mishap(&findings, &mishap);
    evn_findings_print(&findings, console->err, &console->err_look);
    bool told = true;
    if (args->json)
        told = evn_documents_json(documents, EVN_DIFF_SCHEMA, status, &findings, console->out);
    else if (documents != NULL)
        told = evn_documents_text(documents, console->out, &console->out_look);
    evn_documents_free(documents);
    if (told)
        return status;
    evn_mishap memory = {0};
    evn_mishap_say(&memory, "out_of_memory", EVN_NO_RESULT, "memory ran out");
    return evn_command_mishap(&memory, console);
}

static const evn_operand operands[] = {{"A.json", "a JSON document file, as --json of a command writes it"},
                                       {"B.json", "another document file of the same kind"}};

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
                                      .run = run};
