/* The hash of a study: its values, those of what it varies, its texts, and what is asked of its runs; that of all that
 * its choices read. */
#include "vary/identity.h"
#include "core/field_hash.h"
#include "trip/driving.h"
#include "truck/load_case.h"

/* FNV-1a, 64 bits (public domain, Fowler, Noll and Vo). */
static uint64_t with_bytes(uint64_t hash, const void *bytes, size_t count)
{
    const unsigned char *at = bytes;
    for (size_t k = 0; k < count; k++)
        hash = (hash ^ at[k]) * UINT64_C(0x100000001b3);
    return hash;
}

static uint64_t with_text(uint64_t hash, const char *text)
{
    size_t length = 0;
    while (text && text[length] != '\0')
        length++;
    return with_bytes(with_bytes(hash, &(uint64_t){length}, sizeof(uint64_t)), text ? text : "", length);
}

static uint64_t with_texts(uint64_t hash, const evn_text_list *list)
{
    hash = with_bytes(hash, &(uint64_t){list->count}, sizeof(uint64_t));
    for (size_t k = 0; k < list->count; k++)
        hash = with_text(hash, list->at[k]);
    return hash;
}

static uint64_t with_hash(uint64_t hash, uint64_t other) { return with_bytes(hash, &other, sizeof other); }

uint64_t evn_study_hash(const evn_study_file *s, const evn_conditions *ask)
{
    uint64_t hash = with_hash(UINT64_C(0xcbf29ce484222325), evn_object_hash(&evn_study_object, s));
    const evn_text_list *lists[] = {&s->set, &s->constraints, &s->record, &s->least, &s->most};
    for (size_t k = 0; k < sizeof lists / sizeof *lists; k++)
        hash = with_texts(hash, lists[k]);
    for (size_t v = 0; v < s->variables.count; v++) {
        hash = with_texts(hash, &evn_study_variable(s, v)->keys);
        hash = with_texts(hash, &evn_study_variable(s, v)->choices);
    }
    hash = with_text(hash, s->lineup ? s->lineup->season : s->season);
    hash = with_hash(hash, evn_object_hash(&evn_load_case_object, &ask->load_case));
    hash = with_hash(hash, evn_object_hash(&evn_driving_object, &ask->driving));
    return with_hash(hash, ask->before_seasons);
}

uint64_t evn_choices_hash(const evn_seats *seats)
{
    uint64_t hash = UINT64_C(0xcbf29ce484222325);
    for (size_t b = 0; b < seats->bases; b++) {
        const evn_base *base = &seats->base[b];
        hash = with_hash(hash, base->file ? evn_object_hash(&evn_study_object, base->file) : 0);
        hash = with_text(hash, base->file ? NULL : base->why);
    }
    return hash;
}
