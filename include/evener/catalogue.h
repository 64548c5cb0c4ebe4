/*
 * catalogue.h: the files of trucks, cycles, duties, lineups, sets of rules, prices and parts that there are.
 */
#ifndef EVENER_CATALOGUE_H
#define EVENER_CATALOGUE_H

#include "evener/evener.h"

#ifdef __cplusplus
extern "C" {
#endif

/*
 * The YAML files below some folders, below those of EVENER_PATH, and below the installed data; of files of one
 * kind that bear the same name below two of them the first counts. Of a folder of EVENER_PATH that holds vehicles/ and
 * cycles/, as the sources do, these two count and nothing beside them. The kind of a file is the one whose keys fit;
 * where several fit, the one whose name the file's begins with ("final-drive-hypoid.yaml"), else the first of them.
 * What an item points to belongs to the catalogue.
 */
typedef enum evn_item_group {
    EVN_ITEM_TRUCK,
    EVN_ITEM_CYCLE,
    EVN_ITEM_DUTY,
    EVN_ITEM_LINEUP,
    EVN_ITEM_RULES,
    EVN_ITEM_PRICES,
    EVN_ITEM_STUDY,
    EVN_ITEM_PART,
    EVN_ITEM_OTHER
} evn_item_group;
typedef struct evn_item {
    evn_item_group group; /* OTHER: no kind fits, or the file cannot be read */
    const char *kind;     /* NULL for OTHER */
    const char *name;     /* of the file, without folder and ending */
    const char *title; /* what it says it is: its key `name`, else sentences of the comment that it begins with; "" */
    const char *path, *below; /* `below`: from the folder in which it was found */
} evn_item;

typedef struct evn_catalogue evn_catalogue;
/*
 * The folders end with NULL; NULL: only those of EVENER_PATH and of the installed data. Files that cannot be read are
 * said (EVN_BAD_IO, EVN_BAD_INPUT) and listed as OTHER. NULL in `out` only when memory is out.
 */
EVN_API evn_status evn_catalogue_open(const char *const *folders, evn_catalogue **out, evn_report *);
/* Only those files that bear a name: no other is opened. */
EVN_API evn_status evn_catalogue_open_named(const char *const *folders, const char *name, evn_catalogue **out,
                                            evn_report *);
EVN_API void evn_catalogue_free(evn_catalogue *);
EVN_API bool evn_catalogue_at(const evn_catalogue *, size_t index, evn_item *out); /* by group, kind, name */

/*
 * The kind of a file by the keys at its top: "truck", "cycle", "lineup", "duty", "rules", "prices", "kept", or that
 * of a part whose keys fit wholly. A file with mistakes is of the kind that knows most of its keys, of the expected one
 * where that knows as many; that may be NULL. NULL: none does, or the file cannot be read.
 */
EVN_API const char *evn_file_kind(const char *path, const char *expected);

#ifdef __cplusplus
}
#endif
#endif
