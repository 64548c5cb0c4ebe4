/*
 * Which trucks of a comparison are held against which: what each came to, their ranks, the one that all others are held
 * against, and whether they are alike. One place for terminal, page and documents.
 */
#ifndef EVENER_SHOW_COMPARE_HELD_H
#define EVENER_SHOW_COMPARE_HELD_H
#include "show/compare_story.h"

/* How far a truck came at its own speeds. */
typedef struct evn_compare_reached {
    const char *status;
    bool finished;      /* at its own speeds */
    bool own_only;      /* so it did, but at the common speed, at which others are told, it did not */
    bool common_only;   /* at the common speed, at which it is told beside the others, it did; at its own it did not */
    double distance_km; /* NAN: it did not set off */
    double of_km;       /* length of the course */
    const char *reason; /* why it did not finish; NULL: it did, or nobody says */
    const char *cause;  /* of that in a word or two, "adhesion"; NULL: it did, or it is none of these */
    const char *doubt;  /* what was found that leaves open whether that stops it; NULL: nothing */
} evn_compare_reached;
evn_compare_reached evn_compare_reached_by(const evn_compare_story *, size_t truck);
bool evn_compare_has_finished(const evn_compare_story *, size_t truck, evn_basis);
size_t evn_compare_finished_count(const evn_compare_story *, evn_basis);

/* Whether a limit that bound a truck would not with another of the values that its winding's time constant may have. */
bool evn_compare_limit_in_doubt(const evn_compare_story *, size_t truck, evn_basis, const evn_limitation *);

/* Whether anything is demanded of the trucks; and whether one of them can do all of it. */
bool evn_compare_demands(const evn_compare_story *);
bool evn_compare_meets(const evn_compare_story *, size_t truck);

/* The truck with the lowest value of a result among those that finished, or of them among those that meet the demands;
 * the first of several; their count: none. */
size_t evn_compare_lowest(const evn_compare_story *, evn_basis, const char *key, bool meeting);

/* What the trucks were made equal in, and the result by which they are held against each other then. */
typedef struct evn_compare_decides {
    const char *key, *words, *unit; /* words: "energy consumption" */
    int digits;
} evn_compare_decides;
evn_equal evn_compare_equal_by(const evn_compare_story *);
const evn_compare_decides *evn_compare_decides_by(const evn_compare_story *);

/* The truck with which the others are alike or not: the one that all are held against, or the first where none
 * finished.
 */
size_t evn_compare_alike_against(const evn_compare_story *);

/* A truck held against it in one row. False: one of the two could not be prepared. */
bool evn_compare_likeness(const evn_compare_story *, size_t truck, size_t row, evn_likeness *out);

/* Whether a truck is held against it: both could be prepared. And whether all that are are alike. */
bool evn_compare_is_held(const evn_compare_story *, size_t truck);
bool evn_compare_all_alike(const evn_compare_story *);

/* Whether a truck is not alike with another in a row that is judged; and whether it is in all. */
bool evn_compare_unlike(const evn_compare_story *, size_t truck, size_t other, size_t row, evn_likeness *out);
bool evn_compare_alike_with(const evn_compare_story *, size_t truck, size_t other);

/* The truck whose difference the answer tells; the count of trucks: none. And whether it is alike with the one that it
 * is held against in all that is judged. */
size_t evn_compare_told_truck(const evn_compare_story *);
bool evn_compare_like_for_like(const evn_compare_story *);

/* What a truck uses by what decides; NAN: it did not finish. */
double evn_compare_use(const evn_compare_story *, size_t truck, evn_basis);

/* Trucks that finished on a basis, by what decides, the least first; of those that meet the demands only, where asked.
 * Room for evn_lineup_truck_count of them. How many. */
size_t evn_compare_rank(const evn_compare_story *, evn_basis, bool meeting, size_t *truck);

/* The truck against which the others are told on a basis: the first, or the lowest where the first did not finish; the
 * count of trucks: none finished. */
size_t evn_compare_held_against(const evn_compare_story *, evn_basis);
/* The basis on which the answer is told: the common speed, or own speeds where no two finished that. */
evn_basis evn_compare_told_basis(const evn_compare_story *);

#endif
