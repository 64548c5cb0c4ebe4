/* Objects from their field tables. */
#include "invent.h"
#include <string.h>

/* ------------------------------------------------------------------------------------------------ ranges */

typedef struct range {
    double low, high;
} range;

/* Where the usual bounds are not stated, or are too wide for sound trucks most of the time. */
static const struct {
    const char *object, *key;
    range in;
} ranges[] = {
    {"motor", "mass_kg", {40, 400}},
    {"loss", "constant_w", {0, 300}},
    {"loss", "winding_degc", {20, 120}},
    {"inverter", "constant_w", {0, 600}},
    {"inverter", "current_w", {0, 4000}},
    {"inverter", "current_squared_w", {0, 3500}},
    {"inverter", "mass_kg", {0, 40}},
    {"map", "winding_degc", {20, 120}},
    {"winding", "start_degc", {-20, 150}},
    {"housing", "start_degc", {-20, 120}},
    {"inverter_heat", "start_degc", {-20, 80}},
    {"inverter_heat", "resistance_k_per_kw", {0, 8}},
    {"consumer", "constant_kw", {0, 2}},
    {"takeoff", "mass_kg", {0, 60}},
    {"tyre", "inertia_kg_m2", {8, 24}},
    {"mesh", "ratio", {1, 4}},
    {"mesh", "inertia_kg_m2", {0, 2}},
    {"planet_set", "inertia_kg_m2", {0, 2}},
    {"final_drive", "inertia_kg_m2", {0, 4}},
    {"differential", "inertia_kg_m2", {0, 4}},
    {"wheel_end", "ratio", {1, 3}},
    {"wheel_end", "inertia_kg_m2", {0, 20}},
    {"mesh", "mass_kg", {0, 150}},
    {"planet_set", "mass_kg", {0, 150}},
    {"final_drive", "mass_kg", {0, 300}},
    {"wheel_end", "mass_kg", {0, 150}},
    {"gearbox", "ratios", {1, 10}},
    {"load_case", "payload_kg", {0, 30000}},
    {"load_case", "gravity_m_s2", {9.78, 9.83}},
    {"load_case", "altitude_m", {-100, 3000}},
    {"load_case", "temperature_degc", {-30, 45}},
    {"driving", "speed_gain_1_s", {0.2, 2}},
    {"driving", "look_ahead_s", {0.5, 6}},
    {"driving", "comfort_acceleration_m_s2", {0.3, 1.5}},
    {"driving", "comfort_braking_m_s2", {0.3, 1.5}},
    {"driving", "accuracy", {1e-9, 1e-6}},
    {"driving", "trace_interval_s", {0.2, 10}},
    {"driving", "endurance_speed_km_h", {15, 70}},
    {"driving", "endurance_least_km_h", {5, 30}},
};

static range usual(const evn_field *f)
{
    if (f->usual_low != 0 || f->usual_high != 0)
        return (range){fmax(f->least, f->usual_low), fmin(f->most, f->usual_high)};
    if (isfinite(f->fallback) && f->fallback != 0) {
        double near = 0.5 * fabs(f->fallback);
        return (range){fmax(f->least, f->fallback - near), fmin(f->most, f->fallback + near)};
    }
    return (range){f->least, f->least + 0.02 * (f->most - f->least)};
}

static range range_of(const evn_object *object, const evn_field *f)
{
    for (size_t k = 0; k < sizeof ranges / sizeof *ranges; k++)
        if (strcmp(ranges[k].object, object->name) == 0 && strcmp(ranges[k].key, f->key) == 0)
            return ranges[k].in;
    return usual(f);
}

/* ------------------------------------------------------------------------------------------------ values */

static void put_flag(inventor *i, draft *map, const char *key)
{
    draft_put_word(i->arena, map, key, dice_chance(&i->dice, 0.5) ? "true" : "false");
}

static size_t some(inventor *i, const evn_field *f, size_t most)
{
    size_t least = f->count_least ? f->count_least : 1;
    if (f->count_most > 0 && f->count_most < most)
        most = f->count_most;
    return dice_whole(&i->dice, least, most > least ? most : least);
}

static double draw(inventor *i, const evn_field *f, range in)
{
    bool wide = i->wide > 0 && dice_chance(&i->dice, i->wide) && isfinite(f->least) && isfinite(f->most);
    return wide ? dice_spread(&i->dice, f->least, f->most) : dice_spread(&i->dice, in.low, in.high);
}

static void put_list(inventor *i, draft *map, const evn_field *f, range in)
{
    double at[6];
    size_t count = some(i, f, sizeof at / sizeof *at);
    for (size_t k = 0; k < count; k++)
        at[k] = draw(i, f, in);
    draft_put_list(i->arena, map, f->key, at, count);
}

static draft *invent_steps(inventor *i, const evn_field *f)
{
    draft *steps = draft_new(i->arena, DRAFT_STEPS, f->key);
    size_t kinds = 0, count = some(i, f, 6);
    while (f->kinds[kinds].key)
        kinds++;
    for (size_t k = 0; k < count; k++) {
        const evn_kind_row *kind = &f->kinds[dice_whole(&i->dice, 0, kinds - 1)];
        draft_add(steps, invent_object(i, kind->object, kind->key));
    }
    return steps;
}

/* Tables, figures and texts have no bounds to be drawn from: suit.h makes the tables. */
static void put_field(inventor *i, draft *map, const evn_object *object, const evn_field *f)
{
    range in = range_of(object, f);
    switch (f->shape) {
    case EVN_NUMBER:
        draft_put_number(i->arena, map, f->key, draw(i, f, in));
        break;
    case EVN_COUNT:
        draft_put_number(i->arena, map, f->key, (double)dice_whole(&i->dice, (size_t)ceil(in.low), (size_t)in.high));
        break;
    case EVN_FLAG:
        put_flag(i, map, f->key);
        break;
    case EVN_TEXT:
        draft_put_word(i->arena, map, f->key, "drawn by lot");
        break;
    case EVN_CHOICE:
        draft_put_word(i->arena, map, f->key, f->choices[dice_whole(&i->dice, 0, evn_choice_count(f) - 1)]);
        break;
    case EVN_LIST:
        put_list(i, map, f, in);
        break;
    case EVN_ONE:
        draft_add(map, invent_object(i, f->of, f->key));
        break;
    case EVN_MANY:
        draft_add(map, invent_many(i, f->of, f->key, some(i, f, 4)));
        break;
    case EVN_STEPS:
        draft_add(map, invent_steps(i, f));
        break;
    case EVN_SHEET:
    case EVN_FIGURES:
    case EVN_TEXTS:
        break;
    }
}

/* ------------------------------------------------------------------------------------------------ objects */

draft *invent_object(inventor *i, const evn_object *object, const char *key)
{
    draft *map = draft_new(i->arena, DRAFT_MAP, key);
    for (size_t k = 0; k < object->field_count; k++) {
        const evn_field *f = &object->fields[k];
        if (f->remark) /* changes no run */
            continue;
        if (f->presence == EVN_REQUIRED || dice_chance(&i->dice, 0.6))
            put_field(i, map, object, f);
    }
    return map;
}

draft *invent_many(inventor *i, const evn_object *of, const char *key, size_t count)
{
    static const char *const names[] = {"first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"};
    draft *many = draft_new(i->arena, DRAFT_MAP, key);
    for (size_t k = 0; k < count && k < sizeof names / sizeof *names; k++)
        draft_add(many, invent_object(i, of, names[k]));
    return many;
}
