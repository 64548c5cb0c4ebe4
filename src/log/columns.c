/* Which column of a CSV log holds which quantity in which unit. */
#include "log/reader.h"
#include <string.h>

typedef struct wish { /* of an option or the mapping */
    int quantity;
    evn_cell name, unit, whole; /* whole: name and unit as they were asked */
} wish;

typedef struct desk {
    evn_log_reader *reader;
    evn_log_columns *out;
    const evn_row *below;
    bool units_row;
    wish wish[EVN_LOG_QUANTITY_COUNT];
    size_t wishes;
} desk;

static evn_cell cell_of(const char *text) { return (evn_cell){text, strlen(text)}; }

static bool same(evn_cell a, evn_cell b) { return a.length == b.length && memcmp(a.at, b.at, a.length) == 0; }

static const wish *wished(const desk *d, int quantity)
{
    for (size_t k = 0; k < d->wishes; k++)
        if (d->wish[k].quantity == quantity)
            return &d->wish[k];
    return NULL;
}

static const evn_log_column *found(const desk *d, int quantity)
{
    for (size_t k = 0; k < d->out->count; k++)
        if ((int)d->out->at[k].quantity == quantity)
            return &d->out->at[k];
    return NULL;
}

/* ------------------------------------------------------------------------------------------------ what is asked */

static bool usage(desk *d, const char *text, const char *expected)
{
    char quoted[EVN_QUOTE_BYTES];
    evn_say(d->reader->report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "%s as a column of a log; expected %s",
            evn_quote(quoted, text, strlen(text)), expected);
    return false;
}

static bool unknown_quantity(desk *d, const char *text, evn_cell word)
{
    const char *words[EVN_LOG_QUANTITY_COUNT];
    for (int q = 0; q < EVN_LOG_QUANTITY_COUNT; q++)
        words[q] = evn_log_word((evn_log_quantity)q);
    char asked[EVN_QUOTE_BYTES], all[EVN_PHRASE_BYTES], near[EVN_PHRASE_BYTES], copy[EVN_QUOTE_BYTES] = "";
    memcpy(copy, word.at, word.length < sizeof copy - 1 ? word.length : sizeof copy - 1);
    evn_say(d->reader->report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere,
            "%s as a column of a log: no such quantity; expected one of %s%s", evn_quote(asked, text, strlen(text)),
            evn_name_all(all, words, EVN_LOG_QUANTITY_COUNT),
            evn_nearest_phrase(near, copy, words, EVN_LOG_QUANTITY_COUNT));
    return false;
}

static bool take_asked(desk *d, const char *text)
{
    const char *equals = strchr(text, '=');
    if (!equals)
        return usage(d, text, "QUANTITY=NAME, as in 'speed=v_gps [km/h]'");
    evn_cell word = evn_cell_trimmed(text, equals, '\0');
    wish w = {.quantity = evn_log_quantity_named(word), .whole = evn_cell_trimmed(equals + 1, text + strlen(text), 0)};
    if (w.quantity < 0)
        return unknown_quantity(d, text, word);
    if (wished(d, w.quantity))
        return usage(d, text, "each quantity once");
    evn_log_name_split(w.whole, &w.name, &w.unit);
    d->wish[d->wishes++] = w;
    return true;
}

static void take_mapping(desk *d, const evn_mapping_file *f)
{
    const evn_mapping_column *column = f->columns.item;
    for (size_t k = 0; k < f->columns.count; k++) {
        wish w = {.quantity = evn_log_quantity_named(cell_of(f->columns.name[k])), .whole = cell_of(column[k].name)};
        if (w.quantity < 0 || wished(d, w.quantity))
            continue;
        evn_log_name_split(w.whole, &w.name, &w.unit);
        if (column[k].unit)
            w.unit = cell_of(column[k].unit);
        d->wish[d->wishes++] = w;
    }
}

static bool take_wishes(desk *d)
{
    bool sound = true;
    const char *const *asked = d->reader->ask ? d->reader->ask->columns : NULL;
    for (; asked && *asked; asked++)
        sound = take_asked(d, *asked) && sound;
    if (d->reader->mapping)
        take_mapping(d, d->reader->mapping);
    return sound;
}

/* ------------------------------------------------------------------------------------------------ columns */

static evn_row header_of(const desk *d) { return d->out->header; }

static bool unknown_unit(desk *d, const evn_log_column *c, evn_cell unit)
{
    evn_row header = header_of(d);
    char quoted[EVN_QUOTE_BYTES], all[EVN_PHRASE_BYTES];
    const char *word = evn_log_word(c->quantity);
    return evn_log_say(d->reader, &header, c->name.at, EVN_FAULT_UNKNOWN_CHOICE,
                       "%s in %s, which is no unit of it; expected one of %s", word,
                       evn_quote(quoted, unit.at, unit.length),
                       evn_log_units_text(all, evn_log_dimension(c->quantity)));
}

static bool says_dates(evn_cell unit)
{
    static const char *const words[] = {"UTC", "ISO 8601", "iso_8601", "date", "local"};
    for (size_t k = 0; k < sizeof words / sizeof *words; k++)
        if (same(unit, cell_of(words[k])))
            return true;
    return false;
}

static bool set_unit(desk *d, evn_log_column *c, evn_cell unit)
{
    if (unit.length == 0 || (c->quantity == EVN_LOG_TIME && says_dates(unit)))
        return true;
    c->unit = evn_log_unit_of(evn_log_dimension(c->quantity), unit);
    if (!c->unit)
        c->unit = evn_log_unit_by_suffix(evn_log_dimension(c->quantity), unit);
    c->unit_text = unit;
    return c->unit || unknown_unit(d, c, unit);
}

static bool add(desk *d, const evn_log_column *c)
{
    const evn_log_column *other = found(d, (int)c->quantity);
    if (!other) {
        d->out->at[d->out->count++] = *c;
        return true;
    }
    evn_row header = header_of(d);
    char one[EVN_QUOTE_BYTES], two[EVN_QUOTE_BYTES];
    const char *word = evn_log_word(c->quantity);
    if (same(other->name, c->name))
        return evn_log_say(
            d->reader, &header, c->name.at, EVN_FAULT_DISAGREES,
            "two columns named %s hold %s; expected one; another name in this line for that which is not "
            "meant",
            evn_quote(one, c->name.at, c->name.length), word);
    return evn_log_say(d->reader, &header, c->name.at, EVN_FAULT_DISAGREES,
                       "%s and %s both hold %s; expected one; choose it as in --column '%s=%.*s'",
                       evn_quote(one, other->name.at, other->name.length), evn_quote(two, c->name.at, c->name.length),
                       word, word, (int)(c->name.length < 40 ? c->name.length : 40), c->name.at);
}

/* A column whose name is that of a wish, with or without the unit in brackets. */
static bool take_wished(desk *d, size_t index, evn_cell whole, evn_cell name, evn_cell unit, bool *taken)
{
    bool sound = true;
    for (size_t k = 0; k < d->wishes; k++) {
        wish *w = &d->wish[k];
        bool is_whole = same(w->whole, whole);
        if (w->whole.length == 0 || (!is_whole && !same(w->name, name) && !same(w->name, whole)))
            continue;
        evn_log_column c = {.cell = index, .quantity = (evn_log_quantity)w->quantity, .name = whole, .unit_text = unit};
        c.unit = evn_log_unit_implied(c.quantity);
        *taken = true;
        if (w->unit.length == 0 && unit.length == 0) {
            const evn_log_unit *suffix;
            if (evn_log_quantity_of_column(name, &suffix) == w->quantity && suffix)
                c.unit = suffix;
        }
        sound = set_unit(d, &c, w->unit.length > 0 ? w->unit : unit) && add(d, &c) && sound;
    }
    return sound;
}

static bool take_named(desk *d, size_t index, evn_cell whole, evn_cell name, evn_cell unit)
{
    evn_log_column c = {.cell = index, .name = whole};
    int quantity = evn_log_quantity_of_column(name, &c.unit);
    if (quantity < 0 || wished(d, quantity))
        return true;
    c.quantity = (evn_log_quantity)quantity;
    if (c.unit)
        c.unit_text = cell_of(c.unit->text);
    else
        c.unit = evn_log_unit_implied(c.quantity);
    return set_unit(d, &c, unit) && add(d, &c);
}

/* Walks the header twice: what is wished for comes first. */
static bool walk_header(desk *d, bool wishes)
{
    evn_row header = header_of(d);
    bool sound = true;
    size_t index = 0;
    for (const char *at = header.begin; at; index++) {
        evn_cell whole, name, unit;
        if (!evn_row_cell(&header, d->out->separator, &at, &whole))
            return evn_log_say(d->reader, &header, whole.at, EVN_FAULT_SYNTAX,
                               "a quote that is not closed; expected its end");
        evn_log_name_split(whole, &name, &unit);
        bool taken = false;
        if (wishes)
            sound = take_wished(d, index, whole, name, unit, &taken) && sound;
        else
            sound = take_named(d, index, whole, name, unit) && sound;
    }
    d->out->cells = index;
    return sound;
}

enum { NAMES_SHOWN = 64 };

static void say_not_there(desk *d, const wish *w)
{
    evn_row header = header_of(d);
    const char *names[NAMES_SHOWN];
    size_t count = 0;
    for (const char *at = header.begin; at && count < NAMES_SHOWN; count++) {
        evn_cell whole;
        evn_row_cell(&header, d->out->separator, &at, &whole);
        names[count] = evn_arena_text(d->reader->keep, whole.at, whole.length);
        if (!names[count])
            return;
    }
    char asked[EVN_QUOTE_BYTES], all[EVN_PHRASE_BYTES], near[EVN_PHRASE_BYTES], copy[EVN_QUOTE_BYTES] = "";
    memcpy(copy, w->whole.at, w->whole.length < sizeof copy - 1 ? w->whole.length : sizeof copy - 1);
    evn_log_say(d->reader, &header, header.begin, EVN_FAULT_UNKNOWN_KEY,
                "no column %s in this log, which was asked for %s; expected one of %s%s",
                evn_quote(asked, w->whole.at, w->whole.length), evn_log_word((evn_log_quantity)w->quantity),
                evn_name_all(all, names, count), evn_nearest_phrase(near, copy, names, count));
}

static bool all_wishes_met(desk *d)
{
    bool met = true;
    for (size_t k = 0; k < d->wishes; k++)
        if (d->wish[k].whole.length > 0 && !found(d, d->wish[k].quantity)) {
            say_not_there(d, &d->wish[k]);
            met = false;
        }
    return met;
}

/* ------------------------------------------------------------------------------------------------ a row of units */

static evn_cell cell_below(const desk *d, size_t index)
{
    evn_cell out = {"", 0};
    size_t k = 0;
    for (const char *at = d->below->begin; at; k++) {
        evn_cell here;
        if (!evn_row_cell(d->below, d->out->separator, &at, &here))
            break;
        if (k == index)
            out = here;
    }
    if (out.length > 2 && (out.at[0] == '[' || out.at[0] == '('))
        out = evn_cell_trimmed(out.at + 1, out.at + out.length - 1, '\0');
    return out;
}

static void take_units_row(desk *d)
{
    for (size_t k = 0; d->below && k < d->out->count; k++) {
        evn_log_column *c = &d->out->at[k];
        evn_cell text = cell_below(d, c->cell);
        const evn_log_unit *unit = evn_log_unit_of(evn_log_dimension(c->quantity), text);
        bool figure = text.length == 1 && text.at[0] == '1';
        if (!unit || figure || (c->unit && c->unit != unit))
            continue;
        d->units_row = true;
        c->unit = unit;
        c->unit_text = text;
    }
}

static bool all_have_units(desk *d)
{
    bool all = true;
    evn_row header = header_of(d);
    for (size_t k = 0; k < d->out->count; k++) {
        const evn_log_column *c = &d->out->at[k];
        char units[EVN_PHRASE_BYTES];
        if (c->unit || c->quantity == EVN_LOG_TIME)
            continue;
        const char *word = evn_log_word(c->quantity);
        all = evn_log_say(d->reader, &header, c->name.at, EVN_FAULT_MISSING_KEY,
                          "no unit for %s; expected one in brackets behind the name, or as in --column '%s=%.*s "
                          "[UNIT]'; one of %s",
                          word, word, (int)(c->name.length < 40 ? c->name.length : 40), c->name.at,
                          evn_log_units_text(units, evn_log_dimension(c->quantity)));
    }
    return all;
}

bool evn_log_columns_find(evn_log_reader *reader, evn_log_columns *out, const evn_row *below, bool *units_row)
{
    desk d = {.reader = reader, .out = out, .below = below};
    if (!take_wishes(&d) || !walk_header(&d, true) || !all_wishes_met(&d) || !walk_header(&d, false))
        return false;
    take_units_row(&d);
    *units_row = d.units_row;
    if (out->count == 0)
        return evn_log_say(reader, &out->header, out->header.begin, EVN_FAULT_MISSING_KEY,
                           "no column of this log bears a name that says what it holds; expected names as 'time [s]' "
                           "or 'speed_km_h', or as in --column 'speed=NAME [km/h]'");
    return all_have_units(&d);
}
