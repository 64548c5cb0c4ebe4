/* Works formulas out by descent: sums of products of powers. */
#include "core/formula.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ names */

static bool fits(const char *pattern, const char *end, const char *name)
{
    for (; pattern < end && *pattern != '*'; pattern++, name++)
        if (*pattern != *name)
            return false;
    if (pattern == end)
        return *name == '\0';
    for (const char *at = name; *at != '\0' && *at != '.'; at++)
        if (fits(pattern + 1, end, at + 1))
            return true;
    return false;
}

bool evn_formula_fits(evn_formula_name pattern, const char *name)
{
    return fits(pattern.text, pattern.text + pattern.length, name);
}

/* The next name in braces from `at` on, and where the text goes on; NULL: none. */
static const char *next_name(const char *formula, const char *at, evn_formula_name *out)
{
    const char *open = strchr(at, '{'), *close = open ? strchr(open, '}') : NULL;
    if (!close)
        return NULL;
    *out = (evn_formula_name){open + 1, (size_t)(close - open - 1), open > formula && open[-1] >= 'a'};
    return close + 1;
}

bool evn_formula_name_at(const char *formula, size_t index, evn_formula_name *out)
{
    const char *at = formula;
    for (size_t i = 0; at && i <= index; i++)
        at = next_name(formula, at, out);
    return at;
}

/* ------------------------------------------------------------------------------------------------ values */

typedef struct work {
    const char *at;
    evn_formula_values values;
    bool wrong; /* the text is no formula */
} work;

static evn_formula_found sum_of(work *w);

static const evn_formula_found nothing = {.value = (double)NAN, .size = (double)NAN};

static void skip_blanks(work *w) { w->at += strspn(w->at, " "); }

static bool take(work *w, char sign)
{
    skip_blanks(w);
    bool there = *w->at == sign;
    w->at += there ? 1 : 0;
    return there;
}

static void expect(work *w, char sign)
{
    if (!take(w, sign))
        w->wrong = true;
}

static evn_formula_found number_of(work *w)
{
    char *end;
    double value = strtod(w->at, &end);
    w->wrong = w->wrong || end == w->at;
    w->at = end;
    return (evn_formula_found){value, fabs(value), true};
}

/* Behind its opening brace. */
static evn_formula_name name_of(work *w, bool many)
{
    size_t length = strcspn(w->at, "}");
    evn_formula_name name = {w->at, length, many};
    w->at += length;
    expect(w, '}');
    return name;
}

static evn_formula_found one_of(work *w)
{
    evn_formula_found found = nothing;
    found.sound = w->values.value(w->values.self, name_of(w, false), 0, &found.value);
    found.size = fabs(found.value);
    return found;
}

static evn_formula_found many_of(work *w, bool most)
{
    evn_formula_found all = {most ? (double)NAN : 0, 0, true};
    evn_formula_name name = name_of(w, true);
    double value;
    for (size_t i = 0; w->values.value(w->values.self, name, i, &value); i++) {
        all.value = most ? fmax(all.value, value) : all.value + value;
        all.size = most ? fabs(all.value) : all.size + fabs(value);
    }
    return all;
}

static evn_formula_found first_of(work *w)
{
    evn_formula_found x = sum_of(w);
    expect(w, ',');
    evn_formula_found y = sum_of(w);
    expect(w, ')');
    return x.sound && !isnan(x.value) ? x : y;
}

static evn_formula_found bracket_of(work *w, bool without_sign)
{
    evn_formula_found x = sum_of(w);
    expect(w, ')');
    x.value = without_sign ? fabs(x.value) : x.value;
    return x;
}

static bool begins(work *w, const char *word)
{
    size_t length = strlen(word);
    bool there = strncmp(w->at, word, length) == 0;
    w->at += there ? length : 0;
    return there;
}

static evn_formula_found primary_of(work *w)
{
    if (take(w, '{'))
        return one_of(w);
    if (take(w, '('))
        return bracket_of(w, false);
    if (begins(w, "sum{"))
        return many_of(w, false);
    if (begins(w, "greatest{"))
        return many_of(w, true);
    if (begins(w, "abs("))
        return bracket_of(w, true);
    if (begins(w, "first("))
        return first_of(w);
    return number_of(w);
}

static evn_formula_found power_of(work *w)
{
    evn_formula_found x = primary_of(w);
    if (!take(w, '^'))
        return x;
    evn_formula_found by = primary_of(w);
    double value = pow(x.value, by.value);
    return (evn_formula_found){value, fabs(value) * fmax(1, fabs(by.value)), x.sound && by.sound};
}

static evn_formula_found product_of(work *w)
{
    evn_formula_found x = power_of(w);
    for (;;) {
        bool times = take(w, '*'), by = !times && take(w, '/');
        if (!times && !by)
            return x;
        evn_formula_found y = power_of(w);
        double of_y = by ? 1 / y.value : y.value;
        /* a divisor that is the small difference of large terms would need more; none is */
        x = (evn_formula_found){x.value * of_y, x.size * fabs(by ? of_y : y.size), x.sound && y.sound};
    }
}

static evn_formula_found sum_of(work *w)
{
    evn_formula_found x = product_of(w);
    for (;;) {
        bool plus = take(w, '+'), minus = !plus && take(w, '-');
        if (!plus && !minus)
            return x;
        evn_formula_found y = product_of(w);
        x = (evn_formula_found){minus ? x.value - y.value : x.value + y.value, x.size + y.size, x.sound && y.sound};
    }
}

evn_formula_found evn_formula_evaluate(const char *formula, evn_formula_values values)
{
    work w = {.at = formula, .values = values};
    evn_formula_found found = sum_of(&w);
    skip_blanks(&w);
    return w.wrong || *w.at != '\0' ? nothing : found;
}

/* ------------------------------------------------------------------------------------------------ words */

void evn_formula_tell(const char *formula, FILE *to, void *self, void (*word)(void *self, evn_formula_name, FILE *))
{
    const char *at = formula, *next;
    evn_formula_name name;
    while ((next = next_name(formula, at, &name))) {
        size_t before = (size_t)(name.text - 1 - at);
        fwrite(at, 1, before, to);
        if (name.many)
            fputs(" of ", to);
        word(self, name, to);
        at = next;
    }
    fputs(at, to);
}
