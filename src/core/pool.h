/* A few threads that share a list of jobs. What a job does must not depend on which thread does it, or when. */
#ifndef EVENER_CORE_POOL_H
#define EVENER_CORE_POOL_H
#include <stddef.h>

/*
 * Calls job(self, 0) to job(self, jobs - 1), each once, on up to `threads` threads, the caller's among them, and
 * returns when all are done. 0 threads: as many as there are processors online. Where no more threads can be started,
 * those there are do the work.
 */
void evn_pool_run(size_t threads, size_t jobs, void (*job)(void *self, size_t index), void *self);

#endif
