/* Numbers have a point, in and out, whatever locale the calling thread is in. The includer asks for POSIX 2008. */
#ifndef EVENER_CORE_PLAIN_LOCALE_H
#define EVENER_CORE_PLAIN_LOCALE_H
#include <locale.h>
#include <stdbool.h>

typedef struct evn_plain_locale {
    locale_t plain, before;
} evn_plain_locale;

/* False when memory is out: the thread stays in its locale, and there is nothing to leave. */
bool evn_plain_locale_enter(evn_plain_locale *);
void evn_plain_locale_leave(const evn_plain_locale *);

#endif
