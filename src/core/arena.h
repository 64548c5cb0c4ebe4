/* Memory that lives and dies together: everything read from one file. Not thread safe; one owner. */
#ifndef EVENER_CORE_ARENA_H
#define EVENER_CORE_ARENA_H
#include <stddef.h>

typedef struct evn_arena evn_arena;
evn_arena *evn_arena_new(void);
void evn_arena_free(evn_arena *);
void *evn_arena_take(evn_arena *, size_t bytes); /* zeroed, aligned for any type; NULL when memory is out */
char *evn_arena_text(evn_arena *, const char *text, size_t length);

#endif
