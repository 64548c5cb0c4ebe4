/* The grammar of a plain decimal number. */
#include "read/number.h"
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

enum { NUMBER_MOST = 100 };

static bool is_digit(char letter) { return letter >= '0' && letter <= '9'; }

static const char *skip_digits(const char *at)
{
    while (is_digit(*at))
        at++;
    return at;
}

static bool is_one_of(const char *text, const char *const *words)
{
    for (; *words; words++)
        if (strcmp(text, *words) == 0)
            return true;
    return false;
}

/* Why a text that begins with digits is not a number: `rest` is where it stopped being one. */
static const char *why_not_rest(const char *text, const char *rest)
{
    const char *digits = text + (*text == '-' || *text == '+');
    bool after_zero = digits[0] == '0' && rest == digits + 1;
    if (after_zero && (*rest == 'x' || *rest == 'X' || *rest == 'o' || *rest == 'b'))
        return "no hexadecimal, octal or binary numbers";
    switch (*rest) {
    case '_':
        return "no underscores between digits";
    case ':':
        return "no times or base-60 numbers: seconds and hours are decimal";
    case ',':
        return "no commas: a point parts the decimals, nothing parts thousands";
    case '.':
        return "one point, with digits on both sides";
    case 'e':
    case 'E':
        return "digits after the e of an exponent";
    default:
        return "nothing after the number: its unit is part of the key";
    }
}

static const char *why_not_begin(const char *text)
{
    static const char *const not_finite[] = {".inf", ".Inf", ".INF", "inf", "Inf", "INF", "infinity", "Infinity",
                                             ".nan", ".NaN", ".NAN", "nan", "NaN", "NAN", NULL};
    if (is_one_of(text, not_finite))
        return "only finite numbers";
    if (text[0] == '.' && is_digit(text[1]))
        return "a digit before the point: 0.5, not .5";
    return "digits, with a point and an exponent where needed: 12, 0.5, 1.2e3";
}

/* The end of the longest plain number at the beginning of the text; NULL and the reason when there is none. */
static const char *scan(const char *text, const char **why)
{
    const char *at = text + (*text == '-' || *text == '+');
    if (!is_digit(*at)) {
        *why = why_not_begin(at);
        return NULL;
    }
    if (at[0] == '0' && is_digit(at[1])) {
        *why = "no leading zeros: 12, not 012";
        return NULL;
    }
    at = skip_digits(at);
    if (at[0] == '.' && is_digit(at[1]))
        at = skip_digits(at + 1);
    if (*at == 'e' || *at == 'E') {
        const char *digits = at + 1 + (at[1] == '-' || at[1] == '+');
        at = is_digit(*digits) ? skip_digits(digits) : at;
    }
    return at;
}

const char *evn_number_read(const char *text, size_t length, double *value)
{
    char copy[NUMBER_MOST + 1];
    if (length == 0)
        return "it is empty";
    if (length > NUMBER_MOST)
        return "no more than 100 characters";
    memcpy(copy, text, length);
    copy[length] = '\0';
    const char *why = NULL;
    const char *end = scan(copy, &why);
    if (!end)
        return why;
    if (end != copy + length)
        return why_not_rest(copy, end);
    *value = strtod(copy, NULL);
    return isfinite(*value) ? NULL : "a number that fits: at most 1.79e308";
}
