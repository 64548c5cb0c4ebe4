/* evener list: the trucks, cycles, lineups and parts there are. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_list.h"
#include "cli/call.h"
#include "cli/data_folders.h"
#include "show/document.h"
#include "show/list_story.h"
#include <stddef.h>
#include <string.h>

typedef struct list_args {
    bool json;
} list_args;

static void set_defaults(void *args) { *(list_args *)args = (list_args){.json = false}; }

typedef struct list_run {
    evn_call call;
    evn_list_story story;
    evn_catalogue *catalogue; /* NULL: none */
} list_run;

/* "trucks", "truck": all words that name a group; none: all groups. */
static bool choose(const char *word, evn_list_story *story, evn_mishap *mishap)
{
    static const char *const words[] = {"trucks", "cycles", "lineups", "parts", "truck", "cycle", "lineup", "part"};
    static const evn_item_group groups[] = {EVN_ITEM_TRUCK, EVN_ITEM_CYCLE, EVN_ITEM_LINEUP, EVN_ITEM_PART};
    for (size_t i = 0; word && i < sizeof words / sizeof words[0]; i++)
        if (strcmp(word, words[i]) == 0) {
            story->wanted[groups[i % 4]] = true;
            return true;
        }
    if (word) {
        evn_mishap_say(mishap, "usage", EVN_BAD_INPUT,
                       "'%s' is nothing to list; trucks, cycles, lineups or parts was expected", word);
        return false;
    }
    for (size_t i = 0; i <= EVN_ITEM_OTHER; i++)
        story->wanted[i] = true;
    return true;
}

static evn_status work(void *self)
{
    list_run *run = self;
    if (!choose(run->call.operands[0], &run->story, &run->call.mishap))
        return EVN_BAD_INPUT;
    evn_status status = evn_catalogue_open(evn_data_folders_here, &run->catalogue, run->call.report);
    run->story.catalogue = run->catalogue;
    return status;
}

static bool tell(void *self)
{
    const list_run *run = self;
    const evn_call *call = &run->call;
    FILE *out = call->console->out;
    if (call->json)
        return !run->catalogue ? evn_document_failure(EVN_LIST_SCHEMA, &call->findings, out)
                               : evn_list_json(&run->story, call->status, &call->findings, out);
    return !run->catalogue || evn_list_text(&run->story, out, &call->console->out_look);
}

static void forget(void *self) { evn_catalogue_free(((list_run *)self)->catalogue); }

static const evn_operand operands[] = {{"WHAT", "trucks, cycles, lineups or parts; all of them if not given"}};

static const evn_option options[] = {
    {.name = "json", .kind = EVN_OPTION_FLAG, .offset = offsetof(list_args, json), .help = "one JSON document"},
};

static const char *const notes[] = {"Looks into vehicles/ and cycles/ here, then into the folders of EVENER_PATH, then "
                                    "into the installed data. Of files "
                                    "that bear the same name below two of these the first counts.",
                                    "What a file holds is told by its keys. Where they fit several kinds of part (a "
                                    "mesh and a final drive have the same "
                                    "keys), it is the one that the name of the file begins with: "
                                    "final-drive-hypoid.yaml. The line of a file is its key "
                                    "`name`, else the comment that it begins with.",
                                    NULL};

static const char *const examples[] = {"evener list", "evener list parts",
                                       "evener list trucks --json | jq -r '.items[].path'",
                                       "EVENER_PATH=~/trucks evener list", NULL};

const evn_command evn_command_list = {.name = "list",
                                      .summary = "the trucks, cycles, lineups and parts there are",
                                      .schema = EVN_LIST_SCHEMA,
                                      .operands = operands,
                                      .operand_count = 1,
                                      .operands_optional = 1,
                                      .options = options,
                                      .option_count = sizeof options / sizeof options[0],
                                      .notes = notes,
                                      .examples = examples,
                                      .args_size = sizeof(list_args),
                                      .defaults = set_defaults,
                                      .run_size = sizeof(list_run),
                                      .work = work,
                                      .tell = tell,
                                      .forget = forget};
