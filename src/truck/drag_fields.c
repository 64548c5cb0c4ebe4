/* Field table of a drag: friction torque over shaft speed, as several kinds of part have it. */
#include "core/curve.h"
#include "truck/truck.h"
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
     .help =
         "friction torque at each speed; one: constant; two: a straight line, which goes on beyond them where it rises "
         "and is not below 0 at rest; more: a monotone cubic between them; else the value of the end holds beyond it"},
};
const evn_object evn_drag_object = {
    "drag", "friction torque over shaft speed", sizeof(evn_drag_file), drag_fields, COUNT(drag_fields), NULL};

bool evn_check_drag(const evn_drag_file *drag, const evn_seat *seat, evn_report *report)
{
    return !drag || evn_check_curve(&drag->speed_rpm, "drag.speed_rpm", EVN_DRAG_APART_LEAST_RPM, &drag->torque_nm,
                                    "drag.torque_nm", seat, report);
}
