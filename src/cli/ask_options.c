/* What is asked of a run, on the command line: options made of the keys of load case, driving and demands. */
#include "cli/ask_options.h"
#include <math.h>
#include <stddef.h>
#include <string.h>

#define DEMANDS "demands"
const char *const evn_asks_load_case[] = {"load_case", NULL};
const char *const evn_asks_and_demands[] = {"load_case", "driving", DEMANDS, NULL};

void evn_asked_clear(evn_asked *asked)
{
    for (size_t k = 0; k < EVN_ASK_KINDS; k++)
        for (size_t i = 0; i < EVN_ASK_ROWS; i++)
            asked->row[k][i] = (evn_asked_row){(double)NAN, -1, false};
}

/* ------------------------------------------------------------------------------------------------ the options */

/* "payload_kg" as "payload-kg". */
static void name_option(char name[EVN_ASK_NAME_BYTES], const char *key)
{
    snprintf(name, EVN_ASK_NAME_BYTES, "%s", key);
    for (char *at = name; *at; at++)
        if (*at == '_')
            *at = '-';
}

static void join_choices(char out[EVN_ASK_NAME_BYTES], const char *const *choices)
{
    size_t used = 0;
    for (size_t i = 0; choices[i] && used < EVN_ASK_NAME_BYTES; i++)
        used += (size_t)snprintf(out + used, EVN_ASK_NAME_BYTES - used, "%s%s", i > 0 ? "|" : "", choices[i]);
}

/* "0.5; 0.01 to 10", "0 to 500000", "human". */
static void put_facts(char out[EVN_ASK_NAME_BYTES], const evn_key *key)
{
    if (key->fallback_word)
        snprintf(out, EVN_ASK_NAME_BYTES, "%s", key->fallback_word);
    else if (isnan(key->fallback))
        snprintf(out, EVN_ASK_NAME_BYTES, "%.6g to %.6g", key->least, key->most);
    else
        snprintf(out, EVN_ASK_NAME_BYTES, "%.10g; %.6g to %.6g", key->fallback, key->least, key->most);
}

/* `row` is the offset of its evn_asked_row in the struct of the command. */
static evn_option option_of(const evn_key *key, size_t row, evn_ask_text *text)
{
    name_option(text->name, key->key);
    put_facts(text->facts, key);
    evn_option option = {.name = text->name, .argument = text->argument, .help = key->help, .facts = text->facts};
    if (key->shape == EVN_KEY_FLAG) {
        option.argument = option.facts = NULL;
        option.offset = row + offsetof(evn_asked_row, flag);
        return option;
    }
    if (key->choices) {
        join_choices(text->argument, key->choices);
        option.kind = EVN_OPTION_CHOICE;
        option.choices = key->choices;
        option.offset = row + offsetof(evn_asked_row, choice);
        return option;
    }
    snprintf(text->argument, sizeof text->argument, "X");
    option.kind = EVN_OPTION_NUMBER;
    option.least = key->least;
    option.most = key->most;
    option.offset = row + offsetof(evn_asked_row, number);
    return option;
}

size_t evn_ask_options(const char *const *kinds, size_t asked_offset, evn_ask_texts *texts, evn_option *out,
                       size_t room)
{
    size_t count = 0;
    evn_key key;
    for (size_t k = 0; kinds[k] && k < EVN_ASK_KINDS; k++)
        for (size_t i = 0; i < EVN_ASK_ROWS && count < room && evn_key_at(kinds[k], i, &key); i++) {
            size_t row = offsetof(evn_asked, row) + (k * EVN_ASK_ROWS + i) * sizeof(evn_asked_row);
            out[count++] = option_of(&key, asked_offset + row, &texts->row[k][i]);
        }
    return count;
}

/* ------------------------------------------------------------------------------------------------ what they gave */

/* False: the row's option was not given. */
static bool given_at(const evn_asked *asked, size_t kind, size_t row, double *value)
{
    const evn_asked_row *is = &asked->row[kind][row];
    *value = is->choice >= 0 ? is->choice : is->flag ? 1 : is->number;
    return !isnan(*value);
}

static bool put(evn_conditions *ask, const char *kind, const char *key, double value, evn_report *report)
{
    return strcmp(kind, "load_case") == 0 ? evn_load_case_set(&ask->load_case, key, value, report)
                                          : evn_driving_set(&ask->driving, key, value, report);
}

bool evn_asked_apply(const evn_asked *asked, evn_conditions *ask, evn_report *report)
{
    bool all = true;
    evn_key key;
    double value;
    for (size_t k = 0; evn_ask_kinds[k]; k++)
        for (size_t i = 0; i < EVN_ASK_ROWS && evn_key_at(evn_ask_kinds[k], i, &key); i++)
            if (given_at(asked, k, i, &value)) {
                all = put(ask, evn_ask_kinds[k], key.key, value, report) && all;
                evn_conditions_before_seasons(ask, key.key);
            }
    return all;
}

bool evn_asked_demand(const evn_asked *asked, evn_demands *demands, evn_report *report)
{
    bool all = true;
    evn_key key;
    double value;
    for (size_t i = 0; i < EVN_ASK_ROWS && evn_key_at(DEMANDS, i, &key); i++)
        if (given_at(asked, EVN_ASK_KINDS - 1, i, &value))
            all = evn_demands_set(demands, key.key, value, report) && all;
    return all;
}

bool evn_asked_given(const evn_asked *asked, const char *kind, const char *key)
{
    evn_key row;
    double value;
    for (size_t k = 0; evn_asks_and_demands[k]; k++)
        for (size_t i = 0; i < EVN_ASK_ROWS && evn_key_at(evn_asks_and_demands[k], i, &row); i++)
            if (strcmp(evn_asks_and_demands[k], kind) == 0 && strcmp(row.key, key) == 0)
                return given_at(asked, k, i, &value);
    return false;
}

bool evn_asked_first(const evn_asked *asked, char name[EVN_ASK_NAME_BYTES])
{
    evn_key key;
    double value;
    for (size_t k = 0; k < EVN_ASK_KINDS; k++)
        for (size_t i = 0; i < EVN_ASK_ROWS && evn_key_at(evn_asks_and_demands[k], i, &key); i++)
            if (given_at(asked, k, i, &value)) {
                name_option(name, key.key);
                return true;
            }
    return false;
}
