/* How sure the differences of a comparison are: what was found, and how it is put together. */
#ifndef EVENER_UNCERTAINTY_ANSWER_H
#define EVENER_UNCERTAINTY_ANSWER_H
#include "uncertainty/cases.h"
#include "uncertainty/first_order.h"

enum { EVN_BASES = 2, EVN_METHODS = 3 };

/* Of one truck against another. */
typedef struct evn_pair {
    bool there[EVN_BASES][EVN_METHODS];
    evn_sureness sure[EVN_BASES][EVN_METHODS];
    evn_share *share[EVN_BASES]; /* the largest first */
    size_t shares[EVN_BASES];
} evn_pair;

struct evn_uncertainty {
    evn_arena *arena;
    const evn_comparison *of;
    evn_data data;
    evn_varied varied;
    evn_uncertainty_facts facts;
    size_t trucks;
    uint64_t in[EVN_BASES];                      /* bit i: truck i takes part */
    double compared[EVN_BASES][EVN_LINEUP_MOST]; /* the judged result, as compared, ... */
    double nominal[EVN_BASES][EVN_LINEUP_MOST]; /* ... and at the speed that changes of one datum were driven at, ... */
    double middle[EVN_BASES][EVN_LINEUP_MOST];  /* ... there with all data in the middle of their ranges */
    double drawn[EVN_LINEUP_MOST];              /* and as they are at the speed of the draws */
    evn_case *single[EVN_BASES];                /* each datum up, then down */
    evn_case *draw;
    size_t draws;
    evn_case_reasons draw_reasons;
    size_t rank[EVN_LINEUP_MOST], ranked;
    evn_pair *pair; /* [trucks][trucks] */
};

/* From all that was driven. False when memory is out. */
bool evn_answer_make(evn_uncertainty *);

#endif
