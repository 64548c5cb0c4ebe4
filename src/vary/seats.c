/* Combinations of choices, read; numbers of variables, written into copies of them. */
#include "vary/seats.h"
#include "core/change.h"
#include "core/field_copy.h"
#include "core/field_hash.h"
#include "core/formula.h"
#include "truck/load_case.h"
#include "vary/plan.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PATH_BYTES = 700, NUMBERS_MOST = EVN_VARIABLES_MOST * EVN_FEW_TEXTS + EVN_STUDY_TEXTS };

static bool no_memory(evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the variants");
    return false;
}

static void *own(const void *of_copy)
{
    void *out;
    memcpy(&out, &of_copy, sizeof out);
    return out;
}

/* ------------------------------------------------------------------------------------------------ paths */

static bool begins(const char *path, const char *with) { return strncmp(path, with, strlen(with)) == 0; }

/* As --set takes it for a truck beside what it drives, or of a lineup: from the root of the study. */
static const char *rooted(const evn_study_file *s, evn_arena *arena, const char *key, size_t bytes)
{
    static const char *const of_study[] = {"cycle.", "duty.", "load_case.", "driving.", "truck."};
    char path[PATH_BYTES];
    const char *before = s->lineup ? "lineup." : "truck.";
    for (size_t k = 0; !s->lineup && k < sizeof of_study / sizeof *of_study; k++)
        before = begins(key, of_study[k]) ? "" : before;
    before = s->lineup && begins(key, "lineup.") ? "" : before;
    int length = snprintf(path, sizeof path, "%s%.*s", before, (int)bytes, key);
    return evn_arena_text(arena, path, (size_t)length);
}

/* ------------------------------------------------------------------------------------------------ formulas */

typedef struct known { /* what a formula may name */
    const evn_study_file *study;
    const double *values;
    double was;
} known;

static bool value_of(void *self, evn_formula_name name, size_t index, double *out)
{
    const known *k = self;
    if (index > 0)
        return false;
    *out = k->was;
    if (name.length == strlen(EVN_VALUE_AS_WRITTEN) && strncmp(name.text, EVN_VALUE_AS_WRITTEN, name.length) == 0)
        return true;
    for (size_t i = 0; i < k->study->variables.count; i++) {
        const char *called = k->study->variables.name[i];
        if (strlen(called) == name.length && strncmp(called, name.text, name.length) == 0) {
            *out = k->values[i];
            return true;
        }
    }
    return false;
}

static double number_of(const evn_study_file *s, const evn_set_number *n, double was, const double *values)
{
    known k = {s, values, was};
    if (!n->formula)
        return values[n->variable];
    return evn_formula_evaluate(n->formula, (evn_formula_values){&k, value_of}).value;
}

/* ------------------------------------------------------------------------------------------------ what is set */

/* "variables.gearbox.keys"; NULL when memory is out. */
static const char *keys_of(evn_seats *all, size_t variable)
{
    char key[PATH_BYTES];
    int length = snprintf(key, sizeof key, "variables.%.200s.keys", all->study->variables.name[variable]);
    return evn_arena_text(all->arena, key, (size_t)length);
}

static bool list_numbers(evn_seats *all)
{
    const evn_study_file *s = all->study;
    bool room = true;
    all->number = evn_arena_take(all->arena, NUMBERS_MOST * sizeof *all->number);
    for (size_t v = 0; all->number && v < s->variables.count; v++) {
        const evn_variable_file *of = evn_study_variable(s, v);
        const char *key = keys_of(all, v);
        room = room && key;
        for (size_t k = 0; !evn_is_choice(of) && k < of->keys.count && all->numbers < NUMBERS_MOST; k++) {
            const char *path = rooted(s, all->arena, of->keys.at[k], strlen(of->keys.at[k]));
            all->number[all->numbers++] = (evn_set_number){path, NULL, key, v};
            room = room && path;
        }
    }
    for (size_t k = 0; all->number && k < s->set.count && all->numbers < NUMBERS_MOST; k++) {
        evn_set_text set;
        evn_set_text_read(s->set.at[k], &set);
        const char *path = rooted(s, all->arena, s->set.at[k] + set.key, set.key_bytes);
        all->number[all->numbers++] = (evn_set_number){path, set.formula, "set", 0};
        room = room && path;
    }
    return all->number && room;
}

size_t evn_seats_base(const evn_seats *all, const double *values)
{
    size_t base = 0;
    for (size_t v = 0; v < all->study->variables.count; v++) {
        const evn_variable_file *of = evn_study_variable(all->study, v);
        if (evn_is_choice(of))
            base = base * of->choices.count + (size_t)values[v];
    }
    return base;
}

/* Values of all variables with the choices of a base, numbers as the file has them, else at a share of their range. */
static void values_of(const evn_study_file *s, size_t base, double share, double *values)
{
    for (size_t v = s->variables.count; v-- > 0;) {
        const evn_variable_file *of = evn_study_variable(s, v);
        values[v] = isnan(of->as_is) ? evn_variable_at_share(of, share) : of->as_is;
        if (evn_is_choice(of)) {
            values[v] = (double)(base % of->choices.count);
            base /= of->choices.count;
        }
    }
}

/* ------------------------------------------------------------------------------------------------ reading */

typedef struct sets {
    const char *at[NUMBERS_MOST + 1];
    const char *key[NUMBERS_MOST]; /* of the study, that names each */
    size_t count, choices;         /* of them texts that were chosen */
} sets;

static bool add_set(evn_seats *all, sets *to, const char *key, const char *path, const char *value)
{
    char text[PATH_BYTES + EVN_STUDY_BYTES];
    int length = snprintf(text, sizeof text, "%s=%s", path, value);
    if (to->count == NUMBERS_MOST)
        return false;
    to->key[to->count] = key;
    to->at[to->count] = evn_arena_text(all->arena, text, (size_t)length);
    return to->at[to->count++];
}

static bool set_choices(evn_seats *all, const double *values, sets *to)
{
    const evn_study_file *s = all->study;
    bool room = true;
    for (size_t v = 0; v < s->variables.count; v++) {
        const evn_variable_file *of = evn_study_variable(s, v);
        for (size_t k = 0; evn_is_choice(of) && k < of->keys.count; k++) {
            const char *path = rooted(s, all->arena, of->keys.at[k], strlen(of->keys.at[k]));
            room = path && add_set(all, to, keys_of(all, v), path, of->choices.at[(size_t)values[v]]) && room;
        }
    }
    return room;
}

static bool has_number(const evn_study_file *file, const char *path, double *out)
{
    evn_report *aside = evn_report_new();
    bool there = aside && evn_number_get(&evn_study_object, file, path, out, aside);
    evn_report_free(aside);
    return there;
}

/* Values that are not in the file come in as texts; how many. */
static size_t set_absent(evn_seats *all, evn_base *b, const double *values, sets *to)
{
    size_t absent = 0;
    for (size_t k = 0; k < all->numbers; k++) {
        char text[40];
        b->was[k] = (double)NAN;
        if (has_number(b->file, all->number[k].path, &b->was[k]))
            continue;
        snprintf(text, sizeof text, "%.17g", number_of(all->study, &all->number[k], 1, values));
        add_set(all, to, all->number[k].key, all->number[k].path, text);
        b->was[k] = 1; /* what is not given is taken to be a factor that changes nothing */
        absent++;
    }
    return absent;
}

static void take_reason(evn_seats *all, evn_base *b, const sets *set, const evn_study_reader *reader,
                        const evn_report *aside)
{
    unsigned number = 0;
    evn_finding found = {.text = "it cannot be read", .fault = "not_found"};
    evn_report_at(aside, 0, &found);
    b->file = NULL;
    b->fault = evn_fault_named(found.fault);
    bool is_set = found.file && sscanf(found.file, "--set %9u", &number) == 1 && number > reader->sets_before;
    b->key = is_set && number - reader->sets_before <= set->count ? set->key[number - reader->sets_before - 1] : NULL;
    b->why = evn_arena_text(all->arena, found.text, strlen(found.text));
    b->why = b->why ? b->why : "memory ran out";
}

/* In the middle of what varies, else near its ends, which may be beyond the bounds of a key. */
static const double shares_tried[] = {0.5, 0, 1};

/* NULL: said of the last. */
static const evn_study_file *read_with_absent(evn_seats *all, evn_base *b, size_t index, sets *to,
                                              const evn_study_reader *reader, evn_report *report)
{
    enum { TRIED = sizeof shares_tried / sizeof *shares_tried };
    const evn_study_file *as_written = b->file, *file = NULL;
    double values[EVN_VARIABLES_MOST];
    for (size_t k = 0; !file && k < TRIED; k++) {
        evn_report *aside = evn_report_new();
        values_of(all->study, index, shares_tried[k], values);
        b->file = as_written;
        to->count = to->choices;
        set_absent(all, b, values, to);
        to->at[to->count] = NULL;
        file = reader->read(reader->self, to->at, k + 1 < TRIED && aside ? aside : report);
        evn_report_free(aside);
    }
    return file;
}

/* False when memory is out; where it cannot be read the base knows why. */
static bool read_base(evn_seats *all, size_t index, const evn_study_reader *reader)
{
    evn_base *b = &all->base[index];
    double values[EVN_VARIABLES_MOST];
    sets *to = evn_arena_take(all->arena, sizeof *to);
    b->was = evn_arena_take(all->arena, (all->numbers + 1) * sizeof *b->was);
    evn_report *aside = evn_report_new();
    bool room = to && b->was && aside;
    values_of(all->study, index, shares_tried[0], values);
    room = room && set_choices(all, values, to);
    if (room)
        to->choices = to->count;
    if (room) {
        b->file = to->count > 0 ? reader->read(reader->self, to->at, aside) : all->study;
        if (b->file && set_absent(all, b, values, to) > 0)
            b->file = read_with_absent(all, b, index, to, reader, aside);
        if (!b->file)
            take_reason(all, b, to, reader, aside);
    }
    evn_report_free(aside);
    return room;
}

/* What is asked goes before what the file asks; variables of it are written over it. */
static void put_ask(const evn_seats *all, evn_study_file *file)
{
    const evn_load_case *load_case = file->lineup ? file->lineup->load_case : file->load_case;
    const evn_driving *driving = file->lineup ? file->lineup->driving : file->driving;
    if (load_case)
        *(evn_load_case *)own(load_case) = all->ask.load_case;
    if (driving)
        *(evn_driving *)own(driving) = all->ask.driving;
}

static bool is_of_text(evn_fault fault)
{
    return fault == EVN_FAULT_NOT_FOUND || fault == EVN_FAULT_CANNOT_READ || fault == EVN_FAULT_SYNTAX ||
           fault == EVN_FAULT_UNKNOWN_KEY || fault == EVN_FAULT_WRONG_SHAPE || fault == EVN_FAULT_UNKNOWN_CHOICE;
}

static evn_spot spot_of(const evn_study_reader *reader, const char *key, evn_report *report)
{
    return key ? reader->spot(reader->self, key, report) : evn_nowhere;
}

/* What is wrong with a text of the study is refused; a combination that rules between keys forbid is a variant that
 * cannot be. False: said. */
static bool bases_fit(const evn_seats *all, const evn_study_reader *reader, evn_report *report)
{
    size_t read = 0;
    bool texts = true;
    for (size_t k = 0; k < all->bases; k++) {
        const evn_base *b = &all->base[k];
        read += b->file ? 1 : 0;
        if (!b->file && is_of_text(b->fault)) {
            evn_say(report, b->fault, spot_of(reader, b->key, report), evn_nowhere, "a key that the study sets: %s",
                    b->why);
            texts = false;
        }
    }
    if (read == 0 && texts)
        evn_say(report, all->base[0].fault, evn_nowhere, evn_nowhere, "none of the combinations of choices can be: %s",
                all->base[0].why);
    return read > 0 && texts;
}

static bool ends_with(const char *text, const char *with)
{
    size_t length = strlen(text), end = strlen(with);
    return length >= end && strcmp(text + length - end, with) == 0;
}

/* How far apart combinations lie that differ in the choice of one variable, the next one. */
static size_t stride_of(const evn_study_file *s, size_t variable)
{
    size_t stride = 1;
    for (size_t v = variable + 1; v < s->variables.count; v++)
        stride *= evn_is_choice(evn_study_variable(s, v)) ? evn_study_variable(s, v)->choices.count : 1;
    return stride;
}

/* Whether all combinations are the same with one choice as with the other. */
static bool are_alike(const evn_seats *all, const uint64_t *hash, size_t variable, size_t one, size_t other)
{
    size_t stride = stride_of(all->study, variable), count = evn_study_variable(all->study, variable)->choices.count;
    bool alike = true;
    for (size_t b = 0; alike && b < all->bases; b++) {
        size_t b_other = b + (other - one) * stride;
        if (b / stride % count == one)
            alike = all->base[b].file && all->base[b_other].file && hash[b] == hash[b_other];
    }
    return alike;
}

/* False (said): two files of parts that are chosen between give the same trucks. */
static bool choices_differ(const evn_seats *all, const uint64_t *hash, size_t variable, const evn_study_reader *reader,
                           const char *key, evn_report *report)
{
    const evn_variable_file *of = evn_study_variable(all->study, variable);
    bool use = false;
    for (size_t k = 0; evn_is_choice(of) && k < of->keys.count; k++)
        use = use || ends_with(of->keys.at[k], ".use");
    for (size_t one = 0; use && one < of->choices.count; one++)
        for (size_t other = one + 1; other < of->choices.count; other++)
            if (are_alike(all, hash, variable, one, other)) {
                evn_say(report, EVN_FAULT_DISAGREES, spot_of(reader, key, report), evn_nowhere,
                        "%.200s and %.200s change nothing between them: both say the same, or keys that stand beside "
                        "`use` in the file go before what they say; expected files that differ, and a file that does "
                        "not state their keys itself",
                        of->choices.at[one], of->choices.at[other]);
                return false;
            }
    return true;
}

/* False: said. */
static bool all_choices_differ(evn_seats *all, const evn_study_reader *reader, evn_report *report)
{
    uint64_t *hash = evn_arena_take(all->arena, all->bases * sizeof *hash);
    bool differ = hash || no_memory(report);
    for (size_t b = 0; differ && b < all->bases; b++)
        hash[b] = all->base[b].file ? evn_object_hash(&evn_study_object, all->base[b].file) : 0;
    for (size_t v = 0; differ && v < all->study->variables.count; v++)
        differ = choices_differ(all, hash, v, reader, keys_of(all, v), report);
    return differ;
}

bool evn_seats_make(evn_seats *all, const evn_study_file *s, const evn_conditions *ask, const evn_study_reader *reader,
                    evn_report *report)
{
    *all = (evn_seats){.study = s, .ask = *ask, .bases = 1, .arena = evn_arena_new()};
    pthread_mutex_init(&all->lock, NULL);
    for (size_t v = 0; v < s->variables.count; v++)
        if (evn_is_choice(evn_study_variable(s, v)))
            all->bases *= evn_study_variable(s, v)->choices.count;
    all->base = all->arena ? evn_arena_take(all->arena, all->bases * sizeof *all->base) : NULL;
    bool room = all->base && list_numbers(all);
    for (size_t k = 0; room && k < all->bases; k++)
        room = read_base(all, k, reader);
    return room ? bases_fit(all, reader, report) && all_choices_differ(all, reader, report) : no_memory(report);
}

void evn_seats_end(evn_seats *all)
{
    while (all->free) {
        evn_vary_seat *next = all->free->next;
        evn_arena_free(all->free->arena);
        all->free = next;
    }
    if (all->arena)
        evn_arena_free(all->arena);
    pthread_mutex_destroy(&all->lock);
}

/* ------------------------------------------------------------------------------------------------ seats */

static evn_vary_seat *new_seat(evn_seats *all, size_t base)
{
    evn_arena *arena = evn_arena_new();
    evn_vary_seat *seat = arena ? evn_arena_take(arena, sizeof *seat) : NULL;
    evn_study_file *file = seat ? evn_object_copy(&evn_study_object, all->base[base].file, arena) : NULL;
    if (file) {
        *seat = (evn_vary_seat){.arena = arena, .base = base, .file = file};
        put_ask(all, file);
        return seat;
    }
    if (arena)
        evn_arena_free(arena);
    return NULL;
}

evn_vary_seat *evn_seat_take(evn_seats *all, size_t base)
{
    pthread_mutex_lock(&all->lock);
    evn_vary_seat **at = &all->free, *seat;
    while (*at && (*at)->base != base)
        at = &(*at)->next;
    seat = *at;
    if (seat)
        *at = seat->next;
    pthread_mutex_unlock(&all->lock);
    return seat ? seat : new_seat(all, base);
}

void evn_seat_leave(evn_seats *all, evn_vary_seat *seat)
{
    pthread_mutex_lock(&all->lock);
    seat->next = all->free;
    all->free = seat;
    pthread_mutex_unlock(&all->lock);
}

/* ------------------------------------------------------------------------------------------------ writing */

/* A formula may come to no number, as by a division by nothing. */
static bool is_number(const evn_set_number *n, double value, evn_report *report)
{
    if (isfinite(value))
        return true;
    evn_say(report, EVN_FAULT_NOT_A_NUMBER, evn_nowhere, evn_nowhere, "%s = %s comes to no number; expected one",
            n->path, n->formula ? n->formula : "a value");
    return false;
}

bool evn_seat_write(const evn_seats *all, evn_vary_seat *seat, const double *values, evn_report *report)
{
    const evn_base *b = &all->base[seat->base];
    evn_change change[NUMBERS_MOST];
    bool numbers = true;
    for (size_t k = 0; numbers && k < all->numbers; k++) {
        const evn_set_number *n = &all->number[k];
        change[k] = (evn_change){n->path, number_of(all->study, n, b->was[k], values)};
        numbers = is_number(n, change[k].value, report);
    }
    return numbers && evn_numbers_set(&evn_study_object, seat->file, change, all->numbers, report);
}
