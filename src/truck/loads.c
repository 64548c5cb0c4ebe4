/* Consumers on the d.c. bus beside the drive units: keys, and their sum. */
#include "truck/loads.h"
#include "core/arena.h"
#include "core/uncertain.h"
#include "truck/usual.h"
#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* ------------------------------------------------------------------------------------------------ keys */

#define MEMBER(member) offsetof(evn_consumer_file, member)
#define USUAL_CONSUMERS "common practice, no source"
static const evn_field consumer_fields[] = {
    {.key = "constant_kw",
     .shape = EVN_NUMBER,
     .most = 200,
     .usual_high = 20,
     .fallback = (double)NAN,
     .offset = MEMBER(constant_kw),
     .source = "Regulation (EU) 2017/2400 Annex IX: electric system 1.2 kW in long haul, 1 kW else",
     .uncertain = &evn_usual_auxiliaries,
     .help = "draws this all the time, from start to end of a run"},
    {.key = "moving_kw",
     .shape = EVN_NUMBER,
     .most = 200,
     .usual_high = 20,
     .fallback = (double)NAN,
     .offset = MEMBER(moving_kw),
     .source = "Regulation (EU) 2017/2400 Annex IX: steering of a two-axle tractor in long haul 0.72 kW, fixed pump",
     .uncertain = &evn_usual_auxiliaries,
     .help = "draws this while the truck moves, and nothing in stops; 1 kW is 60 kJ per minute"},
    {.key = "brake_application_kj",
     .shape = EVN_NUMBER,
     .most = 1e4,
     .usual_low = 2,
     .usual_high = 100,
     .fallback = (double)NAN,
     .offset = MEMBER(brake_application_kj),
     .source = USUAL_CONSUMERS ": 10 to 30 l of free air at 0.3 to 1 kJ/l",
     .uncertain = &evn_usual_auxiliaries,
     .help = "draws this energy for each application of the friction brakes, that at a stop included, at making_up_kw "
             "until it is made up for"},
    {.key = "making_up_kw",
     .shape = EVN_NUMBER,
     .least = 0.01,
     .most = 200,
     .usual_low = 1,
     .usual_high = 10,
     .fallback = (double)NAN,
     .offset = MEMBER(making_up_kw),
     .source = USUAL_CONSUMERS,
     .help = "power of the compressor, or what else makes up for brake applications; with brake_application_kj"},
    {.key = "heat_rejected_share",
     .shape = EVN_NUMBER,
     .most = 1,
     .usual_high = 0.2,
     .fallback = (double)NAN,
     .offset = MEMBER(heat_rejected_share),
     .source = USUAL_CONSUMERS ": pumps 0.01 to 0.05",
     .uncertain = &evn_usual_auxiliaries,
     .help = "draws this many kW for each kW of heat that the radiator carries off; needs the truck's cooling, whose "
             "own fan stands there"},
    {.key = "outside_temperature_degc",
     .shape = EVN_LIST,
     .least = -60,
     .most = 60,
     .offset = MEMBER(outside_degc),
     .apart_least = 0.1,
     .help =
         "draws by the temperature of the air: temperatures, rising, straight lines between, end values beyond ..."},
    {.key = "outside_power_kw",
     .shape = EVN_LIST,
     .most = 200,
     .usual_high = 20,
     .offset = MEMBER(outside_kw),
     .source = USUAL_CONSUMERS ": cab 0.5 to 3 kW, in winter 3 to 8 kW more",
     .uncertain = &evn_usual_auxiliaries,
     .help = "... and the power at each of them"},
    {.key = "engaged_unit_kw",
     .shape = EVN_NUMBER,
     .most = 50,
     .usual_high = 2,
     .fallback = (double)NAN,
     .offset = MEMBER(engaged_unit_kw),
     .source = USUAL_CONSUMERS,
     .uncertain = &evn_usual_auxiliaries,
     .help = "draws this for each drive unit that is engaged while the truck moves: its oil pump; none for one that "
             "is disconnected or between two gears"},
    EVN_SOURCE_FIELD(evn_consumer_file),
    EVN_UNCERTAIN_FIELD(evn_consumer_file),
};
#undef MEMBER

/* Which keys are of which law, and whether a file states them. */
static bool states(const evn_consumer_file *f, evn_consumer_law law)
{
    switch (law) {
    case EVN_DRAWS_ALWAYS:
        return !isnan(f->constant_kw);
    case EVN_DRAWS_MOVING:
        return !isnan(f->moving_kw);
    case EVN_DRAWS_AFTER_BRAKING:
        return !isnan(f->brake_application_kj);
    case EVN_DRAWS_BY_HEAT:
        return !isnan(f->heat_rejected_share);
    case EVN_DRAWS_BY_WEATHER:
        return f->outside_degc.count > 0;
    case EVN_DRAWS_BY_UNITS:
        return !isnan(f->engaged_unit_kw);
    case EVN_CONSUMER_LAWS:
        break;
    }
    return false;
}
static const char *const first_keys[EVN_CONSUMER_LAWS] = {
    "constant_kw",    "moving_kw", "brake_application_kj", "heat_rejected_share", "outside_temperature_degc",
    "engaged_unit_kw"};

/* The first law of those that a file states, from one on; EVN_CONSUMER_LAWS: none. */
static evn_consumer_law law_from(const evn_consumer_file *f, int from)
{
    while (from < EVN_CONSUMER_LAWS && !states(f, (evn_consumer_law)from))
        from++;
    return (evn_consumer_law)from;
}

static void check_consumer(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_consumer_file *f = self;
    evn_consumer_law law = law_from(f, 0), again = law_from(f, (int)law + 1);
    if (law == EVN_CONSUMER_LAWS)
        evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, "",
                   "nothing says what makes it draw; expected one of constant_kw, moving_kw, brake_application_kj, "
                   "heat_rejected_share, outside_temperature_degc and engaged_unit_kw");
    else if (again < EVN_CONSUMER_LAWS)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, first_keys[again],
                   "%s beside %s; expected one law for a consumer, and consumers of their own for others",
                   first_keys[again], first_keys[law]);
    bool braking = states(f, EVN_DRAWS_AFTER_BRAKING);
    if (braking != !isnan(f->making_up_kw))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, braking ? "brake_application_kj" : "making_up_kw",
                   "%s; expected both or neither",
                   braking ? "brake_application_kj without making_up_kw" : "making_up_kw without brake_application_kj");
    if (f->outside_degc.count + f->outside_kw.count > 0)
        evn_check_curve(&f->outside_degc, "outside_temperature_degc", 0.1, &f->outside_kw, "outside_power_kw", seat,
                        report);
}
const evn_object evn_consumer_object = {"consumer",
                                        "a consumer at the d.c. bus, by what makes it draw",
                                        sizeof(evn_consumer_file),
                                        consumer_fields,
                                        COUNT(consumer_fields),
                                        check_consumer};

static const double LEAST_USUAL_KW = 1; /* of all consumers together */

/* Beside consumers by cause a steady power may be next to nothing. */
static void check_auxiliaries(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_auxiliaries_file *f = self;
    if (f->consumers.count == 0 && f->power_kw < LEAST_USUAL_KW)
        evn_say_at(report, seat, EVN_FAULT_UNUSUAL_VALUE, "power_kw",
                   "power_kw is %.10g kW; expected %g to 20 kW in a sound design without consumers by cause",
                   f->power_kw, LEAST_USUAL_KW);
}

static const evn_field auxiliaries_fields[] = {
    {.key = "power_kw",
     .shape = EVN_NUMBER,
     .most = 200,
     .usual_high = 20, /* and 1 at least where there are no consumers by cause */
     .offset = offsetof(evn_auxiliaries_file, power_kw),
     .uncertain = &evn_usual_auxiliaries,
     .help = "steady power at the d.c. bus: steering, compressor, pumps, cab; beside consumers what they leave out, "
             "without them usually 1 kW at least"},
    {.key = "consumers",
     .shape = EVN_MANY,
     .offset = offsetof(evn_auxiliaries_file, consumers),
     .of = &evn_consumer_object,
     .count_most = EVN_CONSUMERS_MAX,
     .help = "consumers by cause, each with a name of your own and one law; told one by one"},
    EVN_SOURCE_FIELD(evn_auxiliaries_file),
    EVN_UNCERTAIN_FIELD(evn_auxiliaries_file),
};
const evn_object evn_auxiliaries_object = {
    "auxiliaries",      "consumers beside the drive units", sizeof(evn_auxiliaries_file),
    auxiliaries_fields, COUNT(auxiliaries_fields),          check_auxiliaries};

/* ------------------------------------------------------------------------------------------------ made ready */

/* Straight lines between points, the end values beyond. */
static double between(const evn_list *x, const evn_list *y, double at)
{
    size_t k = 1;
    if (at <= x->at[0] || x->count == 1)
        return y->at[0];
    while (k + 1 < x->count && at > x->at[k])
        k++;
    double share = fmin((at - x->at[k - 1]) / (x->at[k] - x->at[k - 1]), 1);
    return y->at[k - 1] + share * (y->at[k] - y->at[k - 1]);
}

static evn_consumer consumer_of(const evn_consumer_file *f, const char *name, double ambient_degc)
{
    evn_consumer c = {.name = name, .law = law_from(f, 0)};
    switch (c.law) {
    case EVN_DRAWS_ALWAYS:
        c.power_w = f->constant_kw * 1e3;
        break;
    case EVN_DRAWS_MOVING:
        c.power_w = f->moving_kw * 1e3;
        break;
    case EVN_DRAWS_AFTER_BRAKING:
        c.power_w = f->making_up_kw * 1e3;
        c.application_j = f->brake_application_kj * 1e3;
        break;
    case EVN_DRAWS_BY_HEAT:
        c.power_w = f->heat_rejected_share;
        break;
    case EVN_DRAWS_BY_WEATHER:
        c.power_w = between(&f->outside_degc, &f->outside_kw, ambient_degc) * 1e3;
        break;
    case EVN_DRAWS_BY_UNITS:
        c.power_w = f->engaged_unit_kw * 1e3;
        break;
    case EVN_CONSUMER_LAWS: /* refused by the check */
        break;
    }
    return c;
}

bool evn_consumers_need_loop(const evn_auxiliaries_file *f, size_t *first)
{
    const evn_consumer_file *of = f->consumers.item;
    for (*first = 0; *first < f->consumers.count; (*first)++)
        if (states(&of[*first], EVN_DRAWS_BY_HEAT))
            return true;
    return false;
}

bool evn_loads_make(const evn_auxiliaries_file *f, const evn_cooling *cooling, const evn_pack_heat *battery,
                    double ambient_degc, evn_arena *arena, evn_loads *to)
{
    const evn_consumer_file *of = f->consumers.item;
    *to = (evn_loads){.auxiliaries_w = f->power_kw * 1e3,
                      .fan = cooling->fan,
                      .battery = *battery,
                      .consumer_count = f->consumers.count};
    for (size_t k = 0; k < f->consumers.count; k++) {
        const char *name = evn_arena_text(arena, f->consumers.name[k], strlen(f->consumers.name[k]));
        if (!name)
            return false;
        to->consumer[k] = consumer_of(&of[k], name, ambient_degc);
        to->after_braking |= (unsigned)(to->consumer[k].law == EVN_DRAWS_AFTER_BRAKING) << k;
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ at an instant */

double evn_consumer_w(const evn_loads *l, size_t k, const evn_loads_now *now)
{
    const evn_consumer *c = &l->consumer[k];
    switch (c->law) {
    case EVN_DRAWS_MOVING:
        return now->moving ? c->power_w : 0;
    case EVN_DRAWS_AFTER_BRAKING:
        return now->making_up >> k & 1u ? c->power_w : 0;
    case EVN_DRAWS_BY_HEAT:
        return c->power_w * now->rejected_w;
    case EVN_DRAWS_BY_UNITS:
        return now->moving ? c->power_w * now->engaged_units : 0;
    case EVN_DRAWS_ALWAYS:
    case EVN_DRAWS_BY_WEATHER:
    case EVN_CONSUMER_LAWS:
        break;
    }
    return c->power_w;
}

double evn_consumers_w(const evn_loads *l, const evn_loads_now *now, evn_flow *flow)
{
    double sum = 0;
    for (size_t k = 0; k < l->consumer_count; k++)
        sum += evn_consumer_w(l, k, now);
    flow->w[EVN_AUXILIARIES] += sum;
    return sum;
}

double evn_loads_w(const evn_loads *l, double coolant_degc, double battery_degc, evn_flow *flow)
{
    double sum = flow->w[EVN_AUXILIARIES] = l->auxiliaries_w;
    if (l->fan.full_w > 0)
        sum += flow->w[EVN_COOLING_FAN] = evn_fan_w(&l->fan, coolant_degc);
    if (l->battery.modelled)
        sum += flow->w[EVN_BATTERY_CONDITIONING] = evn_pack_conditioning_w(&l->battery, battery_degc);
    return sum;
}

double evn_loads_under_way_w(const evn_loads *l, size_t units)
{
    evn_loads_now now = {.moving = true, .engaged_units = (double)units};
    evn_flow unbooked = {{0}};
    return l->auxiliaries_w + evn_consumers_w(l, &now, &unbooked);
}
