/* One parser for every command: a table of options fills the struct of the command. */
#ifndef EVENER_CLI_OPTIONS_H
#define EVENER_CLI_OPTIONS_H
#include "show/findings.h"

typedef enum evn_option_kind {
    EVN_OPTION_FLAG,   /* bool, without a value */
    EVN_OPTION_NUMBER, /* double */
    EVN_OPTION_COUNT,  /* size_t */
    EVN_OPTION_CHOICE, /* int, index into choices */
    EVN_OPTION_TEXT,   /* const char * */
    EVN_OPTION_TEXTS   /* evn_texts; may be given many times */
} evn_option_kind;

enum { EVN_TEXTS_MOST = 100 };

/* What a word of the command line stands for: what is looked up behind it, and what completion offers. */
typedef enum evn_taken {
    EVN_TAKES_ANYTHING, /* of which nothing can be told: a number, a text */
    EVN_TAKES_INPUT,    /* a file of a kind that is read, or of one of several: its path, or its name as 'evener list'
                           shows it */
    EVN_TAKES_RECORD,   /* the same, by its path only; it need not be there yet */
    EVN_TAKES_LIKE,     /* a file of the kind that the first operand names, by path or name */
    EVN_TAKES_FILE,     /* any other file or folder */
    EVN_TAKES_KIND,     /* a kind of object */
    EVN_TAKES_KEY,      /* the path of a key */
    EVN_TAKES_SET,      /* the path of a key, and a value */
    EVN_TAKES_LIMITS,   /* a group of limits' figures */
    EVN_TAKES_SITE,     /* a group of a site's figures */
    EVN_TAKES_RESULT,   /* the key of a result */
    EVN_TAKES_WORD      /* one of some words */
} evn_taken;

typedef struct evn_takes {
    evn_taken what;
    const char *kind; /* of INPUT and RECORD, of several with blanks between; of KEY and SET: whose keys stand in a path
                         without saying so */
    const char *const *words; /* of WORD; ends with NULL */
} evn_takes;

typedef struct evn_texts {
    const char *at[EVN_TEXTS_MOST + 1]; /* ends with NULL */
    size_t count;
} evn_texts;

typedef struct evn_option {
    const char *name;     /* "payload-kg", written --payload-kg N or --payload-kg=N */
    const char *argument; /* as help shows it; NULL for a flag */
    evn_option_kind kind;
    size_t offset;              /* of the member in the struct of the command */
    double least, most;         /* of a number or count, inclusive */
    const char *const *choices; /* ends with NULL */
    evn_takes takes;            /* of a TEXT or TEXTS */
    const char *help;
    const char *facts; /* that help shows in brackets: default and bounds; NULL: the default that the struct holds */
} evn_option;

typedef struct evn_parsed {
    const char **operands; /* room for as many as there are arguments, given by the caller */
    size_t operand_count;
    bool help, json; /* --help or -h; a flag named json */
} evn_parsed;

/* Reads all arguments, so that --json and --help count wherever they stand. False, with a mishap, when one is wrong. */
bool evn_options_parse(const evn_option *, size_t count, int argument_count, char *const *arguments, void *args,
                       evn_parsed *, evn_mishap *);

/* A plain decimal number that fills the whole text and is finite. */
bool evn_number_parse(const char *text, double *out);

/* The name nearest to a mistyped one (edits, or a beginning); NULL when none is near. `stride`: bytes between names. */
const char *evn_name_nearest(const char *found, const char *const *first, size_t stride, size_t count);

/* Its value before any is given, as " (1e-06)"; nothing where there is none to tell. */
void evn_option_print_default(const evn_option *, const void *defaults, FILE *);

/* One option as help shows it in so many columns, its value as it is before any is given. False when memory is out. */
bool evn_option_print(const evn_option *, const void *defaults, FILE *, size_t width);

#endif
