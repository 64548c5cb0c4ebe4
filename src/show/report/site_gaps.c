/* Figures that are not known, folded to a line for each truck. */
#define _POSIX_C_SOURCE 200809L
#include "show/report/site_gaps.h"
#include "show/site_plain.h"
#include "show/text.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { KEYS_TOLD = 6 };

bool evn_site_is_gap(const evn_site_figure *f)
{
    int length;
    return isnan(f->value) && !f->demanded && evn_site_missing_key(f->why, &length);
}

/* The key without which a figure of a truck is not known; NULL: it has no such figure. */
static const char *key_of(const evn_site *site, const evn_site_figure *row, int *length)
{
    evn_site_figure f;
    return evn_site_get(site, row->what.key, &f) && evn_site_is_gap(&f) ? evn_site_missing_key(f.why, length) : NULL;
}

/* Whether a figure before this one lacks the same key. */
static bool is_told(const evn_site *site, const evn_site_figure gap[], size_t index, const char *key, int length)
{
    int other_length = 0;
    for (size_t k = 0; k < index; k++) {
        const char *other = key_of(site, &gap[k], &other_length);
        if (other && other_length == length && strncmp(other, key, (size_t)length) == 0)
            return true;
    }
    return false;
}

static size_t gaps_of(const evn_site *site, const evn_site_figure figure[], size_t count)
{
    size_t gaps = 0;
    int length;
    for (size_t k = 0; k < count; k++)
        gaps += key_of(site, &figure[k], &length) != NULL;
    return gaps;
}

static void put_gaps(FILE *to, const evn_site_story *story, size_t truck, const evn_site_figure figure[], size_t count)
{
    const evn_site *site = story->truck[truck].site;
    size_t keys = 0;
    int length = 0;
    fprintf(to, "Not known%s%s: %zu figures. To be stated in its file first: ", story->count > 1 ? " of " : "",
            story->count > 1 ? evn_site_title(&story->truck[truck]) : "", gaps_of(site, figure, count));
    for (size_t k = 0; k < count; k++) {
        const char *key = key_of(site, &figure[k], &length);
        if (!key || is_told(site, figure, k, key, length))
            continue;
        if (keys < KEYS_TOLD)
            fprintf(to, "%s%.*s", keys > 0 ? ", " : "", length, key);
        keys++;
    }
    if (keys > KEYS_TOLD)
        fprintf(to, " and %zu more", keys - KEYS_TOLD);
    fputs(".\n", to);
}

static char *lines_of(const evn_site_story *story, const evn_site_figure figure[], size_t count,
                      const evn_site_folded *folded)
{
    char *text = NULL;
    size_t bytes = 0;
    FILE *to = open_memstream(&text, &bytes);
    for (size_t i = 0; to && i < story->count; i++)
        if (folded->truck[i])
            put_gaps(to, story, i, figure, count);
    bool made = to && !ferror(to);
    if (to && fclose(to) == 0 && made)
        return text;
    free(text);
    return NULL;
}

/* Whether all trucks that have a figure tell it together with others. */
static bool is_told_together(const evn_site_story *story, const evn_site_figure *row, const evn_site_folded *folded)
{
    for (size_t i = 0; i < story->count; i++) {
        evn_site_figure f;
        if (evn_site_get(story->truck[i].site, row->what.key, &f) && !(folded->truck[i] && evn_site_is_gap(&f)))
            return false;
    }
    return true;
}

char *evn_site_fold_gaps(const evn_site_story *story, evn_site_figure figure[], size_t *count, evn_site_folded *folded)
{
    size_t left = 0;
    *folded = (evn_site_folded){{false}};
    for (size_t i = 0; i < story->count; i++)
        folded->truck[i] = gaps_of(story->truck[i].site, figure, *count) > 1;
    char *lines = lines_of(story, figure, *count, folded);
    for (size_t k = 0; lines && k < *count; k++)
        if (!is_told_together(story, &figure[k], folded))
            figure[left++] = figure[k];
    *count = lines ? left : *count;
    return lines;
}
