/* Whether two files of variants are of one study: a hash of all that its rows follow from. */
#ifndef EVENER_VARY_IDENTITY_H
#define EVENER_VARY_IDENTITY_H
#include "vary/seats.h"

uint64_t evn_study_hash(const evn_study_file *, const evn_conditions *);

/* Of what the study is with each combination of its choices: of all that their files say. */
uint64_t evn_choices_hash(const evn_seats *);

#endif
