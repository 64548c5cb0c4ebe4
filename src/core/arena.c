/* Chunks from the heap, handed out front to back; a request larger than a chunk gets a chunk of its own. */
#include "core/arena.h"
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { CHUNK_BYTES = 64 * 1024, ALIGNMENT = _Alignof(max_align_t) };

typedef struct chunk chunk;
struct chunk {
    chunk *next;
    size_t used, size; /* of the bytes after this head */
    _Alignas(max_align_t) unsigned char bytes[];
};

typedef struct only only;
struct only { /* the one piece of a kind */
    only *next;
    const void *kind;
    void *piece;
};

struct evn_arena {
    chunk *current; /* the newest chunk of usual size, or the only one */
    only *onlies;   /* taken from the arena itself */
    evn_arena *within, *next;
};

static chunk *chunk_new(size_t size)
{
    if (size > SIZE_MAX - sizeof(chunk))
        return NULL;
    chunk *made = calloc(1, sizeof(chunk) + size);
    if (made)
        made->size = size;
    return made;
}

evn_arena *evn_arena_new(void) { return calloc(1, sizeof(evn_arena)); }

evn_arena *evn_arena_within(evn_arena *arena)
{
    evn_arena *made = evn_arena_new();
    if (!made)
        return NULL;
    made->next = arena->within;
    arena->within = made;
    return made;
}

void evn_arena_clear(evn_arena *arena)
{
    for (evn_arena *at = arena->within; at;) {
        evn_arena *next = at->next;
        evn_arena_free(at);
        at = next;
    }
    for (chunk *at = arena->current; at;) {
        chunk *next = at->next;
        free(at);
        at = next;
    }
    evn_arena *next = arena->next;
    *arena = (evn_arena){.next = next};
}

void evn_arena_free(evn_arena *arena)
{
    if (!arena)
        return;
    evn_arena_clear(arena);
    free(arena);
}

/* A chunk with room for the bytes. A large one is put behind the current chunk, whose rest stays in use. */
static chunk *chunk_with_room(evn_arena *arena, size_t bytes)
{
    chunk *current = arena->current;
    if (current && current->size - current->used >= bytes)
        return current;
    chunk *made = chunk_new(bytes > CHUNK_BYTES / 4 ? bytes : CHUNK_BYTES);
    if (!made)
        return NULL;
    if (made->size == CHUNK_BYTES || !current) {
        made->next = current;
        arena->current = made;
    } else {
        made->next = current->next;
        current->next = made;
    }
    return made;
}

void *evn_arena_take(evn_arena *arena, size_t bytes)
{
    if (bytes > SIZE_MAX - ALIGNMENT)
        return NULL;
    size_t rounded = bytes == 0 ? ALIGNMENT : (bytes + ALIGNMENT - 1) / ALIGNMENT * ALIGNMENT;
    chunk *from = chunk_with_room(arena, rounded);
    if (!from)
        return NULL;
    void *taken = from->bytes + from->used;
    from->used += rounded;
    return taken;
}

char *evn_arena_text(evn_arena *arena, const char *text, size_t length)
{
    if (length == SIZE_MAX)
        return NULL;
    char *copy = evn_arena_take(arena, length + 1);
    if (copy && length > 0)
        memcpy(copy, text, length);
    return copy;
}

void *evn_arena_only(evn_arena *arena, const void *kind, size_t bytes)
{
    for (const only *at = arena->onlies; at; at = at->next)
        if (at->kind == kind)
            return at->piece;
    only *made = evn_arena_take(arena, sizeof *made);
    void *piece = made ? evn_arena_take(arena, bytes) : NULL;
    if (!piece)
        return NULL;
    *made = (only){arena->onlies, kind, piece};
    arena->onlies = made;
    return piece;
}
