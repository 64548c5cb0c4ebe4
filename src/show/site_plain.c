/* Names and keys among the words that a site's figures come with. */
#define _POSIX_C_SOURCE 200809L
#include "show/site_plain.h"
#include "show/text.h"
#include <ctype.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char not_known[] = "not known: ", none[] = "none: ", not_stated[] = " is not stated";

static bool begins_with(const char *text, const char *with) { return strncmp(text, with, strlen(with)) == 0; }

/* ------------------------------------------------------------------------------------------------ a word */

/* How long the name or key is that a text begins with; a full stop at its end is the sentence's. */
static size_t word_bytes(const char *at)
{
    size_t bytes = 0;
    while (isalnum((unsigned char)at[bytes]) || at[bytes] == '_' || at[bytes] == '.')
        bytes++;
    while (bytes > 0 && at[bytes - 1] == '.')
        bytes--;
    return bytes;
}

static bool is(const char *word, size_t bytes, const char *text)
{
    return strlen(text) == bytes && strncmp(word, text, bytes) == 0;
}

/* Whether a word is "axles.NAME.permitted_kg", and where its name is. */
static bool is_of_axle(const char *word, size_t bytes, const char **name, size_t *name_bytes)
{
    static const char begin[] = "axles.", end[] = ".permitted_kg";
    size_t least = sizeof begin - 1 + sizeof end - 1;
    if (bytes <= least || strncmp(word, begin, sizeof begin - 1) != 0 ||
        strncmp(word + bytes - (sizeof end - 1), end, sizeof end - 1) != 0)
        return false;
    *name = word + sizeof begin - 1;
    *name_bytes = bytes - least;
    return true;
}

static void put_name(FILE *to, const char *name, size_t bytes)
{
    for (size_t k = 0; k < bytes; k++) {
        bool inside = k > 0 && k + 1 < bytes;
        bool point = inside && isdigit((unsigned char)name[k - 1]) && isdigit((unsigned char)name[k + 1]);
        fputc(name[k] != '_' ? name[k] : point ? '.' : ' ', to);
    }
}

/* What a file lacks, and any other key, is told as it is to be written. */
static void put_word(FILE *to, const char *word, size_t bytes)
{
    const char *name;
    size_t name_bytes;
    bool to_be_written = begins_with(word + bytes, not_stated);
    if (to_be_written)
        fprintf(to, "%.*s", (int)bytes, word);
    else if (is(word, bytes, "body.permitted_gross_kg"))
        fputs("permitted gross mass", to);
    else if (is(word, bytes, "trailer.permitted_axles_kg"))
        fputs("permitted on the trailer's axles", to);
    else if (is_of_axle(word, bytes, &name, &name_bytes)) {
        fputs("permitted on axle ", to);
        put_name(to, name, name_bytes);
    } else if (memchr(word, '.', bytes))
        fprintf(to, "%.*s", (int)bytes, word);
    else
        put_name(to, word, bytes);
}

char *evn_site_in_words(const char *text)
{
    char *words = NULL, *safe = evn_safe_text(text ? text : "");
    size_t size = 0;
    FILE *to = safe ? open_memstream(&words, &size) : NULL;
    for (const char *at = safe; to && *at != '\0';) {
        size_t bytes = word_bytes(at);
        if (bytes > 0)
            put_word(to, at, bytes);
        else
            fputc(*at, to);
        at += bytes > 0 ? bytes : 1;
    }
    free(safe);
    bool made = to && !ferror(to);
    if (to && fclose(to) == 0 && made)
        return words;
    free(words);
    return NULL;
}

/* ------------------------------------------------------------------------------------------------ what is missing */

const char *evn_site_missing_key(const char *why, int *length)
{
    if (!why || !begins_with(why, not_known))
        return NULL;
    const char *key = why + sizeof not_known - 1;
    const char *end = strstr(key, not_stated);
    if (!end || end[sizeof not_stated - 1] != '\0')
        return NULL;
    *length = (int)(end - key);
    return key;
}

const char *evn_site_without_value(const char *why)
{
    return begins_with(why, not_known) ? why + sizeof not_known - 1
           : begins_with(why, none)    ? why + sizeof none - 1
                                       : why;
}
