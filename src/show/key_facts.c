/* What the value of a key may be, in a line of words. */
#define _POSIX_C_SOURCE 200809L
#include "show/keys_story.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const char *shape_name(const evn_key *key)
{
    switch (key->shape) {
    case EVN_KEY_NUMBER:
        return key->unit[0] != '\0' ? key->unit : "number";
    case EVN_KEY_COUNT:
        return "whole number";
    case EVN_KEY_FLAG:
        return "true or false";
    case EVN_KEY_TEXT:
        return "text";
    case EVN_KEY_CHOICE:
        return "one of";
    case EVN_KEY_NUMBERS:
        return key->unit[0] != '\0' ? key->unit : "numbers";
    case EVN_KEY_GROUP:
        return "keys of";
    case EVN_KEY_NAMED:
        return "names, each with the keys of";
    case EVN_KEY_STEPS:
        return "list, each item one of";
    case EVN_KEY_FILE:
        return "path of a CSV file";
    case EVN_KEY_FIGURES:
        return "names, each with a number or none";
    case EVN_KEY_TEXTS:
        return "texts";
    }
    return "";
}

static void put_words_of(const char *kind, const evn_key *key, FILE *to)
{
    const char *step;
    for (size_t i = 0; key->choices && key->choices[i]; i++)
        fprintf(to, "%s %s", i > 0 ? "," : "", key->choices[i]);
    for (size_t i = 0; key->shape == EVN_KEY_STEPS && (step = evn_key_step(kind, key->key, i)); i++)
        fprintf(to, "%s %s", i > 0 ? "," : "", step);
    if (key->kind)
        fprintf(to, " %s", key->kind);
}

static void put_count(const evn_key *key, FILE *to)
{
    const char *things = key->shape == EVN_KEY_NAMED ? "names" : key->shape == EVN_KEY_STEPS ? "items" : "values";
    bool one = key->count_least == 1 && key->count_most == 1;
    if (one)
        fprintf(to, "; one %.*s", (int)strlen(things) - 1, things);
    else if (key->count_most > 0)
        fprintf(to, "; %zu to %zu %s", key->count_least, key->count_most, things);
    else if (key->count_least > 1)
        fprintf(to, "; at least %zu %s", key->count_least, things);
}

static void put_range(const char *before, double low, double high, FILE *to)
{
    if (low == high)
        fprintf(to, "; %s%.10g", before, low);
    else
        fprintf(to, "; %s%.10g to %.10g", before, low, high);
}

static void put_presence(const evn_key *key, FILE *to)
{
    if (key->presence == EVN_KEY_REQUIRED)
        fputs("; required", to);
    else if (!isnan(key->fallback))
        fprintf(to, "; default %.10g", key->fallback);
    else if (key->fallback_word)
        fprintf(to, "; default %s", key->fallback_word);
    else
        fputs("; optional", to);
}

static void put_half_width(const evn_key *key, FILE *to)
{
    if (!key->error_shape)
        return;
    if (isnan(key->relative))
        fprintf(to, "; half width %.10g", key->half_width);
    else
        fprintf(to, "; half width %.10g %%", 100 * key->relative);
    fprintf(to, ", %s", key->error_shape);
}

char *evn_key_facts(const char *kind, const evn_key *key)
{
    char *text = NULL;
    size_t size = 0;
    FILE *to = open_memstream(&text, &size);
    if (!to)
        return NULL;
    bool numbers = key->shape == EVN_KEY_NUMBER || key->shape == EVN_KEY_COUNT || key->shape == EVN_KEY_NUMBERS;
    fputs(shape_name(key), to);
    put_words_of(kind, key, to);
    if (key->shape == EVN_KEY_NUMBERS)
        fputs(" (list)", to);
    put_count(key, to);
    put_presence(key, to);
    if (numbers)
        put_range("", key->least, key->most, to);
    if (key->apart_least > 0)
        fprintf(to, "; neighbours at least %.10g apart", key->apart_least);
    if (!isnan(key->usual_low))
        put_range("usual ", key->usual_low, key->usual_high, to);
    put_half_width(key, to);
    bool failed = ferror(to) != 0;
    if (fclose(to) != 0 || failed) {
        free(text);
        return NULL;
    }
    return text;
}
