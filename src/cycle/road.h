/* The road as pieces of straight tangent from 0 to the length of the course, repeats and level ends included. */
#ifndef EVENER_CYCLE_ROAD_H
#define EVENER_CYCLE_ROAD_H
#include "cycle/course.h"
#include "cycle/resolve.h"

typedef struct evn_road_piece {
    double begin_m, end_m, tangent_begin, tangent_end;
} evn_road_piece;

/* A walk along the road, piece by piece; needs no memory. Pieces join to the bit and end at the length exactly. */
typedef struct evn_road_walk {
    evn_road_view view;
    double length_m, at_m;
    double round; /* how many times the profile has been gone through; a whole number */
    size_t next;  /* point of the profile that ends the next piece; as many as points: behind the profile */
} evn_road_walk;

evn_road_walk evn_road_walk_start(const evn_road_file *, double length_m);
bool evn_road_walk_next(evn_road_walk *, evn_road_piece *);

/* Height gained on a piece, closed form. */
double evn_road_piece_rise_m(const evn_road_piece *);

/* Makes the road of the course, whose length is known, out or back, its surface as asked; false when memory is out,
 * which is said. */
bool evn_road_build(evn_course *, const evn_cycle_file *, const evn_course_ask *, evn_report *);

#endif
