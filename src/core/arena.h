/* Memory that lives and dies together: everything read from one file. Not thread safe; one owner. */
#ifndef EVENER_CORE_ARENA_H
#define EVENER_CORE_ARENA_H
#include <stddef.h>

typedef struct evn_arena evn_arena;
evn_arena *evn_arena_new(void);
void evn_arena_free(evn_arena *);
void *evn_arena_take(evn_arena *, size_t bytes); /* zeroed, aligned for any type; NULL when memory is out */
char *evn_arena_text(evn_arena *, const char *text, size_t length);

/* An arena within another: freed with it, and by it alone. NULL when memory is out. */
evn_arena *evn_arena_within(evn_arena *);
/* Gives back all that was taken from it, and from those within it. */
void evn_arena_clear(evn_arena *);
/*
 * The one piece of a kind in an arena, zeroed when it is first asked for; NULL when memory is out. A kind is the
 * address of something that lives as long as the program.
 */
void *evn_arena_only(evn_arena *, const void *kind, size_t bytes);

#endif
