/* A log from a file or from bytes: its mapping, its form, what all forms share. */
#define _POSIX_C_SOURCE 200809L
#include "log/log.h"
#include "core/plain_locale.h"
#include "log/reader.h"
#include "read/bytes.h"
#include "read/read.h"
#include <stdlib.h>
#include <string.h>

enum { ERRORS_MOST = 100 }; /* after which the rest is not worth reading */

/* ------------------------------------------------------------------------------------------------ reading */

static bool words_known(const evn_log_ask *ask, evn_report *report)
{
    const struct {
        const char *word, *option;
        const char *const *choices;
    } asked[] = {{ask->separator, "separator", evn_log_separators}, {ask->decimal, "decimal", evn_log_decimals}};
    bool known = true;
    for (size_t k = 0; k < 2; k++) {
        size_t count = 0;
        bool is = !asked[k].word;
        for (; asked[k].choices[count]; count++)
            is = is || strcmp(asked[k].word, asked[k].choices[count]) == 0;
        char all[EVN_PHRASE_BYTES], quoted[EVN_QUOTE_BYTES];
        if (!is)
            evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "%s %s; expected one of %s", asked[k].option,
                    evn_quote(quoted, asked[k].word, strlen(asked[k].word)),
                    evn_name_all(all, asked[k].choices, count));
        known = known && is;
    }
    return known;
}

static bool begins_as_markup(const char *bytes, size_t length)
{
    size_t k = 0;
    while (k < length && strchr(" \t\r\n", bytes[k]) && bytes[k])
        k++;
    return k < length && bytes[k] == '<';
}

/* Whether the bytes are text; the byte-order mark is taken off. */
static bool is_text(evn_log_reader *r)
{
    evn_reading reading = {.report = r->report, .keep = r->keep, .scratch = r->keep};
    evn_source source = {.path = r->name, .shown = r->name, .file = r->file};
    return evn_bytes_check(&reading, &source, &r->bytes, &r->length);
}

static bool read_mapping(evn_log_reader *r)
{
    if (!r->ask || !r->ask->mapping)
        return true;
    r->mapping = evn_read_file(r->ask->mapping, &evn_mapping_object, NULL, r->keep, r->report);
    return r->mapping;
}

static const evn_log *read_in_form(evn_log_reader *r)
{
    if ((r->ask && !words_known(r->ask, r->report)) || !read_mapping(r) || !is_text(r))
        return NULL;
    return begins_as_markup(r->bytes, r->length) ? evn_log_read_gpx(r) : evn_log_read_csv(r);
}

const evn_log *evn_log_read_bytes(const char *bytes, size_t length, const char *name, const evn_log_ask *ask,
                                  evn_arena *keep, evn_report *report)
{
    evn_log_reader r = {.bytes = bytes ? bytes : "",
                        .length = length,
                        .name = evn_arena_text(keep, name, strlen(name)),
                        .file = evn_report_file(report, name),
                        .ask = ask,
                        .keep = keep,
                        .report = report,
                        .errors_most = evn_report_errors(report) + ERRORS_MOST};
    evn_plain_locale locale;
    if (!r.name || !evn_plain_locale_enter(&locale))
        return evn_log_no_memory(&r);
    const evn_log *log = read_in_form(&r);
    evn_plain_locale_leave(&locale);
    return log;
}

const evn_log *evn_log_read(const char *path, const evn_log_ask *ask, evn_arena *keep, evn_report *report)
{
    evn_bytes bytes;
    evn_trouble trouble;
    if (!evn_bytes_load(path, &bytes, &trouble)) {
        evn_read_trouble(path, &trouble, report);
        return NULL;
    }
    const evn_log *log = evn_log_read_bytes(bytes.at, bytes.length, path, ask, keep, report);
    free(bytes.at);
    return log;
}
