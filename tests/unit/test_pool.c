/* The thread pool: each job once, whatever the number of threads. */
#define _POSIX_C_SOURCE 200809L
#include "core/pool.h"
#include <check.h>
#include <pthread.h>
#include <stdbool.h>
#include <stdlib.h>

enum { JOBS = 500 };

typedef struct tally {
    unsigned count[JOBS];
    pthread_mutex_t lock;
    pthread_cond_t both_here;
    unsigned here;
} tally;

static void count_job(void *self, size_t index)
{
    tally *of = self;
    of->count[index]++; /* each index is one job's own */
}

START_TEST(each_job_is_done_once_on_any_number_of_threads)
{
    static const size_t threads[] = {0, 1, 2, 3, 16, 1000};
    for (size_t k = 0; k < sizeof threads / sizeof threads[0]; k++) {
        tally of = {.here = 0};
        evn_pool_run(threads[k], JOBS, count_job, &of);
        for (size_t i = 0; i < JOBS; i++)
            ck_assert_uint_eq(of.count[i], 1);
    }
}
END_TEST

START_TEST(no_jobs_are_none)
{
    tally of = {.here = 0};
    evn_pool_run(4, 0, count_job, &of);
    ck_assert_uint_eq(of.count[0], 0);
}
END_TEST

/* Waits until the other has come: ends only where both run at the same time. */
static void meet(void *self, size_t index)
{
    tally *of = self;
    pthread_mutex_lock(&of->lock);
    of->here++;
    pthread_cond_broadcast(&of->both_here);
    while (of->here < 2)
        pthread_cond_wait(&of->both_here, &of->lock);
    pthread_mutex_unlock(&of->lock);
    of->count[index]++;
}

START_TEST(two_threads_work_at_the_same_time)
{
    tally of = {.lock = PTHREAD_MUTEX_INITIALIZER, .both_here = PTHREAD_COND_INITIALIZER};
    evn_pool_run(2, 2, meet, &of);
    ck_assert_uint_eq(of.count[0] + of.count[1], 2);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("pool");
    TCase *tests = tcase_create("pool");
    tcase_add_test(tests, each_job_is_done_once_on_any_number_of_threads);
    tcase_add_test(tests, no_jobs_are_none);
    tcase_add_test(tests, two_threads_work_at_the_same_time);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
