/*
 * A set of rules on masses and axle loads, as it is written: clauses, each with what it limits, when it applies, where
 * it comes from and how far that was read. Regulation, approved testing and licensed practice decide on loads; a set
 * holds figures against them and stands for none of them.
 */
#ifndef EVENER_TRUCK_RULES_H
#define EVENER_TRUCK_RULES_H
#include "core/arena.h"
#include "core/field.h"
#include "evener/rules.h"

/* What a clause limits, in the order of its choices. */
typedef enum evn_clause_limits {
    EVN_CLAUSE_AXLE_LOAD,       /* of one axle */
    EVN_CLAUSE_GROUP_LOAD,      /* of neighbouring axles together */
    EVN_CLAUSE_MOTOR_MASS,      /* of the motor vehicle: the sum of its axles' loads */
    EVN_CLAUSE_TRAILER_MASS,    /* the sum of the trailer's axles' loads */
    EVN_CLAUSE_WHOLE_MASS,      /* of the combination, or of a motor vehicle alone */
    EVN_CLAUSE_DRIVEN_SHARE,    /* of the whole mass, on driven axles */
    EVN_CLAUSE_MASS_PER_LENGTH, /* of the motor vehicle, over the distance of its outermost axles */
    EVN_CLAUSE_BRIDGE           /* of every row of neighbouring axles: the bridge formula */
} evn_clause_limits;

typedef enum evn_clause_driven { EVN_DRIVEN_ANY, EVN_DRIVEN_YES, EVN_DRIVEN_NO } evn_clause_driven;
typedef enum evn_clause_of { EVN_OF_ANY, EVN_OF_MOTOR_VEHICLE, EVN_OF_TRAILER } evn_clause_of;
typedef enum evn_clause_combination {
    EVN_COMBINATION_ANY,
    EVN_COMBINATION_ALONE,       /* a motor vehicle without a trailer */
    EVN_COMBINATION_SEMITRAILER, /* on a fifth wheel */
    EVN_COMBINATION_DRAWBAR,
    EVN_COMBINATION_TRAILER /* either */
} evn_clause_combination;

typedef struct evn_clause_file {
    int limits;                                   /* evn_clause_limits */
    double most_kg, least_percent, most_kg_per_m; /* one of them, as `limits` asks; the others NAN */
    int driven, of, combination;
    double axles_from, axles_to;             /* of the group or the vehicle that is limited; NAN: any */
    double motor_axles_from, motor_axles_to; /* of the motor vehicle */
    double trailer_axles_from, trailer_axles_to;
    double spacing_from_m, spacing_above_m, spacing_to_m, spacing_below_m; /* of neighbouring axles */
    bool twin_tyres, air_suspension, intermodal;
    double axle_at_most_kg;       /* it holds only where no axle carries more; NAN: whatever they carry */
    const char *instead_of;       /* clause; where it applies that one does not */
    double zero_emission_most_kg; /* added to most_kg: what the drivetrain needs more, up to this; NAN: none */
    int status;
    const char *note, *source;
} evn_clause_file;

typedef struct evn_rules_file {
    const char *name, *source;
    bool invented;
    double group_below_m; /* neighbouring axles of a motor vehicle nearer than this are a group */
    evn_many clauses;     /* evn_clause_file */
} evn_rules_file;

extern const evn_object evn_rules_object;

struct evn_rules { /* behind the public handle */
    evn_arena *arena;
    const evn_rules_file *file;
};

enum { EVN_CLAUSES_MOST = 60 };
extern const char *const evn_clause_limits_words[], *const evn_clause_status_words[]; /* end with NULL */

#endif
