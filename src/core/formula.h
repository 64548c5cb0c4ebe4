/*
 * Formulas as text, worked out and told from the one text: "{battery_kwh} / {distance_km}". What a name in braces
 * stands for is asked of the caller. Numbers, + - * / ^ and brackets mean what they do everywhere; beside them there
 * are abs(x)        without its sign first(x, y)   x where that is a number, else y sum{names}    of all values whose
 * names fit, where '*' is any part of a name without a dot; of none: 0 greatest{names}   the greatest of them that are
 * numbers; of none: NAN
 */
#ifndef EVENER_CORE_FORMULA_H
#define EVENER_CORE_FORMULA_H
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/* A name as it stands in a formula; not ended by a zero byte. */
typedef struct evn_formula_name {
    const char *text;
    size_t length;
    bool many; /* of sum and greatest: a pattern */
} evn_formula_name;

typedef struct evn_formula_values {
    void *self;
    /* The index-th value that fits the name. False: no such one. */
    bool (*value)(void *self, evn_formula_name, size_t index, double *out);
} evn_formula_values;

typedef struct evn_formula_found {
    double value;
    double size; /* of all terms without their signs: what rounding is held against */
    bool sound;  /* it could be worked out: its text is a formula, and what it names without `first` is there */
} evn_formula_found;

evn_formula_found evn_formula_evaluate(const char *formula, evn_formula_values);

/* The index-th name that it holds, from the left. False: no more. */
bool evn_formula_name_at(const char *formula, size_t index, evn_formula_name *out);

/* Whether a name fits a pattern. */
bool evn_formula_fits(evn_formula_name pattern, const char *name);

/* Writes the formula with words in the place of its names; `word` writes those of one. */
void evn_formula_tell(const char *formula, FILE *, void *self, void (*word)(void *self, evn_formula_name, FILE *));

#endif
