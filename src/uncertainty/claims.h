/* Claims: who says of which number how far it may be off. Entries of `uncertain`, and defaults of keys. */
#ifndef EVENER_UNCERTAINTY_CLAIMS_H
#define EVENER_UNCERTAINTY_CLAIMS_H
#include "core/uncertain.h"
#include "uncertainty/data.h"
#include "uncertainty/places.h"

/* Of one number the least counts. From the truck's own on: how many steps of the path lead to what states it. */
enum { EVN_CLAIM_BESIDE = -2, EVN_CLAIM_LINEUP = -1, EVN_CLAIM_TRUCK = 0, EVN_CLAIM_USUAL = 1000 };

typedef struct evn_claim {
    evn_erring_in in;
    size_t truck;          /* EVN_IN_TRUCK */
    const char *path, *of; /* from the root of that object: of the number, and of the list that it is in */
    const char *as;        /* of what it errs with by default: the same value of the first of items that are alike */
    const evn_field *field;
    double *at; /* in the copies */
    double nominal;
    int rank;
    double half_width, offset;
    evn_error_shape shape;
    const evn_uncertain_file *entry;    /* NULL: by default */
    const char *entry_name, *entry_at;  /* its path from the root that its places know */
    const evn_usual_uncertainty *usual; /* NULL: stated */
    const void *holder;                 /* of a default: the object that has the key */
    size_t order;
} evn_claim;

typedef struct evn_claims {
    const evn_erring *of;
    evn_arena *arena; /* paths of numbers; ... */
    evn_arena *aside; /* ... all else, with copies that may be written */
    evn_report *report;
    evn_places places, places_beside;
    void **truck;
    void *cycle;
    evn_load_case load_case;
    evn_claim *at;
    size_t count, room;
    bool failed;
} evn_claims;

/* False (said). */
bool evn_claims_gather(evn_claims *);

/* The object that a number is in, as it was copied. */
const evn_object *evn_claim_root(evn_claims *, const evn_claim *, void **copy);
/* Its row in what was read: of the value, or of what is around it. NULL: its places are not known. */
const evn_value *evn_claim_place(const evn_claims *, const evn_claim *, bool around);
/* The row of the entry; NULL: by default, or not known. */
const evn_value *evn_claim_entry_place(const evn_claims *, const evn_claim *);
/* Whether the value was written over by who uses the part, or extends the file, that states the entry. */
bool evn_claim_is_written_over(const evn_claims *, const evn_claim *);
/* From the lineup's root, in the arena aside; NULL: memory is out. */
const char *evn_claim_whole_path(const evn_claims *, const evn_claim *, const char *path);

bool evn_claims_no_memory(evn_claims *);

#endif
