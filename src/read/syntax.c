/* What the parser of YAML complains of, said with what was found and what was expected. */
#include "read/syntax.h"
#include <string.h>

typedef struct wording {
    const char *problem; /* how libyaml begins to say it; NULL: everything else */
    const char *context; /* as above, or NULL: any */
    const char *text;    /* what was found; what was expected; hint */
    bool names_begin;    /* the place where the structure began helps */
} wording;

static const wording wordings[] = {
    {"mapping values are not allowed", NULL,
     "a ':' where no key can stand; expected one key on a line; put text that holds ': ' in quotes", false},
    {"mapping keys are not allowed", NULL, "a '?' where no key can stand; expected 'key: value'", false},
    {"block sequence entries are not allowed", NULL,
     "a '-' where no list can stand; expected the list on the lines below its key", false},
    {"could not find expected ':'", NULL, "a line without ':'; expected 'key: value'", false},
    {"did not find expected key", NULL,
     "text out of line; expected a key, indented like its neighbours; check quotes and brackets above too", true},
    {"did not find expected '-' indicator", NULL, "text out of line; expected a '-', indented like the items above",
     true},
    {"did not find expected ',' or ']'", NULL,
     "a list in brackets that does not go on; expected ',' or ']'; text with brackets in it stands in quotes", true},
    {"did not find expected ',' or '}'", NULL, "a map in braces that does not go on; expected ',' or '}'", true},
    {"did not find expected node content", NULL, "no value; expected a number, text, list or map", false},
    {"found unexpected end of stream", NULL, "a quote that is not closed; expected its end", true},
    {"found unexpected document indicator", NULL, "a quote that is not closed; expected its end", true},
    {"found unknown escape character", NULL,
     "an unknown escape after '\\'; expected text; single quotes take '\\' as it is", false},
    {"did not find expected hexdecimal number", NULL, "an unfinished escape after '\\'; expected its digits", false},
    {"found invalid Unicode character escape code", NULL, "an escape for no character; expected text", false},
    {"found a tab character", NULL, "a tab; expected spaces: YAML is indented with spaces only", false},
    {"found undefined tag handle", NULL, "a tag; expected the value alone", false},
    {"did not find expected <document start>", NULL,
     "text after the end of the map; expected nothing more, or a key in line with the first", false},
    {NULL, "while scanning an anchor", "an '&' before a value; expected text that begins with '&' in quotes", false},
    {NULL, "while scanning an alias", "a '*' before a value; expected text that begins with '*' in quotes", false},
    {NULL, "while scanning a tag", "a '!' before a value; expected text that begins with '!' in quotes", false},
    {NULL, "while parsing a tag", "a '!' before a value; expected text that begins with '!' in quotes", false},
    {NULL, "while scanning a directive", "a directive; expected keys only; remove the line that begins with '%'",
     false},
    {NULL, "while scanning a %", "a directive; expected keys only; remove the line that begins with '%'", false},
    {NULL, "while parsing a %", "a directive; expected keys only; remove the line that begins with '%'", false},
    {NULL, "while scanning a block scalar", "a '|' or '>' that begins no text; expected text on the lines below it",
     false},
};

static bool begins_with(const char *text, const char *beginning)
{
    return text && strncmp(text, beginning, strlen(beginning)) == 0;
}

static const wording *find_wording(const yaml_parser_t *yaml)
{
    for (size_t i = 0; i < sizeof wordings / sizeof wordings[0]; i++) {
        const wording *row = &wordings[i];
        if ((!row->problem || begins_with(yaml->problem, row->problem)) &&
            (!row->context || begins_with(yaml->context, row->context))) {
            return row;
        }
    }
    return NULL;
}

/* The character at a mark; marks count characters, not bytes. '\0' beyond the end. */
static char character_at(yaml_mark_t mark, const char *bytes, size_t length)
{
    size_t characters = 0;
    for (size_t i = 0; i < length; i++) {
        if (((unsigned char)bytes[i] & 0xc0) == 0x80)
            continue;
        if (characters == mark.index)
            return bytes[i];
        characters++;
    }
    return '\0';
}

static void say_token(evn_reading *reading, const evn_source *source, evn_spot at, char found)
{
    if (found == '\t') {
        evn_say(reading->report, EVN_FAULT_SYNTAX, at, source->used_from,
                "a tab; expected spaces: YAML is indented with spaces only");
    } else {
        evn_say(reading->report, EVN_FAULT_SYNTAX, at, source->used_from,
                "'%c' at the beginning of a value; expected text that begins with it in quotes", found);
    }
}

void evn_say_syntax(evn_reading *reading, const evn_source *source, const yaml_parser_t *yaml, const char *bytes,
                    size_t length)
{
    yaml_mark_t mark = yaml->problem_mark;
    evn_spot at = evn_source_spot(source, mark.line + 1, mark.column + 1);
    if (begins_with(yaml->problem, "found character that cannot start any token")) {
        say_token(reading, source, at, character_at(mark, bytes, length));
        return;
    }
    const wording *row = find_wording(yaml);
    if (row && row->names_begin && source->typed)
        at = evn_source_spot(source, 1, yaml->context_mark.column + 1);
    if (!row) {
        evn_say(reading->report, EVN_FAULT_SYNTAX, at, source->used_from,
                "text that is not YAML (%s); expected keys and values",
                yaml->problem ? yaml->problem : "no reason known");
    } else if (row->names_begin && !source->typed) {
        evn_say(reading->report, EVN_FAULT_SYNTAX, at, source->used_from, "%s; it began in line %zu, column %zu",
                row->text, yaml->context_mark.line + 1, yaml->context_mark.column + 1);
    } else {
        evn_say(reading->report, EVN_FAULT_SYNTAX, at, source->used_from, "%s", row->text);
    }
}
