/*
 * Which trucks of a comparison can be told apart: one rule for terminal, page, JSON and every verdict. By what is not
 * known of the data where that was found (evn_apart); by a rule of thumb where somebody went without; else none is
 * called the lowest, and figures stand without a word. Trucks of which one often does not finish, or too few draws, are
 * told apart by no medium: evn_uncertainty_between takes that word away.
 */
#ifndef EVENER_SHOW_COMPARE_SURENESS_H
#define EVENER_SHOW_COMPARE_SURENESS_H
#include "show/compare_rows.h"

/* As evn_uncertainty_between, and as evn_uncertainty_of (by: EVN_UNCERTAINTY_OFF). */
bool evn_compare_sure_between(const evn_uncertainty *, size_t truck, size_t other, evn_basis, evn_uncertainty_method by,
                              evn_sureness *out);

typedef struct evn_compare_apart {
    double percent; /* by how much this truck takes more than the other, of the other's */
    evn_apart is;   /* of this truck against the other */
    bool sure;      /* by `sureness`; false: by the rule of thumb, somebody went without */
    bool open;      /* how sure was not found: no word is told of it, and none is called the lowest */
    evn_sureness sureness;
} evn_compare_apart;

/* False: one of them did not finish on this basis. */
bool evn_compare_tell_apart(const evn_compare_story *, size_t truck, size_t other, evn_basis, evn_compare_apart *out);

/*
 * Those of evn_compare_rank that lead: from the least on, each that cannot be told apart from any of those that lead
 * before it. So no two of them can be told apart, and each other truck can from at least one of them, which is the
 * lower. "Cannot be told apart" does not carry over from one pair to the next: a truck may be told from the second and
 * not from the least, and does not lead then. One that leads alone can be told from all others.
 */
size_t evn_compare_leading(const evn_compare_story *, evn_basis, bool meeting, size_t *truck);

/* Pairs of which is told how sure they are: each other truck against the one that all are held against, then the best
 * against the runner-up where neither is that. Best and runner-up by the common speed, else by own speeds. False: no
 * more. */
typedef struct evn_compare_pair {
    size_t truck, other;
} evn_compare_pair;
bool evn_compare_pair_at(const evn_compare_story *, size_t index, evn_compare_pair *out);
/* The best against the runner-up, of those that meet what is demanded where two do. False: there are no two. */
bool evn_compare_best_pair(const evn_compare_story *, evn_compare_pair *out);
/* That pair told as the ranking tells it: against the truck that all are held against, where it is one of them. */
bool evn_compare_deciding_pair(const evn_compare_story *, evn_compare_pair *out);

/* The basis on which shares of the variance are told of a pair. False: on none. */
bool evn_compare_shares_basis(const evn_compare_story *, const evn_compare_pair *, evn_basis *out);

/* How sure a truck's difference against the first of its own lineup is, on a side, at the common speed; found there by
 * the method that was asked for. False: the first itself, or not found. */
bool evn_compare_beside_sure(const evn_compare_story *, evn_beside_side, size_t truck, const evn_beside_truck *,
                             evn_sureness *out);

/* A verdict of one comparison beside the other, by the same rule: whether the two lie too close; and what both say. */
bool evn_compare_beside_close(const evn_compare_story *, evn_beside_side, const evn_beside_verdict *);
evn_beside_answer evn_compare_beside_answer(const evn_compare_story *);
/* Of a truck against the first. */
evn_beside_answer evn_compare_beside_of_first(const evn_compare_story *, size_t truck, const evn_beside_truck *);

/* The first pair of which a word is told that hangs on the draws: of those above, and of each that leads against all
 * others. False: none. */
bool evn_compare_hangs(const evn_compare_story *, evn_compare_pair *out);
/* How many draws to ask for where a word hangs on them; no more than were asked: as many as there may be were. */
size_t evn_compare_more_draws(const evn_compare_story *);

/* By their names in documents. */
const char *evn_apart_name(evn_apart);                               /* "lower", "higher", "cannot_be_told_apart" */
const char *evn_method_name(evn_uncertainty_method);                 /* "off", "first_order", "draws" */
void evn_method_words(const evn_sureness *, char *out, size_t size); /* "by first order", "by 256 draws" */
const char *evn_shape_name(evn_error_shape);                         /* "rectangular", "triangular", "normal" */
const char *evn_sure_name(evn_sure_state);                           /* "off", "too_much", "not_found", "found" */

#endif
