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
    "there is an answer, and it is no: the truck stalled, its pack ran empty",
    "the command line or an input file is wrong",
    "no answer could be computed, or the run was stopped",
    "a file could not be read or written",
    NULL,
};

static void put_summaries(const char *first_word, FILE *to)
{
    size_t length = strlen(first_word);
    for (size_t i = 0; i < evn_command_count; i++)
        if (strncmp(evn_commands[i]->name, first_word, length) == 0)
            fprintf(to, "  %-12s %s\n", evn_commands[i]->name, evn_commands[i]->summary);
}

void evn_help_program(FILE *to)
{
    fputs("evener: energy use of heavy electric trucks, and where the energy goes\n\n"
          "Usage: evener COMMAND ...\n\nCommands\n",
          to);
    put_summaries("", to);
    fputs("  help         a page for each command: evener help drive\n\nOptions\n", to);
    for (size_t i = 0; i < evn_program_option_count; i++)
        fprintf(to, "  --%-10s %s\n", evn_program_options[i].name, evn_program_options[i].help);
    fputs("\nExit codes\n", to);
    for (size_t i = 0; evn_exit_meanings[i]; i++)
        fprintf(to, "  %zu  %s\n", i, evn_exit_meanings[i]);
    fputs("\nResults go to standard output, everything else to standard error.\n", to);
}

void evn_help_group(const char *word, FILE *to)
{
    fprintf(to, "Usage: evener %s COMMAND ...\n\nCommands\n", word);
    char begins[64];
    snprintf(begins, sizeof begins, "%s ", word);
    put_summaries(begins, to);
    fprintf(to, "\n'evener help %s COMMAND' tells more.\n", word);
}

void evn_help_operand(const evn_command *command, size_t index, FILE *to)
{
    bool optional = index + command->operands_optional >= command->operand_count;
    bool many = command->operands_many && index + 1 == command->operand_count;
    fprintf(to, optional ? " [%s%s]" : " %s%s", command->operands[index].name, many ? "..." : "");
}

static void put_usage(const evn_command *command, FILE *to)
{
    fprintf(to, "evener %s: %s\n\nUsage: evener %s", command->name, command->summary, command->name);
    for (size_t i = 0; i < command->operand_count; i++)
        evn_help_operand(command, i, to);
    fputs(command->option_count > 0 ? " [options]\n\n" : "\n\n", to);
    for (size_t i = 0; i < command->operand_count; i++)
        fprintf(to, "  %-8s %s\n", command->operands[i].name, command->operands[i].help);
}

bool evn_help_command(const evn_command *command, FILE *to)
{
    void *args = calloc(1, command->args_size);
    if (!args)
        return false;
    evn_option_list options;
    evn_command_defaults(command, args);
    evn_command_options(command, &options);
    put_usage(command, to);
    fputs("\nOptions\n", to);
    for (size_t i = 0; i < options.count; i++)
        evn_option_print(&options.at[i], args, to);
    evn_option_print(&evn_help_option, args, to);
    free(args);
    for (size_t i = 0; command->notes[i]; i++) {
        fputc('\n', to);
        evn_put_paragraph(to, "", command->notes[i]);
    }
    fputs("\nExamples\n", to);
    for (size_t i = 0; command->examples[i]; i++)
        fprintf(to, "  %s\n", command->examples[i]);
    return true;
}
