/* Manual pages (troff, macros man), written from the table of commands and their options. */
#include "cli/manual/manual.h"
#include "cli/manual/troff.h"
#include <stdlib.h>

/* ------------------------------------------------------------------------------------------------ troff */

static void put_line(const char *text, FILE *to)
{
    evn_troff_text(text, to);
    fputc('\n', to);
}

/* A command's name with what stands between its words: "cycle info" and '-' make "cycle-info". */
static void put_name(const evn_command *command, char between, FILE *to)
{
    for (const char *at = command->name; *at != '\0'; at++)
        if (*at == ' ' && between == '-')
            fputs("\\-", to);
        else
            fputc(*at, to);
}

static void put_option(const evn_option *option, const void *defaults, FILE *to)
{
    fputs(".TP\n\\fB\\-\\-", to);
    evn_troff_text(option->name, to);
    fputs("\\fR", to);
    if (option->argument) {
        fputs(" \\fI", to);
        evn_troff_text(option->argument, to);
        fputs("\\fR", to);
    }
    fputc('\n', to);
    evn_troff_text(option->help, to);
    if (defaults)
        evn_option_print_default(option, defaults, to);
    fputc('\n', to);
}

static void put_exit_codes(FILE *to)
{
    fputs(".SH EXIT STATUS\n", to);
    for (size_t i = 0; evn_exit_meanings[i]; i++) {
        fprintf(to, ".TP\n%zu\n", i);
        put_line(evn_exit_meanings[i], to);
    }
}

/* ------------------------------------------------------------------------------------------------ pages */

void evn_manual_of_program(FILE *to)
{
    fprintf(to,
            ".TH EVENER 1 \"\" \"evener %s\" \"evener\"\n.SH NAME\n"
            "evener \\- energy use of heavy electric trucks, and where the energy goes\n"
            ".SH SYNOPSIS\n\\fBevener\\fR \\fICOMMAND\\fR ...\n.SH COMMANDS\n",
            evn_version());
    for (size_t i = 0; i < evn_command_count; i++) {
        fputs(".TP\n\\fBevener ", to);
        put_name(evn_commands[i], ' ', to);
        fputs("\\fR\n", to);
        evn_troff_text(evn_commands[i]->summary, to);
        fputs("; see evener\\-", to);
        put_name(evn_commands[i], '-', to);
        fputs("(1)\n", to);
    }
    fputs(".TP\n\\fBevener help\\fR \\fICOMMAND\\fR\nhelp on a command\n.SH OPTIONS\n", to);
    for (size_t i = 0; i < evn_program_option_count; i++)
        put_option(&evn_program_options[i], NULL, to);
    put_exit_codes(to);
}

static void put_head(const evn_command *command, FILE *to)
{
    fputs(".TH \"evener\\-", to);
    put_name(command, '-', to);
    fprintf(to, "\" 1 \"\" \"evener %s\" \"evener\"\n.SH NAME\nevener\\-", evn_version());
    put_name(command, '-', to);
    fputs(" \\- ", to);
    put_line(command->summary, to);
    fputs(".SH SYNOPSIS\n\\fBevener ", to);
    put_name(command, ' ', to);
    fputs("\\fR", to);
    for (size_t i = 0; i < command->operand_count; i++)
        evn_help_operand(command, i, to);
    fputs(command->option_count > 0 ? " [options]\n" : "\n", to);
}

static void put_body(const evn_command *command, const void *defaults, FILE *to)
{
    fputs(".SH DESCRIPTION\n", to);
    for (size_t i = 0; i < command->operand_count; i++) {
        fprintf(to, ".TP\n\\fI%s\\fR\n", command->operands[i].name);
        put_line(command->operands[i].help, to);
    }
    for (size_t i = 0; command->notes[i]; i++) {
        fputs(".PP\n", to);
        put_line(command->notes[i], to);
    }
    fputs(".SH OPTIONS\n", to);
    evn_option_list options;
    evn_command_options(command, &options);
    for (size_t i = 0; i < options.count; i++)
        put_option(&options.at[i], defaults, to);
    put_option(&evn_help_option, NULL, to);
    fputs(".SH EXAMPLES\n.nf\n", to);
    for (size_t i = 0; command->examples[i]; i++)
        put_line(command->examples[i], to);
    fputs(".fi\n", to);
    put_exit_codes(to);
    fputs(".SH SEE ALSO\nevener(1)\n", to);
}

bool evn_manual_of_command(const evn_command *command, FILE *to)
{
    void *args = calloc(1, command->args_size);
    if (!args)
        return false;
    evn_command_defaults(command, args);
    put_head(command, to);
    put_body(command, args, to);
    free(args);
    return true;
}
