/* Field table of a drag: friction torque over shaft speed, as several kinds of part have it. */
#include "core/curve.h"
#include "core/uncertain.h"
#include "truck/truck.h"
#include "truck/usual.h"
#include <math.h>
#include <stddef.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

static const char *const sides[] = {"wheel_side", "motor_side", NULL};

static const evn_field drag_fields[] = {
    {.key = "at",
     .shape = EVN_CHOICE,
     .presence = EVN_REQUIRED,
     .offset = offsetof(evn_drag_file, at),
     .choices = sides,
     .help = "side of the load loss on which the drag acts; speed and torque are those of the shaft on that side"},
    {.key = "speed_rpm",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .most = 60000,
     .offset = offsetof(evn_drag_file, speed_rpm),
     .count_least = 1,
     .apart_least = EVN_DRAG_APART_LEAST_RPM,
     .count_most = EVN_CURVE_POINTS_MAX,
     .help = "shaft speeds, rising"},
    {.key = "torque_nm",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .most = 5000,
     .offset = offsetof(evn_drag_file, torque_nm),
     .count_least = 1,
     .count_most = EVN_CURVE_POINTS_MAX,
     .uncertain = &evn_usual_gear_drag,
     .help =
         "friction torque at each speed; one: constant; two: a straight line, which goes on beyond them where it rises "
         "and is not below 0 at rest; more: a monotone cubic between them; else the value of the end holds beyond it"},
    EVN_SOURCE_FIELD(evn_drag_file),
};
const evn_object evn_drag_object = {
    "drag", "friction torque over shaft speed", sizeof(evn_drag_file), drag_fields, COUNT(drag_fields), NULL};

static const evn_field hub_drag_fields[] = {
    {.key = "speed_rpm",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .most = 60000,
     .offset = offsetof(evn_hub_drag_file, speed_rpm),
     .count_least = 1,
     .apart_least = EVN_DRAG_APART_LEAST_RPM,
     .count_most = EVN_CURVE_POINTS_MAX,
     .help = "wheel speeds, rising"},
    {.key = "torque_nm",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .most = 5000,
     .offset = offsetof(evn_hub_drag_file, torque_nm),
     .count_least = 1,
     .count_most = EVN_CURVE_POINTS_MAX,
     .source = "5 to 60 Nm for the wheels of one axle: common practice, no source",
     .uncertain = &evn_usual_hub_drag,
     .help = "friction torque of all wheels together at each speed, against the motion, nothing at rest; between and "
             "beyond the points as the torque_nm of a drag"},
    EVN_SOURCE_FIELD(evn_hub_drag_file),
    EVN_UNCERTAIN_FIELD(evn_hub_drag_file),
};
static void check_hub_drag(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_hub_drag_file *h = self;
    evn_check_curve(&h->speed_rpm, "speed_rpm", EVN_DRAG_APART_LEAST_RPM, &h->torque_nm, "torque_nm", seat, report);
}
const evn_object evn_hub_drag_object = {"hub_drag",
                                        "friction of the wheel bearings and seals of an axle over wheel speed",
                                        sizeof(evn_hub_drag_file),
                                        hub_drag_fields,
                                        COUNT(hub_drag_fields),
                                        check_hub_drag};

void evn_check_hub_drag(const evn_hub_drag_file *hubs, double axles, const evn_seat *seat, evn_report *report)
{
    static const double LEAST_NM = 5, MOST_NM = 60; /* of an axle: common practice, no source */
    double most_nm = 0;
    for (size_t k = 0; hubs && k < hubs->torque_nm.count; k++)
        most_nm = fmax(most_nm, hubs->torque_nm.at[k]);
    if (hubs && most_nm > 0 && (most_nm < LEAST_NM || most_nm > MOST_NM * axles))
        evn_say_at(report, seat, EVN_FAULT_UNUSUAL_VALUE, "hub_drag.torque_nm",
                   "up to %g Nm for all wheels together; usual is %g to %g Nm for an axle", most_nm, LEAST_NM, MOST_NM);
}

bool evn_check_drag(const evn_drag_file *drag, const evn_seat *seat, evn_report *report)
{
    return !drag || evn_check_curve(&drag->speed_rpm, "drag.speed_rpm", EVN_DRAG_APART_LEAST_RPM, &drag->torque_nm,
                                    "drag.torque_nm", seat, report);
}
