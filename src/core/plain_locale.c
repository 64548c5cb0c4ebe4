/* The one place that changes the locale of a thread, and changes it back. */
#define _POSIX_C_SOURCE 200809L
#include "core/plain_locale.h"

bool evn_plain_locale_enter(evn_plain_locale *l)
{
    l->plain = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    if (l->plain == (locale_t)0)
        return false;
    l->before = uselocale(l->plain);
    return true;
}

void evn_plain_locale_leave(const evn_plain_locale *l)
{
    uselocale(l->before);
    freelocale(l->plain);
}
