/* Reads the options of a command into its struct, says what is wrong with them, and prints them for help. */
#define _POSIX_C_SOURCE 200809L
#include "cli/options.h"
#include "show/text.h"
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { LONGEST_NAME = 63, HELP_COLUMN = 30 };

typedef struct parser {
    const evn_option *options;
    size_t option_count;
    char *const *arguments;
    size_t argument_count, next;
    uint64_t given; /* one bit for each option that took a value */
    void *args;
    evn_parsed *parsed;
    evn_mishap *mishap;
} parser;

bool evn_number_parse(const char *text, double *out)
{
    if (text[0] == '\0' || strspn(text, "0123456789+-.eE") != strlen(text))
        return false;
    char *end;
    double value = strtod(text, &end);
    if (end == text || *end != '\0' || !isfinite(value))
        return false;
    *out = value == 0 ? 0 : value; /* no -0 */
    return true;
}

/* ------------------------------------------------------------------------------------------------ nearest name */

static size_t least_of(size_t a, size_t b, size_t c)
{
    size_t least = a < b ? a : b;
    return least < c ? least : c;
}

/* Edits from one word to the other: a letter added, dropped, changed, or two neighbours swapped. */
static size_t edits_between(const char *a, const char *b)
{
    size_t rows = strlen(a), columns = strlen(b);
    size_t line[3][LONGEST_NAME + 1];
    size_t *before = line[0], *last = line[1], *now = line[2];
    for (size_t j = 0; j <= columns; j++)
        last[j] = j;
    for (size_t i = 1; i <= rows; i++) {
        now[0] = i;
        for (size_t j = 1; j <= columns; j++) {
            now[j] = least_of(last[j] + 1, now[j - 1] + 1, last[j - 1] + (a[i - 1] != b[j - 1]));
            bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if (swapped && before[j - 2] + 1 < now[j])
                now[j] = before[j - 2] + 1;
        }
        size_t *spare = before;
        before = last;
        last = now;
        now = spare;
    }
    return last[columns];
}

const char *evn_name_nearest(const char *found, const char *const *first, size_t stride, size_t count)
{
    size_t length = strlen(found), least = 2 + length / 4;
    const char *nearest = NULL;
    if (length < 2 || length > LONGEST_NAME)
        return NULL;
    for (size_t i = 0; i < count; i++) {
        const char *name = *(const char *const *)(const void *)((const char *)first + i * stride);
        if (strlen(name) > LONGEST_NAME)
            continue;
        bool begins = length >= 3 && strncmp(name, found, length) == 0;
        size_t edits = begins ? 1 : edits_between(found, name);
        if (edits < least) {
            least = edits;
            nearest = name;
        }
    }
    return nearest;
}

/* ------------------------------------------------------------------------------------------------ parsing */

static bool usage(parser *at, const char *what, const char *name, const char *more)
{
    evn_mishap_say(at->mishap, "usage", EVN_BAD_INPUT, "%s --%s%s", what, name, more);
    return false;
}

static bool unknown_option(parser *at, const char *name)
{
    const char *nearest = at->option_count == 0
                              ? NULL
                              : evn_name_nearest(name, &at->options[0].name, sizeof(evn_option), at->option_count);
    if (nearest)
        evn_mishap_say(at->mishap, "usage", EVN_BAD_INPUT,
                       "unknown option --%s; an option of this command was expected; did you mean --%s?", name,
                       nearest);
    else
        evn_mishap_say(at->mishap, "usage", EVN_BAD_INPUT,
                       "unknown option --%s; an option of this command was expected; --help lists them", name);
    return false;
}

/* `what`: "a number", "a whole number". */
static bool parse_number(parser *at, const evn_option *option, const char *what, const char *text, double *value)
{
    if (!evn_number_parse(text, value)) {
        evn_mishap_say(at->mishap, "usage", EVN_BAD_INPUT, "--%s is '%s'; a plain decimal number was expected",
                       option->name, text);
        return false;
    }
    if (*value < option->least || *value > option->most) {
        evn_mishap_say(at->mishap, "usage", EVN_BAD_INPUT, "--%s is %s; %s from %.16g to %.16g was expected",
                       option->name, text, what, option->least, option->most);
        return false;
    }
    return true;
}

static bool set_number(parser *at, const evn_option *option, const char *text)
{
    double value;
    if (!parse_number(at, option, "a number", text, &value))
        return false;
    *(double *)(void *)((char *)at->args + option->offset) = value;
    return true;
}

static bool set_count(parser *at, const evn_option *option, const char *text)
{
    double value;
    if (!parse_number(at, option, "a whole number", text, &value))
        return false;
    if (value != floor(value)) {
        evn_mishap_say(at->mishap, "usage", EVN_BAD_INPUT, "--%s is %s; a whole number was expected", option->name,
                       text);
        return false;
    }
    *(size_t *)(void *)((char *)at->args + option->offset) = (size_t)value;
    return true;
}

static bool set_choice(parser *at, const evn_option *option, const char *text)
{
    char list[256] = "";
    for (int i = 0; option->choices[i]; i++) {
        if (strcmp(option->choices[i], text) == 0) {
            *(int *)(void *)((char *)at->args + option->offset) = i;
            return true;
        }
        size_t used = strlen(list);
        snprintf(list + used, sizeof list - used, "%s%s", i > 0 ? ", " : "", option->choices[i]);
    }
    evn_mishap_say(at->mishap, "usage", EVN_BAD_INPUT, "--%s is '%s'; one of these was expected: %s", option->name,
                   text, list);
    return false;
}

static bool add_text(parser *at, const evn_option *option, const char *text)
{
    evn_texts *texts = (evn_texts *)(void *)((char *)at->args + option->offset);
    if (texts->count == EVN_TEXTS_MOST)
        return usage(at, "option", option->name, " is given more than 100 times; fewer were expected");
    texts->at[texts->count++] = text;
    return true;
}

static bool set_value(parser *at, const evn_option *option, const char *text)
{
    if (option->kind == EVN_OPTION_TEXTS)
        return add_text(at, option, text);
    uint64_t bit = (uint64_t)1 << (option - at->options);
    if (at->given & bit)
        return usage(at, "option", option->name, " is given twice; one value was expected");
    at->given |= bit;
    if (option->kind == EVN_OPTION_NUMBER)
        return set_number(at, option, text);
    if (option->kind == EVN_OPTION_COUNT)
        return set_count(at, option, text);
    if (option->kind == EVN_OPTION_CHOICE)
        return set_choice(at, option, text);
    if (text[0] == '\0')
        return usage(at, "option", option->name, " is empty; a text was expected");
    *(const char **)(void *)((char *)at->args + option->offset) = text;
    return true;
}

static bool set_flag(parser *at, const evn_option *option)
{
    *(bool *)((char *)at->args + option->offset) = true;
    if (strcmp(option->name, "json") == 0)
        at->parsed->json = true;
    return true;
}

static const evn_option *option_named(const parser *at, const char *name, size_t length)
{
    for (size_t i = 0; i < at->option_count; i++)
        if (strlen(at->options[i].name) == length && strncmp(at->options[i].name, name, length) == 0)
            return &at->options[i];
    return NULL;
}

/* `text` is what follows the two dashes. */
static bool long_option(parser *at, const char *text)
{
    size_t length = strcspn(text, "=");
    const char *value = text[length] == '=' ? text + length + 1 : NULL;
    if (length == 4 && strncmp(text, "help", 4) == 0 && !value) {
        at->parsed->help = true;
        return true;
    }
    const evn_option *option = option_named(at, text, length);
    if (!option) {
        char name[LONGEST_NAME + 1];
        snprintf(name, sizeof name, "%.*s", (int)(length < LONGEST_NAME ? length : LONGEST_NAME), text);
        return unknown_option(at, name);
    }
    if (option->kind == EVN_OPTION_FLAG)
        return !value ? set_flag(at, option) : usage(at, "option", option->name, " takes no value");
    if (!value && at->next < at->argument_count && strncmp(at->arguments[at->next], "--", 2) != 0)
        value = at->arguments[at->next++];
    if (!value)
        return usage(at, "option", option->name, " stands without a value; one was expected after it");
    return set_value(at, option, value);
}

/* A dash before a letter begins an option; "-" alone and "-3" are words. */
static bool is_short_option(const char *text)
{
    return text[0] == '-' && text[1] != '\0' && !strchr("0123456789.", text[1]);
}

static bool short_option(parser *at, const char *text)
{
    if (strcmp(text, "-h") == 0) {
        at->parsed->help = true;
        return true;
    }
    evn_mishap_say(at->mishap, "usage", EVN_BAD_INPUT,
                   "unknown option %s; options are written with two dashes; --help lists them", text);
    return false;
}

bool evn_options_parse(const evn_option *options, size_t count, int argument_count, char *const *arguments, void *args,
                       evn_parsed *parsed, evn_mishap *mishap)
{
    parser at = {.options = options,
                 .option_count = count,
                 .arguments = arguments,
                 .argument_count = argument_count > 0 ? (size_t)argument_count : 0,
                 .args = args,
                 .parsed = parsed,
                 .mishap = mishap};
    bool right = true, only_operands = false;
    while (at.next < at.argument_count) {
        const char *text = arguments[at.next++];
        if (only_operands || (strncmp(text, "--", 2) != 0 && !is_short_option(text)))
            parsed->operands[parsed->operand_count++] = text;
        else if (strcmp(text, "--") == 0)
            only_operands = true;
        else if (text[1] == '-')
            right = long_option(&at, text + 2) && right;
        else
            right = short_option(&at, text) && right;
    }
    return right;
}

/* ------------------------------------------------------------------------------------------------ help */

void evn_option_print_default(const evn_option *option, const void *defaults, FILE *to)
{
    if (option->facts) { /* told by the row that it was made of, which has no place in the struct */
        fprintf(to, " (%s)", option->facts);
        return;
    }
    const char *at = (const char *)defaults + option->offset;
    if (option->kind == EVN_OPTION_NUMBER) {
        double value = *(const double *)(const void *)at;
        if (!isnan(value))
            fprintf(to, " (%.10g)", value);
    } else if (option->kind == EVN_OPTION_COUNT) {
        fprintf(to, " (%zu)", *(const size_t *)(const void *)at);
    } else if (option->kind == EVN_OPTION_CHOICE && *(const int *)(const void *)at >= 0) {
        fprintf(to, " (%s)", option->choices[*(const int *)(const void *)at]);
    }
}

bool evn_option_print(const evn_option *option, const void *defaults, FILE *to, size_t width)
{
    char *text = NULL, margin[HELP_COLUMN + 1];
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    fputs(option->help, memory);
    evn_option_print_default(option, defaults, memory);
    bool made = fclose(memory) == 0;
    snprintf(margin, sizeof margin, "%*s", HELP_COLUMN, "");
    int written = fprintf(to, "  --%s", option->name);
    if (option->argument)
        written += fprintf(to, " %s", option->argument);
    if (written < HELP_COLUMN)
        fprintf(to, "%*s", HELP_COLUMN - written, "");
    else
        fputc('\n', to);
    if (made)
        evn_put_paragraph_within(to, width, written < HELP_COLUMN ? HELP_COLUMN : 0, margin, text);
    free(text);
    return made;
}
