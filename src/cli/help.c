/* Help: of the program, of the commands of one word, of one command, from the table of commands. */
#include "cli/command.h"
#include "show/text.h"
#include <stdlib.h>
#include <string.h>

const evn_option evn_program_options[] = {
    {.name = "help", .kind = EVN_OPTION_FLAG, .help = "this page; behind a command, the page of that command"},
    {.name = "version", .kind = EVN_OPTION_FLAG, .help = "name and version"},
};
const size_t evn_program_option_count = sizeof evn_program_options / sizeof evn_program_options[0];

const evn_option evn_help_option = {.name = "help", .kind = EVN_OPTION_FLAG, .help = "this page"};

const char *const evn_exit_meanings[] = {
    "done",
    "there is an answer, and it is no: the truck stalled, its battery ran empty",
    "the command line or an input file is wrong",
    "no answer could be computed, or the run was stopped",
    "a file could not be read or written",
    NULL,
};

/* A word in a column of `columns`, and what it means, behind it or below. */
static void put_meaning(FILE *to, size_t width, int columns, const char *word, const char *meaning)
{
    char margin[64];
    snprintf(margin, sizeof margin, "%*s", columns + 3, "");
    fprintf(to, "  %-*s ", columns, word);
    evn_put_paragraph_within(to, width, (size_t)columns + 3, margin, meaning);
}

static void put_summaries(const char *first_word, FILE *to, size_t width)
{
    size_t length = strlen(first_word);
    for (size_t i = 0; i < evn_command_count; i++)
        if (strncmp(evn_commands[i]->name, first_word, length) == 0)
            put_meaning(to, width, 12, evn_commands[i]->name, evn_commands[i]->summary);
}

void evn_help_program(FILE *to, size_t width)
{
    evn_put_paragraph_within(to, width, 0, "",
                             "evener: energy use of heavy electric trucks, and where the energy goes");
    fputs("\nUsage: evener COMMAND ...\n\nCommands\n", to);
    put_summaries("", to, width);
    put_meaning(to, width, 12, "help", "a page for each command: evener help drive");
    fputs("\nOptions\n", to);
    for (size_t i = 0; i < evn_program_option_count; i++) {
        char name[64];
        snprintf(name, sizeof name, "--%s", evn_program_options[i].name);
        put_meaning(to, width, 12, name, evn_program_options[i].help);
    }
    fputs("\nExit codes\n", to);
    for (size_t i = 0; evn_exit_meanings[i]; i++) {
        char code[32];
        snprintf(code, sizeof code, "%zu", i);
        put_meaning(to, width, 2, code, evn_exit_meanings[i]);
    }
    fputc('\n', to);
    evn_put_paragraph_within(to, width, 0, "", "Results go to standard output, everything else to standard error.");
}

void evn_help_group(const char *word, FILE *to, size_t width)
{
    fprintf(to, "Usage: evener %s COMMAND ...\n\nCommands\n", word);
    char begins[64];
    snprintf(begins, sizeof begins, "%s ", word);
    put_summaries(begins, to, width);
    fprintf(to, "\n'evener help %s COMMAND' tells more.\n", word);
}

void evn_help_operand(const evn_command *command, size_t index, FILE *to)
{
    bool optional = index + command->operands_optional >= command->operand_count;
    bool many = command->operands_many && index + 1 == command->operand_count;
    fprintf(to, optional ? " [%s%s]" : " %s%s", command->operands[index].name, many ? "..." : "");
}

static void put_usage(const evn_command *command, FILE *to, size_t width)
{
    evn_put_sentence(to, width, "", "evener %s: %s", command->name, command->summary);
    fprintf(to, "\nUsage: evener %s", command->name);
    for (size_t i = 0; i < command->operand_count; i++)
        evn_help_operand(command, i, to);
    fputs(command->option_count > 0 ? " [options]\n\n" : "\n\n", to);
    for (size_t i = 0; i < command->operand_count; i++)
        put_meaning(to, width, 8, command->operands[i].name, command->operands[i].help);
}

bool evn_help_command(const evn_command *command, FILE *to, size_t width)
{
    void *args = calloc(1, command->args_size);
    if (!args)
        return false;
    evn_option_list options;
    evn_command_defaults(command, args);
    evn_command_options(command, &options);
    put_usage(command, to, width);
    fputs("\nOptions\n", to);
    bool made = true;
    for (size_t i = 0; i < options.count; i++)
        made = made && evn_option_print(&options.at[i], args, to, width);
    made = made && evn_option_print(&evn_help_option, args, to, width);
    free(args);
    for (size_t i = 0; command->notes[i]; i++) {
        fputc('\n', to);
        evn_put_paragraph_within(to, width, 0, "", command->notes[i]);
    }
    fputs("\nExamples\n", to);
    for (size_t i = 0; command->examples[i]; i++)
        fprintf(to, "  %s\n", command->examples[i]);
    return made;
}
