/* The table of units, and the words of quantities. */
#include "log/units.h"
#include "core/units.h"
#include <stdio.h>
#include <string.h>
#include <strings.h>

#define ROW(dimension, text, suffix, factor) {EVN_DIMENSION_##dimension, text, suffix, factor, 0.0}
/* Factors are exact by definition (BIPM; 1959 yard and pound agreement; 1 bar = 1e5 Pa, 1 kn = 1852 m in an hour). */
static const evn_log_unit units[] = {
    ROW(TIME, "s", "s", 1),
    ROW(TIME, "ms", "ms", 1e-3),
    ROW(TIME, "min", "min", 60),
    ROW(TIME, "h", "h", 3600),
    ROW(LENGTH, "m", "m", 1),
    ROW(LENGTH, "km", "km", 1e3),
    ROW(LENGTH, "ft", "ft", 0.3048),
    ROW(LENGTH, "mi", "mi", 1609.344),
    ROW(SPEED, "m/s", "m_s", 1),
    ROW(SPEED, "km/h", "km_h", EVN_M_S_PER_KM_H),
    ROW(SPEED, "kmh", "kmh", EVN_M_S_PER_KM_H),
    ROW(SPEED, "kph", "kph", EVN_M_S_PER_KM_H),
    ROW(SPEED, "mph", "mph", EVN_M_S_PER_MPH),
    ROW(SPEED, "kn", "kn", 1852.0 / 3600.0),
    ROW(ANGLE, "deg", "deg", 1),
    ROW(ANGLE, "\u00b0", NULL, 1),
    ROW(ANGLE, "rad", "rad", 180 / EVN_PI),
    ROW(RATIO, "1", "ratio", 1),
    ROW(RATIO, "%", "percent", 0.01),
    ROW(RATIO, "per cent", NULL, 0.01),
    ROW(RATIO, "percent", NULL, 0.01),
    ROW(POWER, "W", "w", 1),
    ROW(POWER, "kW", "kw", 1e3),
    ROW(ENERGY, "J", "j", 1),
    ROW(ENERGY, "kJ", "kj", 1e3),
    ROW(ENERGY, "MJ", "mj", 1e6),
    ROW(ENERGY, "Wh", "wh", 3600),
    ROW(ENERGY, "kWh", "kwh", EVN_J_PER_KWH),
    ROW(VOLTAGE, "V", "v", 1),
    ROW(CURRENT, "A", "a", 1),
    ROW(TURNING, "rad/s", "rad_s", 1),
    ROW(TURNING, "rpm", "rpm", EVN_RAD_S_PER_RPM),
    ROW(TURNING, "1/min", NULL, EVN_RAD_S_PER_RPM),
    ROW(TURNING, "min-1", NULL, EVN_RAD_S_PER_RPM),
    ROW(TORQUE, "Nm", "nm", 1),
    ROW(TORQUE, "N m", NULL, 1),
    ROW(TORQUE, "N\u00b7m", NULL, 1),
    ROW(TORQUE, "kNm", "knm", 1e3),
    ROW(NUMBER, "1", "number", 1),
    ROW(NUMBER, "-", NULL, 1),
    ROW(TEMPERATURE, "degC", "degc", 1),
    ROW(TEMPERATURE, "\u00b0C", NULL, 1),
    {EVN_DIMENSION_TEMPERATURE, "K", "k", 1, -273.15},
    {EVN_DIMENSION_TEMPERATURE, "degF", "degf", 5.0 / 9.0, -32},
    {EVN_DIMENSION_TEMPERATURE, "\u00b0F", NULL, 5.0 / 9.0, -32},
    ROW(PRESSURE, "Pa", "pa", 1),
    ROW(PRESSURE, "hPa", "hpa", 100),
    ROW(PRESSURE, "mbar", "mbar", 100),
    ROW(PRESSURE, "kPa", "kpa", 1e3),
    ROW(PRESSURE, "bar", "bar", 1e5),
    ROW(DENSITY, "kg/m3", "kg_m3", 1),
    ROW(DENSITY, "kg/m\u00b3", NULL, 1),
};
#undef ROW
enum { UNITS = sizeof units / sizeof *units };

static bool is_text(evn_cell found, const char *text)
{
    return text && strlen(text) == found.length && strncasecmp(text, found.at, found.length) == 0;
}

const evn_log_unit *evn_log_unit_of(evn_dimension dimension, evn_cell text)
{
    for (size_t k = 0; k < UNITS; k++)
        if (units[k].dimension == dimension && is_text(text, units[k].text))
            return &units[k];
    return NULL;
}

const evn_log_unit *evn_log_unit_by_suffix(evn_dimension dimension, evn_cell suffix)
{
    for (size_t k = 0; k < UNITS; k++)
        if (units[k].dimension == dimension && is_text(suffix, units[k].suffix))
            return &units[k];
    return NULL;
}

const char *evn_log_units_text(char out[EVN_PHRASE_BYTES], evn_dimension dimension)
{
    const char *names[UNITS];
    size_t count = 0;
    for (size_t k = 0; k < UNITS; k++)
        if (units[k].dimension == dimension)
            names[count++] = units[k].text;
    return evn_name_all(out, names, count);
}

const evn_log_unit *evn_log_unit_implied(evn_log_quantity quantity)
{
    bool place = quantity == EVN_LOG_LATITUDE || quantity == EVN_LOG_LONGITUDE;
    if (place)
        return evn_log_unit_of(EVN_DIMENSION_ANGLE, (evn_cell){"deg", 3});
    return quantity == EVN_LOG_GEAR ? evn_log_unit_of(EVN_DIMENSION_NUMBER, (evn_cell){"1", 1}) : NULL;
}

static const struct quantity {
    const char *word, *column, *help;
    evn_dimension dimension;
} quantities[] = {
#define X(name, word, column, dimension, help) {word, column, help, EVN_DIMENSION_##dimension},
    EVN_LOG_QUANTITIES(X)
#undef X
};

const char *evn_log_word(evn_log_quantity q) { return quantities[q].word; }
const char *evn_log_column_name(evn_log_quantity q) { return quantities[q].column; }
const char *evn_log_help(evn_log_quantity q) { return quantities[q].help; }
evn_dimension evn_log_dimension(evn_log_quantity q) { return quantities[q].dimension; }

/* ------------------------------------------------------------------------------------------------ names */

static const struct word {
    const char *text;
    evn_log_quantity quantity;
} other_words[] = {
    {"timestamp", EVN_LOG_TIME}, {"distance", EVN_LOG_PLACE},     {"odometer", EVN_LOG_PLACE},
    {"velocity", EVN_LOG_SPEED}, {"elevation", EVN_LOG_ALTITUDE}, {"height", EVN_LOG_ALTITUDE},
    {"lat", EVN_LOG_LATITUDE},   {"lon", EVN_LOG_LONGITUDE},      {"lng", EVN_LOG_LONGITUDE},
    {"gradient", EVN_LOG_GRADE}, {"slope", EVN_LOG_GRADE},        {"course", EVN_LOG_HEADING},
    {"soc", EVN_LOG_CHARGE},
};

int evn_log_quantity_named(evn_cell word)
{
    for (int q = 0; q < EVN_LOG_QUANTITY_COUNT; q++)
        if (is_text(word, quantities[q].word))
            return q;
    for (size_t k = 0; k < sizeof other_words / sizeof *other_words; k++)
        if (is_text(word, other_words[k].text))
            return (int)other_words[k].quantity;
    return -1;
}

/* Where a suffix may begin: behind each underscore in turn, the last words being the unit's. */
int evn_log_quantity_of_column(evn_cell name, const evn_log_unit **unit)
{
    *unit = NULL;
    int whole = evn_log_quantity_named(name);
    if (whole >= 0)
        return whole;
    for (size_t k = 1; k + 1 < name.length; k++) {
        if (name.at[k] != '_')
            continue;
        int q = evn_log_quantity_named((evn_cell){name.at, k});
        evn_cell suffix = {name.at + k + 1, name.length - k - 1};
        *unit = q >= 0 ? evn_log_unit_by_suffix(quantities[q].dimension, suffix) : NULL;
        if (*unit)
            return q;
    }
    return -1;
}

void evn_log_name_split(evn_cell whole, evn_cell *name, evn_cell *unit)
{
    *name = whole;
    *unit = (evn_cell){whole.at, 0};
    if (whole.length < 2)
        return;
    char close = whole.at[whole.length - 1], open = close == ']' ? '[' : close == ')' ? '(' : '\0';
    if (!open)
        return;
    for (size_t k = whole.length - 1; k-- > 0;)
        if (whole.at[k] == open) {
            *name = evn_cell_trimmed(whole.at, whole.at + k, '\0');
            *unit = evn_cell_trimmed(whole.at + k + 1, whole.at + whole.length - 1, '\0');
            return;
        }
}

/* Wide enough for any truck on any road; what lies outside is another unit, or a receiver's value for "not known". */
evn_log_bounds evn_log_bounds_of(evn_log_quantity q)
{
    switch (q) {
    case EVN_LOG_SPEED:
        return (evn_log_bounds){-10, 60};
    case EVN_LOG_ALTITUDE:
        return (evn_log_bounds){-500, 9000};
    case EVN_LOG_LATITUDE:
        return (evn_log_bounds){-90, 90};
    case EVN_LOG_LONGITUDE:
        return (evn_log_bounds){-180, 180};
    case EVN_LOG_GRADE:
        return (evn_log_bounds){-0.6, 0.6};
    case EVN_LOG_CHARGE:
        return (evn_log_bounds){-0.05, 1.05};
    case EVN_LOG_AIR_TEMPERATURE:
        return (evn_log_bounds){-70, 70};
    case EVN_LOG_AIR_PRESSURE:
        return (evn_log_bounds){3e4, 1.1e5};
    case EVN_LOG_AIR_DENSITY:
        return (evn_log_bounds){0.4, 2};
    case EVN_LOG_HUMIDITY:
        return (evn_log_bounds){0, 1.05};
    default:
        return (evn_log_bounds){-1e15, 1e15};
    }
}
