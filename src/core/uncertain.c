/* What is not known of values, as it is written: one entry of `uncertain`, and a file of entries. */
#include "core/uncertain.h"
#include "core/change.h"
#include "core/words.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* In the order of evn_error_shape. */
static const char *const shapes[] = {"rectangular", "triangular", "normal", NULL};
_Static_assert(COUNT(shapes) == EVN_NORMAL + 2, "each can be asked for");

#define MEMBER(member) offsetof(evn_uncertain_file, member)
static const evn_field uncertain_fields[] = {
    {.key = "of",
     .shape = EVN_TEXTS,
     .presence = EVN_REQUIRED,
     .count_least = 1,
     .count_most = 64,
     .offset = MEMBER(of),
     .help = "paths to the values, from what holds this: numbers, or whole lists, each number of which moves by its "
             "own half width. In a lineup, and in a file of its own, from the lineup's root (trucks.NAME., cycle., "
             "load_case.); one that begins with none of these is for all trucks that have it"},
    {.key = "half_width",
     .shape = EVN_NUMBER,
     .least = -1e9,
     .most = 1e9,
     .fallback = (double)NAN,
     .offset = MEMBER(half_width),
     .help = "half of the range that the true value lies in, in the unit of the values; below 0: they fall where the "
             "others that err alike rise; 0: they do not err"},
    {.key = "relative",
     .shape = EVN_NUMBER,
     .least = -1,
     .most = 1,
     .usual_low = -0.9,
     .usual_high = 0.9,
     .fallback = (double)NAN,
     .offset = MEMBER(relative),
     .help = "instead of half_width: as a share of each value"},
    {.key = "offset",
     .shape = EVN_NUMBER,
     .least = -1e9,
     .most = 1e9,
     .offset = MEMBER(offset),
     .source = "JCGM 101:2008, 6.4.2, and JCGM 100:2008, 4.3.8, from memory",
     .help =
         "by so much the middle of the range lies above the value (below 0: below it), stated as the half width is: "
         "in the unit of the values, or beside relative as a share of each. For a value near an end of its range; "
         "the range reaches from value + offset - half width to value + offset + half width"},
    {.key = "shape",
     .shape = EVN_CHOICE,
     .choices = shapes,
     .fallback = EVN_RECTANGULAR,
     .offset = MEMBER(shape),
     .source = "JCGM 101:2008, 6.4, from memory",
     .help =
         "how what is not known lies within the half width h: rectangular, evenly (standard uncertainty h/sqrt(3)); "
         "triangular, mostly in the middle (h/sqrt(6)); normal, h is two standard uncertainties"},
    {.key = "errs_with",
     .shape = EVN_TEXT,
     .offset = MEMBER(errs_with),
     .help = "a label: all that bears it errs as one, in all parts and trucks; not given: the values of this entry err "
             "as one, in all trucks that use the file it stands in"},
    {.key = "source",
     .shape = EVN_TEXT,
     .offset = MEMBER(source),
     .help = "where the half width comes from: a document, 'from memory', 'common practice, no source'"},
};
#undef MEMBER

/* Labels are names, as those of entries are. */
static bool is_name(const char *text) { return *text != '\0' && text[evn_sound_name(text)] == '\0'; }

static void check_uncertain(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_uncertain_file *u = self;
    bool both = !isnan(u->half_width) && !isnan(u->relative), none = isnan(u->half_width) && isnan(u->relative);
    if (both)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "relative",
                   "relative %g beside half_width %g; expected one of them", u->relative, u->half_width);
    if (none)
        evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, "",
                   "nothing says how far the values may be off; expected half_width or relative");
    if (!both && !none && fabs(u->offset) > fabs(isnan(u->relative) ? u->half_width : u->relative))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "offset",
                   "offset %g is more than %s %g: the value itself would lie outside of its range", u->offset,
                   isnan(u->relative) ? "half_width" : "relative", isnan(u->relative) ? u->half_width : u->relative);
    if (u->errs_with && !is_name(u->errs_with))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "errs_with",
                   "errs_with is no label; expected letters, digits, '_' and '-'");
}

const evn_object evn_uncertain_object = {.name = "uncertainty",
                                         .help = "what is not known of some values, which err as one",
                                         .size = sizeof(evn_uncertain_file),
                                         .fields = uncertain_fields,
                                         .field_count = COUNT(uncertain_fields),
                                         .check = check_uncertain};

/* ------------------------------------------------------------------------------------------------ a file of its own */

#define MEMBER(member) offsetof(evn_uncertainties_file, member)
static const evn_field uncertainties_fields[] = {
    {.key = "name",
     .shape = EVN_TEXT,
     .presence = EVN_REQUIRED,
     .offset = MEMBER(name),
     .help = "what these uncertainties are called"},
    {.key = "source",
     .shape = EVN_TEXT,
     .offset = MEMBER(source),
     .help = "where they come from; needed unless they are marked as invented"},
    {.key = "invented", .shape = EVN_FLAG, .offset = MEMBER(invented), .help = "true: made up"},
    {.key = "uncertain",
     .shape = EVN_MANY,
     .presence = EVN_REQUIRED,
     .of = &evn_uncertain_object,
     .offset = MEMBER(uncertain),
     .remark = true,
     .count_least = 1,
     .help = "what is not known of values, by names of your own; the values of one entry err alike"},
};
#undef MEMBER

static void check_uncertainties(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_uncertainties_file *u = self;
    if (!u->invented && (!u->source || u->source[0] == '\0'))
        evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, "source",
                   "nothing says where the uncertainties come from; expected source, or invented: true");
}

const evn_object evn_uncertainties_object = {
    .name = "uncertainties",
    .help = "what is not known of trucks of a comparison, in a file of its own; goes before what trucks and lineup "
            "state",
    .size = sizeof(evn_uncertainties_file),
    .fields = uncertainties_fields,
    .field_count = COUNT(uncertainties_fields),
    .check = check_uncertainties};

/* ------------------------------------------------------------------------------------------------ what entries name */

double evn_half_width(double half_width, double relative, double value)
{
    return isnan(relative) ? half_width : relative * fabs(value);
}

double evn_range_offset(const evn_uncertain_file *u, double value)
{
    return isnan(u->relative) ? u->offset : u->offset * fabs(value);
}

static evn_fault fault_named(const char *name)
{
    int fault = 0;
    while (fault < EVN_FAULT_COUNT - 1 && strcmp(evn_fault_rows[fault].name, name) != 0)
        fault++;
    return (evn_fault)fault;
}

bool evn_uncertain_named(const evn_object *object, const void *self, const char *path, evn_named *out,
                         evn_naming_trouble *why)
{
    evn_report *aside = evn_report_new();
    evn_finding said;
    bool named = aside && evn_numbers_named(object, self, path, out, aside);
    if (!aside)
        *why = (evn_naming_trouble){EVN_FAULT_OUT_OF_MEMORY, "memory ran out over uncertainties"};
    else if (!named && evn_report_at(aside, 0, &said)) {
        why->fault = fault_named(said.fault);
        snprintf(why->words, sizeof why->words, "%s", said.text);
    }
    evn_report_free(aside);
    return named;
}

typedef struct entry { /* that is checked */
    const evn_object *object;
    const void *self;
    const evn_uncertain_file *file;
    const char *name;
    const evn_seat *seat;
    evn_report *report;
} entry;

enum { PLACE_BYTES = 200 };

static const char *place_of(const entry *e, size_t k, char out[PLACE_BYTES])
{
    snprintf(out, PLACE_BYTES, "uncertain.%.120s.of[%zu]", e->name, k);
    return out;
}

static void check_bounds(const entry *e, size_t k, const evn_named *named)
{
    char at[PLACE_BYTES], bounds[EVN_BOUNDS_BYTES];
    const evn_field *f = named->field;
    for (size_t i = 0; i < named->count; i++) {
        double value = named->at[i], half = fabs(evn_half_width(e->file->half_width, e->file->relative, value));
        double middle = value + evn_range_offset(e->file, value);
        double end = middle - half < f->least ? middle - half : middle + half;
        if (end >= f->least && end <= f->most)
            continue;
        evn_say_at(e->report, e->seat, EVN_FAULT_OUT_OF_RANGE, place_of(e, k, at),
                   "%.120s would be %.6g at an end of its half width, %.6g; expected %s", e->file->of.at[k], end, half,
                   evn_bounds_text(bounds, f->least, f->most, f->key));
        return;
    }
}

static bool overlap(const evn_named *a, const evn_named *b)
{
    return a->at < b->at + b->count && b->at < a->at + a->count;
}

static void check_twice(const entry *e, size_t k, const evn_named *named)
{
    char at[PLACE_BYTES];
    for (size_t i = 0; i < k; i++) {
        evn_named earlier;
        evn_naming_trouble said_before;
        if (evn_uncertain_named(e->object, e->self, e->file->of.at[i], &earlier, &said_before) &&
            overlap(&earlier, named))
            evn_say_at(e->report, e->seat, EVN_FAULT_DISAGREES, place_of(e, k, at),
                       "%.120s is named twice in one entry; expected it once", e->file->of.at[k]);
    }
}

/* Whether it was set beside the files ("--set 2"). */
static bool was_set(const evn_report *report, evn_spot at)
{
    static const char set[] = "--set ";
    const char *name = at.file > 0 ? evn_report_file_at(report, at.file - 1) : NULL;
    return name && strncmp(name, set, strlen(set)) == 0;
}

/* Whether what an entry names was written over by who uses the part that states it: then nobody's entry is at fault. */
static bool is_written_over(const entry *e, size_t k)
{
    char at[PLACE_BYTES];
    evn_spot value_user, entry_user;
    snprintf(at, sizeof at, "%.*s", (int)strcspn(e->file->of.at[k], "["), e->file->of.at[k]);
    evn_spot value = evn_seat_of(e->seat, at, &value_user);
    evn_spot stated = evn_seat_of(e->seat, place_of(e, k, at), &entry_user);
    bool elsewhere = value.file != stated.file && value_user.file != stated.file;
    return elsewhere && (entry_user.file != 0 || was_set(e->report, value));
}

static void check_entry(const entry *e)
{
    char at[PLACE_BYTES];
    for (size_t k = 0; k < e->file->of.count; k++) {
        evn_named named;
        evn_naming_trouble why;
        if (is_written_over(e, k))
            continue;
        if (!evn_uncertain_named(e->object, e->self, e->file->of.at[k], &named, &why)) {
            if (!e->object->absent_later || why.fault != EVN_FAULT_WRONG_SHAPE)
                evn_say_at(e->report, e->seat, why.fault, place_of(e, k, at), "%s", why.words);
            continue;
        }
        check_bounds(e, k, &named);
        check_twice(e, k, &named);
    }
}

void evn_uncertain_check(const evn_object *object, const void *self, const evn_seat *seat, evn_report *report)
{
    for (size_t i = 0; i < object->field_count; i++) {
        const evn_many *many = (const void *)((const char *)self + object->fields[i].offset);
        const evn_uncertain_file *file = object->fields[i].on_holder ? many->item : NULL;
        for (size_t k = 0; file && k < many->count; k++)
            check_entry(&(entry){object, self, &file[k], many->name[k], seat, report});
    }
}
