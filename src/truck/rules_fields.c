/* The keys of a set of rules, and the rules between them. */
#include "truck/rules.h"
#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

const char *const evn_clause_limits_words[] = {"axle_load",       "group_load",     "motor_vehicle_mass",
                                               "trailer_mass",    "mass",           "driven_share",
                                               "mass_per_length", "bridge_formula", NULL};
const char *const evn_clause_status_words[] = {"seen", "seen_in_part", "from_memory", "common_practice", "own", NULL};
static const char *const driven_words[] = {"any", "yes", "no", NULL};
static const char *const of_words[] = {"any", "motor_vehicle", "trailer", NULL};
static const char *const combination_words[] = {"any", "alone", "semitrailer", "drawbar", "trailer", NULL};

/* ------------------------------------------------------------------------------------------------ a clause */

#define MEMBER(member) offsetof(evn_clause_file, member)
#define AXLES(name, member_name, text)                                                                                 \
    {.key = name,                                                                                                      \
     .shape = EVN_COUNT,                                                                                               \
     .least = 1,                                                                                                       \
     .most = 12,                                                                                                       \
     .fallback = (double)NAN,                                                                                          \
     .offset = MEMBER(member_name),                                                                                    \
     .help = text}
#define SPACING(name, member_name, text)                                                                               \
    {.key = name, .shape = EVN_NUMBER, .most = 20, .fallback = (double)NAN, .offset = MEMBER(member_name), .help = text}
static const evn_field clause_fields[] = {
    {.key = "limits",
     .shape = EVN_CHOICE,
     .presence = EVN_REQUIRED,
     .offset = MEMBER(limits),
     .choices = evn_clause_limits_words,
     .help =
         "what it limits: the load of an axle, of a group of neighbouring axles, the mass of the motor vehicle (the "
         "sum of its axle loads), of the trailer likewise, of all; the share of the mass on driven axles; the motor "
         "vehicle's mass over the distance of its outermost axles; or every row of axles by the bridge formula"},
    {.key = "most_kg",
     .shape = EVN_NUMBER,
     .least = 100,
     .most = 1e6,
     .fallback = (double)NAN,
     .offset = MEMBER(most_kg),
     .help = "the most that is allowed; of loads and masses"},
    {.key = "least_percent",
     .shape = EVN_NUMBER,
     .most = 100,
     .fallback = (double)NAN,
     .offset = MEMBER(least_percent),
     .help = "the least share, of driven_share"},
    {.key = "most_kg_per_m",
     .shape = EVN_NUMBER,
     .least = 100,
     .most = 1e5,
     .fallback = (double)NAN,
     .offset = MEMBER(most_kg_per_m),
     .help = "the most mass per metre, of mass_per_length"},
    {.key = "driven",
     .shape = EVN_CHOICE,
     .offset = MEMBER(driven),
     .choices = driven_words,
     .help = "only of axles that are driven, or groups with one; or only of others"},
    {.key = "of",
     .shape = EVN_CHOICE,
     .offset = MEMBER(of),
     .choices = of_words,
     .help = "only of axles and groups of the motor vehicle, or of the trailer"},
    {.key = "combination",
     .shape = EVN_CHOICE,
     .offset = MEMBER(combination),
     .choices = combination_words,
     .help = "only where the motor vehicle is alone, has a semitrailer, a trailer at a drawbar, or either"},
    AXLES("axles_from", axles_from, "only where what is limited has at least so many axles"),
    AXLES("axles_to", axles_to, "... and at most so many"),
    AXLES("motor_axles_from", motor_axles_from, "only where the motor vehicle has at least so many axles"),
    AXLES("motor_axles_to", motor_axles_to, "... and at most so many"),
    AXLES("trailer_axles_from", trailer_axles_from, "only where the trailer has at least so many axles"),
    AXLES("trailer_axles_to", trailer_axles_to, "... and at most so many"),
    SPACING(
        "spacing_from_m", spacing_from_m,
        "only where neighbouring axles of the group stand at least so far apart, the nearest two; of masses: of the "
        "trailer's axles"),
    SPACING("spacing_above_m", spacing_above_m, "the same, but more than this"),
    SPACING("spacing_to_m", spacing_to_m, "... and at most so far"),
    SPACING("spacing_below_m", spacing_below_m, "... and less than this"),
    {.key = "twin_tyres",
     .shape = EVN_FLAG,
     .offset = MEMBER(twin_tyres),
     .help = "only where the driven axles of what is limited bear twin tyres; all its axles, where none is driven"},
    {.key = "air_suspension",
     .shape = EVN_FLAG,
     .offset = MEMBER(air_suspension),
     .help = "only where these axles stand on air springs, or on others that are recognised as their equal"},
    {.key = "intermodal",
     .shape = EVN_FLAG,
     .offset = MEMBER(intermodal),
     .help = "only in intermodal transport, which the command is told of"},
    {.key = "axle_at_most_kg",
     .shape = EVN_NUMBER,
     .least = 100,
     .most = 50000,
     .fallback = (double)NAN,
     .offset = MEMBER(axle_at_most_kg),
     .help = "only where none of these axles carries more than this"},
    {.key = "instead_of",
     .shape = EVN_TEXT,
     .offset = MEMBER(instead_of),
     .help = "another clause of the set, which this one stands for wherever it applies and allows more"},
    {.key = "zero_emission_most_kg",
     .shape = EVN_NUMBER,
     .most = 10000,
     .fallback = (double)NAN,
     .offset = MEMBER(zero_emission_most_kg),
     .help = "added to most_kg: what a zero-emission drivetrain needs more (body.zero_emission_extra_kg of the truck), "
             "but not more than this; not given: nothing"},
    {.key = "status",
     .shape = EVN_CHOICE,
     .presence = EVN_REQUIRED,
     .offset = MEMBER(status),
     .choices = evn_clause_status_words,
     .help =
         "whether its figures were read in the source that is named, were in part, are from memory, common practice "
         "without a source, or one's own"},
    {.key = "note", .shape = EVN_TEXT, .offset = MEMBER(note), .help = "what it says beside, and what is taken as met"},
    EVN_SOURCE_FIELD(evn_clause_file),
};
#undef MEMBER

static void check_figure(const evn_clause_file *c, const char *key, double figure, bool wanted, const evn_seat *seat,
                         evn_report *report)
{
    if (wanted && isnan(figure))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "limits", "a limit of %s without %s; expected its figure",
                   evn_clause_limits_words[c->limits], key);
    if (!wanted && !isnan(figure))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, key,
                   "%s of a limit of %s, which has no such figure; expected none", key,
                   evn_clause_limits_words[c->limits]);
}

static void check_span(const char *from_key, double from, const char *to_key, double to, const evn_seat *seat,
                       evn_report *report)
{
    if (to < from)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, to_key, "%g, below %s, %g; expected at least that", to, from_key,
                   from);
}

static void check_clause(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_clause_file *c = self;
    bool mass = c->limits <= EVN_CLAUSE_WHOLE_MASS;
    check_figure(c, "most_kg", c->most_kg, mass, seat, report);
    check_figure(c, "least_percent", c->least_percent, c->limits == EVN_CLAUSE_DRIVEN_SHARE, seat, report);
    check_figure(c, "most_kg_per_m", c->most_kg_per_m, c->limits == EVN_CLAUSE_MASS_PER_LENGTH, seat, report);
    if (!mass && !isnan(c->zero_emission_most_kg))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "zero_emission_most_kg",
                   "an allowance of a limit of %s; expected one of a load or a mass",
                   evn_clause_limits_words[c->limits]);
    if (c->limits == EVN_CLAUSE_BRIDGE && c->of != EVN_OF_ANY)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "of", "%s of a limit of %s, which is of all axles; expected none",
                   of_words[c->of], evn_clause_limits_words[c->limits]);
    check_span("axles_from", c->axles_from, "axles_to", c->axles_to, seat, report);
    check_span("motor_axles_from", c->motor_axles_from, "motor_axles_to", c->motor_axles_to, seat, report);
    check_span("trailer_axles_from", c->trailer_axles_from, "trailer_axles_to", c->trailer_axles_to, seat, report);
    check_span("spacing_from_m", c->spacing_from_m, "spacing_to_m", c->spacing_to_m, seat, report);
}
static const evn_object clause_object = {.name = "clause",
                                         .help = "one limit of a set of rules",
                                         .size = sizeof(evn_clause_file),
                                         .fields = clause_fields,
                                         .field_count = COUNT(clause_fields),
                                         .check = check_clause};

/* ------------------------------------------------------------------------------------------------ the set */

#define MEMBER(member) offsetof(evn_rules_file, member)
static const evn_field rules_fields[] = {
    {.key = "name",
     .shape = EVN_TEXT,
     .presence = EVN_REQUIRED,
     .offset = MEMBER(name),
     .help = "name for people: which rules, of whom, as of when"},
    {.key = "source", .shape = EVN_TEXT, .offset = MEMBER(source), .help = "where they come from"},
    {.key = "invented",
     .shape = EVN_FLAG,
     .offset = MEMBER(invented),
     .help = "true where they are the rules of no place"},
    {.key = "group_below_m",
     .shape = EVN_NUMBER,
     .least = 0.5,
     .most = 5,
     .usual_low = 1,
     .usual_high = 3,
     .fallback = 1.8,
     .offset = MEMBER(group_below_m),
     .source = "Directive 96/53/EC Annex I: tandem axles stand less than 1.8 m apart",
     .help = "axles of the motor vehicle that stand nearer than this to the next are one group; a trailer's axles "
             "always are"},
    {.key = "clauses",
     .shape = EVN_MANY,
     .presence = EVN_REQUIRED,
     .offset = MEMBER(clauses),
     .of = &clause_object,
     .count_least = 1,
     .count_most = EVN_CLAUSES_MOST,
     .help = "its clauses by name, in the order in which they are told"},
};
#undef MEMBER

static size_t clause_named(const evn_many *clauses, const char *name)
{
    size_t k = 0;
    while (k < clauses->count && strcmp(clauses->name[k], name) != 0)
        k++;
    return k;
}

/* A clause stands for one that limits the same, and that stands for no other. */
static void check_instead(const evn_rules_file *r, size_t k, const evn_seat *seat, evn_report *report)
{
    const evn_clause_file *clause = r->clauses.item;
    const char *other = clause[k].instead_of;
    if (!other)
        return;
    char path[160];
    snprintf(path, sizeof path, "clauses.%.100s.instead_of", r->clauses.name[k]);
    size_t at = clause_named(&r->clauses, other);
    const char *nearest = evn_nearest(other, r->clauses.name, r->clauses.count);
    if (at == r->clauses.count)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, path, "no clause %s; expected the name of one of the set%s%s",
                   other, nearest ? ", nearest is " : "", nearest ? nearest : "");
    else if (at == k || clause[at].instead_of)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
                   "clause %s, which %s; expected one that stands for no other", other,
                   at == k ? "it is itself" : "stands instead of another");
    else if (clause[at].limits != clause[k].limits)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, path, "clause %s limits %s, this one %s; expected the same",
                   other, evn_clause_limits_words[clause[at].limits], evn_clause_limits_words[clause[k].limits]);
}

static void check_rules(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_rules_file *r = self;
    for (size_t k = 0; k < r->clauses.count; k++)
        check_instead(r, k, seat, report);
}
const evn_object evn_rules_object = {.name = "rules",
                                     .help = "a set of rules on masses and axle loads",
                                     .size = sizeof(evn_rules_file),
                                     .fields = rules_fields,
                                     .field_count = COUNT(rules_fields),
                                     .check = check_rules};
