/* One variant: numbers written, made ready, driven, asked; what came of it as a row. */
#ifndef EVENER_VARY_DRIVE_H
#define EVENER_VARY_DRIVE_H
#include "vary/columns.h"
#include "vary/seats.h"

enum { EVN_UNMET_BYTES = EVN_STUDY_BYTES + 80 };

/* Words of `status` beside those of results. */
#define EVN_VARIANT_REFUSED "refused" /* a number, or a truck, that cannot be: nothing was driven */

typedef struct evn_row {
    uint64_t id;
    size_t truck;
    double input[EVN_VARIABLES_MOST]; /* of choices the place of the one chosen */
    const char *status;               /* as of results; "failed"; EVN_VARIANT_REFUSED; "interrupted": it counts as
                                         not driven */
    const char *fault;                /* of the first finding, errors before warnings; NULL: none */
    char finding[EVN_FINDING_BYTES];
    bool finished; /* it came to its end, so that results are of the whole */
    bool may_be;   /* it finished, and breaks no constraint */
    char unmet[EVN_UNMET_BYTES];
    double *value; /* of each column */
} evn_row;

typedef struct evn_variants_of { /* what all variants share; constant while they are driven */
    const evn_study_file *study;
    evn_seats *seats;
    const evn_columns *columns;
    evn_conditions ask;
    void *self;
    bool (*go_on)(void *self, double done_share); /* NULL: it is driven to its end */
} evn_variants_of;

/* Drives the row's truck with its inputs. False when memory is out. */
bool evn_variant_drive(const evn_variants_of *, evn_row *);

#endif
