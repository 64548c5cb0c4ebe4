/* What one call of the reader shares among its parts: where findings go, where memory comes from, what is used up. */
#ifndef EVENER_READ_READING_H
#define EVENER_READ_READING_H
#include "core/arena.h"
#include "core/words.h"

enum {
    EVN_DEPTH_MOST = 40,             /* maps and lists inside each other in one file */
    EVN_INCLUSION_DEPTH_MOST = 16,   /* files that name each other in a row */
    EVN_FILES_MOST = 1000,           /* files read for one object */
    EVN_KEYS_MOST = 256,             /* keys of one map */
    EVN_ITEMS_MOST = 2000000,        /* items of one list, numbers of one sheet */
    EVN_NODES_MOST = 3000000,        /* values of all files read for one object */
    EVN_TEXT_MOST = 4000,            /* bytes of one text */
    EVN_FILE_BYTES_MOST = 64 << 20,  /* bytes of one file */
    EVN_TOTAL_BYTES_MOST = 128 << 20 /* bytes of all files read for one object */
};

typedef struct evn_opened evn_opened; /* which file a value led to; kept by the part that opens files */

typedef struct evn_reading {
    evn_report *report;
    evn_arena *keep;    /* what the caller gets */
    evn_arena *scratch; /* what is dropped at the end of the call */
    const char *const *search;
    const evn_opened *opened;
    size_t files, nodes, bytes, hints; /* used up so far */
    bool stopped;                      /* memory or a limit ran out: nothing more is read */
} evn_reading;

/* One file as it was included: a file used twice has two of these. Lives in the scratch arena. */
typedef struct evn_source evn_source;
struct evn_source {
    const char *path;        /* as opened; paths named inside start from its folder */
    const char *shown;       /* as messages name it */
    uint32_t file;           /* its number in the report */
    evn_spot used_from;      /* the value that named it */
    const evn_source *user;  /* the file that names it; NULL for the first */
    const char *says;        /* its own key `source`, wherever its figures go; NULL: none */
    bool typed;              /* no file: one line of text from the command line; its places are columns alone */
    bool on_disk;            /* the two numbers below hold */
    uint64_t device, number; /* what the file is, by whatever path it is reached */
    unsigned depth;          /* 0 for the first file */
};

/* Says once that memory ran out and stops the reading; always false. */
bool evn_reading_out_of_memory(evn_reading *);

/* A new source that `user` names at `used_from`; NULL (said) when memory is out. */
evn_source *evn_source_new(evn_reading *, const char *path, const char *shown, const evn_source *user,
                           evn_spot used_from);

/* A place in a source: without a line where it is one line of text. */
evn_spot evn_source_spot(const evn_source *, size_t line, size_t column);

#endif
