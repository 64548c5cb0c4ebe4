/* Finds the inputs of a command line, and tells one that is wrong what it should have been. */
#define _POSIX_C_SOURCE 200809L
#include "cli/command_line.h"
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ what is expected */

static const evn_operand *operand_at(const evn_command *command, size_t index)
{
    return &command->operands[index < command->operand_count ? index : command->operand_count - 1];
}

static bool is_given(const evn_command_line *line, const char *text_option)
{
    for (size_t i = 0; text_option && i < line->options->count; i++) {
        const evn_option *option = &line->options->at[i];
        if (strcmp(option->name, text_option) == 0)
            return *(const char **)(void *)((char *)line->args + option->offset);
    }
    return false;
}

/* NULL: of any. */
static const char *expected_kind(const evn_command_line *line, size_t operand)
{
    const evn_takes *takes = &operand_at(line->command, operand)->takes;
    if (takes->what != EVN_TAKES_INPUT && takes->what != EVN_TAKES_RECORD)
        return NULL;
    return is_given(line, line->command->kind_option) ? line->command->kind_with : takes->kind;
}

static bool is_kind(const char *kind, const char *wanted) { return evn_is_among_kinds(wanted, kind); }

/* ------------------------------------------------------------------------------------------------ another line */

/* As a shell takes it: in quotes where it holds more than letters, digits and signs without a meaning. */
static void put_word(FILE *to, const char *word)
{
    static const char plain[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-+=./,:@%";
    if (word[0] != '\0' && strspn(word, plain) == strlen(word)) {
        fputs(word, to);
        return;
    }
    fputc('\'', to);
    for (; *word != '\0'; word++)
        if (*word == '\'')
            fputs("'\\''", to);
        else
            fputc(*word, to);
    fputc('\'', to);
}

/* The line as it was given, its operands in another order. */
static void put_reordered(FILE *to, const evn_command_line *line, const size_t *order)
{
    size_t operand = 0;
    fprintf(to, "evener %s", line->command->name);
    for (size_t i = 0; i < line->word_count; i++) {
        bool is_operand = operand < line->parsed->operand_count && line->words[i] == line->parsed->operands[operand];
        fputc(' ', to);
        put_word(to, is_operand ? line->parsed->operands[order[operand]] : line->words[i]);
        operand += is_operand ? 1 : 0;
    }
}

/* Each place gets the first file of its kind that is left. False: that does not come out. */
static bool find_order(const evn_command_line *line, const evn_input *inputs, size_t *order)
{
    size_t count = line->parsed->operand_count;
    bool *taken = calloc(count, sizeof *taken), found = taken;
    for (size_t i = 0; found && i < count; i++) {
        const char *kind = expected_kind(line, i);
        size_t k = 0;
        while (k < count && (taken[k] || !kind || !is_kind(inputs[k].kind, kind)))
            k++;
        found = k < count;
        if (found)
            taken[k] = true;
        order[i] = k;
    }
    free(taken);
    return found;
}

/* A command whose only operand is of this kind. */
static const evn_command *command_for(const char *kind)
{
    for (size_t i = 0; i < evn_command_count; i++) {
        const evn_command *command = evn_commands[i];
        if (command->operand_count == 1 && command->operands[0].takes.what == EVN_TAKES_INPUT &&
            is_kind(kind, command->operands[0].takes.kind))
            return command;
    }
    return NULL;
}

/* The files that are of a kind, or that are not, each behind a space. */
static void put_files(FILE *to, const evn_command_line *line, const evn_input *inputs, const char *kind, bool of_it)
{
    for (size_t i = 0; i < line->parsed->operand_count; i++)
        if (is_kind(inputs[i].kind, kind) == of_it) {
            fputc(' ', to);
            put_word(to, line->parsed->operands[i]);
        }
}

static size_t count_kind(const evn_command_line *line, const evn_input *inputs, const char *kind)
{
    size_t count = 0;
    for (size_t i = 0; i < line->parsed->operand_count; i++)
        count += is_kind(inputs[i].kind, kind) ? 1 : 0;
    return count;
}

static const evn_option *option_of(const evn_command *command, const char *name)
{
    for (size_t i = 0; i < command->option_count; i++)
        if (strcmp(command->options[i].name, name) == 0)
            return &command->options[i];
    return NULL;
}

/* Several of one kind and at most one of another that an option takes: the command that takes them together, such as
 * trucks and a cycle. */
static bool put_together(FILE *to, const evn_command_line *line, const evn_input *inputs)
{
    for (size_t i = 0; i < evn_command_count; i++) {
        const evn_command *command = evn_commands[i];
        const evn_option *option = command->kind_option ? option_of(command, command->kind_option) : NULL;
        if (!option || !command->kind_with || is_given(line, command->kind_option))
            continue;
        size_t many = count_kind(line, inputs, command->kind_with);
        size_t rest = line->parsed->operand_count - many;
        bool fits = many > 0 && (rest == 0 || (rest == 1 && count_kind(line, inputs, option->takes.kind) == 1)) &&
                    (many > 1 || line->command == command);
        if (!fits)
            continue;
        fprintf(to, "; did you mean: evener %s", command->name);
        put_files(to, line, inputs, command->kind_with, true);
        fprintf(to, "%s --%s", many == 1 ? " OTHER" : "", option->name);
        if (rest == 0)
            fprintf(to, " %s", option->argument);
        put_files(to, line, inputs, command->kind_with, false);
        return true;
    }
    return false;
}

/* The option of the command that such a file is for; NULL: none. */
static const char *option_for(const evn_command *command, const char *kind)
{
    for (size_t i = 0; i < command->option_count; i++)
        if (command->options[i].takes.what == EVN_TAKES_INPUT && is_kind(kind, command->options[i].takes.kind))
            return command->options[i].name;
    return NULL;
}

static void put_other_line(FILE *to, const evn_command_line *line, const evn_input *inputs, const char *kind,
                           const char *given)
{
    const evn_command *command = command_for(kind);
    /* what it takes as an operand, in another way of calling it, stands there */
    const char *option = command == line->command ? NULL : option_for(line->command, kind);
    if (line->command->not_of && is_kind(kind, line->command->not_of)) {
        fprintf(to, "; %s", line->command->in_its_place);
        return;
    }
    if (put_together(to, line, inputs))
        return;
    if (option) {
        fprintf(to, "; --%s takes it", option);
    } else if (command) {
        fprintf(to, "; did you mean: evener %s ", command->name);
        put_word(to, given);
    }
}

/* What the line should have been; nothing where that cannot be told. */
static void put_advice(FILE *to, const evn_command_line *line, const evn_input *inputs, const evn_input *wrong,
                       const char *given)
{
    size_t *order = calloc(line->parsed->operand_count, sizeof *order);
    if (order && find_order(line, inputs, order)) {
        fputs("; swapped? expected: ", to);
        put_reordered(to, line, order);
    } else {
        char phrase[EVN_KIND_PHRASE];
        const char *kind = expected_kind(line, (size_t)(wrong - inputs));
        fprintf(to, "; %s was expected", evn_kind_phrase(phrase, kind));
        put_other_line(to, line, inputs, wrong->kind, given);
    }
    free(order);
}

/* ------------------------------------------------------------------------------------------------ operands */

static void say_wrong_kinds(const evn_command_line *line, const evn_input *inputs, evn_mishap *mishap)
{
    char *text = NULL, phrase[EVN_KIND_PHRASE];
    size_t size = 0;
    FILE *to = open_memstream(&text, &size);
    const evn_input *wrong = NULL;
    const char *given = NULL;
    for (size_t i = 0; to && i < line->parsed->operand_count; i++) {
        const char *kind = expected_kind(line, i);
        if (!kind || !inputs[i].kind || is_kind(inputs[i].kind, kind))
            continue;
        fprintf(to, "%s%s is '%s': this is %s", wrong ? ", " : "", operand_at(line->command, i)->name,
                line->parsed->operands[i], evn_kind_phrase(phrase, inputs[i].kind));
        given = wrong ? given : line->parsed->operands[i];
        wrong = wrong ? wrong : &inputs[i];
    }
    if (wrong)
        put_advice(to, line, inputs, wrong, given);
    bool made = to && fclose(to) == 0;
    if (!made)
        evn_mishap_no_memory(mishap);
    else if (wrong)
        evn_mishap_say(mishap, "usage", EVN_BAD_INPUT, "%s", text);
    free(text);
}

static bool find_operand(const evn_command_line *line, size_t index, const char *kind, evn_inputs *inputs,
                         evn_input *out, evn_mishap *mishap)
{
    const char *given = line->parsed->operands[index];
    if (operand_at(line->command, index)->takes.what == EVN_TAKES_INPUT)
        return evn_input_find(inputs, given, kind, out, mishap);
    *out = (evn_input){given, evn_file_kind(given, kind)};
    return true;
}

static bool find_operands(const evn_command_line *line, evn_inputs *inputs, evn_mishap *mishap)
{
    size_t count = line->parsed->operand_count;
    evn_input *found = calloc(count + 1, sizeof *found);
    if (!found)
        return evn_mishap_no_memory(mishap);
    for (size_t i = 0; i < count; i++) {
        const char *kind = expected_kind(line, i);
        if (kind && !find_operand(line, i, kind, inputs, &found[i], mishap))
            break;
    }
    if (!evn_mishap_happened(mishap))
        say_wrong_kinds(line, found, mishap);
    for (size_t i = 0; i < count && !evn_mishap_happened(mishap); i++)
        if (found[i].path)
            line->parsed->operands[i] = found[i].path;
    free(found);
    return !evn_mishap_happened(mishap);
}

/* ------------------------------------------------------------------------------------------------ options */

static bool find_value(const evn_command_line *line, const evn_option *option, const char **value, evn_inputs *inputs,
                       evn_mishap *mishap)
{
    evn_input found;
    char is[EVN_KIND_PHRASE], wanted[EVN_KIND_PHRASE];
    if (!evn_input_find(inputs, *value, option->takes.kind, &found, mishap))
        return false;
    if (found.kind && !is_kind(found.kind, option->takes.kind)) {
        const char *other = option_for(line->command, found.kind);
        evn_mishap_say(mishap, "usage", EVN_BAD_INPUT, "--%s is '%s': this is %s; %s was expected%s%s%s", option->name,
                       *value, evn_kind_phrase(is, found.kind), evn_kind_phrase(wanted, option->takes.kind),
                       other ? "; --" : "", other ? other : "", other ? " takes it" : "");
        return false;
    }
    *value = found.path;
    return true;
}

static bool find_options(const evn_command_line *line, evn_inputs *inputs, evn_mishap *mishap)
{
    bool all = true;
    for (size_t i = 0; all && i < line->options->count; i++) {
        const evn_option *option = &line->options->at[i];
        if (option->takes.what != EVN_TAKES_INPUT)
            continue;
        void *at = (char *)line->args + option->offset;
        if (option->kind == EVN_OPTION_TEXTS) {
            evn_texts *texts = at;
            for (size_t k = 0; all && k < texts->count; k++)
                all = find_value(line, option, &texts->at[k], inputs, mishap);
        } else if (*(const char **)at) {
            all = find_value(line, option, at, inputs, mishap);
        }
    }
    return all;
}

bool evn_command_line_inputs(const evn_command_line *line, evn_inputs *inputs, evn_mishap *mishap)
{
    return find_operands(line, inputs, mishap) && find_options(line, inputs, mishap);
}
