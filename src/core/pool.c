/* Threads that take the next job of a list until there is none. */
#define _POSIX_C_SOURCE 200809L
#include "core/pool.h"
#include <pthread.h>
#include <stdbool.h>
#include <unistd.h>

enum { THREADS_MOST = 64, STACK_BYTES = 1 << 20 };

typedef struct pool {
    pthread_mutex_t lock;
    size_t next, jobs;
    void (*job)(void *self, size_t index);
    void *self;
} pool;

/* The next job that nobody has taken; `jobs` when there is none left. */
static size_t take(pool *p)
{
    pthread_mutex_lock(&p->lock);
    size_t index = p->next < p->jobs ? p->next++ : p->jobs;
    pthread_mutex_unlock(&p->lock);
    return index;
}

static void *work(void *self)
{
    pool *p = self;
    for (size_t index = take(p); index < p->jobs; index = take(p))
        p->job(p->self, index);
    return NULL;
}

static size_t threads_for(size_t asked, size_t jobs)
{
    if (asked == 0) {
        long online = sysconf(_SC_NPROCESSORS_ONLN);
        asked = online > 0 ? (size_t)online : 1;
    }
    asked = asked < THREADS_MOST ? asked : THREADS_MOST;
    return asked < jobs ? asked : jobs;
}

/* Threads of a process with a small stack would take that for theirs. */
static bool start(pthread_t *thread, pool *p)
{
    pthread_attr_t with;
    if (pthread_attr_init(&with))
        return false;
    bool started = !pthread_attr_setstacksize(&with, STACK_BYTES) && !pthread_create(thread, &with, work, p);
    pthread_attr_destroy(&with);
    return started;
}

void evn_pool_run(size_t threads, size_t jobs, void (*job)(void *self, size_t index), void *self)
{
    pool p = {.lock = PTHREAD_MUTEX_INITIALIZER, .jobs = jobs, .job = job, .self = self};
    pthread_t helper[THREADS_MOST];
    size_t helpers = 0, wanted = threads_for(threads, jobs);
    while (helpers + 1 < wanted && start(&helper[helpers], &p))
        helpers++;
    work(&p);
    for (size_t i = 0; i < helpers; i++)
        pthread_join(helper[i], NULL);
    pthread_mutex_destroy(&p.lock);
}
