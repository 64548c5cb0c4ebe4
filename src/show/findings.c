/* Gathers findings of the library and mishaps of the program, and prints them a line each. */
#include "show/findings.h"
#include "show/text.h"
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

void evn_mishap_say(evn_mishap *mishap, const char *fault, evn_status status, const char *format, ...)
{
    if (evn_mishap_happened(mishap))
        return;
    mishap->fault = fault;
    mishap->status = status;
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(mishap->text, sizeof mishap->text, format, arguments);
    va_end(arguments);
}

bool evn_mishap_no_memory(evn_mishap *mishap)
{
    evn_mishap_say(mishap, "out_of_memory", EVN_NO_RESULT, "memory ran out");
    return false;
}

bool evn_mishap_happened(const evn_mishap *mishap) { return mishap->fault; }

void evn_findings_add(evn_findings *findings, const evn_finding *finding)
{
    if (findings->count < EVN_FINDINGS_MOST)
        findings->at[findings->count++] = *finding;
    else
        findings->left_out++;
}

void evn_findings_add_mishap(evn_findings *findings, const evn_mishap *mishap)
{
    if (evn_mishap_happened(mishap))
        evn_findings_add(findings, &(evn_finding){.severity = EVN_ERROR, .fault = mishap->fault, .text = mishap->text});
}

void evn_findings_add_report(evn_findings *findings, const evn_report *report)
{
    size_t count = evn_report_count(report);
    evn_finding finding;
    for (size_t i = 0; i < count; i++)
        if (evn_report_at(report, i, &finding))
            evn_findings_add(findings, &finding);
    findings->left_out += evn_report_left_out(report);
}

const char *evn_report_first_error(const evn_report *report)
{
    evn_finding found;
    for (size_t i = 0; evn_report_at(report, i, &found); i++)
        if (found.severity == EVN_ERROR)
            return found.text;
    return NULL;
}

const char *evn_findings_first_error(const evn_findings *findings)
{
    for (size_t i = 0; i < findings->count; i++)
        if (findings->at[i].severity == EVN_ERROR)
            return findings->at[i].text;
    return NULL;
}

const char *evn_severity_name(evn_severity severity) { return severity == EVN_ERROR ? "error" : "warning"; }

/* Returns how many columns it took. */
static size_t put_place(FILE *to, const char *file, unsigned line, unsigned column)
{
    char *safe = evn_safe_text(file);
    size_t columns = safe ? evn_text_columns(safe) : 0;
    free(safe);
    evn_put_safe(to, file);
    if (line > 0)
        columns += (size_t)fprintf(to, ":%u", line);
    if (column > 0) /* without a line: a column of a text such as "--set 2" */
        columns += (size_t)fprintf(to, ":%u", column);
    return columns;
}

/* Words behind `column` columns of a line; none is broken, so that paths and commands can be copied as they are. */
static void put_whole_words(FILE *to, size_t width, size_t column, const char *text)
{
    static const char margin[] = "    ";
    for (text += strspn(text, " "); *text != '\0'; text += strspn(text, " ")) {
        size_t bytes = strcspn(text, " "), columns = 0, length;
        uint32_t code;
        for (size_t at = 0; at < bytes && (length = evn_utf8_next(text + at, &code)) > 0; at += length)
            columns++;
        bool fits = column + 1 + columns <= width;
        column = (fits ? column + 1 : strlen(margin)) + columns;
        fputs(fits ? " " : "\n", to);
        fputs(fits ? "" : margin, to);
        fwrite(text, 1, bytes, to);
        text += bytes;
    }
    fputc('\n', to);
}

/* On a terminal lines that fit, behind so many columns; elsewhere one line, for programs that look for it. */
static void print_text(const evn_finding *finding, size_t column, FILE *to, const evn_look *look)
{
    const char *text = finding->text ? finding->text : finding->fault;
    char *safe = look->terminal ? evn_safe_text(text) : NULL;
    if (safe) {
        put_whole_words(to, evn_look_width(look), column, safe);
    } else {
        fputc(' ', to);
        evn_put_safe(to, text);
        fputc('\n', to);
    }
    free(safe);
}

static void print_finding(const evn_finding *finding, FILE *to, const evn_look *look)
{
    evn_style style = finding->severity == EVN_ERROR ? EVN_STYLE_ERROR : EVN_STYLE_WARNING;
    size_t column =
        put_place(to, finding->file ? finding->file : "evener", finding->file ? finding->line : 0, finding->column);
    fputs(": ", to);
    evn_style_begin(to, look, style);
    fprintf(to, "%s:", evn_severity_name(finding->severity));
    evn_style_end(to, look, style);
    print_text(finding, column + strlen(": :") + strlen(evn_severity_name(finding->severity)), to, look);
    if (finding->used_from_file) {
        fputs("    used from ", to);
        put_place(to, finding->used_from_file, finding->used_from_line, finding->used_from_column);
        fputc('\n', to);
    }
}

void evn_findings_print(const evn_findings *findings, FILE *to, const evn_look *look)
{
    for (size_t i = 0; i < findings->count; i++)
        print_finding(&findings->at[i], to, look);
    if (findings->left_out > 0)
        fprintf(to, "evener: %zu more finding%s left out; mend the ones above first\n", findings->left_out,
                findings->left_out == 1 ? "" : "s");
}
