/*
 * Stands before the C library's allocator in this program, SUNDIALS' calls included, and counts those of each thread.
 * The names with two underscores are glibc's own entries to its allocator.
 */
#include "counting.h"
#include <errno.h>
#include <stdlib.h>

void *__libc_malloc(size_t);
void *__libc_calloc(size_t, size_t);
void *__libc_realloc(void *, size_t);
void *__libc_memalign(size_t, size_t);

static _Thread_local unsigned long calls;

unsigned long evn_allocations(void) { return calls; }

void *malloc(size_t bytes)
{
    calls++;
    return __libc_malloc(bytes);
}

void *calloc(size_t count, size_t bytes)
{
    calls++;
    return __libc_calloc(count, bytes);
}

void *realloc(void *old, size_t bytes)
{
    calls++;
    return __libc_realloc(old, bytes);
}

void *aligned_alloc(size_t alignment, size_t bytes)
{
    calls++;
    return __libc_memalign(alignment, bytes);
}

int posix_memalign(void **out, size_t alignment, size_t bytes)
{
    calls++;
    *out = __libc_memalign(alignment, bytes);
    return *out ? 0 : ENOMEM;
}
