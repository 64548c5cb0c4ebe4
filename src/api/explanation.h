/* The rows of an explanation, and those of what parts a difference by causes. */
#ifndef EVENER_API_EXPLANATION_H
#define EVENER_API_EXPLANATION_H
#include "core/arena.h"
#include "evener/explain.h"

struct evn_explanation {
    evn_arena *arena; /* of texts that rows bear */
    evn_explained *at;
    size_t count, room;
};

evn_explanation *evn_explanation_new(void); /* NULL when memory is out */
/* The place of the new row; SIZE_MAX when memory is out. */
size_t evn_explanation_add(evn_explanation *, evn_explained);

/* Whether a key is one of why trucks differ: "why.drivetrain"; also where there is no such block. */
bool evn_explains_why(const char *key);
/* Of such a key; as evn_explain, whose arguments are not NULL. */
evn_status evn_explain_cause(const evn_explained_run *, const char *key, evn_explanation **out, evn_report *);

#endif
