/* The groups of figures in their order, and finding them. */
#include "site/site.h"
#include "site/list.h"
#include <stdlib.h>

typedef struct group_row {
    const char *key, *title, *help;
    void (*find)(evn_site_work *);
} group_row;

/* In the order in which they are told. */
static const group_row groups[] = {
    {"clearance", "ground clearance",
     "heights over the ground that the tyres stand on, and the angles that hollows, crests and ramps leave",
     evn_site_clearance},
    {"packaging", "room for batteries",
     "whole modules in the bays that housings and shafts of the drive units leave, and what gross mass and axles carry "
     "of them",
     evn_site_packaging},
    {"ride", "rough roads",
     "by frequency, on springs and dampers that are linear, one side of each axle by itself: pitch, roll and the "
     "rotating inertia across the axle are left out",
     evn_site_ride},
    {"axle_loads", "axle loads",
     "at rest on level ground, against what the file permits; then which part puts how much where. Axles of a group "
     "share "
     "its load as the file says; a lifting axle is on the ground where parts are told",
     evn_site_axle_loads},
    {"rules", "rules on masses and axle loads",
     "clauses of the set that was asked for, with the payload as asked and a lifting axle on the ground. The text in "
     "force and the vehicle's approval decide",
     evn_site_rules},
    {"payload", "payload left",
     "largest payload with which all limits are kept and every axle stands on the ground; its margin to the payload as "
     "asked. A lifting axle is on the ground",
     evn_site_payload},
    {"rollover", "rollover",
     "static threshold of a rigid vehicle, an upper bound: tyres, suspension and load give way, and lifting an axle "
     "costs "
     "0.01 to 0.03 g. A study asked for 0.40 g; 7 of 17 tank trucks had less than 0.35 g (Billing and Patten). Driven, "
     "vehicles tip about a quarter earlier (SAE 2003-01-3385, abstract)",
     evn_site_rollover},
};
enum { GROUPS = sizeof groups / sizeof *groups };

bool evn_site_group_at(size_t index, const char **group, const char **title, const char **help)
{
    if (index >= GROUPS || !group || !title || !help)
        return false;
    *group = groups[index].key;
    *title = groups[index].title;
    *help = groups[index].help;
    return true;
}

static evn_status find(evn_site_work *w)
{
    evn_load_case without = *w->load_case;
    evn_rig *laden = NULL, *empty = NULL;
    without.payload_kg = 0;
    bool made = evn_rig_make_untold(w->truck, w->load_case, &laden, w->report) &&
                evn_rig_make_untold(w->truck, &without, &empty, w->report);
    if (made && !evn_truck_unit_masses(w->truck, w->masses))
        evn_site_short_of_memory(w);
    w->laden = laden;
    w->empty = empty;
    for (size_t k = 0; made && k < GROUPS; k++)
        groups[k].find(w);
    evn_rig_free(laden);
    evn_rig_free(empty);
    return made ? EVN_DONE : EVN_BAD_INPUT;
}

evn_status evn_site_make(const evn_truck_file *truck, const evn_load_case *load_case, const evn_site_ask *ask,
                         const evn_cycle_file *route, const evn_duty_file *duty, evn_site **out, evn_report *report)
{
    evn_site *s = calloc(1, sizeof *s);
    evn_site_work w = {
        .to = s, .truck = truck, .load_case = load_case, .route = route, .duty = duty, .ask = *ask, .report = report};
    if (s)
        s->arena = evn_arena_new();
    evn_status status = s && s->arena ? find(&w) : EVN_NO_RESULT;
    if (status == EVN_NO_RESULT || (status == EVN_DONE && s->short_of_memory)) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out finding figures of a site");
        status = EVN_NO_RESULT;
    }
    if (status == EVN_DONE)
        *out = s;
    else
        evn_site_free(s);
    return status;
}
