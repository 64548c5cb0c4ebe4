/* The keys of files, as a reference to read. */
#include "show/keys_story.h"
#include "show/report/table.h"
#include "show/text.h"
#include <stdlib.h>
#include <string.h>

enum { KEY_COLUMN = 34, KINDS_MOST = 128 };

/* ------------------------------------------------------------------------------------------------ one key */

/* Where the half width of the facts comes from, and what errs alike. */
static void put_half_width(const evn_key *key, FILE *to, size_t width)
{
    static const char before[] = "      half width: ";
    char text[400];
    if (!key->error_shape)
        return;
    snprintf(text, sizeof text, "%s%s%s", key->half_width_source,
             key->errs_with ? "; alike in all trucks, with all that errs with " : "",
             key->errs_with ? key->errs_with : "");
    fputs(before, to);
    evn_put_paragraph_within(to, width, sizeof before - 1, "                  ", text);
}

static bool put_key(const char *kind, const char *shown, const evn_key *key, FILE *to, const evn_look *look)
{
    char *facts = evn_key_facts(kind, key);
    if (!facts)
        return false;
    size_t width = evn_look_prose(look), length = strlen(shown) + 2, column = KEY_COLUMN;
    fputs("  ", to);
    evn_put_styled(to, look, EVN_STYLE_STRONG, shown);
    if (length + 2 > KEY_COLUMN)
        fputs("\n", to);
    fprintf(to, "%*s", length + 2 > KEY_COLUMN ? KEY_COLUMN : KEY_COLUMN - (int)length, "");
    evn_put_paragraph_within(to, width, column, "                                  ", facts);
    free(facts);
    if (key->help[0] != '\0')
        evn_put_paragraph_within(to, width, 0, "      ", key->help);
    if (key->source[0] != '\0') {
        fputs("      source: ", to);
        evn_put_paragraph_within(to, width, 14, "              ", key->source);
    }
    put_half_width(key, to, width);
    return true;
}

static bool put_kind(const char *name, FILE *to, const evn_look *look)
{
    evn_kind kind;
    evn_key key;
    if (!evn_kind_get(name, &kind))
        return true;
    evn_put_styled(to, look, EVN_STYLE_STRONG, kind.name);
    fputs(": ", to);
    evn_put_paragraph_within(to, evn_look_prose(look), strlen(kind.name) + 2, "  ", kind.help);
    for (size_t i = 0; evn_key_at(name, i, &key); i++)
        if (!put_key(name, key.key, &key, to, look))
            return false;
    return true;
}

/* ------------------------------------------------------------------------------------------------ kinds below */

typedef struct met { /* kinds met so far, in order */
    const char *at[KINDS_MOST];
    size_t count;
} met;

static void meet(met *all, const char *kind)
{
    for (size_t i = 0; i < all->count; i++)
        if (strcmp(all->at[i], kind) == 0)
            return;
    if (all->count == KINDS_MOST)
        return;
    all->at[all->count++] = kind;
    evn_key key;
    for (size_t i = 0; evn_key_at(kind, i, &key); i++) {
        const char *step;
        if (key.kind)
            meet(all, key.kind);
        for (size_t k = 0; key.shape == EVN_KEY_STEPS && (step = evn_key_step(kind, key.key, k)); k++)
            meet(all, step);
    }
}

static bool put_all(const met *all, FILE *to, const evn_look *look)
{
    for (size_t i = 0; i < all->count; i++) {
        if (i > 0)
            fputc('\n', to);
        if (!put_kind(all->at[i], to, look))
            return false;
    }
    return true;
}

bool evn_keys_text(const char *path, const evn_key_place *place, FILE *to, const evn_look *look)
{
    evn_key key = {0};
    met all = {0};
    if (place->holder && evn_key_at(place->holder, place->index, &key) && !put_key(place->holder, path, &key, to, look))
        return false;
    if (place->holder && (place->inner || key.shape == EVN_KEY_STEPS))
        fputc('\n', to);
    const char *step;
    if (place->inner)
        meet(&all, place->inner);
    else if (key.shape == EVN_KEY_STEPS)
        for (size_t i = 0; (step = evn_key_step(place->holder, key.key, i)); i++)
            meet(&all, step);
    return put_all(&all, to, look);
}

bool evn_keys_everywhere(const char *name, bool *found, FILE *to, const evn_look *look)
{
    evn_kind kind;
    evn_key key;
    *found = false;
    for (size_t i = 0; evn_kind_at(i, &kind); i++)
        for (size_t k = 0; evn_key_at(kind.name, k, &key); k++) {
            char shown[160];
            if (strcmp(key.key, name) != 0)
                continue;
            snprintf(shown, sizeof shown, "%s.%s", kind.name, name);
            *found = true;
            if (!put_key(kind.name, shown, &key, to, look))
                return false;
        }
    return true;
}

/* ------------------------------------------------------------------------------------------------ overview */

/* The first key that leads to the kind, as "axle.tyre", "truck.axles.NAME", and how many more there are. */
static void find_place(const char *kind, char *out, size_t size)
{
    evn_kind holder;
    evn_key key;
    size_t places = 0;
    out[0] = '\0';
    for (size_t i = 0; evn_kind_at(i, &holder); i++)
        for (size_t k = 0; evn_key_at(holder.name, k, &key); k++) {
            const char *step = NULL;
            for (size_t n = 0; key.shape == EVN_KEY_STEPS && (step = evn_key_step(holder.name, key.key, n)); n++)
                if (strcmp(step, kind) == 0)
                    break;
            bool leads = step || (key.kind && strcmp(key.kind, kind) == 0);
            if (leads && places++ == 0)
                snprintf(out, size, "%s.%s%s%s", holder.name, key.key,
                         key.shape == EVN_KEY_NAMED ? ".NAME"
                         : step                     ? "[N]."
                                                    : "",
                         step ? step : "");
        }
    if (places == 0)
        snprintf(out, size, "a file");
    size_t used = strlen(out);
    if (places > 1)
        snprintf(out + used, size - used, " and %zu more", places - 1);
}

bool evn_keys_overview(FILE *to, const evn_look *look)
{
    static const evn_table_column columns[] = {
        {"kind", false, false}, {"what", false, true}, {"stands in", false, true}};
    evn_table *table = evn_table_new(columns, 3, true);
    bool made = table;
    evn_kind kind;
    for (size_t i = 0; made && evn_kind_at(i, &kind); i++) {
        char place[160];
        find_place(kind.name, place, sizeof place);
        made = evn_table_row(table, (const char *const[]){kind.name, kind.help, place});
    }
    made = made && evn_table_print(table, to, "  ", evn_look_width(look));
    evn_table_free(table);
    if (made) {
        fputc('\n', to);
        evn_put_paragraph_within(to, evn_look_prose(look), 0, "",
                                 "'evener keys KIND' shows the keys of a kind and of all below it; so does the path of "
                                 "a key, such as truck.battery or drive_units.rear.gearbox.ratios.");
    }
    return made;
}
