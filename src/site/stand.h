/*
 * How a truck stands on the ground, and what of it hangs low: heights of wheel centres on loaded tyres, the frame's
 * line between them, the ground between and beside the wheels, and the angles of ISO 612.
 */
#ifndef EVENER_SITE_STAND_H
#define EVENER_SITE_STAND_H
#include "site/site.h"

/*
 * An axle's wheel centre stands at its tyres' free radius less load / (tyres x stiffness) over flat ground. The frame
 * goes by the straight line through the means of the front and of the rear support's wheel centres, each less what its
 * springs give under more load than without payload on all axles, a lifting one on the ground; air springs keep their
 * height. NAN: not known.
 */
typedef struct evn_stand {
    size_t axles;
    bool lifted[EVN_AXLES_MAX];
    double behind_m[EVN_AXLES_MAX], load_n[EVN_AXLES_MAX], centre_m[EVN_AXLES_MAX], spring_m[EVN_AXLES_MAX];
    double front_behind_m, rear_behind_m, front_m, rear_m; /* the frame's line */
    const char *missing;                                   /* the first key without which it is not known; NULL: none */
} evn_stand;
/* Of the truck's own axles. A missing key is text of the list. */
evn_stand evn_stand_of(evn_site_work *, const evn_rig *);
double evn_stand_frame_m(const evn_stand *, double behind_m);

/* The ground across: in the ruts 0, beside them as much higher as they are deep, between them with its crown. */
typedef struct evn_ground {
    double rut_m, crown_m, inner_m, outer_m; /* edges of the ruts from the middle; NAN: no rut and no crown */
    const char *missing;
} evn_ground;
evn_ground evn_ground_of(evn_site_work *);
/* Its highest point from one place across to another. */
double evn_ground_highest_m(const evn_ground *, double from_m, double to_m);

/*
 * The angle of the plane that touches the wheel's circle from below and passes a point ahead of its centre, rad; a
 * quarter turn where the point lies within the circle. Of tangents: D cos(angle - f) = r with D and f the point's
 * distance and direction from the centre.
 */
double evn_tangent_rad(double radius_m, double ahead_m, double height_m);

/* Something that hangs low. */
typedef struct evn_low {
    const char *what;
    size_t axle, rear_axle;      /* that its front and its rear end go up and down with; EVN_AXLES_MAX: the frame */
    bool drives;                 /* a housing of a drive unit */
    bool turns;                  /* a propeller shaft */
    double from_m, to_m;         /* along, behind the front axle */
    double from_low_m, to_low_m; /* of its lower face at both ends, over the line of the wheel centres */
    double left_m, right_m;      /* across */
} evn_low;
enum { EVN_LOWS_MOST = 64 };
typedef struct evn_lows {
    evn_low at[EVN_LOWS_MOST];
    size_t count;
    const char *missing; /* of shafts that nothing says how thick they are, or where they begin; NULL: none */
} evn_lows;
void evn_lows_of(evn_site_work *, evn_lows *);
/* What a housing of a drive unit is called: the gears of an electric axle by their axle, any other by its name. */
const char *evn_site_housing(evn_site_work *, size_t unit, size_t housing);

/* Whether the axle that it is on is lifted. */
bool evn_low_is_lifted(const evn_low *, const evn_stand *);
/* Of its two ends the lower over the ground, m; of an end over flat ground. */
double evn_low_over_ground_m(const evn_low *, const evn_stand *, const evn_ground *);
double evn_low_end_m(const evn_low *, const evn_stand *, bool rear_end);

#endif
