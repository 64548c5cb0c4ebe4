/*
 * Kinematics of universal joints (Seherr-Thoss, Schmelz and Aucktor, Universal Joints and Driveshafts, from memory): at
 * a working angle b the output turns, for an input angle a counted from where it runs ahead most, by
 *   tan a2 = tan a / cos b   at   w2/w1 = cos b / (1 - sin^2 b cos^2 a),
 * twice a turn between cos b and 1/cos b of the input's speed.
 */
#ifndef EVENER_TRUCK_UNIVERSAL_JOINT_H
#define EVENER_TRUCK_UNIVERSAL_JOINT_H
#include <stddef.h>

/* Greatest speed ratio within a turn, 1/cos b. */
double evn_universal_joint_unevenness(double angle_rad);

/* Greatest less least speed ratio within a turn, 1/cos b - cos b = tan b sin b. */
double evn_universal_joint_non_uniformity(double angle_rad);

/* Furthest that the output is turned ahead of the input, or behind it: tan e = (1 - cos b)/(2 sqrt(cos b)). */
double evn_universal_joint_angle_error_rad(double angle_rad);

/* Speed ratio at an input angle, and the output angle there (the same number of half turns). */
double evn_universal_joint_ratio(double angle_rad, double input_rad);
double evn_universal_joint_output_rad(double angle_rad, double input_rad);

/*
 * Greatest less least speed ratio within a turn of joints one behind the other, all in one plane, each fork set so that
 * it undoes what the one before it does (90 degrees from it). Two of equal angles give 0.
 */
double evn_universal_joints_non_uniformity(const double angle_rad[], size_t count);

#endif
