/* The grammar of dotted paths, for values set beside files and for changes in memory. */
#include "core/field_path.h"
#include <stdio.h>
#include <string.h>

uint32_t evn_column_of(const char *text, size_t byte)
{
    uint32_t column = 1;
    for (size_t i = 0; i < byte; i++)
        column += ((unsigned char)text[i] & 0xc0) != 0x80;
    return column;
}

static bool refuse(evn_path_trouble *t, evn_fault fault, size_t byte, const char *words)
{
    t->fault = fault;
    t->byte = byte;
    snprintf(t->words, sizeof t->words, "%s", words);
    return false;
}

_Static_assert(EVN_PATH_INDEX_MOST == 2000000, "as what is too large is told");
/* Reads "[12]" at *at and moves behind it. */
static bool read_index(const char *text, size_t end, size_t *at, evn_path_step *step, evn_path_trouble *t)
{
    size_t from = *at + 1, to = from;
    while (to < end && text[to] >= '0' && text[to] <= '9' && step->index <= EVN_PATH_INDEX_MOST)
        step->index = step->index * 10 + (size_t)(text[to++] - '0');
    if (to < end && text[to] >= '0' && text[to] <= '9')
        return refuse(t, EVN_FAULT_OUT_OF_RANGE, step->byte,
                      "a place in the path beyond the end of any list; expected a whole number from 0 to 2000000");
    if (to == from || to == end || text[to] != ']')
        return refuse(t, EVN_FAULT_SYNTAX, step->byte,
                      "a bracket in the path without a number; expected the place in a list, from 0: path[2]");
    *at = to + 1;
    return true;
}

static bool read_key(const char *text, size_t end, size_t *at, evn_path_step *step, evn_path_trouble *t)
{
    size_t to = *at;
    while (to < end && !strchr(".[]=", text[to]))
        to++;
    step->key = text + *at;
    step->length = to - *at;
    *at = to;
    return step->length > 0 ||
           refuse(t, EVN_FAULT_SYNTAX, step->byte, "an empty step in the path; expected keys with dots between them");
}

/* Moves behind the dot that stands before each further key. */
static bool skip_dot(const char *text, size_t *at, evn_path_trouble *t)
{
    char words[EVN_PATH_PHRASE_BYTES];
    if (text[*at] != '.') {
        snprintf(words, sizeof words, "'%c' in the path; expected a dot before each further key", text[*at]);
        return refuse(t, EVN_FAULT_SYNTAX, *at, words);
    }
    ++*at;
    return true;
}

bool evn_path_read(const char *text, size_t begin, size_t end, evn_path *path, evn_path_trouble *t)
{
    size_t at = begin;
    path->text = text;
    path->end = end;
    path->count = 0;
    for (bool first = true; first || at < end; first = false) {
        bool by_index = at < end && text[at] == '[' && !first;
        if (path->count == EVN_PATH_STEPS_MOST)
            return refuse(t, EVN_FAULT_TOO_LARGE, at, "more than 40 steps in the path; expected fewer");
        if (!by_index && !first && !skip_dot(text, &at, t))
            return false;
        evn_path_step *step = &path->step[path->count++];
        *step = (evn_path_step){.byte = at};
        if (!(by_index ? read_index(text, end, &at, step, t) : read_key(text, end, &at, step, t)))
            return false;
    }
    return true;
}

const char *evn_path_shown(const evn_path *path, size_t steps, const char *top, char out[EVN_QUOTE_BYTES])
{
    if (steps == 0) {
        snprintf(out, EVN_QUOTE_BYTES, "%s", top);
        return out;
    }
    size_t from = path->step[0].byte, to = steps < path->count ? path->step[steps].byte : path->end;
    return evn_quote(out, path->text + from, to > from && path->text[to - 1] == '.' ? to - from - 1 : to - from);
}
