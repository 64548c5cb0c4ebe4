/* What the parts of the report on a comparison share: the results they tell, and how a part of the report looks. */
#include "show/report/compare_report.h"
#include "show/text.h"
#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ what came of it */

static const evn_outcome *outcome_of(const evn_compare_report *report, size_t truck, evn_basis basis)
{
    return evn_comparison_outcome(report->story->comparison, truck, basis);
}

evn_figures evn_compare_results(const evn_compare_report *report, size_t truck, evn_basis basis)
{
    return evn_figures_of_results(evn_outcome_results(outcome_of(report, truck, basis)));
}

evn_figures evn_compare_differences(const evn_compare_report *report, size_t truck, evn_basis basis)
{
    return evn_figures_of_differences(outcome_of(report, truck, basis));
}

bool evn_compare_finished(const evn_compare_report *report, size_t truck, evn_basis basis)
{
    return strcmp(evn_outcome_status(outcome_of(report, truck, basis)), "finished") == 0;
}

double evn_compare_result(const evn_compare_report *report, size_t truck, evn_basis basis, const char *key)
{
    evn_figures results = evn_compare_results(report, truck, basis);
    return evn_figures_value(&results, key);
}

double evn_compare_percent(const evn_compare_report *report, size_t truck, evn_basis basis, const char *key)
{
    char full[EVN_COMPARE_CELL];
    evn_figures differences = evn_compare_differences(report, truck, basis);
    snprintf(full, sizeof full, "percent.%s", key);
    return evn_figures_value(&differences, full);
}

/* Of several that are alike the first. */
static size_t extreme(const evn_compare_report *report, evn_basis basis, const char *key, double sign)
{
    size_t best = report->count;
    double best_value = (double)INFINITY;
    for (size_t i = 0; i < report->count; i++) {
        double value = sign * evn_compare_result(report, i, basis, key);
        if (evn_compare_finished(report, i, basis) && value < best_value) {
            best = i;
            best_value = value;
        }
    }
    return best;
}

size_t evn_compare_least(const evn_compare_report *report, evn_basis basis, const char *key)
{
    return extreme(report, basis, key, 1);
}

size_t evn_compare_most(const evn_compare_report *report, evn_basis basis, const char *key)
{
    return extreme(report, basis, key, -1);
}

/* ------------------------------------------------------------------------------------------------ looks */

void evn_compare_paragraph(const evn_compare_report *report, evn_style style, const char *margin, const char *text)
{
    if (report->unbroken) {
        fprintf(report->to, "%s\n", text + strspn(text, " "));
        return;
    }
    evn_style_begin(report->to, report->look, style);
    evn_put_paragraph_within(report->to, evn_look_prose(report->look), 0, margin, text);
    evn_style_end(report->to, report->look, style);
}

void evn_compare_heading(const evn_compare_report *report, const char *text)
{
    if (report->unbroken) {
        if (report->headed)
            evn_compare_paragraph(report, EVN_STYLE_STRONG, "", text);
        return;
    }
    fputc('\n', report->to);
    evn_compare_paragraph(report, EVN_STYLE_STRONG, "", text);
    fputc('\n', report->to);
}

enum { PART_BYTES = EVN_COMPARE_CELL / 3 }; /* of a name that is cut, on each side: accents may be many */

/* Bytes of what fits into so many columns at the beginning. */
static size_t bytes_of(const char *text, size_t columns)
{
    size_t bytes = 0, used = 0;
    uint32_t code;
    for (size_t length; (length = evn_utf8_next(text + bytes, &code)) > 0; bytes += length) {
        used += evn_code_columns(code);
        if (used > columns || bytes + length > PART_BYTES)
            break;
    }
    return bytes;
}

/* Where the last signs begin that fit into so many columns. */
static const char *tail_of(const char *text, size_t columns)
{
    uint32_t code;
    while (evn_text_columns(text) > columns || strlen(text) > PART_BYTES)
        text += evn_utf8_next(text, &code);
    return text;
}

void evn_compare_short_name(const evn_compare_report *report, size_t truck, size_t columns, char out[EVN_COMPARE_CELL])
{
    const char *name = report->name[truck], *dots = report->look->utf8 ? "\u2026" : "..";
    size_t marks = evn_text_columns(dots);
    if (evn_text_columns(name) <= columns && strlen(name) < EVN_COMPARE_CELL) {
        snprintf(out, EVN_COMPARE_CELL, "%s", name);
        return;
    }
    size_t tail = (columns - marks) / 2, head = columns - marks - tail;
    snprintf(out, EVN_COMPARE_CELL, "%.*s%s%s", (int)bytes_of(name, head), name, dots, tail_of(name, tail));
}

void evn_format_change(char *out, size_t size, int digits, double value)
{
    evn_format_decimals(out, size, digits, value);
    size_t length = strlen(out);
    if (out[0] == '-' || strspn(out, "0.") == length || length + 2 > size)
        return;
    memmove(out + 1, out, length + 1);
    out[0] = '+';
}

/* Half a block on the right is all there is for bars that grow to the left. */
static size_t put_left_bar(char *out, const evn_look *look, double share, unsigned columns)
{
    const char *block = look->utf8 ? "\u2588" : "#", *half = look->utf8 ? "\u2590" : "#";
    unsigned halves = (unsigned)lround(fmin(fmax(-share, 0), 1) * columns * 2), full = halves / 2, odd = halves % 2;
    size_t used = 0;
    for (unsigned i = 0; i < columns; i++) {
        const char *next = i + full >= columns ? block : i + full + odd >= columns ? half : " ";
        used += (size_t)sprintf(out + used, "%s", next);
    }
    return used;
}

void evn_format_change_bar(char *out, size_t size, const evn_look *look, double share, unsigned columns)
{
    size_t used = put_left_bar(out, look, share, columns);
    used += (size_t)snprintf(out + used, size - used, "%s", look->utf8 ? "\u2502" : "|");
    evn_format_bar(out + used, size - used, look, share, columns);
}

bool evn_compare_put_given(const evn_compare_report *report, FILE *to, const char *before, size_t truck,
                           const evn_equalised *given)
{
    char value[EVN_COMPARE_CELL], one[EVN_COMPARE_CELL];
    bool scaled = given->by == EVN_EQUAL_POWER, paid = given->by == EVN_EQUAL_GROSS && !isnan(given->payload_kg);
    int digits = evn_look_digits(report->look, scaled ? 3 : 0);
    evn_format_decimals(value, sizeof value, digits, scaled ? given->torque_scale : given->payload_kg);
    evn_format_decimals(one, sizeof one, digits, 1);
    if (paid)
        fprintf(to, "%spayload of %s %s kg", before, report->name[truck], value);
    else if (scaled && strcmp(value, one) != 0)
        fprintf(to, "%smotors of %s scaled by %s in torque (their active length)", before, report->name[truck], value);
    else
        return false;
    return true;
}
