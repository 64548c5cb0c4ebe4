/* What is not known of values, as it is written: one entry of `uncertain`, and a file of entries. */
#include "core/uncertain.h"
#include <math.h>
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
     .usual_low = -0.5,
     .usual_high = 0.5,
     .fallback = (double)NAN,
     .offset = MEMBER(relative),
     .help = "instead of half_width: as a share of each value"},
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

/* Letters, digits, _ and -: labels are names. */
static bool is_name(const char *text)
{
    static const char letters[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-";
    return *text != '\0' && text[strspn(text, letters)] == '\0';
}

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
    if (u->errs_with && !is_name(u->errs_with))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "errs_with",
                   "errs_with is no label; expected letters, digits, '_' and '-'");
}

const evn_object evn_uncertain_object = {.name = "uncertain",
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
    EVN_UNCERTAIN_FIELD(evn_uncertainties_file),
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
