/* Field tables of kept results. */
#include "judge/kept.h"
#include "trip/driving.h"
#include "truck/load_case.h"
#include <math.h>
#include <stddef.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* ------------------------------------------------------------------------------------------------ tolerances */

static const evn_field tolerance_fields[] = {
    {.key = "absolute",
     .shape = EVN_NUMBER,
     .most = 1e9,
     .fallback = (double)NAN,
     .offset = offsetof(evn_tolerance_file, absolute),
     .help = "in the unit of the quantity; not given: as a new file has it"},
    {.key = "relative",
     .shape = EVN_NUMBER,
     .most = 1,
     .fallback = (double)NAN,
     .offset = offsetof(evn_tolerance_file, relative),
     .help = "times the kept value, on top of the absolute one; not given: as a new file has it"},
};
static const evn_object tolerance_object = {"tolerance",
                                            "by how much a kind of quantity may differ",
                                            sizeof(evn_tolerance_file),
                                            tolerance_fields,
                                            COUNT(tolerance_fields),
                                            NULL};

static const evn_field tolerances_fields[] = {
#define X(name, absolute, relative, meaning)                                                                           \
    {.key = #name,                                                                                                     \
     .shape = EVN_ONE,                                                                                                 \
     .presence = EVN_DEFAULTED,                                                                                        \
     .offset = offsetof(evn_tolerances_file, name),                                                                    \
     .of = &tolerance_object,                                                                                          \
     .help = meaning},
    EVN_TOLERANCES(X)
#undef X
};
static const evn_object tolerances_object = {"tolerances",
                                             "by how much results may differ from kept ones",
                                             sizeof(evn_tolerances_file),
                                             tolerances_fields,
                                             COUNT(tolerances_fields),
                                             NULL};

/* ------------------------------------------------------------------------------------------------ runs */

static const evn_field run_fields[] = {
    {.key = "lineup",
     .shape = EVN_TEXT,
     .offset = offsetof(evn_kept_run_file, lineup),
     .help =
         "path of a lineup, from the folder of this file: the run is that of one of its trucks, as the lineup asks"},
    {.key = "truck",
     .shape = EVN_TEXT,
     .presence = EVN_REQUIRED,
     .offset = offsetof(evn_kept_run_file, truck),
     .help = "path of a truck file, likewise; with a lineup the name of a truck in it"},
    {.key = "cycle",
     .shape = EVN_TEXT,
     .offset = offsetof(evn_kept_run_file, cycle),
     .help = "path of a cycle file, likewise; needed without a lineup, which has its own"},
    {.key = "load_case",
     .shape = EVN_ONE,
     .offset = offsetof(evn_kept_run_file, load_case),
     .of = &evn_load_case_object,
     .help = "what the truck is made ready for"},
    {.key = "driving",
     .shape = EVN_ONE,
     .offset = offsetof(evn_kept_run_file, driving),
     .of = &evn_driving_object,
     .help = "how it is driven"},
    {.key = "set",
     .shape = EVN_TEXTS,
     .offset = offsetof(evn_kept_run_file, set),
     .count_most = 100,
     .help = "values that replace those of the files, KEY=VALUE as for --set; paths in them from the folder of this "
             "file"},
    {.key = "truck_hash",
     .shape = EVN_TEXT,
     .offset = offsetof(evn_kept_run_file, truck_hash),
     .help = "of all that the truck file says, what it extends and uses included; written by evener keep"},
    {.key = "cycle_hash",
     .shape = EVN_TEXT,
     .offset = offsetof(evn_kept_run_file, cycle_hash),
     .help = "of all that the cycle file says, its tables included, and of what a lineup asks; written by evener keep"},
    {.key = "ask_hash",
     .shape = EVN_TEXT,
     .offset = offsetof(evn_kept_run_file, ask_hash),
     .help = "of load case and driving, defaults included; written by evener keep"},
    {.key = "status",
     .shape = EVN_TEXT,
     .offset = offsetof(evn_kept_run_file, status),
     .help = "how the run ended; written by evener keep"},
    {.key = "results",
     .shape = EVN_FIGURES,
     .offset = offsetof(evn_kept_run_file, results),
     .count_most = 500,
     .help = "what came of it, by the keys of evener drive --json; written by evener keep"},
};
static void check_run(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_kept_run_file *run = self;
    if (!run->lineup && !run->cycle)
        evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, "",
                   "a run without cycle and without lineup; expected one of them");
    const char *beside = run->cycle ? "cycle" : run->load_case ? "load_case" : run->driving ? "driving" : NULL;
    if (run->lineup && beside)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, beside, "%s beside a lineup; expected the lineup's own", beside);
}
static const evn_object run_object = {"kept_run", "a run and what came of it", sizeof(evn_kept_run_file),
                                      run_fields, COUNT(run_fields),           check_run};

static const evn_field kept_fields[] = {
    {.key = "about",
     .shape = EVN_TEXT,
     .offset = offsetof(evn_kept_file, about),
     .help = "what these runs are kept for"},
    {.key = "program",
     .shape = EVN_TEXT,
     .offset = offsetof(evn_kept_file, program),
     .help = "version of evener that recorded them; written by evener keep"},
    {.key = "tolerances",
     .shape = EVN_ONE,
     .presence = EVN_DEFAULTED,
     .offset = offsetof(evn_kept_file, tolerances),
     .of = &tolerances_object,
     .help = "a quantity has moved when it differs by more than absolute + relative x kept value"},
    {.key = "runs",
     .shape = EVN_MANY,
     .presence = EVN_REQUIRED,
     .offset = offsetof(evn_kept_file, runs),
     .of = &run_object,
     .count_most = 5000,
     .help = "the runs, by name"},
};
const evn_object evn_kept_object = {
    "kept", "runs with results to hold new ones against", sizeof(evn_kept_file), kept_fields, COUNT(kept_fields), NULL};
