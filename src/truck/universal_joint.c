/* What a universal joint does to the speed within a turn: closed forms. */
#include "truck/universal_joint.h"
#include "core/units.h"
#include <math.h>

double evn_universal_joint_unevenness(double b) { return 1 / cos(b); }

double evn_universal_joint_non_uniformity(double b) { return tan(b) * sin(b); }

double evn_universal_joint_angle_error_rad(double b) { return atan((1 - cos(b)) / (2 * sqrt(cos(b)))); }

double evn_universal_joint_ratio(double b, double input_rad)
{
    double ahead = sin(b) * cos(input_rad);
    return cos(b) / (1 - ahead * ahead);
}

double evn_universal_joint_output_rad(double b, double input_rad)
{
    double turned = atan2(sin(input_rad), cos(input_rad) * cos(b));
    return turned + 2 * EVN_PI * round((input_rad - turned) / (2 * EVN_PI));
}

/* Ratio of the last shaft's speed to the first's at an angle of the first. */
static double ratio_of_all(const double b[], size_t count, double at_rad)
{
    double ratio = 1;
    for (size_t k = 0; k < count; k++) {
        ratio *= evn_universal_joint_ratio(b[k], at_rad);
        at_rad = evn_universal_joint_output_rad(b[k], at_rad) + EVN_PI / 2; /* the next fork stands across */
    }
    return ratio;
}

double evn_universal_joints_non_uniformity(const double b[], size_t count)
{
    enum { PLACES = 360 }; /* of half a turn: the extremes stand at 0 and a quarter turn, both are among them */
    double least = (double)INFINITY, greatest = 0;
    for (int k = 0; k <= PLACES; k++) {
        double ratio = ratio_of_all(b, count, EVN_PI * k / PLACES);
        least = fmin(least, ratio);
        greatest = fmax(greatest, ratio);
    }
    return greatest - least;
}
