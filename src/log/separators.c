/* Separators, decimal marks and what stands for nothing. */
#include "log/separators.h"
#include "log/mapping.h"
#include <string.h>
#include <strings.h>

static const char separators[] = {';', '\t', '|', ','};

char evn_separator_of_word(const char *word)
{
    static const char by_choice[] = {'\0', ',', ';', '\t', '|'};
    for (size_t k = 0; evn_log_separators[k]; k++)
        if (strcmp(word, evn_log_separators[k]) == 0)
            return by_choice[k];
    return '\0';
}

char evn_decimal_of_word(const char *word)
{
    return strcmp(word, "point") == 0 ? '.' : strcmp(word, "comma") == 0 ? ',' : '\0';
}

size_t evn_cells_of(const evn_row *row, char separator)
{
    size_t count = 0;
    for (const char *at = row->begin; at; count++) {
        evn_cell found;
        if (!evn_row_cell(row, separator, &at, &found))
            return 0;
    }
    return count;
}

char evn_separator_find(const evn_row *first, const evn_row *below, bool *several)
{
    size_t fitting = 0, there = 0;
    char only = '\0', fit = '\0';
    for (size_t k = 0; k < sizeof separators; k++) {
        size_t cells = evn_cells_of(first, separators[k]);
        if (cells < 2)
            continue;
        there++;
        only = separators[k];
        if (below && evn_cells_of(below, separators[k]) != cells)
            continue;
        fitting++;
        fit = separators[k];
    }
    *several = fitting > 1;
    return fitting == 1 ? fit : fitting == 0 && there == 1 ? only : '\0';
}

bool evn_cell_is_empty(evn_cell c)
{
    static const char *const words[] = {"nan", "na", "n/a", "null", "-", "--"};
    for (size_t k = 0; k < sizeof words / sizeof *words && c.length > 0; k++)
        if (strlen(words[k]) == c.length && strncasecmp(words[k], c.at, c.length) == 0)
            return true;
    return c.length == 0;
}
