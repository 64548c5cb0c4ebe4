#include "cli/cmd_list.h"
#include "cli/data_folders.h"
#include "show/document.h"
#include "show/list_story.h"
#include <stddef.h>
#include <string.h>

typedef struct list_args {
    bool json;
} list_args;

static void set_defaults(void *args) { *(list_args *)args = (list_args){.json = false}; }

/* "trucks", "truck": all words that name a group; none: all groups. */
static bool choose(const char *word, evn_list_story *story, evn_mishap *mishap)
{
    static const char *const words[] = {"trucks", "cycles", "lineups", "parts", "truck", "cycle", "lineup", "part"};
    static const evn_item_group groups[] = {EVN_ITEM_TRUCK, EVN_ITEM_CYCLE, EVN_ITEM_LINEUP, EVN_ITEM_PART};
    for (size_t i = 0; word != NULL && i < sizeof words / sizeof words[0]; i++)
        if (strcmp(word, words[i]) == 0) {
            story->wanted[groups[i % 4]] = true;
            return true;
        }
    if (word != NULL) {
        evn_mishap_say(mishap, "usage", EVN_BAD_INPUT,
                       "'%s' is nothing to list; trucks, cycles, lineups or parts was expected", word);
        return false;
    }
    for (size_t i = 0; i <= EVN_ITEM_OTHER; i++)
        story->wanted[i] = true;
    return true;
}

static evn_status list(const evn_console *console, const char *word, bool json, evn_report *report, bool *told)
{
    evn_mishap mishap = {0};
    evn_list_story story = {0};
    evn_catalogue *catalogue = NULL;
    evn_findings findings = {0};
    evn_status status = EVN_BAD_INPUT;
    if (choose(word, &story, &mishap))
        status = evn_catalogue_open(evn_data_folders_here, &catalogue, report);
    story.catalogue = catalogue;
    evn_findings_add_mishap(&findings, &mishap);
    evn_findings_add_report(&findings, report);
    evn_findings_print(&findings, console->err, &console->err_look);
    if (json && catalogue == NULL)
        *told = evn_document_failure(EVN_LIST_SCHEMA, &findings, console->out);
    else if (json)
        *told = evn_list_json(&story, status, &findings, console->out);
    else
        *told = catalogue == NULL || evn_list_text(&story, console->out, &console->out_look);
    evn_catalogue_free(catalogue);
    return status;
}

static evn_status run(const evn_console *console, const char *const *operands, const void *args)
{
    evn_report *report = evn_report_new();
    bool told = false;
    evn_status status = EVN_NO_RESULT;
    if (report != NULL)
        status = list(console, operands[0], ((const list_args *)args)->json, report, &told);
    if (!told) {
        evn_mishap mishap = {0};
        evn_mishap_say(&mishap, "out_of_memory", EVN_NO_RESULT, "memory ran out");
        status = evn_command_mishap(&mishap, console);
    }
    evn_report_free(report);
    return status;
}

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
                                      .run = run};
