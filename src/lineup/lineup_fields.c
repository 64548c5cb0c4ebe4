/* The keys of a lineup. */
#include "core/uncertain.h"
#include "core/words.h"
#include "limits/demands.h"
#include "lineup/lineup.h"
#include "truck/load_case.h"
#include <stddef.h>
#include <stdio.h>
#include <string.h>

const char evn_lineup_equal_key[] = "equal";

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* In the order of evn_equal, from EVN_EQUAL_PAYLOAD on. */
static const char *const equal_choices[] = {"payload", "gross", "power", NULL};
_Static_assert(sizeof equal_choices / sizeof *equal_choices == EVN_EQUAL_POWER + 1, "each can be asked for");

#define MEMBER(member) offsetof(evn_lineup_file, member)
static const evn_field lineup_fields[] = {
    {.key = "name",
     .shape = EVN_TEXT,
     .presence = EVN_REQUIRED,
     .offset = MEMBER(name),
     .help = "what the lineup is called"},
    {.key = "source",
     .shape = EVN_TEXT,
     .offset = MEMBER(source),
     .help = "where trucks and duty come from; needed unless it is marked as invented"},
    {.key = "invented", .shape = EVN_FLAG, .offset = MEMBER(invented), .help = "true: made up, no such trucks exist"},
    {.key = "cycle",
     .shape = EVN_ONE,
     .of = &evn_cycle_object,
     .offset = MEMBER(cycle),
     .help = "the cycle that all of them drive; this or a duty"},
    {.key = "duty",
     .shape = EVN_ONE,
     .of = &evn_duty_object,
     .offset = MEMBER(duty),
     .help = "instead of a cycle: the duty whose day all of them drive, with charge and heat carried over"},
    {.key = "season",
     .shape = EVN_TEXT,
     .offset = MEMBER(season),
     .help = "of the duty: the season in which they are compared; not given: its first"},
    {.key = "load_case",
     .shape = EVN_ONE,
     .presence = EVN_DEFAULTED,
     .of = &evn_load_case_object,
     .offset = MEMBER(load_case),
     .formerly = "conditions",
     .help = "what each truck is made ready for"},
    {.key = "driving",
     .shape = EVN_ONE,
     .presence = EVN_DEFAULTED,
     .of = &evn_driving_object,
     .offset = MEMBER(driving),
     .help = "how all of them are driven; at the common speed always exactly"},
    {.key = "demands",
     .shape = EVN_ONE,
     .presence = EVN_DEFAULTED,
     .of = &evn_demands_object,
     .offset = MEMBER(demands),
     .help = "what each truck must be able to do beside the cycle"},
    {.key = evn_lineup_equal_key,
     .shape = EVN_CHOICE,
     .choices = equal_choices,
     .offset = MEMBER(equal),
     .help =
         "what trucks are made equal in: payload, as they are loaded; gross, each other truck gets the payload with "
         "which its gross mass is the first's, and energy per tonne of payload decides; power, the motors of each "
         "other truck are scaled in torque until its peak wheel power is the first's"},
    {.key = "trucks",
     .shape = EVN_MANY,
     .presence = EVN_REQUIRED,
     .of = &evn_truck_object,
     .offset = MEMBER(trucks),
     .count_least = EVN_LINEUP_LEAST,
     .count_most = EVN_LINEUP_MOST,
     .help = "the trucks by name, in the order of the columns; the first is what the others are held against"},
    EVN_UNCERTAIN_OF_LINEUP(evn_lineup_file),
};
#undef MEMBER

bool evn_lineup_name_fits(const char *name)
{
    for (const char *at = name; *at != '\0'; at++)
        if (*at == '/' || (unsigned char)*at < 0x20 || *at == 0x7f)
            return false;
    return name[0] != '\0';
}

const evn_season_file *evn_lineup_season(const evn_lineup_file *l)
{
    const evn_season_file *season = l->duty ? l->duty->seasons.item : NULL;
    for (size_t k = 0; l->duty && k < l->duty->seasons.count; k++)
        if (!l->season || strcmp(l->duty->seasons.name[k], l->season) == 0)
            return &season[k];
    return NULL;
}

static void say_no_season(const evn_lineup_file *l, const evn_seat *seat, evn_report *report)
{
    char nearest[EVN_PHRASE_BYTES], all[EVN_PHRASE_BYTES];
    if (!l->duty || l->duty->seasons.count == 0) {
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "season", "the season '%.60s', %s; expected none", l->season,
                   l->duty ? "of a duty that has no seasons" : "without a duty");
        return;
    }
    const evn_many *seasons = &l->duty->seasons;
    evn_say_at(report, seat, EVN_FAULT_DISAGREES, "season",
               "the season '%.60s', which the duty does not have; expected one of %s%s", l->season,
               evn_name_all(all, seasons->name, seasons->count),
               evn_nearest_phrase(nearest, l->season, seasons->name, seasons->count));
}

static void check_over(const evn_lineup_file *l, const evn_seat *seat, evn_report *report)
{
    if (l->cycle && l->duty)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "duty", "a duty beside a cycle; expected one of them");
    if (!l->cycle && !l->duty)
        evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, "",
                   "no key 'cycle' in lineup, and no duty; expected one of them: what all of its trucks drive");
    if (l->season && !evn_lineup_season(l))
        say_no_season(l, seat, report);
    if (l->duty && evn_lineup_wants_equal(l) == EVN_EQUAL_GROSS)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, evn_lineup_equal_key,
                   "gross with a duty, whose legs and stops say what is carried; expected payload or power");
}

static void check_lineup(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_lineup_file *l = self;
    if (!l->invented && (!l->source || l->source[0] == '\0'))
        evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, "source",
                   "nothing says where the lineup comes from; expected source, or invented: true");
    check_over(l, seat, report);
    for (size_t i = 0; i < l->trucks.count; i++) {
        char path[256];
        snprintf(path, sizeof path, "trucks.%.240s", l->trucks.name[i]);
        if (!evn_lineup_name_fits(l->trucks.name[i]))
            evn_say_at(report, seat, EVN_FAULT_UNKNOWN_KEY, path,
                       "the name '%s' cannot be part of the name of a file; expected letters, digits, '_' and '-'",
                       l->trucks.name[i]);
    }
}

const evn_object evn_lineup_object = {"lineup",
                                      "several trucks side by side on one cycle",
                                      sizeof(evn_lineup_file),
                                      lineup_fields,
                                      COUNT(lineup_fields),
                                      check_lineup};

evn_equal evn_lineup_wants_equal(const evn_lineup_file *l) { return (evn_equal)(EVN_EQUAL_PAYLOAD + l->equal); }

evn_conditions evn_lineup_asks(const evn_lineup_file *l)
{
    return (evn_conditions){.load_case = *l->load_case, .driving = *l->driving};
}
