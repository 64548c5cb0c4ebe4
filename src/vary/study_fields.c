/* The keys of a study, and the rules between them. */
#define _POSIX_C_SOURCE 200809L
#include "core/formula.h"
#include "core/words.h"
#include "trip/driving.h"
#include "truck/load_case.h"
#include "vary/study.h"
#include <ctype.h>
#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))
#define NOT_GIVEN ((double)NAN)
#define FARTHEST 1e12 /* of any value */

enum { PATH_BYTES = 300 };

/* ------------------------------------------------------------------------------------------------ texts */

static size_t blanks(const char *text) { return strspn(text, " \t"); }

/* Bytes before `end`, without blanks at the end. */
static size_t without_blanks(const char *text, size_t begin, size_t end)
{
    while (end > begin && (text[end - 1] == ' ' || text[end - 1] == '\t'))
        end--;
    return end - begin;
}

bool evn_set_text_read(const char *text, evn_set_text *out)
{
    const char *equals = strchr(text, '=');
    if (!equals)
        return false;
    out->key = blanks(text);
    out->key_bytes = without_blanks(text, out->key, (size_t)(equals - text));
    out->formula = equals + 1 + blanks(equals + 1);
    return equals > text + out->key && out->key_bytes > 0 && *out->formula != '\0';
}

bool evn_constraint_text_read(const char *text, evn_constraint_text *out)
{
    size_t sign = strcspn(text, "<>");
    if (text[sign] == '\0' || text[sign + 1] != '=')
        return false;
    char *end;
    out->key = blanks(text);
    out->key_bytes = sign > out->key ? without_blanks(text, out->key, sign) : 0;
    out->sense = text[sign] == '>' ? EVN_AT_LEAST : EVN_AT_MOST;
    out->bound = strtod(text + sign + 2, &end);
    return out->key_bytes > 0 && end != text + sign + 2 && end[blanks(end)] == '\0' && isfinite(out->bound);
}

/* ------------------------------------------------------------------------------------------------ a variable */

bool evn_is_choice(const evn_variable_file *v) { return v->choices.count > 0; }

static bool is_whole(double value) { return value == floor(value); }

static void check_range(const evn_variable_file *v, const evn_seat *seat, evn_report *report)
{
    if (isnan(v->from) || isnan(v->to))
        evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, "", "from without to, or to without from; expected both");
    else if (v->from >= v->to)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "to", "to %g, not above from %g; expected more", v->to, v->from);
    else if (v->whole && !(is_whole(v->from) && is_whole(v->to)))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "whole", "whole numbers from %g to %g; expected whole ends",
                   v->from, v->to);
    else if (!isnan(v->step) && (v->to - v->from) / v->step > 1e6)
        evn_say_at(report, seat, EVN_FAULT_TOO_LARGE, "step",
                   "more than a million steps of %g from %g to %g; expected fewer", v->step, v->from, v->to);
    if (!isnan(v->step) && !isnan(v->count))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "count", "count beside step; expected one of them");
    if (v->whole && (!isnan(v->step) && !is_whole(v->step)))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "step", "steps of %g between whole numbers; expected a whole one",
                   v->step);
}

static void check_variable(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_variable_file *v = self;
    bool range = !isnan(v->from) || !isnan(v->to);
    int ways = (range ? 1 : 0) + (v->values.count > 0 ? 1 : 0) + (v->choices.count > 0 ? 1 : 0);
    if (ways == 0)
        evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, "",
                   "a variable without values; expected values, choices, or from and to");
    if (ways > 1)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "",
                   "more than one of values, choices, and from and to; expected one of them");
    if (range && ways == 1)
        check_range(v, seat, report);
    if (!range && (!isnan(v->step) || !isnan(v->count)))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, isnan(v->step) ? "count" : "step",
                   "%s without from and to, which it is for; expected these", isnan(v->step) ? "count" : "step");
    if (evn_is_choice(v) && v->keys.count == 0)
        evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, "keys",
                   "choices without keys; expected the keys that get what is chosen");
    if (evn_is_choice(v) && !isnan(v->as_is))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "as_is", "as_is of choices; expected it of numbers alone");
}

#define MEMBER(member) offsetof(evn_variable_file, member)
static const evn_field variable_fields[] = {
    {.key = "keys",
     .shape = EVN_TEXTS,
     .offset = MEMBER(keys),
     .count_most = EVN_FEW_TEXTS,
     .help = "keys that get its value, by their paths as --set takes them; keys that follow from it by a formula stand "
             "in `set` of the study"},
    {.key = "values",
     .shape = EVN_LIST,
     .offset = MEMBER(values),
     .least = -FARTHEST,
     .most = FARTHEST,
     .count_most = 10000,
     .help = "the numbers that it takes"},
    {.key = "choices",
     .shape = EVN_TEXTS,
     .offset = MEMBER(choices),
     .count_most = EVN_CHOICES_MOST,
     .help = "instead: the texts that it takes, as --set takes them: paths of part files for a key that ends in "
             "`.use`, words"},
    {.key = "from",
     .shape = EVN_NUMBER,
     .fallback = NOT_GIVEN,
     .offset = MEMBER(from),
     .least = -FARTHEST,
     .most = FARTHEST,
     .help = "instead: the least that it takes, ..."},
    {.key = "to",
     .shape = EVN_NUMBER,
     .fallback = NOT_GIVEN,
     .offset = MEMBER(to),
     .least = -FARTHEST,
     .most = FARTHEST,
     .help = "... and the most"},
    {.key = "step",
     .shape = EVN_NUMBER,
     .fallback = NOT_GIVEN,
     .offset = MEMBER(step),
     .least = 1e-12,
     .most = FARTHEST,
     .help = "of a grid: how far its values are apart, beginning with from"},
    {.key = "count",
     .shape = EVN_COUNT,
     .fallback = NOT_GIVEN,
     .offset = MEMBER(count),
     .least = 2,
     .most = 10000,
     .help = "of a grid, instead of step: how many values, from and to among them; not given, as step: 11"},
    {.key = "whole", .shape = EVN_FLAG, .offset = MEMBER(whole), .help = "true: whole numbers only"},
    {.key = "as_is",
     .shape = EVN_NUMBER,
     .fallback = NOT_GIVEN,
     .offset = MEMBER(as_is),
     .least = -FARTHEST,
     .most = FARTHEST,
     .help = "the value with which trucks are as their files have them; where all variables have one, that variant is "
             "driven too, and how far it is from the best is told"},
};
#undef MEMBER
static const evn_object variable_object = {.name = "variable",
                                           .help = "what varies of a study",
                                           .size = sizeof(evn_variable_file),
                                           .fields = variable_fields,
                                           .field_count = COUNT(variable_fields),
                                           .check = check_variable};

/* ------------------------------------------------------------------------------------------------ a study */

static const char *const plans[] = {"grid", "latin_hypercube", "sobol", "search", NULL};

#define MEMBER(member) offsetof(evn_study_file, member)
#define TEXTS(name, many, text)                                                                                        \
    {.key = #name, .shape = EVN_TEXTS, .offset = MEMBER(name), .count_most = (many), .help = text}
static const evn_field study_fields[] = {
    {.key = "name",
     .shape = EVN_TEXT,
     .presence = EVN_REQUIRED,
     .offset = MEMBER(name),
     .help = "what the study is called"},
    {.key = "source",
     .shape = EVN_TEXT,
     .offset = MEMBER(source),
     .help = "where its data come from; needed unless it is marked as invented"},
    {.key = "invented", .shape = EVN_FLAG, .offset = MEMBER(invented), .help = "true: made up"},
    {.key = "lineup",
     .shape = EVN_ONE,
     .of = &evn_lineup_object,
     .offset = MEMBER(lineup),
     .help = "the trucks that vary, with what they drive and what is asked of them; this or a truck. Each variant is "
             "driven by each of them at its own speeds"},
    {.key = "truck",
     .shape = EVN_ONE,
     .of = &evn_truck_object,
     .offset = MEMBER(truck),
     .help = "the truck that varies"},
    {.key = "cycle",
     .shape = EVN_ONE,
     .of = &evn_cycle_object,
     .offset = MEMBER(cycle),
     .help = "the cycle that the truck drives; this or a duty"},
    {.key = "duty",
     .shape = EVN_ONE,
     .of = &evn_duty_object,
     .offset = MEMBER(duty),
     .help = "instead: the duty whose day the truck drives"},
    {.key = "season",
     .shape = EVN_TEXT,
     .offset = MEMBER(season),
     .help = "of the truck's duty: the season that is driven; not given: its first"},
    {.key = "load_case",
     .shape = EVN_ONE,
     .of = &evn_load_case_object,
     .offset = MEMBER(load_case),
     .help = "what the truck is made ready for; that of a lineup stands in the lineup"},
    {.key = "driving",
     .shape = EVN_ONE,
     .of = &evn_driving_object,
     .offset = MEMBER(driving),
     .help = "how the truck is driven; that of a lineup stands in the lineup"},
    {.key = "variables",
     .shape = EVN_MANY,
     .presence = EVN_REQUIRED,
     .of = &variable_object,
     .offset = MEMBER(variables),
     .count_least = 1,
     .count_most = EVN_VARIABLES_MOST,
     .help = "what varies, by names of your own: letters, digits and '_'"},
    TEXTS(set, EVN_STUDY_TEXTS,
          "keys that follow from variables, each as 'KEY = FORMULA' with variables in braces: '1.5 * {spread}^2'. In "
          "the formula {" EVN_VALUE_AS_WRITTEN "} is the value that the key has in the file"),
    {.key = "plan",
     .shape = EVN_CHOICE,
     .choices = plans,
     .offset = MEMBER(plan),
     .help = "which variants are driven: grid, all values of one variable with all of the others, the last one "
             "running fastest; latin_hypercube, so many samples, each variable evenly spread by itself; sobol, so many "
             "points that fill the space evenly; search, the best of least and most, by a survey of samples and "
             "local searches from the best of them"},
    {.key = "samples",
     .shape = EVN_COUNT,
     .fallback = NOT_GIVEN,
     .offset = MEMBER(samples),
     .least = 2,
     .most = 1e6,
     .help = "of latin_hypercube and sobol: how many (256); of search: points of the survey, of each combination of "
             "choices and whole numbers (16 for each other number)"},
    {.key = "seed",
     .shape = EVN_COUNT,
     .offset = MEMBER(seed),
     .most = 1e6,
     .help = "other samples; the same seed gives the same"},
    {.key = "starts",
     .shape = EVN_COUNT,
     .fallback = 2,
     .offset = MEMBER(starts),
     .least = 1,
     .most = 20,
     .help = "of search: from how many of the best points of the survey it goes on"},
    {.key = "evaluations",
     .shape = EVN_COUNT,
     .fallback = 120,
     .offset = MEMBER(evaluations),
     .least = 4,
     .most = 10000,
     .help = "of search: how many variants a local search drives at most"},
    {.key = "front_points",
     .shape = EVN_COUNT,
     .fallback = 9,
     .offset = MEMBER(front_points),
     .least = 3,
     .most = 51,
     .help = "of search for two results: points of their front, both ends among them"},
    TEXTS(least, EVN_FEW_TEXTS,
          "results of which less is better, by their keys; not given, as most: kwh_per_km. Of two in all, least "
          "and most together, the front is told: variants that none betters in both"),
    TEXTS(most, EVN_FEW_TEXTS, "results of which more is better"),
    TEXTS(constraints, EVN_FEW_TEXTS,
          "what must hold of results, each as 'RESULT >= NUMBER' or 'RESULT <= NUMBER'; a variant that "
          "breaks one is kept with its results, marked, and never the best"),
    TEXTS(record, EVN_STUDY_TEXTS,
          "results that are kept beside the energy balance and what is named here otherwise; not given: the "
          "short list. Figures of limits begin with 'limits.', such as "
          "limits.deciding.startability.steepest_percent; charge over a day with 'day.'"),
};
#undef MEMBER

const evn_variable_file *evn_study_variable(const evn_study_file *s, size_t index)
{
    return (const evn_variable_file *)s->variables.item + index;
}

static bool sound_name(const char *name)
{
    static const char *const taken[] = {
        EVN_VALUE_AS_WRITTEN, "id", "truck", "status", "fault", "finding", "may_be", "unmet"};
    for (size_t k = 0; k < COUNT(taken); k++)
        if (strcasecmp(name, taken[k]) == 0)
            return false;
    for (const char *at = name; *at != '\0'; at++)
        if (!isalnum((unsigned char)*at) && *at != '_')
            return false;
    return isalpha((unsigned char)name[0]) && strlen(name) <= 60;
}

static void check_names(const evn_study_file *s, const evn_seat *seat, evn_report *report)
{
    char path[PATH_BYTES];
    for (size_t k = 0; k < s->variables.count; k++)
        if (!sound_name(s->variables.name[k])) {
            snprintf(path, sizeof path, "variables.%.200s", s->variables.name[k]);
            evn_say_at(report, seat, EVN_FAULT_UNKNOWN_KEY, path,
                       "the variable '%.60s'; expected a name of letters, digits and '_' that begins with a letter, "
                       "has 60 at most and is none of " EVN_VALUE_AS_WRITTEN
                       ", id, truck, status, fault, finding, may_be, unmet",
                       s->variables.name[k]);
        }
    for (size_t k = 0; k < s->variables.count; k++)
        for (size_t i = 0; i < k; i++)
            if (strcasecmp(s->variables.name[i], s->variables.name[k]) == 0) {
                snprintf(path, sizeof path, "variables.%.200s", s->variables.name[k]);
                evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
                           "the variable %.60s, which is %.60s but for its case; expected another name",
                           s->variables.name[k], s->variables.name[i]);
            }
}

static bool is_number_variable(const evn_study_file *s, const evn_formula_name *name)
{
    bool found =
        name->length == strlen(EVN_VALUE_AS_WRITTEN) && strncmp(name->text, EVN_VALUE_AS_WRITTEN, name->length) == 0;
    for (size_t k = 0; k < s->variables.count; k++)
        found = found || (strlen(s->variables.name[k]) == name->length &&
                          strncmp(name->text, s->variables.name[k], name->length) == 0 &&
                          !evn_is_choice(evn_study_variable(s, k)));
    return found;
}

static bool one(void *self, evn_formula_name name, size_t index, double *out)
{
    *out = 1;
    return index == 0 && is_number_variable(self, &name);
}

static void *without_const(const void *p)
{
    void *out;
    memcpy(&out, &p, sizeof out);
    return out;
}

static void check_formula(const evn_study_file *s, const char *formula, const char *path, const evn_seat *seat,
                          evn_report *report)
{
    char nearest[EVN_PHRASE_BYTES], name_text[EVN_QUOTE_BYTES];
    evn_formula_name name;
    bool named = true;
    for (size_t i = 0; evn_formula_name_at(formula, i, &name); i++)
        if (!is_number_variable(s, &name)) {
            snprintf(name_text, sizeof name_text, "%.*s", name.length < 70 ? (int)name.length : 70, name.text);
            evn_say_at(report, seat, EVN_FAULT_UNKNOWN_KEY, path,
                       "{%s} in a formula; expected a variable with numbers, or {" EVN_VALUE_AS_WRITTEN "}%s",
                       name_text, evn_nearest_phrase(nearest, name_text, s->variables.name, s->variables.count));
            named = false;
        }
    if (named && !evn_formula_evaluate(formula, (evn_formula_values){without_const(s), one}).sound)
        evn_say_at(report, seat, EVN_FAULT_SYNTAX, path,
                   "'%.80s', which is no formula; expected numbers and variables in braces with + - * / ^ and brackets",
                   formula);
}

typedef void text_check(const evn_study_file *, const char *text, const char *path, const evn_seat *, evn_report *);

static void check_set(const evn_study_file *s, const char *text, const char *path, const evn_seat *seat,
                      evn_report *report)
{
    evn_set_text set;
    if (evn_set_text_read(text, &set))
        check_formula(s, set.formula, path, seat, report);
    else
        evn_say_at(report, seat, EVN_FAULT_SYNTAX, path, "'%.80s'; expected KEY = FORMULA", text);
}

static void check_constraint(const evn_study_file *s, const char *text, const char *path, const evn_seat *seat,
                             evn_report *report)
{
    evn_constraint_text constraint;
    (void)s;
    if (!evn_constraint_text_read(text, &constraint))
        evn_say_at(report, seat, EVN_FAULT_SYNTAX, path,
                   "'%.80s'; expected RESULT >= NUMBER or RESULT <= NUMBER, such as 'masses.gross_kg <= 44000'", text);
}

static void check_texts(const evn_study_file *s, const evn_text_list *list, const char *key, text_check *check,
                        const evn_seat *seat, evn_report *report)
{
    char path[PATH_BYTES];
    for (size_t k = 0; k < list->count; k++) {
        snprintf(path, sizeof path, "%s[%zu]", key, k);
        if (strlen(list->at[k]) >= EVN_STUDY_BYTES)
            evn_say_at(report, seat, EVN_FAULT_TOO_LARGE, path, "a text of %zu bytes; expected less than %d",
                       strlen(list->at[k]), EVN_STUDY_BYTES);
        else if (check)
            check(s, list->at[k], path, seat, report);
    }
}

static void check_what(const evn_study_file *s, const evn_seat *seat, evn_report *report)
{
    static const char *const of_truck[] = {"cycle", "duty", "season", "load_case", "driving"};
    const void *given[] = {s->cycle, s->duty, s->season, s->load_case, s->driving};
    if (!s->lineup == !s->truck)
        evn_say_at(report, seat, s->truck ? EVN_FAULT_DISAGREES : EVN_FAULT_MISSING_KEY, s->truck ? "truck" : "",
                   "%s; expected one of them", s->truck ? "a truck beside a lineup" : "neither truck nor lineup");
    for (size_t k = 0; s->lineup && k < COUNT(of_truck); k++)
        if (given[k])
            evn_say_at(report, seat, EVN_FAULT_DISAGREES, of_truck[k],
                       "%s beside a lineup, which has its own; expected it at lineup.%s", of_truck[k], of_truck[k]);
    if (s->truck && !s->lineup && !s->cycle == !s->duty)
        evn_say_at(report, seat, s->cycle ? EVN_FAULT_DISAGREES : EVN_FAULT_MISSING_KEY, s->cycle ? "duty" : "",
                   "%s; expected one of them: what the truck drives",
                   s->cycle ? "a duty beside a cycle" : "neither cycle nor duty");
}

static void check_season(const evn_study_file *s, const evn_seat *seat, evn_report *report)
{
    char nearest[EVN_PHRASE_BYTES], all[EVN_PHRASE_BYTES];
    if (!s->season || s->lineup)
        return;
    for (size_t k = 0; s->duty && k < s->duty->seasons.count; k++)
        if (strcmp(s->duty->seasons.name[k], s->season) == 0)
            return;
    if (!s->duty || s->duty->seasons.count == 0)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "season",
                   "the season '%.60s' without one in a duty; expected none", s->season);
    else
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "season",
                   "the season '%.60s', which the duty does not have; expected one of %s%s", s->season,
                   evn_name_all(all, s->duty->seasons.name, s->duty->seasons.count),
                   evn_nearest_phrase(nearest, s->season, s->duty->seasons.name, s->duty->seasons.count));
}

static void check_objectives(const evn_study_file *s, const evn_seat *seat, evn_report *report)
{
    if (s->least.count + s->most.count > EVN_OBJECTIVES_MOST)
        evn_say_at(report, seat, EVN_FAULT_TOO_LARGE, s->most.count > 0 ? "most" : "least",
                   "%zu results in least and most; expected one or two", s->least.count + s->most.count);
    const char *one = s->least.count > 0 ? s->least.at[0] : s->most.count > 0 ? s->most.at[0] : "";
    const char *other = s->most.count > 0    ? s->most.at[s->most.count - 1]
                        : s->least.count > 0 ? s->least.at[s->least.count - 1]
                                             : "";
    if (s->least.count + s->most.count == EVN_OBJECTIVES_MOST && strcmp(one, other) == 0)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, s->most.count > 0 ? "most" : "least",
                   "%.120s is wanted twice; expected two results, or one", one);
}

/* Steps are those of a grid; other plans would pass over them. */
static void check_steps(const evn_study_file *s, const evn_seat *seat, evn_report *report)
{
    char path[PATH_BYTES];
    for (size_t k = 0; s->plan != EVN_PLAN_GRID && k < s->variables.count; k++) {
        const evn_variable_file *v = evn_study_variable(s, k);
        const char *key = isnan(v->step) ? "count" : "step";
        if (isnan(v->step) && isnan(v->count))
            continue;
        snprintf(path, sizeof path, "variables.%.200s.%s", s->variables.name[k], key);
        evn_say_at(
            report, seat, EVN_FAULT_DISAGREES, path,
            "%s of a variable with plan: %s, which does not go by steps; expected none, or plan: grid, or values", key,
            plans[s->plan]);
    }
}

/* As paths are told apart: the root of a study may be left out. */
static bool same_key(const char *one, size_t one_bytes, const char *other, size_t other_bytes)
{
    static const char *const roots[] = {"truck.", "lineup."};
    for (size_t k = 0; k < COUNT(roots); k++) {
        size_t root = strlen(roots[k]);
        bool in_one = one_bytes > root && strncmp(one, roots[k], root) == 0;
        bool in_other = other_bytes > root && strncmp(other, roots[k], root) == 0;
        one += in_one ? root : 0;
        one_bytes -= in_one ? root : 0;
        other += in_other ? root : 0;
        other_bytes -= in_other ? root : 0;
    }
    return one_bytes == other_bytes && strncmp(one, other, one_bytes) == 0;
}

/* How often a key is set, by variables and formulas. */
static size_t times_set(const evn_study_file *s, const char *key, size_t bytes)
{
    evn_set_text set;
    size_t times = 0;
    for (size_t v = 0; v < s->variables.count; v++)
        for (size_t k = 0; k < evn_study_variable(s, v)->keys.count; k++) {
            const char *other = evn_study_variable(s, v)->keys.at[k];
            times += same_key(key, bytes, other, strlen(other));
        }
    for (size_t k = 0; k < s->set.count; k++)
        if (evn_set_text_read(s->set.at[k], &set))
            times += same_key(key, bytes, s->set.at[k] + set.key, set.key_bytes);
    return times;
}

/* A key that is set twice gets the last alone: a variable would seem to change nothing. */
static void check_keys(const evn_study_file *s, const evn_seat *seat, evn_report *report)
{
    char path[PATH_BYTES];
    evn_set_text set;
    for (size_t v = 0; v < s->variables.count; v++)
        for (size_t k = 0; k < evn_study_variable(s, v)->keys.count; k++) {
            const char *key = evn_study_variable(s, v)->keys.at[k];
            snprintf(path, sizeof path, "variables.%.200s.keys[%zu]", s->variables.name[v], k);
            if (times_set(s, key, strlen(key)) > 1)
                evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
                           "%.120s is set more than once; expected one variable or one formula for it", key);
        }
    for (size_t k = 0; k < s->set.count; k++) {
        snprintf(path, sizeof path, "set[%zu]", k);
        if (evn_set_text_read(s->set.at[k], &set) && times_set(s, s->set.at[k] + set.key, set.key_bytes) > 1)
            evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
                       "%.*s is set more than once; expected one variable or one formula for it",
                       (int)(set.key_bytes < 120 ? set.key_bytes : 120), s->set.at[k] + set.key);
    }
}

static void check_search(const evn_study_file *s, const evn_seat *seat, evn_report *report)
{
    static const double SURVEY_MOST = 1000;
    if (s->plan == EVN_PLAN_SEARCH && s->samples > SURVEY_MOST)
        evn_say_at(report, seat, EVN_FAULT_TOO_LARGE, "samples",
                   "%g samples in the survey of a search; expected %g at "
                   "most",
                   s->samples, SURVEY_MOST);
}

/* A variable that nothing follows from would give rows that are the same. */
static bool is_used(const evn_study_file *s, size_t variable)
{
    evn_set_text set;
    evn_formula_name name;
    const char *called = s->variables.name[variable];
    bool used = evn_study_variable(s, variable)->keys.count > 0;
    for (size_t k = 0; k < s->set.count; k++)
        for (size_t i = 0; evn_set_text_read(s->set.at[k], &set) && evn_formula_name_at(set.formula, i, &name); i++)
            used = used || (name.length == strlen(called) && strncmp(name.text, called, name.length) == 0);
    return used;
}

static void check_used(const evn_study_file *s, const evn_seat *seat, evn_report *report)
{
    char path[PATH_BYTES];
    for (size_t k = 0; k < s->variables.count; k++)
        if (!is_used(s, k)) {
            snprintf(path, sizeof path, "variables.%.200s", s->variables.name[k]);
            evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, path,
                       "the variable %.60s changes nothing; expected keys, or a formula in set that names it",
                       s->variables.name[k]);
        }
}

static void check_bases(const evn_study_file *s, const evn_seat *seat, evn_report *report)
{
    size_t bases = 1;
    for (size_t k = 0; k < s->variables.count; k++)
        if (evn_is_choice(evn_study_variable(s, k)))
            bases *= evn_study_variable(s, k)->choices.count;
    if (bases > EVN_BASES_MOST)
        evn_say_at(report, seat, EVN_FAULT_TOO_LARGE, "variables",
                   "%zu combinations of choices, each of which is read once; expected %d at most", bases,
                   EVN_BASES_MOST);
}

static void check_study(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_study_file *s = self;
    if (!s->invented && (!s->source || s->source[0] == '\0'))
        evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, "source",
                   "nothing says where the study comes from; expected source, or invented: true");
    check_what(s, seat, report);
    check_season(s, seat, report);
    check_names(s, seat, report);
    check_texts(s, &s->set, "set", check_set, seat, report);
    check_texts(s, &s->constraints, "constraints", check_constraint, seat, report);
    check_texts(s, &s->record, "record", NULL, seat, report);
    check_texts(s, &s->least, "least", NULL, seat, report);
    check_texts(s, &s->most, "most", NULL, seat, report);
    check_objectives(s, seat, report);
    check_used(s, seat, report);
    check_search(s, seat, report);
    check_steps(s, seat, report);
    check_keys(s, seat, report);
    check_bases(s, seat, report);
}

const evn_object evn_study_object = {.name = "vary",
                                     .help = "what varies of a truck or a lineup, and what is recorded of the variants",
                                     .size = sizeof(evn_study_file),
                                     .fields = study_fields,
                                     .field_count = COUNT(study_fields),
                                     .check = check_study};

/* ------------------------------------------------------------------------------------------------ what is asked */

evn_conditions evn_study_asks(const evn_study_file *s)
{
    evn_conditions ask = {0};
    if (s->lineup)
        return evn_lineup_asks(s->lineup);
    evn_object_default(&evn_load_case_object, &ask.load_case, NULL);
    evn_object_default(&evn_driving_object, &ask.driving, NULL);
    ask.load_case = s->load_case ? *s->load_case : ask.load_case;
    ask.driving = s->driving ? *s->driving : ask.driving;
    return ask;
}

const evn_cycle_file *evn_study_cycle(const evn_study_file *s) { return s->lineup ? s->lineup->cycle : s->cycle; }
const evn_duty_file *evn_study_duty(const evn_study_file *s) { return s->lineup ? s->lineup->duty : s->duty; }

size_t evn_study_season(const evn_study_file *s)
{
    const evn_duty_file *duty = evn_study_duty(s);
    const char *season = s->lineup ? s->lineup->season : s->season;
    for (size_t k = 0; duty && season && k < duty->seasons.count; k++)
        if (strcmp(duty->seasons.name[k], season) == 0)
            return k;
    return 0;
}

size_t evn_study_truck_count(const evn_study_file *s) { return s->lineup ? s->lineup->trucks.count : 1; }

const evn_truck_file *evn_study_truck(const evn_study_file *s, size_t index)
{
    return s->lineup ? (const evn_truck_file *)s->lineup->trucks.item + index : s->truck;
}

const char *evn_study_truck_name(const evn_study_file *s, size_t index)
{
    return s->lineup ? s->lineup->trucks.name[index] : "";
}
