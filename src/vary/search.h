/* The best of a study: a survey of samples, and local searches from the best of them. */
#ifndef EVENER_VARY_SEARCH_H
#define EVENER_VARY_SEARCH_H
#include "vary/crew.h"

/* Of each truck, into the crew's file. */
void evn_search_all(evn_crew *, size_t trucks, const evn_vary_how *, evn_report *);

#endif
