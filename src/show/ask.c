/* What was asked of a run, row by row of the kinds "load_case" and "driving". */
#include "show/ask.h"
#include "show/json_number.h"
#include "show/text.h"
#include <math.h>
#include <string.h>

const char *const evn_ask_kinds[] = {"load_case", "driving", NULL};

bool evn_ask_at(const evn_conditions *ask, const char *kind, size_t index, evn_key *key, double *value)
{
    if (!evn_key_at(kind, index, key))
        return false;
    return strcmp(kind, "load_case") == 0 ? evn_load_case_get(&ask->load_case, key->key, value)
                                          : evn_driving_get(&ask->driving, key->key, value);
}

bool evn_ask_next_other(const evn_conditions *ask, const char *kind, size_t *index, evn_key *key, double *value)
{
    const evn_conditions plain = evn_conditions_default();
    double usual;
    while (evn_ask_at(ask, kind, *index, key, value) && evn_ask_at(&plain, kind, *index, key, &usual)) {
        ++*index;
        if (*value != usual && !isnan(*value))
            return true;
    }
    return false;
}

static void put_words(FILE *to, const char *before, const evn_key *key, double value)
{
    enum { LABEL = 80 };
    char label[LABEL], number[32];
    evn_format_label(label, sizeof label, key->key, key->unit);
    evn_format_exact(number, value);
    fprintf(to, "%s%s %s%s%s", before, label, key->choices ? key->choices[(size_t)value] : number,
            key->unit[0] != '\0' ? " " : "", key->unit);
}

void evn_ask_words(const evn_conditions *ask, FILE *to)
{
    bool first = true;
    for (const char *const *kind = evn_ask_kinds; *kind; kind++) {
        evn_key key;
        double value;
        for (size_t i = 0; evn_ask_next_other(ask, *kind, &i, &key, &value); first = false)
            put_words(to, first ? "Conditions: " : ", ", &key, value);
    }
    fputs(first ? "" : "; otherwise the defaults.", to);
}

/* From `*index` on, those that go before what seasons state; a payload they cannot state. */
static bool next_before_seasons(const evn_conditions *ask, size_t *index, evn_key *key, double *value)
{
    while (evn_ask_at(ask, "load_case", *index, key, value))
        if (ask->before_seasons & ((uint64_t)1 << (*index)++) && strcmp(key->key, "payload_kg") != 0)
            return true;
    return false;
}

void evn_ask_before_seasons_words(const evn_conditions *ask, FILE *to)
{
    bool first = true;
    evn_key key;
    double value;
    for (size_t i = 0; next_before_seasons(ask, &i, &key, &value); first = false)
        put_words(to, first ? "By options, which go before what seasons state: " : ", ", &key, value);
    fputs(first ? "" : ".", to);
}

void evn_ask_payload_words(const evn_conditions *ask, const evn_duty *duty, FILE *to)
{
    const char *name;
    bool stop;
    char kg[32];
    if (isnan(ask->load_case.payload_kg) || !evn_duty_payload_until(duty, &name, &stop))
        return;
    evn_format_exact(kg, ask->load_case.payload_kg);
    fprintf(to, "The payload of %s kg is that of the day until %s '", kg, stop ? "stop" : "leg");
    evn_put_safe(to, name);
    fputs("', which states its own.", to);
}

bool evn_ask_put_before_seasons(json_t *document, const evn_conditions *ask)
{
    json_t *list = json_array();
    bool made = list;
    evn_key key;
    double value;
    for (size_t i = 0; made && next_before_seasons(ask, &i, &key, &value);)
        made = json_array_append_new(list, json_string(key.key)) == 0;
    made = made && json_object_set(document, "before_seasons", list) == 0;
    json_decref(list);
    return made;
}

const char *evn_ask_choice(const evn_conditions *ask, const char *name)
{
    evn_key key;
    double value;
    for (size_t i = 0; evn_ask_at(ask, "load_case", i, &key, &value); i++)
        if (strcmp(key.key, name) == 0)
            return key.choices[(size_t)value];
    return "";
}

const char *evn_ask_weather(const evn_conditions *ask, char out[EVN_ASK_WEATHER_BYTES])
{
    const evn_load_case *c = &ask->load_case;
    bool constant = c->rolling_resistance_law == EVN_ROLLING_RESISTANCE_LAW_CONSTANT;
    char rolling[160] = "", wind[160] = "", number[32];
    if (!constant)
        snprintf(rolling, sizeof rolling, " on rolling resistance (law %s, tyres %s at the start),",
                 evn_ask_choice(ask, "rolling_resistance_law"), evn_ask_choice(ask, "tyres_at_start"));
    if (c->wind_m_s > 0) {
        evn_format_exact(number, c->wind_m_s);
        snprintf(wind, sizeof wind, " The wind of %s m/s counts by the mean of its force over all directions%s.",
                 number, isnan(c->wind_from_deg) ? "" : ", where the cycle does not state its heading");
    }
    snprintf(out, EVN_ASK_WEATHER_BYTES,
             "The temperature of the air acts on its density,%s and, where files state how, on what it cools (coolant, "
             "friction brakes, oil of gears), the battery and consumers; not on %sanything else.%s",
             rolling, constant ? "rolling resistance (law constant) or " : "", wind);
    return out;
}

json_t *evn_ask_value(const evn_key *key, double value)
{
    if (key->shape == EVN_KEY_FLAG)
        return json_boolean(value > 0);
    return key->choices ? evn_json_text(key->choices[(size_t)value]) : evn_json_real(value);
}

static json_t *object_of(const evn_conditions *ask, const char *kind)
{
    json_t *json = json_object();
    bool made = json;
    evn_key key;
    double value;
    for (size_t i = 0; made && evn_ask_at(ask, kind, i, &key, &value); i++)
        made = json_object_set_new(json, key.key, evn_ask_value(&key, value)) == 0;
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

bool evn_ask_put(json_t *document, const evn_conditions *ask)
{
    bool made = true;
    for (const char *const *kind = evn_ask_kinds; made && *kind; kind++)
        made = evn_json_put(document, *kind, object_of(ask, *kind));
    return made;
}

bool evn_ask_put_demands(json_t *document, const evn_demands *demands)
{
    json_t *json = json_object();
    evn_key key;
    double value;
    bool made = json;
    for (size_t i = 0; made && evn_key_at("demands", i, &key) && evn_demands_get(demands, key.key, &value); i++)
        made = evn_json_put(json, key.key, evn_ask_value(&key, value));
    made = made && json_object_set(document, "demands", json) == 0;
    json_decref(json);
    return made;
}
