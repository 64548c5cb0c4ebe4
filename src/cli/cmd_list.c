/* evener list: the trucks, cycles, duties, lineups, sets of rules, prices, studies and parts there are. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_list.h"
#include "cli/call.h"
#include "cli/data_folders.h"
#include "evener/keys.h"
#include "show/document.h"
#include "show/list_story.h"
#include <stddef.h>
#include <string.h>

typedef struct list_args {
    bool json, names;
} list_args;

static void set_defaults(void *args) { *(list_args *)args = (list_args){.json = false}; }

typedef struct list_run {
    evn_call call;
    evn_list_story story;
    evn_catalogue *catalogue; /* NULL: none */
} list_run;

enum { WORDS_MOST = 128 };

/* Words that name a group each, in the order of the groups. */
static const char *const group_words[] = {"trucks", "cycles",  "duties", "lineups", "rules",
                                          "prices", "studies", "parts",  NULL};
static const evn_item_group groups[] = {EVN_ITEM_TRUCK, EVN_ITEM_CYCLE,  EVN_ITEM_DUTY,  EVN_ITEM_LINEUP,
                                        EVN_ITEM_RULES, EVN_ITEM_PRICES, EVN_ITEM_STUDY, EVN_ITEM_PART};

static bool say_nothing_to_list(const char *word, evn_mishap *mishap)
{
    const char *names[WORDS_MOST];
    size_t count = 0;
    evn_kind kind;
    for (size_t i = 0; group_words[i]; i++)
        names[count++] = group_words[i];
    for (size_t i = 0; count < WORDS_MOST && evn_kind_at(i, &kind); i++)
        names[count++] = kind.name;
    const char *nearest = evn_name_nearest(word, names, sizeof names[0], count);
    evn_mishap_say(
        mishap, "usage", EVN_BAD_INPUT,
        "'%s' is nothing to list; trucks, cycles, duties, lineups, rules, prices, studies, parts or a kind of part "
        "was expected%s%s%s",
        word, nearest ? "; nearest is '" : "", nearest ? nearest : "", nearest ? "'" : "");
    return false;
}

/* "trucks", or the kind of a part, "motor"; none: all groups. */
static bool choose(const char *word, evn_list_story *story, evn_mishap *mishap)
{
    evn_kind kind;
    for (size_t i = 0; word && group_words[i]; i++)
        if (strcmp(word, group_words[i]) == 0) {
            story->wanted[groups[i]] = true;
            return true;
        }
    if (word && strcmp(word, "part") == 0)
        return choose("parts", story, mishap);
    if (word && !evn_kind_get(word, &kind))
        return say_nothing_to_list(word, mishap);
    story->kind = word ? kind.name : NULL;
    for (size_t i = 0; i <= EVN_ITEM_OTHER; i++)
        story->wanted[i] = true;
    return true;
}

static evn_status work(void *self)
{
    list_run *run = self;
    const list_args *args = run->call.args;
    if (args->json && args->names)
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT, "--names with --json; one of them was expected");
    if (evn_mishap_happened(&run->call.mishap) || !choose(run->call.operands[0], &run->story, &run->call.mishap))
        return EVN_BAD_INPUT;
    evn_status status = evn_catalogue_open(evn_data_folders_here, &run->catalogue, run->call.report);
    run->story.catalogue = run->catalogue;
    return status;
}

static bool tell(void *self)
{
    const list_run *run = self;
    const evn_call *call = &run->call;
    const list_args *args = call->args;
    FILE *out = call->console->out;
    if (call->json)
        return !run->catalogue ? evn_document_failure(EVN_LIST_SCHEMA, &call->findings, out)
                               : evn_list_json(&run->story, call->status, &call->findings, out);
    if (run->catalogue && args->names)
        evn_list_names(&run->story, out);
    return !run->catalogue || args->names || evn_list_text(&run->story, out, &call->console->out_look);
}

static void forget(void *self) { evn_catalogue_free(((list_run *)self)->catalogue); }

static const evn_operand operands[] = {{"WHAT",
                                        "trucks, cycles, duties, lineups, rules, prices, studies, parts, or a kind of "
                                        "part such as motor; all if not given",
                                        {EVN_TAKES_WORD, NULL, group_words}}};

static const evn_option options[] = {
    {.name = "json", .kind = EVN_OPTION_FLAG, .offset = offsetof(list_args, json), .help = "one JSON document"},
    {.name = "names",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(list_args, names),
     .help = "nothing but the names, a line each, as other commands take them"},
};

static const char *const notes[] = {"Looks into vehicles/ and cycles/ here, then into the folders of EVENER_PATH, then "
                                    "into the installed data. Of files of one kind "
                                    "that bear the same name below two of these the first counts.",
                                    "What a file holds is told by its keys. Where they fit several kinds of part (a "
                                    "mesh and a final drive have the same "
                                    "keys), it is the one that the name of the file begins with: "
                                    "final-drive-hypoid.yaml. The line of a file is its key "
                                    "`name`, else the comment that it begins with: its first line, to the end of its "
                                    "last sentence.",
                                    "Commands that read a truck, cycle or lineup take its name in place of its path, "
                                    "in whatever folder they run: evener drive tractor-4x2-central hill. A file that "
                                    "has the name as its path goes before.",
                                    "A folder of EVENER_PATH that holds vehicles/ and cycles/, as a checkout of the "
                                    "sources does, stands for these two.",
                                    NULL};

static const char *const examples[] = {"evener list",
                                       "evener list parts",
                                       "evener list motor",
                                       "evener list trucks --json | jq -r '.items[].path'",
                                       "EVENER_PATH=~/trucks evener list",
                                       NULL};

const evn_command evn_command_list = {.name = "list",
                                      .summary = "the files there are: trucks, cycles, lineups, studies, parts",
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
