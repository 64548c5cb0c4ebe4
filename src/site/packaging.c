/* The group "packaging": what of the frame a layout leaves for battery modules, and what the axles carry of them. */
#include "duty/pack_size.h"
#include "site/room.h"
#include "site/rules_judge.h"
#include "site/stand.h"
#include <math.h>
#include <stdlib.h>

static const char group[] = "packaging";

/* Of more than any battery has none is made: places of each are put in order. */
enum { MODULES_MOST = 100000 };

/* What batteries and payload add to axle loads, from rigs of the same truck with other batteries and payloads. */
typedef struct weights {
    size_t axles;
    double gross_kg; /* without battery, with the payload as asked */
    double bare_kg;  /* without either */
    const char *name[EVN_AXLES_MAX];
    evn_carrying battery[EVN_AXLES_MAX]; /* with the payload as asked */
    double bare_axle_kg[EVN_AXLES_MAX], payload_per_kg[EVN_AXLES_MAX];
} weights;

typedef struct packing {
    evn_site_work *w;
    weights of;
    evn_room obstacle[EVN_LOWS_MOST];
    const char *obstacle_name[EVN_LOWS_MOST];
    size_t obstacles;
    evn_stack *stack; /* of all bays together */
    size_t stacks, modules;
    double *least_m, *greatest_m; /* sums of the places of so many modules */
} packing;

/* ------------------------------------------------------------------------------------------------ weights */

enum { PROBE_KG = 1000 };

/* The truck with another battery and payload, at rest, a lifting axle on the ground: loads are linear in both then.
 * Warnings of these trucks, which nobody drives, are not told. */
static bool weigh(const evn_site_work *w, double battery_kg, double battery_behind_m, double payload_kg,
                  double axle_kg[EVN_AXLES_MAX], double *gross_kg)
{
    evn_truck_file truck = *w->truck;
    evn_battery_file battery = *truck.battery;
    evn_load_case load_case = *w->load_case;
    evn_report *aside = evn_report_new();
    evn_rig *rig = NULL;
    battery.mass_kg = battery_kg;
    battery.centre_behind_front_axle_m = battery_behind_m;
    truck.battery = &battery;
    load_case.payload_kg = payload_kg;
    load_case.lifting_axle = EVN_LIFTING_AXLE_DOWN;
    bool made = aside && evn_rig_make_untold(&truck, &load_case, &rig, aside);
    for (size_t k = 0; made && k < rig->axle_count; k++)
        axle_kg[k] = evn_axle_load_n(&rig->axle[k].load, 1, 1, 0, 0, 0);
    if (made)
        *gross_kg = rig->mass_kg;
    evn_rig_free(rig);
    evn_report_free(aside);
    return made;
}

static bool weigh_all(const evn_site_work *w, weights *to)
{
    double bare[EVN_AXLES_MAX], paid[EVN_AXLES_MAX], as_asked[EVN_AXLES_MAX], front[EVN_AXLES_MAX],
        behind[EVN_AXLES_MAX], aside_kg;
    bool made = weigh(w, 0, 0, 0, bare, &to->bare_kg) && weigh(w, 0, 0, PROBE_KG, paid, &aside_kg) &&
                weigh(w, 0, 0, w->laden->payload_kg, as_asked, &to->gross_kg) &&
                weigh(w, PROBE_KG, 0, w->laden->payload_kg, front, &aside_kg) &&
                weigh(w, PROBE_KG, 1, w->laden->payload_kg, behind, &aside_kg);
    to->axles = w->laden->axle_count;
    for (size_t k = 0; made && k < to->axles; k++) {
        to->name[k] = k < w->truck->axles.count ? w->truck->axles.name[k] : "trailer";
        to->battery[k] = (evn_carrying){as_asked[k], (front[k] - as_asked[k]) / PROBE_KG,
                                        (behind[k] - front[k]) / PROBE_KG, w->laden->axle[k].permitted_kg};
        to->bare_axle_kg[k] = bare[k];
        to->payload_per_kg[k] = (paid[k] - bare[k]) / PROBE_KG;
    }
    return made;
}

/* Payload that gross mass and axles leave beside a battery; `why` says what binds. NAN: nothing is permitted. */
static double payload_left_kg(packing *p, double battery_kg, double behind_m, const char **why)
{
    double gross_kg = p->w->truck->body->permitted_gross_kg, left_kg = gross_kg - p->of.bare_kg - battery_kg;
    *why = isnan(gross_kg) ? NULL : "permitted gross mass";
    for (size_t k = 0; k < p->of.axles; k++) {
        const evn_carrying *c = &p->of.battery[k];
        double bare_kg = p->of.bare_axle_kg[k] + battery_kg * (c->per_kg + c->per_kg_m * behind_m);
        double per_kg = p->of.payload_per_kg[k], limit_kg = per_kg > 0 ? c->permitted_kg : 0;
        double kg = (limit_kg - bare_kg) / per_kg;
        if (isnan(kg) || per_kg == 0 || kg >= left_kg)
            continue;
        left_kg = kg;
        *why = evn_site_text(p->w, per_kg > 0 ? "permitted load of axle %s" : "no load left on axle %s", p->of.name[k]);
    }
    if (*why && left_kg < 0)
        *why = evn_site_text(p->w, "%s, passed without payload", *why);
    return *why ? fmax(left_kg, 0) : (double)NAN;
}

/* ------------------------------------------------------------------------------------------------ bays */

/* Housings and shafts of drive units, with the gap around them. */
static void collect_obstacles(packing *p)
{
    const evn_truck_file *t = p->w->truck;
    double gap_m = t->frame->bay_gap_m;
    evn_lows lows;
    evn_lows_of(p->w, &lows);
    for (size_t u = 0; u < t->drive_units.count; u++) {
        const evn_unit_file *unit = (const evn_unit_file *)t->drive_units.item + u;
        const evn_unit_housing_file *housing = unit->housings.item;
        for (size_t k = 0; k < unit->housings.count && p->obstacles < EVN_LOWS_MOST; k++) {
            evn_box_file box = housing[k].box;
            size_t axle = isnan(housing[k].on_axle) ? EVN_AXLES_MAX : (size_t)housing[k].on_axle - 1;
            if (axle < t->axles.count)
                box.behind_m += ((const evn_axle_file *)t->axles.item)[axle].behind_front_axle_m;
            p->obstacle_name[p->obstacles] = evn_site_housing(p->w, u, k);
            p->obstacle[p->obstacles++] = evn_room_of(&box);
        }
    }
    for (size_t k = 0; k < lows.count && p->obstacles < EVN_LOWS_MOST; k++) {
        const evn_low *l = &lows.at[k];
        if (!l->turns)
            continue;
        double thick_m = l->right_m - l->left_m;
        p->obstacle_name[p->obstacles] = l->what;
        p->obstacle[p->obstacles++] = (evn_room){{l->from_m, l->left_m, fmin(l->from_low_m, l->to_low_m)},
                                                 {l->to_m, l->right_m, fmax(l->from_low_m, l->to_low_m) + thick_m}};
    }
    for (size_t k = 0; k < p->obstacles; k++)
        for (int axis = 0; axis < 3; axis++) {
            p->obstacle[k].low[axis] -= gap_m;
            p->obstacle[k].high[axis] += gap_m;
        }
}

/* What reaches into a bay, to be told. */
static const char *taken_by(packing *p, const evn_room *bay)
{
    const char *first = NULL;
    size_t more = 0;
    for (size_t k = 0; k < p->obstacles; k++) {
        if (!evn_rooms_meet(bay, &p->obstacle[k]))
            continue;
        more += first != NULL;
        first = first ? first : p->obstacle_name[k];
    }
    if (!first)
        return "nothing of a drive unit reaches into it";
    return more ? evn_site_text(p->w, "%s and %zu more reach into it", first, more)
                : evn_site_text(p->w, "%s reaches into it", first);
}

static const evn_site_column modules_column = {"modules", "", "modules", "whole modules that fit", 0, false};
static const evn_site_column lost_column = {
    "lost_modules", "", "lost to drive units", "whole modules more that would fit without them", 0, true};

static void add_bay(packing *p, const char *called, const evn_bay_file *bay, size_t *lost)
{
    evn_room room = evn_room_of(&bay->box);
    evn_filling beside, alone;
    evn_room_fill(&room, p->obstacle, p->obstacles, p->w->truck->battery->module, &beside);
    evn_room_fill(&room, NULL, 0, p->w->truck->battery->module, &alone);
    evn_site_name name = {group, called, evn_site_text(p->w, "bay %s", called)};
    evn_site_answer a = evn_site_value((double)beside.modules, taken_by(p, &room));
    evn_site_add(p->w, &name, &modules_column, &a);
    *lost += alone.modules - beside.modules;
    for (size_t k = 0; k < beside.count; k++)
        p->stack[p->stacks++] = beside.stack[k];
    p->modules += beside.modules;
}

/* Two bays that share room would count it twice. NULL: none do. */
static const char *shared_room(evn_site_work *w)
{
    const evn_many *bays = &w->truck->frame->bays;
    const evn_bay_file *bay = bays->item;
    for (size_t k = 0; k < bays->count; k++)
        for (size_t i = 0; i < k; i++) {
            evn_room one = evn_room_of(&bay[k].box), other = evn_room_of(&bay[i].box);
            if (evn_rooms_meet(&one, &other))
                return evn_site_text(w, "none: bays %s and %s share room", bays->name[i], bays->name[k]);
        }
    return NULL;
}

/* ------------------------------------------------------------------------------------------------ packs */

static const evn_site_column installed_column = {"installed_kwh", "kWh", "installed", "nominal energy", 0, false};
static const evn_site_column usable_column = {"usable_kwh", "kWh", "usable", "within the usable window of the file", 0,
                                              false};
static const evn_site_column mass_column = {"mass_kg", "kg", "mass", "with its part of boxes and brackets", 0, true};
static const evn_site_column payload_column = {
    "payload_kg", "kg", "payload left", "most payload at its place within gross mass and axle loads", 0, false};
static const evn_site_column range_column = {
    "range_km", "km", "range", "usable energy over the use given, which stays as it is though the mass does not",
    0,          false};

typedef struct pack_told {
    double kwh, mass_kg, behind_m;
    double modules; /* NAN: not told */
    const char *why;
    const char *ruled; /* whether the truck keeps the rules with it; NULL: not told */
} pack_told;

/* The energy use that a range stands on; or why there is none. */
static const char *range_why(evn_site_work *w)
{
    const char *from = w->ask.use_from;
    if (isnan(w->ask.kwh_per_km))
        return evn_site_text(w, "none: %s", from);
    return from ? evn_site_text(w, "at %.3f kWh/km, %s", w->ask.kwh_per_km, from)
                : evn_site_text(w, "at %.3f kWh/km", w->ask.kwh_per_km);
}

/* Rules are not asked here: the group of payloads does. */
static const char *of_file_alone(evn_site_work *w, const char *why)
{
    return w->ask.rules ? evn_site_text(w, "%s; limits of the file alone", why) : why;
}

static void add_pack(packing *p, const evn_site_name *name, const pack_told *pack)
{
    const evn_battery_file *b = p->w->truck->battery;
    double usable_kwh = pack->kwh * (b->usable_to_soc - b->usable_from_soc);
    const char *why;
    evn_site_answer a = evn_site_value(pack->modules, pack->why);
    if (!isnan(pack->modules))
        evn_site_add(p->w, name, &modules_column, &a);
    a = evn_site_value(pack->kwh, pack->ruled);
    evn_site_add(p->w, name, &installed_column, &a);
    a = evn_site_value(usable_kwh, NULL);
    evn_site_add(p->w, name, &usable_column, &a);
    a = evn_site_value(pack->mass_kg, NULL);
    evn_site_add(p->w, name, &mass_column, &a);
    double left_kg = payload_left_kg(p, pack->mass_kg, pack->behind_m, &why);
    a = why ? evn_site_value(left_kg, of_file_alone(p->w, why)) : evn_site_unknown(p->w, "body.permitted_gross_kg");
    evn_site_add(p->w, name, &payload_column, &a);
    if (isnan(p->w->ask.kwh_per_km) && !p->w->ask.use_from)
        return;
    a = evn_site_value(usable_kwh / p->w->ask.kwh_per_km, range_why(p->w));
    evn_site_add(p->w, name, &range_column, &a);
}

static pack_told of_modules(const evn_module_file *m, size_t modules, double sum_m, const char *why)
{
    double n = (double)modules;
    return (pack_told){n * m->energy_kwh, n * m->mass_kg, modules ? sum_m / n : 0, n, why, NULL};
}

static void add_full(packing *p, size_t lost)
{
    static const evn_site_name full = {group, "full", "all bays full"};
    pack_told pack = of_modules(p->w->truck->battery->module, p->modules,
                                (p->least_m[p->modules] + p->greatest_m[p->modules]) / 2, "room in the bays");
    add_pack(p, &full, &pack);
    evn_site_answer a = evn_site_value((double)lost, NULL);
    evn_site_add(p->w, &full, &lost_column, &a);
}

/* With that battery and the payload as asked, which clauses of the rules asked for are not met. */
static const char *ruled(evn_site_work *w, const pack_told *pack)
{
    if (!w->ask.rules)
        return NULL;
    const evn_rules_file *rules = w->ask.rules->file;
    evn_rule_verdict *verdict = evn_site_take(w, EVN_VERDICTS_MOST * sizeof *verdict);
    evn_truck_file truck = *w->truck;
    evn_battery_file battery = *truck.battery;
    evn_at_rest at;
    evn_weighed weighed;
    if (!verdict)
        return NULL;
    battery.mass_kg = pack->mass_kg;
    battery.centre_behind_front_axle_m = pack->behind_m;
    truck.battery = &battery;
    evn_truck_at_rest(&truck, w->masses, w->laden->payload_kg, &at);
    evn_weighed_of(&truck, &at, w->ask.intermodal, &weighed);
    const char *names = NULL;
    for (size_t k = 0, count = evn_rules_judge(rules, &weighed, EVN_AT_MOST_AS_LOADED, verdict); k < count; k++) {
        const char *name = rules->clauses.name[verdict[k].clause];
        if (verdict[k].met != EVN_IS)
            names = names ? evn_site_text(w, "%s, %s", names, name) : name;
    }
    return names ? evn_site_text(w, EVN_SITE_NOT_RULED ": %s", names) : NULL;
}

/* The largest that axles and gross mass carry with the payload as asked; of where it may stand, what was given told. */
static void add_largest(packing *p)
{
    static const evn_site_name largest = {group, "largest", "largest with the payload as asked"};
    const evn_module_file *m = p->w->truck->battery->module;
    size_t binds;
    double sum_m, gross_kg = p->w->truck->body->permitted_gross_kg;
    double spare_kg = isnan(gross_kg) ? (double)p->modules * m->mass_kg : gross_kg - p->of.gross_kg;
    evn_stacks all = {p->stack, p->stacks, p->modules};
    size_t most = evn_room_most_carried(&all, p->least_m, p->greatest_m, m->mass_kg, p->of.battery, p->of.axles,
                                        spare_kg, &binds, &sum_m);
    const char *why = binds < p->of.axles    ? evn_site_text(p->w, "permitted load of axle %s", p->of.name[binds])
                      : binds == p->of.axles ? "permitted gross mass"
                                             : "room in the bays";
    pack_told pack = of_modules(m, most, sum_m, of_file_alone(p->w, why));
    pack.ruled = ruled(p->w, &pack);
    add_pack(p, &largest, &pack);
}

/* Boxes of the file that hold more modules than there is room for by volume alone, where a module says how large it is.
 */
static void warn_of_full_boxes(const evn_site_work *w)
{
    const evn_battery_file *b = w->truck->battery;
    const evn_pack_box_file *box = b->boxes.item;
    if (!b->module)
        return;
    double module_m3 = b->module->length_m * b->module->width_m * b->module->height_m;
    for (size_t k = 0; k < b->boxes.count; k++) {
        double room_m3 = box[k].box.length_m * box[k].box.width_m * box[k].box.height_m;
        if (box[k].modules * module_m3 > room_m3)
            evn_say(w->report, EVN_FAULT_UNUSUAL_VALUE, evn_nowhere, evn_nowhere,
                    "%s: %.0f modules of %.3f m3 in battery box %s of %.3f m3; expected no more than fit by volume",
                    w->truck->name, box[k].modules, module_m3, b->boxes.name[k], room_m3);
    }
}

static void add_as_it_is(packing *p)
{
    static const evn_site_name now = {group, "now", "battery of the file"};
    const evn_battery_file *b = p->w->truck->battery;
    pack_told pack = {evn_battery_kwh(b), b->mass_kg, b->centre_behind_front_axle_m, (double)NAN, NULL, NULL};
    add_pack(p, &now, &pack);
}

/* What lacks for bays to be filled; NULL: nothing. */
static evn_site_answer lacking(evn_site_work *w, bool *lacks)
{
    const evn_truck_file *t = w->truck;
    const evn_unit_file *unit = t->drive_units.item;
    const char *key = !t->frame               ? "frame"
                      : !t->frame->bays.count ? "frame.bays"
                      : !t->battery->module   ? "battery.module"
                                              : NULL;
    for (size_t u = 0; !key && u < t->drive_units.count; u++)
        if (!unit[u].housings.count)
            key = evn_site_text(w, "drive_units.%s.housings", t->drive_units.name[u]);
    evn_lows lows;
    evn_lows_of(w, &lows);
    key = key ? key : lows.missing;
    const char *shared = key ? NULL : shared_room(w);
    *lacks = key || shared;
    return key ? evn_site_unknown(w, key) : evn_site_value((double)NAN, shared);
}

static void add_bays(packing *p)
{
    static const evn_site_name full = {group, "full", "all bays full"};
    bool lacks;
    evn_site_answer none = lacking(p->w, &lacks);
    if (lacks) {
        evn_site_add(p->w, &full, &modules_column, &none);
        return;
    }
    const evn_many *bays = &p->w->truck->frame->bays;
    size_t lost = 0;
    p->stack = evn_arena_take(evn_site_arena(p->w), bays->count * EVN_STACKS_MOST * sizeof *p->stack);
    if (!p->stack)
        return;
    collect_obstacles(p);
    for (size_t k = 0; k < bays->count; k++)
        add_bay(p, bays->name[k], (const evn_bay_file *)bays->item + k, &lost);
    if (p->modules > MODULES_MOST) {
        none = evn_site_value((double)NAN, evn_site_text(p->w, "none: more than %d modules fit", MODULES_MOST));
        evn_site_add(p->w, &full, &modules_column, &none);
        return;
    }
    p->least_m = evn_arena_take(evn_site_arena(p->w), (p->modules + 1) * sizeof *p->least_m);
    p->greatest_m = evn_arena_take(evn_site_arena(p->w), (p->modules + 1) * sizeof *p->greatest_m);
    if (!p->least_m || !p->greatest_m)
        return;
    evn_stacks_sums_m(&(evn_stacks){p->stack, p->stacks, p->modules}, p->least_m, p->greatest_m);
    add_full(p, lost);
    add_largest(p);
}

void evn_site_packaging(evn_site_work *w)
{
    packing p = {.w = w};
    if (!weigh_all(w, &p.of)) {
        static const evn_site_name now = {group, "now", "battery of the file"};
        evn_site_answer a = evn_site_value((double)NAN, "none: the truck cannot be weighed without its battery");
        evn_site_add(w, &now, &payload_column, &a);
        return;
    }
    warn_of_full_boxes(w);
    add_as_it_is(&p);
    add_bays(&p);
}
