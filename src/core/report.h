/* Diagnostics: every fault the program can report is a row of EVN_FAULTS; a report collects findings for the caller. */
#ifndef EVENER_CORE_REPORT_H
#define EVENER_CORE_REPORT_H
#include "evener/evener.h"
#include <stdarg.h>
#include <stdint.h>

/* X(enum name, printed name, status it leads to, severity, meaning) */
#define EVN_FAULTS(X)                                                                                                  \
    X(CANNOT_READ, "cannot_read", EVN_BAD_IO, EVN_ERROR, "a file could not be opened or read")                         \
    X(CANNOT_WRITE, "cannot_write", EVN_BAD_IO, EVN_ERROR, "a file could not be written; nothing was left behind")     \
    X(STORE_NOT_WRITTEN, "store_not_written", EVN_BAD_IO, EVN_ERROR,                                                   \
      "a file of variants could not be written; what was whole in it before is kept")                                  \
    X(OUT_OF_MEMORY, "out_of_memory", EVN_NO_RESULT, EVN_ERROR, "memory ran out")                                      \
    X(USAGE, "usage", EVN_BAD_INPUT, EVN_ERROR, "a command line, or a call of the library, that does not fit")         \
    X(SYNTAX, "syntax", EVN_BAD_INPUT, EVN_ERROR, "text that is not the YAML or CSV this program reads")               \
    X(TOO_LARGE, "too_large", EVN_BAD_INPUT, EVN_ERROR, "a file, list, nesting or text beyond its limit")              \
    X(ANCHOR, "anchor", EVN_BAD_INPUT, EVN_ERROR, "YAML anchors, aliases and tags; extends and use do that job")       \
    X(DUPLICATE_KEY, "duplicate_key", EVN_BAD_INPUT, EVN_ERROR, "the same key twice in one map")                       \
    X(UNKNOWN_KEY, "unknown_key", EVN_BAD_INPUT, EVN_ERROR, "a key that the object does not have")                     \
    X(MISSING_KEY, "missing_key", EVN_BAD_INPUT, EVN_ERROR, "a key that the object must have")                         \
    X(WRONG_SHAPE, "wrong_shape", EVN_BAD_INPUT, EVN_ERROR,                                                            \
      "a map where a number belongs, a list where a map does, ...")                                                    \
    X(NOT_A_NUMBER, "not_a_number", EVN_BAD_INPUT, EVN_ERROR, "text where a plain decimal number belongs")             \
    X(OUT_OF_RANGE, "out_of_range", EVN_BAD_INPUT, EVN_ERROR, "a number outside the hard bounds of its key")           \
    X(UNKNOWN_CHOICE, "unknown_choice", EVN_BAD_INPUT, EVN_ERROR, "a word that is not among the choices of its key")   \
    X(DISAGREES, "disagrees", EVN_BAD_INPUT, EVN_ERROR, "two values that cannot both hold")                            \
    X(NOT_FOUND, "not_found", EVN_BAD_INPUT, EVN_ERROR, "a file named by extends, use or table that is not there")     \
    X(INCLUSION_LOOP, "inclusion_loop", EVN_BAD_INPUT, EVN_ERROR, "a file that extends or uses itself")                \
    X(UNUSUAL_VALUE, "unusual_value", EVN_DONE, EVN_WARNING, "inside the bounds, outside what sound designs show")     \
    X(FILLED_MAP, "filled_map", EVN_DONE, EVN_WARNING, "a motor ran often where its loss map holds no measured cells") \
    X(COARSE_MAP, "coarse_map", EVN_DONE, EVN_WARNING,                                                                 \
      "a loss map whose points lie far apart, or far from what losses of motors follow")                               \
    X(LIMIT_PASSED, "limit_passed", EVN_DONE, EVN_WARNING, "a run passed a limit that a file states")                  \
    X(NOT_HELD, "not_held", EVN_DONE, EVN_WARNING,                                                                     \
      "endurance braking found no speed that is held without friction brakes")                                         \
    X(BATTERY_FULL, "battery_full", EVN_DONE, EVN_WARNING,                                                             \
      "a full battery refused braking work that friction brakes took instead")                                         \
    X(TOO_HOT, "too_hot", EVN_DONE, EVN_WARNING,                                                                       \
      "losses without torque would heat a drive unit beyond the end of its derating, and what was done about it")      \
    X(NOT_DECIDED, "not_decided", EVN_DONE, EVN_WARNING,                                                               \
      "whether a limit binds lies within the range of a time constant")                                                \
    X(OPEN_BALANCE, "open_balance", EVN_DONE, EVN_WARNING, "the energy balance of a run does not close")               \
    X(DRAWS_FAILED, "draws_failed", EVN_DONE, EVN_WARNING,                                                             \
      "trucks with other values within their uncertainty that could not be driven, and count nowhere")                 \
    X(LONE_LABEL, "lone_label", EVN_DONE, EVN_WARNING,                                                                 \
      "a label of errs_with that nothing else bears, while one that is spelled much alike is borne")                   \
    X(NARROWED_RANGE, "narrowed_range", EVN_DONE, EVN_WARNING,                                                         \
      "what a part states of how far a value may be off, which bounds leave no room for since it was written over")    \
    X(LEFT_OVER, "left_over", EVN_DONE, EVN_WARNING,                                                                   \
      "values stated to fall where others rise, of which nothing rises any longer: they do not err")                   \
    X(RUN_REFUSED, "run_refused", EVN_DONE, EVN_WARNING, "a coast-down that is left out, and why")                     \
    X(GAP_IN_LOG, "gap_in_log", EVN_DONE, EVN_WARNING, "power that a log does not tell for a time, and what of it")    \
    X(UNKNOWN_RESULT, "unknown_result", EVN_DONE, EVN_WARNING, "a kept result by a name that no result bears")         \
    X(CANNOT_START, "cannot_start", EVN_ANSWER_NO, EVN_ERROR, "the truck cannot move off at this place")               \
    X(BATTERY_EMPTY, "battery_empty", EVN_ANSWER_NO, EVN_ERROR,                                                        \
      "the usable charge ran out before the end of the cycle")                                                         \
    X(BATTERY_TOO_WEAK, "battery_too_weak", EVN_ANSWER_NO, EVN_ERROR,                                                  \
      "the battery cannot give the power that is asked of it, whatever charge is left")                                \
    X(NOT_CHARGED, "not_charged", EVN_ANSWER_NO, EVN_ERROR,                                                            \
      "a stop that lasts until the battery is charged, and it does not come so far")                                   \
    X(CANNOT_BE_EQUAL, "cannot_be_equal", EVN_BAD_INPUT, EVN_ERROR,                                                    \
      "trucks of a comparison that cannot be made equal in what is asked")                                             \
    X(NOT_FINISHED, "not_finished", EVN_ANSWER_NO, EVN_ERROR,                                                          \
      "a truck among several could not be prepared, or did not finish")                                                \
    X(DEMAND_NOT_MET, "demand_not_met", EVN_ANSWER_NO, EVN_ERROR,                                                      \
      "a truck of a comparison that cannot do what is demanded of it")                                                 \
    X(NO_COASTING, "no_coasting", EVN_BAD_INPUT, EVN_ERROR,                                                            \
      "logs without coast-downs in both directions that can be used")                                                  \
    X(OTHER_STUDY, "other_study", EVN_BAD_INPUT, EVN_ERROR, "variants of another study than the one they are put to")  \
    X(NO_VARIANT, "no_variant", EVN_ANSWER_NO, EVN_ERROR, "none of the variants of a study came to its end")           \
    X(BRAKING_TOO_HARD, "braking_too_hard", EVN_BAD_INPUT, EVN_ERROR,                                                  \
      "a cycle that asks for more braking than tyres give")                                                            \
    X(INTERRUPTED, "interrupted", EVN_NO_RESULT, EVN_ERROR, "the run was ended from outside")                          \
    X(NOT_FINITE, "not_finite", EVN_NO_RESULT, EVN_ERROR, "a quantity of the motion became infinite or undefined")     \
    X(TOO_MANY_EVENTS, "too_many_events", EVN_NO_RESULT, EVN_ERROR, "events without end at one instant")               \
    X(NO_HEADWAY, "no_headway", EVN_NO_RESULT, EVN_ERROR, "too much computing for too little way")                     \
    X(SOLVER_GAVE_UP, "solver_gave_up", EVN_NO_RESULT, EVN_ERROR, "the integrator could not go on")

typedef enum evn_fault {
#define X(name, text, status, severity, meaning) EVN_FAULT_##name,
    EVN_FAULTS(X)
#undef X
        EVN_FAULT_COUNT
} evn_fault;

typedef struct evn_fault_row {
    const char *name;
    evn_status status;
    evn_severity severity;
    const char *meaning;
} evn_fault_row;
extern const evn_fault_row evn_fault_rows[EVN_FAULT_COUNT];

/* That of a finding's name. */
evn_fault evn_fault_named(const char *name);

/* A place in a file; file is an index into the report's file list plus 1, 0 where no file is concerned. */
typedef struct evn_spot {
    uint32_t file, line, column;
} evn_spot;
extern const evn_spot evn_nowhere;

/* Registers a file name (copied) with the report; the same name gives the same number. 0 when memory is out. */
uint32_t evn_report_file(evn_report *, const char *path);

enum { EVN_FINDING_BYTES = 1200 }; /* of the text of a finding at most; one that is longer is cut, and ends in "..." */

/* Adds a finding. The text reads "what was found; what was expected; hint" and ends without a full stop. */
void evn_say(evn_report *, evn_fault, evn_spot at, evn_spot used_from, const char *format, ...)
    __attribute__((format(printf, 5, 6)));

/* The same with the values as a list. */
void evn_vsay(evn_report *, evn_fault, evn_spot at, evn_spot used_from, const char *format, va_list)
    __attribute__((format(printf, 5, 0)));

bool evn_report_is_strict(const evn_report *);

/* What a public call was given, by its name there. */
typedef struct evn_argument {
    const char *name;
    const void *at;
} evn_argument;

/*
 * False where the report or one of these is NULL, which a public call refuses before it does anything else; it is said
 * ("usage") where there is a report. The list ends with {0}.
 */
bool evn_not_null(evn_report *, const char *call, const evn_argument *);

/* True when the report holds an error (not only warnings). */
bool evn_report_failed(const evn_report *);

/* Errors said so far, kept or not; warnings are not counted. */
size_t evn_report_errors(const evn_report *);

#endif
