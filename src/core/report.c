/*
 * The report keeps the 20 findings that come first by place, errors before warnings, and counts the rest; a warning
 * that is said twice of one place it keeps once. A text, once kept, lives as long as the report even when a finding
 * that comes earlier takes its place.
 */
#define _POSIX_C_SOURCE 200809L
#include "core/report.h"
#include "core/arena.h"
#include "core/plain_locale.h"
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { KEPT_MOST = 20 };

const evn_fault_row evn_fault_rows[EVN_FAULT_COUNT] = {
#define X(name, text, status, severity, meaning) {text, status, severity, meaning},
    EVN_FAULTS(X)
#undef X
};

evn_fault evn_fault_named(const char *name)
{
    size_t k = 0;
    while (k + 1 < EVN_FAULT_COUNT && strcmp(evn_fault_rows[k].name, name) != 0)
        k++;
    return (evn_fault)k;
}

const evn_spot evn_nowhere = {0, 0, 0};

typedef struct kept {
    evn_fault fault;
    evn_severity severity;
    evn_spot at, used_from;
    const char *text;
} kept;

struct evn_report {
    evn_arena *texts;
    const char **files;
    uint32_t file_count, file_room;
    kept kept[KEPT_MOST]; /* sorted by place; equal places in the order they were said */
    size_t count, left_out, errors;
    evn_status status;
    bool strict;
};

evn_report *evn_report_new(void)
{
    evn_report *report = calloc(1, sizeof *report);
    if (!report)
        return NULL;
    report->texts = evn_arena_new();
    if (!report->texts) {
        free(report);
        return NULL;
    }
    return report;
}

void evn_report_free(evn_report *report)
{
    if (!report)
        return;
    evn_arena_free(report->texts);
    free(report->files);
    free(report);
}

size_t evn_report_count(const evn_report *report) { return report ? report->count : 0; }

size_t evn_report_left_out(const evn_report *report) { return report ? report->left_out : 0; }

/* A call that was given no report has nothing else to say that it was. */
evn_status evn_report_status(const evn_report *report) { return report ? report->status : EVN_BAD_INPUT; }

bool evn_report_failed(const evn_report *report) { return report->errors > 0; }

size_t evn_report_errors(const evn_report *report) { return report->errors; }

bool evn_report_be_strict(evn_report *report, bool strict)
{
    bool before = report && report->strict;
    if (report)
        report->strict = strict;
    return before;
}

bool evn_report_is_strict(const evn_report *report) { return report->strict; }

static const char *file_name(const evn_report *report, uint32_t file)
{
    return file == 0 || file > report->file_count ? NULL : report->files[file - 1];
}

bool evn_report_at(const evn_report *report, size_t index, evn_finding *out)
{
    if (!report || !out || index >= report->count)
        return false;
    const kept *from = &report->kept[index];
    const evn_fault_row *row = &evn_fault_rows[from->fault];
    *out = (evn_finding){.severity = from->severity,
                         .fault = row->name,
                         .file = file_name(report, from->at.file),
                         .line = from->at.line,
                         .column = from->at.column,
                         .used_from_file = file_name(report, from->used_from.file),
                         .used_from_line = from->used_from.line,
                         .used_from_column = from->used_from.column,
                         .text = from->text};
    return true;
}

const char *evn_report_file_at(const evn_report *report, size_t index)
{
    return report && index < report->file_count ? report->files[index] : NULL;
}

uint32_t evn_report_file(evn_report *report, const char *path)
{
    for (uint32_t i = 0; i < report->file_count; i++)
        if (strcmp(report->files[i], path) == 0)
            return i + 1;
    if (report->file_count == report->file_room) {
        uint32_t room = report->file_room == 0 ? 8 : report->file_room * 2;
        const char **grown = room < report->file_room ? NULL : realloc(report->files, room * sizeof *grown);
        if (!grown)
            return 0;
        report->files = grown;
        report->file_room = room;
    }
    const char *copy = evn_arena_text(report->texts, path, strlen(path));
    if (!copy)
        return 0;
    report->files[report->file_count++] = copy;
    return report->file_count;
}

static int compare_spots(evn_spot a, evn_spot b)
{
    if (a.file != b.file)
        return a.file < b.file ? -1 : 1;
    if (a.line != b.line)
        return a.line < b.line ? -1 : 1;
    return a.column == b.column ? 0 : a.column < b.column ? -1 : 1;
}

/* The kept finding that a new one may push out: the last warning, or else the last error. */
static size_t least_wanted(const evn_report *report)
{
    for (size_t i = report->count; i-- > 0;)
        if (report->kept[i].severity == EVN_WARNING)
            return i;
    return report->count - 1;
}

/* Makes room for a finding; false when all that is kept outranks it. */
static bool make_room(evn_report *report, evn_severity ours, evn_spot at)
{
    if (report->count < KEPT_MOST)
        return true;
    report->left_out++;
    size_t last = least_wanted(report);
    evn_severity theirs = report->kept[last].severity;
    if (ours > theirs || (ours == theirs && compare_spots(at, report->kept[last].at) >= 0))
        return false;
    report->count--;
    memmove(&report->kept[last], &report->kept[last + 1], (report->count - last) * sizeof report->kept[0]);
    return true;
}

/* Texts carry pieces of files: what would steer a terminal becomes '?', what was cut ends at a whole character. */
static void clean(char *text)
{
    size_t length = strlen(text);
    for (size_t i = 0; i < length; i++) {
        unsigned char byte = (unsigned char)text[i];
        if (byte < 0x20 || byte == 0x7f)
            text[i] = byte == '\n' || byte == '\t' || byte == '\r' ? ' ' : '?';
        else if (byte == 0xc2 && (unsigned char)text[i + 1] >= 0x80 && (unsigned char)text[i + 1] < 0xa0)
            text[i] = text[i + 1] = '?';
    }
}

static void cut(char *text, size_t length)
{
    while (length > 0 && ((unsigned char)text[length] & 0xc0) == 0x80)
        length--;
    memcpy(text + length, "...", 4);
}

/* Formats with a decimal point, whatever the locale of the caller. */
static void format_text(char text[EVN_FINDING_BYTES], const char *format, va_list values)
    __attribute__((format(printf, 2, 0)));
static void format_text(char text[EVN_FINDING_BYTES], const char *format, va_list values)
{
    evn_plain_locale locale;
    bool plain = evn_plain_locale_enter(&locale);
    int length = vsnprintf(text, EVN_FINDING_BYTES, format, values);
    if (plain)
        evn_plain_locale_leave(&locale);
    if (length < 0)
        strcpy(text, "a finding whose text could not be written");
    if (length >= EVN_FINDING_BYTES)
        cut(text, EVN_FINDING_BYTES - 4);
    clean(text);
}

static const char *keep_text(evn_report *report, const char *text)
{
    const char *copy = evn_arena_text(report->texts, text, strlen(text));
    return copy ? copy : "a finding whose text was lost because memory ran out";
}

/* A warning of one place, as of a part that several trucks use, is said once; an error once for each place of use. */
static bool is_kept(const evn_report *report, evn_fault fault, evn_spot at, const char *text)
{
    for (size_t i = 0; i < report->count; i++) {
        const kept *of = &report->kept[i];
        if (of->fault == fault && compare_spots(of->at, at) == 0 && strcmp(of->text, text) == 0)
            return true;
    }
    return false;
}

void evn_vsay(evn_report *report, evn_fault fault, evn_spot at, evn_spot used_from, const char *format, va_list values)
{
    const evn_fault_row *row = &evn_fault_rows[fault];
    bool raised = report->strict && row->severity == EVN_WARNING;
    evn_severity severity = raised ? EVN_ERROR : row->severity;
    evn_status status = raised ? EVN_BAD_INPUT : row->status;
    report->errors += severity == EVN_ERROR;
    report->status = status > report->status ? status : report->status;
    char text[EVN_FINDING_BYTES];
    format_text(text, format, values);
    if (severity == EVN_WARNING && is_kept(report, fault, at, text))
        return;
    if (!make_room(report, severity, at))
        return;
    size_t place = report->count;
    while (place > 0 && compare_spots(at, report->kept[place - 1].at) < 0)
        place--;
    memmove(&report->kept[place + 1], &report->kept[place], (report->count - place) * sizeof report->kept[0]);
    report->kept[place] = (kept){fault, severity, at, used_from, keep_text(report, text)};
    report->count++;
}

void evn_say(evn_report *report, evn_fault fault, evn_spot at, evn_spot used_from, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    evn_vsay(report, fault, at, used_from, format, values);
    va_end(values);
}

bool evn_not_null(evn_report *report, const char *call, const evn_argument *argument)
{
    bool all = report;
    for (; report && argument->name; argument++)
        if (!argument->at) {
            evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "%s: %s is NULL; expected a pointer", call,
                    argument->name);
            all = false;
        }
    return all;
}
