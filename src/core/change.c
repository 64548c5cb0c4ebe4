/* Walks the structs of an object along a dotted path, down to a number, or to a list of them. */
#define _POSIX_C_SOURCE 200809L
#include "core/change.h"
#include "core/arena.h"
#include "core/field_path.h"
#include "core/field_walk.h"
#include "core/plain_locale.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NAMES_MOST = 128, PLACE_BYTES = 1000 };

typedef struct holder { /* an object on the way */
    const evn_object *object;
    char *self;
    size_t steps; /* of the path that lead to it */
} holder;

/* Where the walk is: in the last holder; at a field of it; or at an item of a list, or of steps, or a figure. */
typedef struct walk {
    evn_report *report;
    evn_path path;
    holder holder[EVN_PATH_STEPS_MOST + 1];
    size_t holders;
    const evn_field *field; /* NULL: in the holder */
    char *member;
    bool item, found; /* found: the whole path leads somewhere */
    size_t index;
    double before; /* what stood there, once it is changed */
} walk;

/* ---------------------------------------------------------------------------------------------------- saying */

/* A path is the place of what is found about it, unless it is unknown and could upset whoever shows it. */
static bool can_be_shown(const walk *w)
{
    const char *at = w->path.text;
    while (*at >= 0x20 && *at < 0x7f)
        at++;
    return w->found || *at == '\0';
}

static evn_spot place(const walk *w, size_t byte)
{
    size_t length = strlen(w->path.text);
    if (length >= PLACE_BYTES || !can_be_shown(w))
        return evn_nowhere;
    return (evn_spot){evn_report_file(w->report, length > 0 ? w->path.text : "(empty path)"), 0,
                      evn_column_of(w->path.text, byte)};
}

static bool say(const walk *w, size_t byte, evn_fault fault, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
static bool say(const walk *w, size_t byte, evn_fault fault, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    evn_vsay(w->report, fault, place(w, byte), evn_nowhere, format, values);
    va_end(values);
    return false;
}

static bool say_no_memory(evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out changing numbers");
    return false;
}

static size_t byte_of(const walk *w, size_t step) { return w->path.step[step].byte; }

static const char *shown(const walk *w, size_t steps, char out[EVN_QUOTE_BYTES])
{
    return evn_path_shown(&w->path, steps, w->holder[0].object->name, out);
}

/* A copy of a key of the path for the search of what is near; "" when it is longer than any name. */
static const char *key_text(const evn_path_step *step, char out[EVN_PHRASE_BYTES])
{
    bool fits = step->length < EVN_PHRASE_BYTES;
    snprintf(out, EVN_PHRASE_BYTES, "%.*s", fits ? (int)step->length : 0, step->key);
    return out;
}

static bool say_unknown_key(const walk *w, size_t at)
{
    const evn_object *object = w->holder[w->holders - 1].object;
    const evn_path_step *step = &w->path.step[at];
    const char *names[NAMES_MOST];
    size_t count = 0;
    for (; count < object->field_count && count < NAMES_MOST; count++)
        names[count] = object->fields[count].key;
    char key[EVN_PHRASE_BYTES], quoted[EVN_QUOTE_BYTES], all[EVN_PHRASE_BYTES], hint[EVN_PHRASE_BYTES];
    evn_nearest_phrase(hint, key_text(step, key), names, count);
    return say(w, step->byte, EVN_FAULT_UNKNOWN_KEY, "no key %s in %s; expected one of its keys%s%s",
               evn_quote(quoted, step->key, step->length), object->name, hint[0] ? hint : ": ",
               hint[0] ? "" : evn_name_all(all, names, count));
}

static bool say_unknown_name(const walk *w, size_t at, const char *const *names, size_t count)
{
    const evn_path_step *step = &w->path.step[at];
    char key[EVN_PHRASE_BYTES], quoted[EVN_QUOTE_BYTES], where[EVN_QUOTE_BYTES], all[EVN_PHRASE_BYTES],
        hint[EVN_PHRASE_BYTES];
    if (count == 0)
        return say(w, step->byte, EVN_FAULT_UNKNOWN_KEY, "no %s in %s, which holds none",
                   evn_quote(quoted, step->key, step->length), shown(w, at, where));
    return say(w, step->byte, EVN_FAULT_UNKNOWN_KEY, "no %s in %s; expected one of %s%s",
               evn_quote(quoted, step->key, step->length), shown(w, at, where), evn_name_all(all, names, count),
               evn_nearest_phrase(hint, key_text(step, key), names, count));
}

/* ---------------------------------------------------------------------------------------------------- the way */

static bool is_key(const evn_path_step *step, const char *key)
{
    return strncmp(key, step->key, step->length) == 0 && key[step->length] == '\0';
}

/* Goes into an object that the first so many steps lead to. */
static bool go_into(walk *w, const evn_object *object, char *self, size_t steps)
{
    w->holder[w->holders++] = (holder){object, self, steps};
    w->field = NULL;
    w->item = false;
    return true;
}

static size_t place_among(const evn_path_step *step, const char *const *names, size_t count)
{
    size_t i = 0;
    while (i < count && !is_key(step, names[i]))
        i++;
    return i;
}

static bool enter_many(walk *w, size_t at)
{
    evn_many many;
    char *items;
    memcpy(&many, w->member, sizeof many);
    memcpy(&items, w->member + offsetof(evn_many, item), sizeof items);
    size_t i = place_among(&w->path.step[at], many.name, many.count);
    if (i == many.count)
        return say_unknown_name(w, at, many.name, many.count);
    return go_into(w, w->field->of, items + i * w->field->of->size, at + 1);
}

static bool enter_figures(walk *w, size_t at)
{
    evn_numbers figures;
    memcpy(&figures, w->member, sizeof figures);
    w->index = place_among(&w->path.step[at], figures.name, figures.count);
    w->item = true;
    return w->index < figures.count || say_unknown_name(w, at, figures.name, figures.count);
}

/* The key of a step of a list of steps: that of its kind. */
static bool enter_step(walk *w, size_t at)
{
    evn_steps steps;
    char *item;
    memcpy(&steps, w->member, sizeof steps);
    const evn_kind_row *kind = &w->field->kinds[steps.at[w->index].kind];
    if (!is_key(&w->path.step[at], kind->key))
        return say_unknown_name(w, at, &kind->key, 1);
    const evn_step *step = &steps.at[w->index];
    memcpy(&item, (const char *)step + offsetof(evn_step, item), sizeof item);
    return go_into(w, kind->object, item, at + 1);
}

static bool enter_field(walk *w, size_t at)
{
    const holder *in = &w->holder[w->holders - 1];
    const evn_path_step *step = &w->path.step[at];
    w->field = evn_field_named(in->object, step->key, step->length);
    if (!w->field)
        return say_unknown_key(w, at);
    w->member = in->self + w->field->offset;
    return true;
}

/* Into the object that a member leads to. */
static bool enter_one(walk *w, size_t at)
{
    char *inner, where[EVN_QUOTE_BYTES];
    memcpy(&inner, w->member, sizeof inner);
    if (!inner)
        return say(w, byte_of(w, at), EVN_FAULT_WRONG_SHAPE,
                   "a step below %s, which is not there; expected a path to a value that is; "
                   "what is absent comes in when a file is read",
                   shown(w, at, where));
    return go_into(w, w->field->of, inner, at);
}

static bool is_list(const walk *w) { return !w->item && (w->field->shape == EVN_LIST || w->field->shape == EVN_STEPS); }

static bool enter_key(walk *w, size_t at)
{
    if (w->field && w->field->shape == EVN_ONE && !enter_one(w, at))
        return false;
    if (!w->field)
        return enter_field(w, at);
    if (w->field->shape == EVN_MANY)
        return enter_many(w, at);
    if (w->field->shape == EVN_STEPS && w->item)
        return enter_step(w, at);
    if (w->field->shape == EVN_FIGURES && !w->item)
        return enter_figures(w, at);
    char where[EVN_QUOTE_BYTES];
    return say(w, byte_of(w, at), EVN_FAULT_WRONG_SHAPE, "a key below %s, which is a %s; expected %s",
               shown(w, at, where), is_list(w) ? "list" : "single value",
               is_list(w) ? "the place in the list, from 0: [0]" : "the path to end there");
}

static bool enter_index(walk *w, size_t at)
{
    char where[EVN_QUOTE_BYTES];
    if (!w->field || !is_list(w))
        return say(w, byte_of(w, at), EVN_FAULT_WRONG_SHAPE, "a place in %s, which is not a list; expected a key",
                   shown(w, at, where));
    evn_list list;
    evn_steps steps;
    memcpy(&list, w->member, sizeof list);
    memcpy(&steps, w->member, sizeof steps);
    size_t count = w->field->shape == EVN_LIST ? list.count : steps.count;
    w->index = w->path.step[at].index;
    w->item = true;
    return w->index < count || say(w, byte_of(w, at), EVN_FAULT_OUT_OF_RANGE,
                                   "item %zu of %s, which has %zu; expected a place from 0 to %zu", w->index,
                                   shown(w, at, where), count, count > 0 ? count - 1 : 0);
}

/* Whether the whole path ends at a number. */
static bool ends_at_number(const walk *w)
{
    char where[EVN_QUOTE_BYTES], what[EVN_PHRASE_BYTES];
    evn_shape shape = w->field ? w->field->shape : EVN_ONE;
    bool single = shape == EVN_NUMBER || shape == EVN_COUNT || shape == EVN_FLAG || shape == EVN_CHOICE;
    if (single || (w->item && shape != EVN_STEPS))
        return true;
    shown(w, w->path.count, where);
    if (!w->field || w->item)
        return say(w, 0, EVN_FAULT_WRONG_SHAPE, "%s is a map of keys; expected the path of one number", where);
    return say(w, 0, EVN_FAULT_WRONG_SHAPE, "%s is %s; expected the path of one number%s", where,
               evn_expected(what, w->field), shape == EVN_LIST ? ", such as that of the first of the list: [0]" : "");
}

static bool follow(walk *w, const evn_object *object, char *self, const char *path, evn_report *report)
{
    evn_path_trouble trouble;
    w->report = report;
    w->path.text = path;
    go_into(w, object, self, 0);
    if (!evn_path_read(path, 0, strlen(path), &w->path, &trouble))
        return say(w, trouble.byte, trouble.fault, "%s", trouble.words);
    for (size_t i = 0; i < w->path.count; i++)
        if (!(w->path.step[i].key ? enter_key(w, i) : enter_index(w, i)))
            return false;
    w->found = true;
    return true;
}

static bool find(walk *w, const evn_object *object, char *self, const char *path, evn_report *report)
{
    return follow(w, object, self, path, report) && ends_at_number(w);
}

/* ---------------------------------------------------------------------------------------------------- the number */

static double *number_member(const walk *w)
{
    double *at;
    if (!w->item)
        return (double *)(void *)w->member;
    size_t begin = w->field->shape == EVN_LIST ? offsetof(evn_list, at) : offsetof(evn_numbers, value);
    memcpy(&at, w->member + begin, sizeof at);
    return &at[w->index];
}

static double get(const walk *w)
{
    if (w->field->shape == EVN_FLAG)
        return *(const bool *)(const void *)w->member ? 1 : 0;
    if (w->field->shape == EVN_CHOICE) {
        int choice = *(const int *)(const void *)w->member;
        return choice < 0 ? (double)NAN : choice;
    }
    return *number_member(w);
}

static void put(walk *w, double value)
{
    if (w->field->shape == EVN_FLAG)
        *(bool *)(void *)w->member = value != 0;
    else if (w->field->shape == EVN_CHOICE)
        *(int *)(void *)w->member = isnan(value) ? -1 : (int)value;
    else
        *number_member(w) = value;
}

/* In quotes, with as many digits as tell it from its neighbours. */
static const char *quoted_number(double value, char out[EVN_QUOTE_BYTES])
{
    snprintf(out, EVN_QUOTE_BYTES, "'%.15g'", value);
    if (strtod(out + 1, NULL) != value)
        snprintf(out, EVN_QUOTE_BYTES, "'%.17g'", value);
    if (!isfinite(value))
        strcpy(out, isnan(value) ? "'nan'" : value > 0 ? "'inf'" : "'-inf'");
    return out;
}

static bool fits_word(const walk *w, double value)
{
    char quoted[EVN_QUOTE_BYTES], all[EVN_PHRASE_BYTES];
    const evn_field *field = w->field;
    size_t count = field->shape == EVN_FLAG ? 2 : evn_choice_count(field);
    if (value >= 0 && value < (double)count && value == floor(value))
        return true;
    quoted_number(value, quoted);
    if (field->shape == EVN_FLAG)
        return say(w, 0, EVN_FAULT_UNKNOWN_CHOICE, "%s is %s; expected 1 for true or 0 for false", field->key, quoted);
    return say(w, 0, EVN_FAULT_UNKNOWN_CHOICE, "%s is %s; expected 0 to %zu, the place of one of %s", field->key,
               quoted, count - 1, evn_name_all(all, field->choices, count));
}

static bool can_be_none(const walk *w)
{
    if (w->field->shape == EVN_FIGURES)
        return true;
    return w->field->shape != EVN_LIST && w->field->shape != EVN_FLAG && w->field->presence == EVN_OPTIONAL &&
           isnan(w->field->fallback);
}

/* As the reader judges a number that it reads. */
static bool fits(const walk *w, double value)
{
    char quoted[EVN_QUOTE_BYTES], name[EVN_LABEL_BYTES];
    evn_label label = {w->field, w->index, w->item};
    evn_where where = {place(w, 0), evn_nowhere};
    if (isnan(value) && can_be_none(w))
        return true;
    quoted_number(value, quoted);
    if (!isfinite(value))
        return say(w, 0, EVN_FAULT_NOT_A_NUMBER, "%s is %s; expected a plain decimal number; only finite numbers",
                   evn_label_text(name, label), quoted);
    if (w->field->shape == EVN_FIGURES)
        return true;
    if (w->field->shape == EVN_FLAG || w->field->shape == EVN_CHOICE)
        return fits_word(w, value);
    if (!evn_number_fits(w->report, label, where, value, quoted))
        return false;
    if (!evn_within_usual(w->field, value))
        evn_say_unusual(w->report, label, where, value, 0);
    return true;
}

/* ---------------------------------------------------------------------------------------------------- the rules */

typedef struct memory_seat { /* of an object in memory: its places are paths */
    evn_seat seat;           /* first: a pointer to it is a pointer to the whole */
    const walk *way;
    size_t steps;
} memory_seat;

static evn_spot spot_in_memory(const evn_seat *seat, const char *path, evn_spot *used_from)
{
    const memory_seat *self = (const memory_seat *)(const void *)seat;
    const evn_path *way = &self->way->path;
    size_t length = self->steps < way->count ? way->step[self->steps].byte : way->end;
    char whole[PLACE_BYTES];
    length -= length > 0 && way->text[length - 1] == '.';
    bool below = path && *path;
    *used_from = evn_nowhere;
    if (length + (below ? strlen(path) : 0) + 2 > sizeof whole)
        return evn_nowhere;
    snprintf(whole, sizeof whole, "%.*s%s%s", (int)length, way->text, length > 0 && below ? "." : "",
             below ? path : "");
    return (evn_spot){evn_report_file(self->way->report, *whole ? whole : self->way->holder[0].object->name), 0, 0};
}

/* Whether an earlier path leads through the same object. */
static bool is_checked(const walk *walks, size_t k, size_t depth)
{
    for (size_t i = 0; i < k; i++)
        if (walks[i].holders > depth && walks[i].holder[depth].self == walks[k].holder[depth].self)
            return true;
    return false;
}

static void check_holders(const walk *walks, size_t count, size_t depth)
{
    for (size_t k = 0; k < count; k++) {
        const holder *h = &walks[k].holder[depth];
        if (walks[k].holders <= depth || !h->object->check || is_checked(walks, k, depth))
            continue;
        memory_seat seat = {{spot_in_memory}, &walks[k], h->steps};
        h->object->check(h->self, &seat.seat, walks[k].report);
    }
}

/* The rules of every object that holds a changed number; those of what holds a faulty one are not asked. */
static bool rules_hold(const walk *walks, size_t count, evn_report *report)
{
    size_t errors = evn_report_errors(report);
    for (size_t depth = EVN_PATH_STEPS_MOST + 1; depth-- > 0 && evn_report_errors(report) == errors;)
        check_holders(walks, count, depth);
    return evn_report_errors(report) == errors;
}

/* ---------------------------------------------------------------------------------------------------- the calls */

bool evn_number_get(const evn_object *object, const void *self, const char *path, double *out, evn_report *report)
{
    walk w = {0};
    char *at;
    memcpy(&at, &self, sizeof at); /* which is only read */
    if (!find(&w, object, at, path, report))
        return false;
    *out = get(&w);
    return true;
}

double *evn_number_place(const evn_object *object, void *self, const char *path, evn_report *report)
{
    walk w = {0};
    char where[EVN_QUOTE_BYTES];
    if (!find(&w, object, self, path, report))
        return NULL;
    if (w.field->shape != EVN_FLAG && w.field->shape != EVN_CHOICE)
        return number_member(&w);
    say(&w, 0, EVN_FAULT_WRONG_SHAPE, "%s is a word of a choice, or yes or no; expected the path of one number",
        shown(&w, w.path.count, where));
    return NULL;
}

/* Whether the path ends at what can be off by a little. */
static bool ends_at_measure(const walk *w)
{
    char where[EVN_QUOTE_BYTES];
    evn_shape shape = w->field ? w->field->shape : EVN_ONE;
    if (shape == EVN_LIST || (shape == EVN_NUMBER && !isnan(*number_member(w))))
        return true;
    shown(w, w->path.count, where);
    if (shape == EVN_NUMBER)
        return say(w, 0, EVN_FAULT_WRONG_SHAPE, "%s is not given; expected a value that is", where);
    if (shape == EVN_COUNT || shape == EVN_FLAG || shape == EVN_CHOICE)
        return say(w, 0, EVN_FAULT_WRONG_SHAPE, "%s is %s; expected a number that can be off by a little", where,
                   shape == EVN_COUNT  ? "a count"
                   : shape == EVN_FLAG ? "true or false"
                                       : "one of some words");
    return say(w, 0, EVN_FAULT_WRONG_SHAPE, "%s is no number; expected the path of a number, or of a list of them",
               where);
}

bool evn_numbers_named(const evn_object *object, const void *self, const char *path, evn_named *out, evn_report *report)
{
    walk w = {0};
    char *at;
    memcpy(&at, &self, sizeof at); /* which is only read */
    if (!follow(&w, object, at, path, report) || !ends_at_measure(&w))
        return false;
    *out = (evn_named){w.field, NULL, 1, w.item};
    if (w.item || w.field->shape == EVN_NUMBER) {
        out->at = number_member(&w);
        return true;
    }
    evn_list list;
    memcpy(&list, w.member, sizeof list);
    memcpy(&out->at, w.member + offsetof(evn_list, at), sizeof out->at);
    out->count = list.count;
    return out->count > 0 || say(&w, 0, EVN_FAULT_WRONG_SHAPE, "%s is not given; expected a value that is", path);
}

static bool set_all(walk *walks, const evn_object *object, char *self, const evn_change *changes, size_t count,
                    evn_report *report)
{
    bool sound = true;
    for (size_t i = 0; i < count; i++)
        sound = find(&walks[i], object, self, changes[i].path, report) && fits(&walks[i], changes[i].value) && sound;
    for (size_t i = 0; i < count && sound; i++) {
        walks[i].before = get(&walks[i]);
        put(&walks[i], changes[i].value);
    }
    if (sound && rules_hold(walks, count, report))
        return true;
    for (size_t i = count; sound && i-- > 0;)
        put(&walks[i], walks[i].before);
    return false;
}

bool evn_numbers_set(const evn_object *object, void *self, const evn_change *changes, size_t count, evn_report *report)
{
    evn_arena *arena = count <= SIZE_MAX / sizeof(walk) ? evn_arena_new() : NULL;
    walk *walks = arena ? evn_arena_take(arena, count * sizeof *walks) : NULL;
    evn_plain_locale locale;
    bool ready = walks && evn_plain_locale_enter(&locale);
    bool changed = ready && set_all(walks, object, self, changes, count, report);
    if (ready)
        evn_plain_locale_leave(&locale);
    else
        say_no_memory(report);
    if (arena)
        evn_arena_free(arena);
    return changed;
}
