/* The rules between the keys of a duty: the check functions of the objects in duty_fields.c. */
#ifndef EVENER_DUTY_DUTY_CHECKS_H
#define EVENER_DUTY_DUTY_CHECKS_H
#include "duty/duty.h"

void evn_charging_check(const void *, const evn_seat *, evn_report *);
void evn_stop_check(const void *, const evn_seat *, evn_report *);
void evn_leg_check(const void *, const evn_seat *, evn_report *);
void evn_rounds_check(const void *, const evn_seat *, evn_report *);
void evn_ground_demands_check(const void *, const evn_seat *, evn_report *);
void evn_duty_demands_check(const void *, const evn_seat *, evn_report *);
void evn_season_check(const void *, const evn_seat *, evn_report *);
void evn_duty_check(const void *, const evn_seat *, evn_report *);

#endif
