/*
 * A case driven, and what must hold of any run judged: it ends, it tells where it cannot, every number is one, no loss
 * is below nothing, no limit that the truck states is passed without a finding, and the energy balances.
 */
#ifndef EVENER_TESTS_TRIAL_H
#define EVENER_TESTS_TRIAL_H
#include <stdbool.h>
#include <stddef.h>

/* X(name, meaning) */
#define TRIAL_FAULTS(X)                                                                                                \
    X(CRASHED, "the program fell over")                                                                                \
    X(NOT_ENDED, "no end within 20 s of processor time")                                                               \
    X(GAVE_UP, "no results: the run gave up on the way")                                                               \
    X(UNPLACED, "refused, but no finding says where in the files")                                                     \
    X(NOT_FINITE, "a number that is none, and is not said to be")                                                      \
    X(LOSS_NEGATIVE, "a loss below nothing")                                                                           \
    X(BALANCE, "the energy balance leaves open more than 2e-5 of the energy that moved")                               \
    X(AXLES, "friction braking of the axles that does not sum up to that of the balance")                              \
    X(WINDING, "winding hotter than derate_to_degc, without a finding")                                                \
    X(INVERTER, "inverter hotter than derate_to_degc, without a finding")                                              \
    X(COOLANT, "coolant hotter than limit_degc, without a finding")                                                    \
    X(BATTERY, "battery hotter than limit_degc, without a finding")                                                    \
    X(AXLE_BRAKE, "friction brakes of an axle hotter than limit_degc, without a finding that names it")                \
    X(FRICTION_POWER, "friction braking power above friction_power_limit_kw, without a finding")                       \
    X(DISCHARGE, "more than discharge_limit_kw out of the battery, without a finding")                                 \
    X(CHARGE, "more than charge_limit_kw, or its taper, into the battery, without a finding")                          \
    X(VOLTAGE_LOW, "terminals below minimum_voltage_v, without a finding")                                             \
    X(VOLTAGE_HIGH, "terminals above maximum_voltage_v, without a finding")                                            \
    X(SPEED, "a motor above top_speed_rpm, without a finding")                                                         \
    X(CHARGE_STATE, "state of charge outside the usable window, without a finding")

typedef enum trial_fault {
#define X(name, meaning) TRIAL_##name,
    TRIAL_FAULTS(X)
#undef X
        TRIAL_FAULT_COUNT
} trial_fault;
extern const char *const trial_fault_names[TRIAL_FAULT_COUNT], *const trial_fault_meanings[TRIAL_FAULT_COUNT];

/* How it ended. */
#define TRIAL_ENDS(X)                                                                                                  \
    X(REFUSED_FILE, "refused by the loader")                                                                           \
    X(REFUSED_RIG, "refused when made ready to drive")                                                                 \
    X(FINISHED, "finished")                                                                                            \
    X(STALLED, "stalled")                                                                                              \
    X(BATTERY_EMPTY, "battery empty")                                                                                  \
    X(NO_RESULT, "no results")

typedef enum trial_end {
#define X(name, meaning) TRIAL_##name,
    TRIAL_ENDS(X)
#undef X
        TRIAL_END_COUNT
} trial_end;
extern const char *const trial_end_names[TRIAL_END_COUNT];

enum { TRIAL_WHY_BYTES = 200 };
typedef struct trial_verdict {
    trial_end end;
    bool fault[TRIAL_FAULT_COUNT];
    char why[TRIAL_FAULT_COUNT][TRIAL_WHY_BYTES]; /* of each fault that there is */
    char refusal[TRIAL_WHY_BYTES];                /* the first finding of what was refused */
    int within_s;                                 /* what it might take */
    double processor_s;
} trial_verdict;

bool trial_failed(const trial_verdict *);

/* What a run may take, in seconds of processor time. */
enum { TRIAL_WITHIN_S = 20 };

/*
 * Drives FOLDER/truck.yaml over FOLDER/cycle.yaml as the one run of FOLDER/kept.yaml asks, in a process of its own that
 * may take so many seconds of processor time.
 */
trial_verdict trial_drive(const char *folder, int within_s);

#endif
