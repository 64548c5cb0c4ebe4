/* Within the room: the pieces of an instant that laws.c, forces.c, motion.c and gears.c share. */
#ifndef EVENER_TRIP_MOTION_H
#define EVENER_TRIP_MOTION_H
#include "trip/trip.h"

/* ---- laws.c */
double evn_law_asks(const evn_trip *, const double *y); /* acceleration */

/* ---- motion.c */
void evn_set_pack_limits(const evn_trip *, const double *y, evn_now *);
void evn_set_road(const evn_trip *, evn_now *);
evn_member evn_member_of(const evn_trip *, const double *y, const evn_now *, size_t unit, evn_setting, bool shifting);
void evn_set_team(const evn_trip *, const double *y, evn_now *);
/* What the engaged motors of a unit take to stand ready: constant losses, at rest and while a change goes on. */
double evn_ready_w(const evn_trip *, size_t unit, evn_setting, evn_flow *);
double evn_free_accel(const evn_now *, double force_n); /* that a motor force gives without friction brakes */

/* ---- forces.c */
typedef struct evn_at_work {
    double bus_w, motor_nm;
} evn_at_work;
/* Bus power and motor torque of a connected unit for a tyre force at an acceleration; adds to the flow. */
evn_at_work evn_member_draw(const evn_trip *, const double *y, const evn_now *, size_t unit, const evn_member *,
                            double force_n, double accel, evn_flow *);
/* Tyre force of a torque of its motors. */
double evn_member_force(const evn_trip *, const evn_now *, size_t unit, const evn_member *, double motor_nm,
                        double accel);
/* Tyre force of a unit that is not connected; adds its drags to the flow. */
double evn_member_dragged(const evn_trip *, const evn_now *, size_t unit, const evn_member *, double accel, evn_flow *);
/*
 * Forces of the units that sum up to a total. Each connected unit works at the same share of the torque that its motors
 * can reach now; where its tyres reach their adhesion limit first, the others take the rest.
 */
void evn_team_share(const evn_trip *, const evn_now *, const evn_team *, double total_n, double accel, double brake_n,
                    double force_n[]);
/* Forces at a share, -1 to 1, of what each can reach; returns their sum. */
double evn_team_forces(const evn_trip *, const evn_now *, const evn_team *, double share, double accel, double brake_n,
                       double force_n[]);
/* Total pulling force at a share of what each can reach, at the acceleration that it gives. */
double evn_team_pull_n(const evn_trip *, const evn_now *, const evn_team *, double share);
/* True: the tyres carry these forces without any doubt; false: it must be worked out. */
bool evn_team_carries(const evn_trip *, const evn_now *, const evn_team *, double accel, const double force_n[]);
double evn_adhesion_pull_n(const evn_rig *, const evn_now *, size_t unit); /* of a single unit on one axle */
double evn_limited_force(const evn_trip *, const double *y, evn_now *);

/* ---- gears.c */
double evn_forgone_w(const evn_trip *, const double *y, const evn_now *); /* that the candidate would save */

#endif
