/* A study driven whole: what stands behind evn_vary (evener/vary.h). */
#ifndef EVENER_VARY_VARY_H
#define EVENER_VARY_VARY_H
#include "evener/vary.h"
#include "vary/seats.h"

typedef struct evn_vary_inputs { /* all must outlive the call */
    const evn_study_file *study;
    const evn_conditions *ask;
    const char *version;
    evn_study_reader reader;
} evn_vary_inputs;

/* NULL where nothing could be begun, or it was stopped or failed (said). */
evn_variants *evn_vary_all(const evn_vary_inputs *, const evn_vary_how *, evn_report *);

#endif
