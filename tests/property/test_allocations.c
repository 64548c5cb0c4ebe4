/* No memory is taken while a run is integrated: what a run takes does not depend on how long it is. */
#define _POSIX_C_SOURCE 200809L
#include "../unit/folder.h"
#include "../unit/trip_probe.h"

/* ------------------------------------------------------------------------------------------------ counting */

static unsigned long allocations;

#if defined(__has_feature)
#if __has_feature(address_sanitizer)
#define SANITIZER_COUNTS
#endif
#endif
#if defined(__SANITIZE_ADDRESS__)
#define SANITIZER_COUNTS
#endif

#ifdef SANITIZER_COUNTS
/* The sanitizer has an allocator of its own, which calls these where they are defined. */
void __sanitizer_malloc_hook(const volatile void *ptr, size_t size);
void __sanitizer_free_hook(const volatile void *ptr);
void __sanitizer_malloc_hook(const volatile void *ptr, size_t size)
{
    (void)ptr, (void)size;
    allocations++;
}
void __sanitizer_free_hook(const volatile void *ptr) { (void)ptr; }
#else
/* These come before the C library's own, for every shared library of the process too; glibc keeps its own in reach. */
void *__libc_malloc(size_t bytes);
void *__libc_calloc(size_t count, size_t bytes);
void *__libc_realloc(void *old, size_t bytes);
void *malloc(size_t bytes)
{
    allocations++;
    return __libc_malloc(bytes);
}
void *calloc(size_t count, size_t bytes)
{
    allocations++;
    return __libc_calloc(count, bytes);
}
void *realloc(void *old, size_t bytes)
{
    allocations++;
    return __libc_realloc(old, bytes);
}
#endif

/* ------------------------------------------------------------------------------------------------ runs */

typedef struct between { /* allocations so far, at the first row of a trace and at the last */
    unsigned long first, last;
    size_t rows;
} between;

static void count_row(void *self, const double *row, size_t columns)
{
    between *it = self;
    (void)row, (void)columns;
    it->first = it->rows++ == 0 ? allocations : it->first;
    it->last = allocations;
}

static void write_cycle(const char *name, double length_m)
{
    char text[400];
    snprintf(text, sizeof text,
             "name: a run\ninvented: true\nlength_m: %g\nspeed: {place_m: [0, 800], limit_km_h: [50, 80]}\n"
             "road: {place_m: [300, 500, 700, 900], grade_percent: [0, 5, -5, 0]}\n"
             "stops: {place_m: [1200], wait_s: [20]}\n",
             length_m);
    write_file(name, text);
}

/* Allocations of one call of evn_drive. */
static unsigned long allocations_of(const char *truck_path, const char *cycle_name, const evn_driving *driving,
                                    between *watched)
{
    char path[PATH_BYTES];
    evn_watcher watcher = {.self = watched, .sample = count_row};
    evn_load_case load_case = evn_conditions_default().load_case;
    evn_truck *truck = load_truck(truck_path);
    evn_cycle *cycle = load_cycle(in_folder(path, cycle_name));
    drive run = {.report = evn_report_new()};
    evn_rig_prepare(truck, &load_case, &run.rig, run.report);
    unsigned long before = allocations;
    run.status = evn_drive(run.rig, cycle, driving, watched ? &watcher : NULL, &run.results, run.report);
    unsigned long taken = allocations - before;
    ck_assert_msg(run.status == EVN_DONE, "%s", first_finding(run.report));
    drive_end(&run);
    evn_truck_free(truck);
    evn_cycle_free(cycle);
    return taken;
}

START_TEST(a_long_run_takes_no_more_memory_than_a_short_one_with_or_without_a_trace)
{
    between watched[2] = {{0, 0, 0}, {0, 0, 0}};
    evn_driving driving = evn_conditions_default().driving;
    driving.driver = _i % 2 == 0 ? EVN_DRIVER_HUMAN : EVN_DRIVER_EXACT;
    driving.integrator = _i % 4 < 2 ? EVN_INTEGRATOR_CVODE : EVN_INTEGRATOR_ARKODE;
    static const char *const trucks[] = {TRACTOR,
                                         "tests/vehicles/trucks/tractor-4x2-eaxle.yaml", /* coefficients; a loss map */
                                         "tests/trucks/two-units.yaml", "tests/trucks/tandem.yaml"};
    const char *truck = trucks[_i / 4];
    write_cycle("short.yaml", 2000);
    write_cycle("long.yaml", 12000);
    unsigned long brief = allocations_of(truck, "short.yaml", &driving, NULL);
    unsigned long whole = allocations_of(truck, "long.yaml", &driving, NULL);
    ck_assert_uint_gt(brief, 5); /* the count counts: the run itself, the integrator, the results */
    ck_assert_uint_eq(brief, whole);
    ck_assert_uint_eq(brief, allocations_of(truck, "short.yaml", &driving, &watched[0]));
    ck_assert_uint_eq(whole, allocations_of(truck, "long.yaml", &driving, &watched[1]));
    for (size_t k = 0; k < 2; k++) {
        ck_assert_uint_gt(watched[k].rows, 100);
        ck_assert_uint_eq(watched[k].first, watched[k].last);
    }
    ck_assert_uint_gt(watched[1].rows, watched[0].rows + 300);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("allocations");
    TCase *runs = tcase_create("runs");
    tcase_add_checked_fixture(runs, folder_begin, folder_end);
    tcase_add_loop_test(runs, a_long_run_takes_no_more_memory_than_a_short_one_with_or_without_a_trace, 0, 16);
    suite_add_tcase(suite, runs);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
