/*
 * Field tables: every YAML key of every object is one evn_field, owned by the room whose struct it fills. The reader,
 * the reference of keys and the checks on ranges all walk these tables; nothing else knows a key.
 *
 * The structs hold what the file says, in the unit of the key. Conversion to SI happens when a truck or cycle is
 * prepared.
 */
#ifndef EVENER_CORE_FIELD_H
#define EVENER_CORE_FIELD_H
#include "core/report.h"

/* What a member of the struct is, by shape. */
typedef enum evn_shape {
    EVN_NUMBER,  /* double */
    EVN_COUNT,   /* double holding a whole number */
    EVN_FLAG,    /* bool; written true or false */
    EVN_TEXT,    /* const char *, UTF-8, NULL when absent */
    EVN_CHOICE,  /* int, index into choices */
    EVN_LIST,    /* evn_list of numbers */
    EVN_ONE,     /* const struct *, the object `of`; NULL when absent and optional */
    EVN_MANY,    /* evn_many: a map of named objects `of`, in the order of the file */
    EVN_STEPS,   /* evn_steps: a list of one-key maps; the key picks the object among `kinds` */
    EVN_SHEET,   /* const evn_sheet *: the path of a CSV file beside this one; NULL when absent */
    EVN_FIGURES, /* evn_numbers: a map of names, any, to numbers */
    EVN_TEXTS    /* evn_text_list: a list of texts */
} evn_shape;

typedef struct evn_list {
    const double *at;
    size_t count;
} evn_list;

typedef struct evn_text_list {
    const char *const *at; /* ends with NULL; NULL when absent */
    size_t count;
} evn_text_list;

typedef struct evn_many {
    const char *const *name;
    const void *item; /* contiguous structs of object->size bytes */
    size_t count;
} evn_many;

typedef struct evn_step {
    size_t kind;      /* index into the field's kinds */
    const void *item; /* a struct of that kind's object */
} evn_step;

typedef struct evn_steps {
    const evn_step *at;
    size_t count;
} evn_steps;

/* Numbers by name, in the order of the file. What is written as `none` is NAN: known not to be a number. */
typedef struct evn_figures {
    const char *const *name;
    const double *value;
    size_t count;
} evn_numbers;

/* A CSV file: '#' comment lines, one header line of column names, rows of numbers. Text columns are dropped. */
typedef struct evn_sheet {
    size_t columns, rows;
    const char *const *name;     /* [columns] */
    const double *const *column; /* [columns][rows] */
    const char *file;            /* as findings name it */
    uint32_t header_line;
    const uint32_t *line; /* [rows]: line number of each row */
} evn_sheet;

/* Places in a sheet, as the report names them: the header, and the beginning of a row. */
evn_spot evn_sheet_header(const evn_sheet *, evn_report *);
evn_spot evn_sheet_row(const evn_sheet *, size_t row, evn_report *);

typedef enum evn_presence {
    EVN_OPTIONAL, /* may be absent: number keys take `fallback`, others are NULL or empty */
    EVN_REQUIRED, /* must be written */
    EVN_DEFAULTED /* EVN_ONE only: when absent, an object made of its own fallbacks */
} evn_presence;

typedef struct evn_object evn_object;
typedef struct evn_usual_uncertainty evn_usual_uncertainty; /* core/uncertain.h */

typedef struct evn_kind_row { /* one row of the kinds of an EVN_STEPS field */
    const char *key;
    const evn_object *object;
} evn_kind_row;

typedef struct evn_field {
    const char *key; /* as written, unit included: "drag_area_m2" */
    evn_shape shape;
    evn_presence presence;
    double least, most;           /* hard bounds, inclusive; for lists of every element */
    double usual_low, usual_high; /* outside gives a warning; both 0: none stated */
    double fallback;      /* number, count, flag (0 or 1), choice (index); NAN: "not given" is a value of its own */
    size_t offset;        /* of the member in the struct */
    const evn_object *of; /* EVN_ONE, EVN_MANY */
    bool gaps;            /* EVN_SHEET: cells of columns of numbers may be empty, and are NAN */
    const evn_kind_row *kinds;  /* EVN_STEPS: ends with a NULL key */
    const char *const *choices; /* EVN_CHOICE: ends with NULL */
    double apart_least; /* EVN_LIST: neighbours differ by at least this much, rising or falling; 0: any values */
    size_t count_least,
        count_most;     /* EVN_LIST, EVN_TEXTS, EVN_MANY, EVN_STEPS: how many; count_most 0: no limit of its own */
    const char *source; /* of the bounds or the fallback, NULL when there is none */
    const char *help;   /* one line: meaning */
    const evn_usual_uncertainty *uncertain; /* NUMBER, LIST: what is usual where nothing is stated; NULL: nothing */
    bool alike;           /* MANY: its items hold the same values, by a rule of the holder: they err as one */
    bool remark;          /* tells of other values and changes none: no part of hashes and of what differs */
    bool on_holder;       /* a remark whose entries name values of what holds it: core/uncertain.h */
    const char *formerly; /* its key in files of older versions, which the reader tells; NULL: none */
} evn_field;

/* The row of an object that says where its figures come from: its struct has a member `const char *source`. */
#define EVN_SOURCE_FIELD(type)                                                                                         \
    {.key = "source",                                                                                                  \
     .shape = EVN_TEXT,                                                                                                \
     .offset = offsetof(type, source),                                                                                 \
     .help = "where the figures come from: a document with its clause, laws with their coefficients, 'from memory', "  \
             "'common practice, no source', 'invented'"}

/* Where the values of one object stood in the files. The reader makes it; check functions ask it. */
typedef struct evn_seat evn_seat;
struct evn_seat {
    evn_spot (*spot)(const evn_seat *, const char *path, evn_spot *used_from);
};
/* Place of the value at a dotted path below this object ("gearbox.ratios", "ratios[2]"); of the object when absent. */
evn_spot evn_seat_of(const evn_seat *, const char *path, evn_spot *used_from);
/* Says a fault at a value of this object. */
void evn_say_at(evn_report *, const evn_seat *, evn_fault, const char *path, const char *format, ...)
    __attribute__((format(printf, 5, 6)));

struct evn_arena;
struct evn_object {
    const char *name, *help;
    size_t size;
    const evn_field *fields;
    size_t field_count;
    void (*check)(const void *self, const evn_seat *, evn_report *); /* rules between fields; NULL: none */
    /*
     * Puts into a new struct what goes with its values and stands in no file; a copy still leads to that of the
     * original. False: memory is out. NULL: nothing.
     */
    bool (*equip)(void *self, struct evn_arena *);
    /* Whoever uses it says what is absent of all that its `uncertain` names, as it may have more to say of that. */
    bool absent_later;
};

/* Fills a struct with the fallbacks of its table (defaulted sub-objects from the arena). */
bool evn_object_default(const evn_object *, void *self, struct evn_arena *);

/* The first key in which two filled structs of an object differ, those within other objects included; NULL: none. */
const char *evn_object_differs(const evn_object *, const void *a, const void *b);

/* How many an EVN_CHOICE has. */
size_t evn_choice_count(const evn_field *);

/* The name nearest to a mistyped one (edit distance), NULL when none is near. */
const char *evn_nearest(const char *found, const char *const *names, size_t count);

/* The unit that a key's name ends in, as people write it: "km/h" for "speed_km_h"; "" for a pure number. */
const char *evn_unit_of(const char *key);

/* Room for rounding in a least distance: neighbours that were written as far apart as that are. */
#define EVN_APART_HAIR 1e-6

/*
 * Checks that a curve's axis rises from each value to the next by at least `apart_least` (which stands in its row too)
 * and that both lists have one length; says what is wrong.
 */
bool evn_check_curve(const evn_list *x, const char *x_key, double apart_least, const evn_list *y, const char *y_key,
                     const evn_seat *, evn_report *);

#endif
