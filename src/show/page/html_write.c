/* Words, numbers and tables as HTML. */
#include "show/page/html_write.h"
#include "show/text.h"
#include <ctype.h>
#include <math.h>
#include <string.h>

enum { CELL = 64, GROUPED_FROM = 5 };

#define MINUS "\u2212"
#define DASH "\u2013"
#define THIN "\u202f" /* no line is broken there */
#define BOUND "\u00a0"

/* ------------------------------------------------------------------------------------------------ text */

static void put_sign(FILE *to, char sign)
{
    if (sign == '<' || sign == '>' || sign == '&' || sign == '"' || sign == '\'')
        fprintf(to, "&#%d;", sign);
    else
        fputc(sign, to);
}

static void put_code(FILE *to, const char *text, size_t bytes, uint32_t code)
{
    if (code == EVN_NO_CODE)
        fprintf(to, "\\x%02x", (unsigned char)*text);
    else if (evn_code_is_control(code))
        fprintf(to, code < 0x80 ? "\\x%02x" : "\\u{%04x}", (unsigned)code);
    else if (bytes == 1)
        put_sign(to, *text);
    else
        fwrite(text, 1, bytes, to);
}

/* Blocks of scripts that are written from right to left (Unicode Standard Annex 9, classes R and AL; from memory). */
static bool is_right_to_left(uint32_t code)
{
    static const uint32_t blocks[][2] = {
        {0x590, 0x8FF}, {0xFB1D, 0xFDFF}, {0xFE70, 0xFEFE}, {0x10800, 0x10FFF}, {0x1E800, 0x1EFFF}};
    for (size_t k = 0; k < sizeof blocks / sizeof *blocks; k++)
        if (code != EVN_NO_CODE && code >= blocks[k][0] && code <= blocks[k][1])
            return true;
    return false;
}

/* Bytes from here to the last letter of words that are written from right to left; 0: none begins here. */
static size_t right_to_left_bytes(const char *text, size_t most)
{
    size_t last = 0, bytes;
    uint32_t code;
    for (size_t at = 0; at < most && (bytes = evn_utf8_next(text + at, &code)) > 0; at += bytes)
        if (is_right_to_left(code))
            last = at + bytes;
        else if (last == 0 || (text[at] != ' ' && text[at] != '-' && text[at] != '\'' && text[at] != '"'))
            break;
    return last;
}

/* What is written from right to left stands by itself, so that it moves no figure beside it: signs and not an element,
 * as captions are told in attributes too. */
static size_t put_isolated(FILE *to, const char *text, size_t most)
{
    size_t all = right_to_left_bytes(text, most), bytes;
    uint32_t code;
    if (all == 0)
        return 0;
    fputs("&#x2068;", to);
    for (size_t at = 0; at < all && (bytes = evn_utf8_next(text + at, &code)) > 0; at += bytes)
        put_code(to, text + at, bytes, code);
    fputs("&#x2069;", to);
    return all;
}

void evn_html_letter(FILE *to, const char *letter)
{
    uint32_t code;
    size_t bytes = evn_utf8_next(letter, &code);
    if (bytes > 0)
        put_code(to, letter, bytes, code);
}

const char *evn_html_unit(const char *unit)
{
    static const char *const as[][2] = {
        {"degC", "°C"}, {"ohm", "Ω"}, {"m2", "m²"}, {"m/s2", "m/s²"}, {"kg/m3", "kg/m³"}};
    for (size_t k = 0; k < sizeof as / sizeof *as; k++)
        if (strcmp(unit, as[k][0]) == 0)
            return as[k][1];
    return unit;
}

/* Bytes of a unit behind a number that tables have with its own sign, "m2" as "m²"; 0: none stands here. */
static size_t put_unit(FILE *to, const char *text, const char *at, size_t most)
{
    char unit[8];
    size_t bytes = 0;
    if (at - text < 2 || at[-1] != ' ' || !isdigit((unsigned char)at[-2]))
        return 0;
    while (bytes < most && bytes + 1 < sizeof unit && (isalnum((unsigned char)at[bytes]) || at[bytes] == '/')) {
        unit[bytes] = at[bytes];
        bytes++;
    }
    unit[bytes] = '\0';
    const char *sign = evn_html_unit(unit);
    if (sign == unit)
        return 0;
    fputs(sign, to);
    return bytes;
}

static void put_text(FILE *to, const char *text, bool units)
{
    uint32_t code;
    const char *at = text, *end = text + strlen(text);
    for (size_t bytes; (bytes = evn_utf8_next(at, &code)) > 0; at += bytes) {
        size_t apart = put_isolated(to, at, (size_t)(end - at));
        if (apart == 0 && units)
            apart = put_unit(to, text, at, (size_t)(end - at));
        if (apart > 0)
            bytes = apart;
        else
            put_code(to, at, bytes, code);
    }
}

void evn_html_text(FILE *to, const char *text) { put_text(to, text, false); }

void evn_html_finding(FILE *to, const char *text) { put_text(to, text, true); }

void evn_html_words_of(FILE *to, const char *text, size_t bytes)
{
    for (const char *at = text; at < text + bytes; at++) {
        char before = at > text ? at[-1] : ' ';
        bool begins = before == ' ' || before == '(';
        size_t left = (size_t)(text + bytes - at), apart = put_isolated(to, at, left);
        apart = apart > 0 ? apart : put_unit(to, text, at, left);
        if (apart > 0)
            at += apart - 1;
        else if (*at == '-' && begins && isdigit((unsigned char)at[1]))
            fputs(MINUS, to);
        else if (evn_is_within_value(text, (size_t)(at - text)))
            fputs(BOUND, to);
        else
            put_sign(to, *at);
    }
}

void evn_html_words(FILE *to, const char *text) { evn_html_words_of(to, text, strlen(text)); }

/* ------------------------------------------------------------------------------------------------ numbers */

static void put_whole(FILE *to, const char *digits, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (i > 0 && count >= GROUPED_FROM && (count - i) % 3 == 0)
            fputs(THIN, to);
        fputc(digits[i], to);
    }
}

void evn_html_figure(FILE *to, const char *formatted)
{
    if (strcmp(formatted, "-") == 0) {
        fputs(DASH, to);
        return;
    }
    for (const char *at = formatted; *at != '\0';) {
        size_t digits = strspn(at, "0123456789");
        bool whole = digits > 0 && (at == formatted || at[-1] != '.');
        if (whole) {
            put_whole(to, at, digits);
            at += digits;
        } else if (*at == '-' && isdigit((unsigned char)at[1])) {
            fputs(MINUS, to);
            at++;
        } else if (*at == ' ') {
            fputs(BOUND, to);
            at++;
        } else {
            put_sign(to, *at++);
        }
    }
}

void evn_html_decimals(FILE *to, int digits, double value)
{
    char text[CELL];
    evn_format_decimals(text, sizeof text, digits, value);
    evn_html_figure(to, text);
}

void evn_html_change(FILE *to, int digits, double value)
{
    if (value > 0 && !evn_looks_like_nothing(digits, value))
        fputc('+', to);
    evn_html_decimals(to, digits, value);
}

void evn_html_duration(FILE *to, double duration_s)
{
    char text[CELL];
    evn_format_duration(text, sizeof text, duration_s);
    evn_html_figure(to, text);
}

void evn_html_value(FILE *to, const evn_quantity *what, double value)
{
    char text[CELL];
    if (strcmp(what->unit, "s") == 0) {
        evn_html_duration(to, value);
        return;
    }
    evn_format_value(text, sizeof text, NULL, what, value);
    evn_html_figure(to, text);
}

void evn_html_heading(FILE *to, const char *label, const evn_quantity *what)
{
    const char *unit = evn_shown_unit(what);
    evn_html_words(to, label);
    if (unit[0] != '\0' && strcmp(unit, "s") != 0)
        fprintf(to, ", %s", evn_html_unit(unit));
}

/* ------------------------------------------------------------------------------------------------ paragraphs */

static size_t line_bytes(const char *at) { return strcspn(at, "\n"); }

size_t evn_html_line_count(const char *lines)
{
    size_t count = 0;
    for (const char *at = lines; at && *at != '\0';) {
        size_t bytes = line_bytes(at);
        count += bytes > 0;
        at += bytes + (at[bytes] == '\n');
    }
    return count;
}

/* Bytes of an option of the command line that begins here, with its number: "--draws 64"; 0: none does. */
static size_t option_bytes(const char *text, size_t bytes)
{
    if (bytes < 3 || text[0] != '-' || text[1] != '-' || !isalpha((unsigned char)text[2]))
        return 0;
    size_t at = 2;
    while (at < bytes && (isalnum((unsigned char)text[at]) || text[at] == '-'))
        at++;
    size_t word = at;
    if (at + 1 < bytes && text[at] == ' ' && isdigit((unsigned char)text[at + 1]))
        for (at++; at < bytes && isdigit((unsigned char)text[at]); at++)
            word = at + 1;
    return word;
}

/* Words in which no option is broken behind a hyphen. */
static void put_prose(FILE *to, const char *text, size_t bytes)
{
    size_t from = 0;
    for (size_t at = 0; at < bytes; at++) {
        bool begins = at == 0 || text[at - 1] == ' ' || text[at - 1] == '(';
        size_t option = begins ? option_bytes(text + at, bytes - at) : 0;
        if (option == 0)
            continue;
        evn_html_words_of(to, text + from, at - from);
        fputs("<span class=\"option\">", to);
        evn_html_words_of(to, text + at, option);
        fputs("</span>", to);
        at += option - 1;
        from = at + 1;
    }
    evn_html_words_of(to, text + from, bytes - from);
}

static void put_paragraph(FILE *to, const char *class_name, const char *line, size_t bytes)
{
    if (class_name[0] != '\0')
        fprintf(to, "<p class=\"%s\">", class_name);
    else
        fputs("<p>", to);
    put_prose(to, line, bytes);
    fputs("</p>\n", to);
}

void evn_html_paragraphs(FILE *to, const char *class_name, const char *lines, size_t from, size_t most)
{
    size_t index = 0;
    for (const char *at = lines; at && *at != '\0';) {
        size_t bytes = line_bytes(at);
        if (bytes > 0 && index++ >= from && index - from <= most)
            put_paragraph(to, class_name, at, bytes);
        at += bytes + (at[bytes] == '\n');
    }
}

/* ------------------------------------------------------------------------------------------------ tables */

void evn_html_table_begin(FILE *to, const char *class_name, const char *caption)
{
    fputs("<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"", to);
    evn_html_words(to, caption);
    fprintf(to, "\"><table%s%s%s>\n<caption><span>", class_name[0] != '\0' ? " class=\"" : "", class_name,
            class_name[0] != '\0' ? "\"" : "");
    evn_html_words(to, caption);
    fputs("</span></caption>\n", to);
}

void evn_html_table_end(FILE *to) { fputs("</table></div>\n", to); }

void evn_html_place(FILE *to, const char *charts) { fprintf(to, "<div data-charts=\"%s\"></div>\n", charts); }
