/* UTF-8 made safe, paragraphs broken, numbers and durations written for people. */
#define _XOPEN_SOURCE 700 /* wcwidth */
#include "show/text.h"
#include <ctype.h>
#include <math.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>
#include <wchar.h>

static size_t utf8_length(unsigned char first)
{
    if (first < 0x80)
        return 1;
    if (first >= 0xC2 && first <= 0xDF)
        return 2;
    if (first >= 0xE0 && first <= 0xEF)
        return 3;
    if (first >= 0xF0 && first <= 0xF4)
        return 4;
    return 0;
}

size_t evn_utf8_next(const char *at, uint32_t *code)
{
    static const uint32_t least[5] = {0, 0, 0x80, 0x800, 0x10000};
    static const unsigned char mask[5] = {0, 0x7F, 0x1F, 0x0F, 0x07};
    const unsigned char *byte = (const unsigned char *)at;
    *code = EVN_NO_CODE;
    if (byte[0] == 0)
        return 0;
    size_t length = utf8_length(byte[0]);
    if (length == 0)
        return 1;
    uint32_t value = byte[0] & mask[length];
    for (size_t i = 1; i < length; i++) {
        if ((byte[i] & 0xC0) != 0x80)
            return 1;
        value = value << 6 | (byte[i] & 0x3F);
    }
    bool surrogate = value >= 0xD800 && value <= 0xDFFF;
    if (value < least[length] || value > 0x10FFFF || surrogate)
        return 1;
    *code = value;
    return length;
}

bool evn_code_is_control(uint32_t code)
{
    if (code < 0x20 || (code >= 0x7F && code <= 0x9F))
        return true;
    bool line_break = code == 0x2028 || code == 0x2029;
    bool direction = code == 0x061C || code == 0x200E || code == 0x200F || (code >= 0x202A && code <= 0x202E) ||
                     (code >= 0x2066 && code <= 0x2069);
    return line_break || direction;
}

void evn_put_safe(FILE *to, const char *text)
{
    uint32_t code;
    for (size_t length; (length = evn_utf8_next(text, &code)) > 0; text += length)
        if (code == EVN_NO_CODE)
            fprintf(to, "\\x%02x", (unsigned)(unsigned char)*text);
        else if (!evn_code_is_control(code))
            fwrite(text, 1, length, to);
        else if (code < 0x80)
            fprintf(to, "\\x%02x", (unsigned)code);
        else
            fprintf(to, "\\u{%x}", (unsigned)code);
}

char *evn_safe_text(const char *text)
{
    char *out = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&out, &size);
    if (!memory)
        return NULL;
    evn_put_safe(memory, text);
    bool failed = ferror(memory) != 0;
    if (fclose(memory) != 0 || failed) {
        free(out);
        return NULL;
    }
    return out;
}

size_t evn_code_columns(uint32_t code)
{
    int columns = code == EVN_NO_CODE ? 1 : wcwidth((wchar_t)code);
    return columns < 0 ? 1 : (size_t)columns;
}

size_t evn_columns_within(const char *text, size_t bytes)
{
    size_t columns = 0, length;
    uint32_t code;
    for (const char *end = text + bytes; text < end && (length = evn_utf8_next(text, &code)) > 0; text += length)
        columns += evn_code_columns(code);
    return columns;
}

size_t evn_text_columns(const char *text) { return evn_columns_within(text, strlen(text)); }

/* Behind such a sign a word may be broken that is longer than a line. */
static bool may_break_behind(char sign) { return strchr("/_-.,=:;", sign); }

/* Whether a word is a unit, whatever stands behind it. */
static bool is_unit(const char *word)
{
    static const char *const units[] = {"%", "kWh", "kW", "kN", "kg", "km",   "m",
                                        "h", "min", "s",  "t",  "Nm", "degC", "°C"};
    for (size_t k = 0; k < sizeof units / sizeof *units; k++) {
        size_t bytes = strlen(units[k]);
        if (strncmp(word, units[k], bytes) == 0 && !isalnum((unsigned char)word[bytes]))
            return true;
    }
    return false;
}

static bool is_digit(char sign) { return isdigit((unsigned char)sign) != 0; }

/* "2 min| 10 s", "1 h| 05 min" */
static bool parts_duration(const char *text, size_t at)
{
    static const char *const units[][2] = {{" min", " s"}, {" h", " min"}};
    const char *behind = text + at + 1 + strspn(text + at + 1, "0123456789");
    for (size_t k = 0; k < sizeof units / sizeof *units; k++) {
        size_t large = strlen(units[k][0]);
        if (at > large && is_digit(text[at - large - 1]) && strncmp(text + at - large, units[k][0], large) == 0 &&
            is_digit(text[at + 1]) && strncmp(behind, units[k][1], strlen(units[k][1])) == 0)
            return true;
    }
    return false;
}

bool evn_is_within_value(const char *text, size_t at)
{
    char before = at > 0 ? text[at - 1] : ' ';
    return text[at] == ' ' &&
           (text[at + 1] == '%' || (is_digit(before) && is_unit(text + at + 1)) ||
            ((before == '<' || before == '>') && is_digit(text[at + 1])) || parts_duration(text, at));
}

static bool may_break_at(const char *text, size_t at) { return text[at] == ' ' && !evn_is_within_value(text, at); }

size_t evn_line_bytes(const char *text, size_t width)
{
    size_t bytes = 0, at_space = 0, in_word = 0, columns = 0, length;
    uint32_t code;
    while (columns < width && (length = evn_utf8_next(text + bytes, &code)) > 0) {
        size_t more = evn_code_columns(code);
        if (columns + more > width && bytes > 0)
            break;
        if (may_break_at(text, bytes))
            at_space = bytes;
        bytes += length;
        columns += more;
        if (length == 1 && may_break_behind(text[bytes - 1]))
            in_word = bytes;
    }
    if (text[bytes] == '\0' || may_break_at(text, bytes))
        return bytes;
    return at_space > 0 ? at_space : in_word > 0 ? in_word : bytes;
}

void evn_put_paragraph_within(FILE *to, size_t width, size_t column, const char *indent, const char *text)
{
    size_t margin = evn_text_columns(indent);
    text += strspn(text, " ");
    while (*text != '\0') {
        fputs(column == 0 ? indent : "", to);
        column = column == 0 ? margin : column;
        size_t bytes = evn_line_bytes(text, width > column ? width - column : 1);
        fwrite(text, 1, bytes, to);
        text += bytes + strspn(text + bytes, " ");
        column = 0;
        if (*text != '\0')
            fputc('\n', to);
    }
    fputc('\n', to);
}

/* Up to the first blank at which a line may break: a value and its unit stay together. */
static size_t unbroken_bytes(const char *text)
{
    size_t bytes = strcspn(text, " ");
    while (text[bytes] == ' ' && evn_is_within_value(text, bytes))
        bytes += 1 + strcspn(text + bytes + 1, " ");
    return bytes;
}

void evn_put_behind(FILE *to, size_t width, size_t column, size_t gap, const char *indent, const char *text)
{
    size_t word = evn_columns_within(text, unbroken_bytes(text)), margin = evn_text_columns(indent);
    if (column + gap + word > width && margin + word <= width) {
        fputc('\n', to);
        evn_put_paragraph_within(to, width, 0, indent, text);
    } else {
        fprintf(to, "%*s", (int)gap, "");
        evn_put_paragraph_within(to, width, column + gap, indent, text);
    }
}

bool evn_put_sentence(FILE *to, size_t width, const char *indent, const char *format, ...)
{
    char *text = NULL, *safe = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    va_list arguments;
    va_start(arguments, format);
    bool written = vfprintf(memory, format, arguments) >= 0;
    va_end(arguments);
    if (fclose(memory) == 0 && written)
        safe = evn_safe_text(text);
    if (safe)
        evn_put_paragraph_within(to, width, 0, indent, safe);
    free(text);
    free(safe);
    return safe;
}

void evn_format_duration(char *out, size_t size, double duration_s)
{
    if (!isfinite(duration_s)) {
        snprintf(out, size, "-");
    } else if (fabs(duration_s) < 59.95) {
        evn_format_decimals(out, size, 1, duration_s);
        size_t used = strlen(out);
        snprintf(out + used, size - used, " s");
    } else if (fabs(duration_s) < 3599.5) {
        double whole_s = round(fabs(duration_s));
        snprintf(out, size, "%s%.0f min %02.0f s", duration_s < 0 ? "-" : "", floor(whole_s / 60), fmod(whole_s, 60));
    } else {
        double whole_min = round(fabs(duration_s) / 60);
        snprintf(out, size, "%s%.0f h %02.0f min", duration_s < 0 ? "-" : "", floor(whole_min / 60),
                 fmod(whole_min, 60));
    }
}

void evn_format_clock(char *out, size_t size, double time_s)
{
    double whole_min = round(time_s / 60);
    if (isfinite(time_s) && time_s >= 0)
        snprintf(out, size, "%.0f:%02.0f", floor(whole_min / 60), fmod(whole_min, 60));
    else
        snprintf(out, size, "-");
}

void evn_format_exact(char out[32], double value)
{
    for (int digits = 15; digits <= 17; digits++) {
        snprintf(out, 32, "%.*g", digits, value);
        if (strtod(out, NULL) == value)
            return;
    }
}

void evn_format_decimals(char *out, size_t size, int digits, double value)
{
    if (!isfinite(value)) {
        snprintf(out, size, "-");
        return;
    }
    if (digits == EVN_ALL_DIGITS)
        snprintf(out, size, "%.12g", value == 0 ? 0 : value);
    else
        snprintf(out, size, "%.*f", digits < 0 ? 0 : digits, value);
    if (out[0] == '-' && strspn(out + 1, "0.") == strlen(out + 1))
        memmove(out, out + 1, strlen(out));
}

const char *evn_shown_unit(const evn_quantity *what) { return what->kind == EVN_SHARE ? "%" : what->unit; }

double evn_shown_value(const evn_quantity *what, double value) { return what->kind == EVN_SHARE ? 100 * value : value; }

void evn_format_value(char *out, size_t size, const evn_look *look, const evn_quantity *what, double value)
{
    int digits = what->kind == EVN_WHOLE ? 0 : evn_look_digits(look, what->digits);
    if (what->kind == EVN_YES_NO)
        snprintf(out, size, "%s", isnan(value) ? "not judged" : value != 0 ? "yes" : "no");
    else
        evn_format_decimals(out, size, digits, evn_shown_value(what, value));
}

bool evn_looks_like_nothing(int digits, double value)
{
    char shown[64];
    evn_format_decimals(shown, sizeof shown, digits, fabs(value));
    return strspn(shown, "0.") == strlen(shown);
}

void evn_format_heading(char *out, size_t size, const evn_look *look, const char *label, const evn_quantity *what)
{
    const char *unit = evn_shown_unit(what);
    bool bare = unit[0] == '\0' || (strcmp(unit, "s") == 0 && !look->all_digits);
    snprintf(out, size, "%s%s%s", label, bare ? "" : ", ", bare ? "" : unit);
}

void evn_format_result_label(char *out, size_t size, const evn_quantity *what)
{
    static const struct {
        const char *group, *word;
    } groups[] = {{"drive_units.", "drive unit"}, {"axles.", "axle"}, {"auxiliaries.", "consumer"}};
    const char *last = strrchr(what->key, '.');
    for (size_t k = 0; last && k < sizeof groups / sizeof *groups; k++) {
        size_t length = strlen(groups[k].group);
        if (strncmp(what->key, groups[k].group, length) == 0 && last > what->key + length) {
            snprintf(out, size, "%s %.*s: %s", groups[k].word, (int)(last - what->key - (ptrdiff_t)length),
                     what->key + length, what->label);
            return;
        }
    }
    snprintf(out, size, "%s", what->label);
}

/* Length of the key without "_km_h" when its unit is "km/h". */
static size_t length_without_unit(const char *key, const char *unit)
{
    if (strcmp(unit, "%") == 0)
        unit = "percent";
    size_t length = strlen(key), tail = strlen(unit);
    if (tail == 0 || length < tail + 2 || key[length - tail - 1] != '_')
        return length;
    for (size_t i = 0; i < tail; i++) {
        char said = unit[i] == '/' || unit[i] == ' ' ? '_' : (char)tolower((unsigned char)unit[i]);
        if (key[length - tail + i] != said)
            return length;
    }
    return length - tail - 1;
}

void evn_format_label(char *out, size_t size, const char *key, const char *unit)
{
    size_t length = length_without_unit(key, unit);
    snprintf(out, size, "%.*s", (int)length, key);
    for (char *at = out; *at != '\0'; at++)
        if (*at == '_')
            *at = ' ';
}
