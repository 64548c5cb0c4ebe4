/* stub */
#include "vary/search.h"
void evn_search_all(evn_crew *c, size_t trucks, const evn_vary_how *how, evn_report *report)
{
    (void)c;
    (void)trucks;
    (void)how;
    (void)report;
}
