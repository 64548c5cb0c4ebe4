/* Walks trucks by their field tables for entries and defaults, and finds the numbers that they name. */
#include "uncertainty/claims.h"
#include "core/change.h"
#include "core/field_copy.h"
#include "core/words.h"
#include "truck/load_case.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

bool evn_claims_no_memory(evn_claims *c)
{
    if (!c->failed)
        evn_say(c->report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over uncertain data");
    c->failed = true;
    return false;
}

/* "a", ".", "b"; without what is between where the first is empty. NULL (said): memory is out. */
static const char *joined(evn_claims *c, const char *first, const char *between, const char *last)
{
    size_t bytes = strlen(first) + strlen(between) + strlen(last) + 1;
    char *text = evn_arena_take(c->arena, bytes);
    if (!text) {
        evn_claims_no_memory(c);
        return NULL;
    }
    snprintf(text, bytes, "%s%s%s", first, *first ? between : "", last);
    return text;
}

/* ------------------------------------------------------------------------------------------------ one claim */

static evn_claim *new_claim(evn_claims *c)
{
    if (c->count == c->room) {
        size_t room = c->room ? 2 * c->room : 256;
        evn_claim *more = evn_arena_take(c->aside, room * sizeof *more);
        if (!more) {
            evn_claims_no_memory(c);
            return NULL;
        }
        if (c->count > 0)
            memcpy(more, c->at, c->count * sizeof *more);
        c->at = more;
        c->room = room;
    }
    return &c->at[c->count++];
}

/* A claim for each of the numbers: `first` is that of one, but for what differs between them. */
static void add_claims(evn_claims *c, evn_claim first, const evn_named *named, double half_width, double relative)
{
    for (size_t i = 0; i < named->count && !c->failed; i++) {
        char place[32];
        bool in_list = named->field->shape == EVN_LIST && !named->item;
        snprintf(place, sizeof place, "[%zu]", i);
        first.path = in_list ? joined(c, first.of, "", place) : first.of;
        evn_claim *claim = first.path ? new_claim(c) : NULL;
        if (!claim)
            return;
        *claim = first;
        claim->field = named->field;
        claim->at = &named->at[i];
        claim->nominal = named->at[i];
        claim->half_width = evn_half_width(half_width, relative, named->at[i]);
        claim->offset = first.entry ? evn_range_offset(first.entry, named->at[i]) : 0;
        claim->order = c->count;
    }
}

/* ------------------------------------------------------------------------------------------------ entries */

/* An entry on its way to the numbers that it names. */
typedef struct stated {
    const evn_uncertain_file *file;
    const char *name, *at; /* from the root of its places */
    const evn_places *places;
    int rank;
} stated;

/* Where what is found about the paths of an entry is said. */
static evn_spot spot_of(const evn_claims *c, const stated *s)
{
    char of[EVN_PHRASE_BYTES];
    int length = snprintf(of, sizeof of, "%s.of", s->at);
    const evn_value *row = length < (int)sizeof of ? evn_place_of(s->places, of, (size_t)length) : NULL;
    return evn_place_spot(row ? row : evn_place_of(s->places, s->at, strlen(s->at)), c->report);
}

typedef struct below { /* what paths begin in */
    const evn_object *object;
    const void *self;
    evn_erring_in in;
    size_t truck;
    const char *path; /* of it from the root of what is copied; "" at the root */
    const char *as;   /* that of the first of items that are alike; else the same */
} below;

/* False: the path names nothing there; `why` says it. */
static bool claim_path(evn_claims *c, const stated *s, const below *in, const char *path, evn_naming_trouble *why)
{
    evn_named named;
    if (!evn_uncertain_named(in->object, in->self, path, &named, why))
        return false;
    evn_claim first = {.in = in->in,
                       .truck = in->truck,
                       .of = joined(c, in->path, ".", path),
                       .rank = s->rank,
                       .shape = (evn_error_shape)s->file->shape,
                       .entry = s->file,
                       .entry_name = s->name,
                       .entry_at = s->at};
    first.as = first.of;
    if (first.of)
        add_claims(c, first, &named, s->file->half_width, s->file->relative);
    return true;
}

static void say_trouble(evn_claims *c, const stated *s, const evn_naming_trouble *why)
{
    evn_say(c->report, why->fault, spot_of(c, s), evn_nowhere, "%s", why->words);
    c->failed = true;
}

/* The entries of an object of a truck, whose paths begin in it. */
static void claim_entries(evn_claims *c, const evn_many *many, const below *in, const char *holder, int rank)
{
    const evn_uncertain_file *file = many->item;
    for (size_t k = 0; k < many->count && !c->failed; k++) {
        const char *list = joined(c, holder, ".", "uncertain");
        stated s = {&file[k], many->name[k], list ? joined(c, list, ".", many->name[k]) : NULL, &c->places, rank};
        evn_naming_trouble why;
        for (size_t i = 0; s.at && i < file[k].of.count && !c->failed; i++)
            if (!claim_path(c, &s, in, file[k].of.at[i], &why) && why.fault != EVN_FAULT_OUT_OF_RANGE)
                say_trouble(c, &s, &why); /* an item beyond the end: the list was written over with a shorter one */
    }
}

/* ------------------------------------------------------------------------------------------------ of a lineup */

static below in_truck(const evn_claims *c, size_t truck)
{
    return (below){&evn_truck_object, c->truck[truck], EVN_IN_TRUCK, truck, "", ""};
}

/* Behind the word that a path begins with; NULL: it does not. */
static const char *behind(const char *path, const char *word)
{
    size_t length = strlen(word);
    return strncmp(path, word, length) == 0 ? path + length : NULL;
}

/* "NAME.rest" */
static void claim_of_one(evn_claims *c, const stated *s, const char *path)
{
    const char *names[EVN_LINEUP_MOST], *rest = strchr(path, '.');
    char name[EVN_QUOTE_BYTES], quoted[EVN_QUOTE_BYTES], all[EVN_PHRASE_BYTES], hint[EVN_PHRASE_BYTES];
    size_t length = rest ? (size_t)(rest - path) : strlen(path), i = 0;
    evn_naming_trouble why = {.fault = EVN_FAULT_UNKNOWN_KEY};
    for (size_t k = 0; k < c->of->count; k++)
        names[k] = c->of->who[k].name;
    while (i < c->of->count && !(strncmp(names[i], path, length) == 0 && names[i][length] == '\0'))
        i++;
    snprintf(name, sizeof name, "%.*s", length < sizeof name ? (int)length : 0, path);
    if (i == c->of->count)
        snprintf(why.words, sizeof why.words, "no truck %s; expected one of %s%s", evn_quote(quoted, path, length),
                 evn_name_all(all, names, c->of->count), evn_nearest_phrase(hint, name, names, c->of->count));
    else if (!rest)
        snprintf(why.words, sizeof why.words,
                 "%s is a truck; expected the path of a value of it: trucks.%s.battery.mass_kg",
                 evn_quote(quoted, path, length), names[i]);
    below in = in_truck(c, i < c->of->count ? i : 0);
    if (i == c->of->count || !rest || !claim_path(c, s, &in, rest + 1, &why))
        say_trouble(c, s, &why);
}

/* Of all trucks that have it. */
static void claim_of_all(evn_claims *c, const stated *s, const char *path)
{
    evn_naming_trouble why, first = {.fault = EVN_FAULT_UNKNOWN_KEY};
    bool had = false;
    for (size_t i = 0; i < c->of->count && !c->failed; i++) {
        below in = in_truck(c, i);
        bool named = claim_path(c, s, &in, path, &why);
        had = had || named;
        if (!named && i == 0)
            first = why;
    }
    if (!had && !c->failed)
        say_trouble(c, s, &first);
}

static void claim_beyond(evn_claims *c, const stated *s, const char *path)
{
    static const char trucks[] = "trucks.", cycle[] = "cycle.", load_case[] = "load_case.";
    const char *rest = behind(path, trucks);
    evn_naming_trouble why;
    below in;
    if (rest) {
        claim_of_one(c, s, rest);
        return;
    }
    if ((rest = behind(path, cycle)))
        in = (below){&evn_cycle_object, c->cycle, EVN_IN_CYCLE, 0, "", ""};
    else if ((rest = behind(path, load_case)))
        in = (below){&evn_load_case_object, &c->load_case, EVN_IN_LOAD_CASE, 0, "", ""};
    if (!rest)
        claim_of_all(c, s, path);
    else if (!claim_path(c, s, &in, rest, &why))
        say_trouble(c, s, &why);
}

static void claim_lineup(evn_claims *c, const evn_many *many, const evn_places *places, int rank)
{
    const evn_uncertain_file *file = many ? many->item : NULL;
    for (size_t k = 0; file && k < many->count && !c->failed; k++) {
        stated s = {&file[k], many->name[k], joined(c, "uncertain", ".", many->name[k]), places, rank};
        for (size_t i = 0; s.at && i < file[k].of.count && !c->failed; i++)
            claim_beyond(c, &s, file[k].of.at[i]);
    }
}

/* ------------------------------------------------------------------------------------------------ a truck */

static void walk(evn_claims *c, const below *in, int depth);

static void claim_usual(evn_claims *c, const evn_field *field, const below *in, void *member)
{
    const evn_usual_uncertainty *u = field->uncertain;
    evn_named named = {field, member, 1, false};
    evn_list list;
    if (field->shape == EVN_LIST) {
        memcpy(&list, member, sizeof list);
        memcpy(&named.at, (char *)member + offsetof(evn_list, at), sizeof named.at);
        named.count = list.count;
    } else if (isnan(*named.at)) {
        return;
    }
    evn_claim first = {.in = in->in,
                       .truck = in->truck,
                       .of = joined(c, in->path, ".", field->key),
                       .as = joined(c, in->as, ".", field->key),
                       .rank = EVN_CLAIM_USUAL,
                       .shape = u->shape,
                       .usual = u,
                       .holder = in->self};
    if (first.of && first.as)
        add_claims(c, first, &named, u->half_width, u->relative);
}

/* Into an object: what is between the paths of its holder and of it; `as` differs of items that are alike. */
static void walk_into(evn_claims *c, const evn_object *object, const void *self, const below *from, const char *way,
                      const char *as, int depth)
{
    below in = {object, self, from->in, from->truck, joined(c, from->path, ".", way), joined(c, from->as, ".", as)};
    if (in.path && in.as)
        walk(c, &in, depth);
}

static void walk_many(evn_claims *c, const evn_field *field, const below *in, const evn_many *many, int depth)
{
    for (size_t k = 0; k < many->count && !c->failed; k++) {
        const char *way = joined(c, field->key, ".", many->name[k]);
        const char *as = field->alike ? joined(c, field->key, ".", many->name[0]) : way;
        if (way && as)
            walk_into(c, field->of, (const char *)many->item + k * field->of->size, in, way, as, depth + 2);
    }
}

static void walk_steps(evn_claims *c, const evn_field *field, const below *in, const evn_steps *steps, int depth)
{
    for (size_t k = 0; k < steps->count && !c->failed; k++) {
        const evn_kind_row *kind = &field->kinds[steps->at[k].kind];
        char place[32];
        snprintf(place, sizeof place, "[%zu].", k);
        const char *way = joined(c, field->key, place, kind->key);
        if (way)
            walk_into(c, kind->object, steps->at[k].item, in, way, way, depth + 3);
    }
}

/* From the root of the lineup, or of a truck by itself. */
static const char *holder_path(evn_claims *c, const below *in)
{
    const char *name = c->of->who[in->truck].name;
    const char *truck = name ? joined(c, "trucks", ".", name) : "";
    return truck && *in->path ? joined(c, truck, ".", in->path) : truck;
}

static void walk_field(evn_claims *c, const evn_field *field, const below *in, int depth)
{
    char *self;
    memcpy(&self, &in->self, sizeof self); /* a copy of its own, which may be written */
    void *member = self + field->offset;
    if (field->uncertain)
        claim_usual(c, field, in, member);
    if (field->on_holder) {
        const char *holder = holder_path(c, in);
        if (holder)
            claim_entries(c, member, in, holder, depth);
    } else if (field->shape == EVN_MANY) {
        walk_many(c, field, in, member, depth);
    } else if (field->shape == EVN_STEPS) {
        walk_steps(c, field, in, member, depth);
    } else if (field->shape == EVN_ONE) {
        const void *inner;
        memcpy(&inner, member, sizeof inner);
        if (inner)
            walk_into(c, field->of, inner, in, field->key, field->key, depth + 1);
    }
}

static void walk(evn_claims *c, const below *in, int depth)
{
    for (size_t i = 0; i < in->object->field_count && !c->failed; i++)
        walk_field(c, &in->object->fields[i], in, depth);
}

/* ------------------------------------------------------------------------------------------------ all */

/* Copies share nothing, so that a number is told by its address. False: memory is out. */
static bool copy_all(evn_claims *c)
{
    c->truck = evn_arena_take(c->arena, c->of->count * sizeof *c->truck);
    bool all = c->truck && evn_places_make(&c->places, c->of->values.at, c->of->values.count, c->arena) &&
               evn_places_make(&c->places_beside, c->of->values_beside.at, c->of->values_beside.count, c->arena);
    for (size_t i = 0; all && i < c->of->count; i++) {
        evn_arena *own = evn_arena_within(c->aside);
        c->truck[i] = own ? evn_object_copy(&evn_truck_object, c->of->who[i].truck, own) : NULL;
        all = c->truck[i];
    }
    if (c->of->load_case)
        c->load_case = *c->of->load_case;
    if (!all || !c->of->cycle)
        return all;
    c->cycle = evn_object_copy(&evn_cycle_object, c->of->cycle, c->aside);
    return c->cycle;
}

bool evn_claims_gather(evn_claims *c)
{
    if (!copy_all(c))
        return evn_claims_no_memory(c);
    claim_lineup(c, c->of->uncertain_beside, &c->places_beside, EVN_CLAIM_BESIDE);
    claim_lineup(c, c->of->uncertain, &c->places, EVN_CLAIM_LINEUP);
    for (size_t i = 0; i < c->of->count && !c->failed; i++) {
        below in = in_truck(c, i);
        walk(c, &in, EVN_CLAIM_TRUCK);
    }
    return !c->failed;
}

const evn_object *evn_claim_root(evn_claims *c, const evn_claim *claim, void **copy)
{
    static const evn_object *const roots[] = {&evn_truck_object, &evn_cycle_object, &evn_load_case_object};
    *copy = claim->in == EVN_IN_TRUCK ? c->truck[claim->truck] : claim->in == EVN_IN_CYCLE ? c->cycle : &c->load_case;
    return roots[claim->in];
}

const char *evn_claim_whole_path(const evn_claims *c, const evn_claim *claim, const char *path)
{
    static const char *const roots[] = {"trucks.", "cycle.", "load_case."};
    bool in_truck = claim->in == EVN_IN_TRUCK;
    const char *name = in_truck ? c->of->who[claim->truck].name : "", *root = name ? roots[claim->in] : "";
    size_t bytes = strlen(root) + (name ? strlen(name) : 0) + strlen(path) + 2;
    char *text = evn_arena_take(c->aside, bytes);
    if (text)
        snprintf(text, bytes, "%s%s%s%s", root, name ? name : "", in_truck && name ? "." : "", path);
    return text;
}

const evn_value *evn_claim_place(const evn_claims *c, const evn_claim *claim, bool around)
{
    const char *path = evn_claim_whole_path(c, claim, claim->as);
    if (!path)
        return NULL;
    return around ? evn_place_around(&c->places, path) : evn_place_of(&c->places, path, strlen(path));
}

bool evn_claim_is_written_over(const evn_claims *c, const evn_claim *claim)
{
    const char *path = evn_claim_whole_path(c, claim, claim->of);
    const evn_value *value = path ? evn_place_around(&c->places, path) : NULL, *entry = evn_claim_entry_place(c, claim);
    if (claim->rank < EVN_CLAIM_TRUCK || !entry)
        return false;
    bool elsewhere = !value || strcmp(value->file, entry->file) != 0;
    bool inner = value && value->used_from_file && strcmp(value->used_from_file, entry->file) == 0;
    bool over = elsewhere && !inner && (entry->used_from_file || !value || value->origin == EVN_FROM_SET);
    return over || (value && value->changed_by);
}

const evn_value *evn_claim_entry_place(const evn_claims *c, const evn_claim *claim)
{
    const evn_places *places = claim->rank == EVN_CLAIM_BESIDE ? &c->places_beside : &c->places;
    return claim->entry ? evn_place_of(places, claim->entry_at, strlen(claim->entry_at)) : NULL;
}
