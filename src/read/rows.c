/* Walks over lines and cells without copying any. */
#include "read/rows.h"
#include <string.h>

static bool is_space(char letter, char separator) { return letter == ' ' || (letter == '\t' && separator != '\t'); }

bool evn_rows_next(evn_rows *w, evn_row *out)
{
    while (w->at < w->end) {
        const char *begin = w->at;
        const char *feed = memchr(begin, '\n', (size_t)(w->end - begin));
        const char *end = !feed ? w->end : feed;
        w->at = !feed ? w->end : feed + 1;
        w->line++;
        if (end > begin && end[-1] == '\r')
            end--;
        const char *first = begin;
        while (first < end && is_space(*first, ','))
            first++;
        if (first < end && *first != '#') {
            *out = (evn_row){begin, end, w->line};
            return true;
        }
    }
    return false;
}

uint32_t evn_row_column(const evn_row *in, const char *at)
{
    uint32_t column = 1;
    for (const char *c = in->begin; c < at; c++)
        column += ((unsigned char)*c & 0xc0) != 0x80;
    return column;
}

evn_cell evn_cell_trimmed(const char *begin, const char *end, char separator)
{
    while (begin < end && is_space(*begin, separator))
        begin++;
    while (end > begin && is_space(end[-1], separator))
        end--;
    return (evn_cell){begin, (size_t)(end - begin)};
}

/* The closing quote of a cell that begins at a quote; two quotes in a row stand for one inside. */
static const char *closing_quote(const char *open, const char *end)
{
    for (const char *at = open + 1; at < end; at++)
        if (*at == '"' && at + 1 < end && at[1] == '"')
            at++;
        else if (*at == '"')
            return at;
    return NULL;
}

bool evn_row_cell(const evn_row *in, char separator, const char **at, evn_cell *out)
{
    const char *begin = *at;
    while (begin < in->end && is_space(*begin, separator))
        begin++;
    const char *search = begin;
    bool quoted = begin < in->end && *begin == '"';
    if (quoted) {
        search = closing_quote(begin, in->end);
        if (!search) {
            *out = (evn_cell){begin, 0};
            return false;
        }
    }
    const char *next = search < in->end ? memchr(search, separator, (size_t)(in->end - search)) : NULL;
    const char *end = !next ? in->end : next;
    *at = !next ? NULL : next + 1;
    *out = evn_cell_trimmed(begin, end, separator);
    if (quoted && out->at + out->length == search + 1)
        *out = (evn_cell){begin + 1, (size_t)(search - begin) - 1};
    return true;
}
