/*
 * How far data of trucks are usually off. A normal half width is two standard uncertainties. What all trucks of a
 * comparison have in common (tyres of one class, one body in one air, consumers of one duty) bears a label: it errs
 * alike in all of them.
 *
 * Masses of motors, gearboxes and shafts have none: 1.5 % of 300 kg is one part in ten thousand of a truck.
 */
#include "truck/usual.h"
#include <math.h>

#define ALONE NULL
#define ABSOLUTE(h) .half_width = (h), .relative = (double)NAN
#define RELATIVE(h) .half_width = (double)NAN, .relative = (h)

static const char practice[] = "common practice, no source";
static const char third[] = "a third of the tolerance of conformity of production of Regulation (EU) 2017/2400, "
                            "Annexes VI and VII, from memory; derived";

/* ------------------------------------------------------------------------------------------------ the vehicle */

const evn_usual_uncertainty evn_usual_rolling = {
    .what = "rolling resistance",
    ABSOLUTE(0.0005),
    .shape = EVN_RECTANGULAR,
    .errs_with = "rolling_resistance",
    .source = "Regulation (EU) 2020/740, Annex I: a label class of C3 tyres is 1 N/kN wide"};
/* 1 % per 1.5 to 3 K. */
const evn_usual_uncertainty evn_usual_tyre_cold = {.what = "rolling resistance over temperature",
                                                   ABSOLUTE(0.0017),
                                                   .shape = EVN_RECTANGULAR,
                                                   .errs_with = "tyre_temperature",
                                                   .source = "common practice, from memory"};
const evn_usual_uncertainty evn_usual_slip = {
    .what = "slip stiffness of tyres", RELATIVE(0.2), .shape = EVN_RECTANGULAR, .errs_with = ALONE, .source = practice};
const evn_usual_uncertainty evn_usual_drag_area = {
    .what = "drag area", RELATIVE(0.06), .shape = EVN_NORMAL, .errs_with = "drag_area", .source = practice};
#define MASS(of)                                                                                                       \
    {.what = of, RELATIVE(0.015), .shape = EVN_RECTANGULAR, .errs_with = ALONE, .source = "40 CFR 1037, from memory"}
const evn_usual_uncertainty evn_usual_body_mass = MASS("body mass");
const evn_usual_uncertainty evn_usual_trailer_mass = MASS("trailer mass");
const evn_usual_uncertainty evn_usual_battery_mass = MASS("battery mass");
#undef MASS
const evn_usual_uncertainty evn_usual_auxiliaries = {.what = "auxiliaries power",
                                                     RELATIVE(0.3),
                                                     .shape = EVN_RECTANGULAR,
                                                     .errs_with = "auxiliaries_power",
                                                     .source = practice};
const evn_usual_uncertainty evn_usual_take_off = {.what = "work of the power take-off",
                                                  RELATIVE(0.3),
                                                  .shape = EVN_RECTANGULAR,
                                                  .errs_with = "power_take_off",
                                                  .source = practice};
const evn_usual_uncertainty evn_usual_battery_resistance = {
    .what = "battery resistance", RELATIVE(0.2), .shape = EVN_NORMAL, .errs_with = ALONE, .source = practice};

/* Cells of a test may be 7 K apart: 27 and 21 % at an activation energy of 25 kJ/mol, about 25 degC. */
const evn_usual_uncertainty evn_usual_battery_resistance_factor = {
    .what = "battery resistance over temperature",
    RELATIVE(0.25),
    .shape = EVN_NORMAL,
    .errs_with = ALONE,
    .source = "Regulation (EU) 2022/1379, Appendix 12, temperatures of cells in a test, from memory; derived"};
const evn_usual_uncertainty evn_usual_battery_heat_capacity = {.what = "heat capacity of the battery",
                                                               RELATIVE(0.25),
                                                               .shape = EVN_RECTANGULAR,
                                                               .errs_with = ALONE,
                                                               .source = practice};

/* ------------------------------------------------------------------------------------------------ motors */

const evn_usual_uncertainty evn_usual_motor_loss = {
    .what = "motor losses", RELATIVE(0.14), .shape = EVN_NORMAL, .errs_with = ALONE, .source = practice};
/* The same 7 % of the losses, of a motor that loses about 5 %. */
const evn_usual_uncertainty evn_usual_motor_efficiency = {
    .what = "motor efficiency", ABSOLUTE(0.007), .shape = EVN_NORMAL, .errs_with = ALONE, .source = practice};
const evn_usual_uncertainty evn_usual_map_factor = {
    .what = "motor losses", RELATIVE(0.14), .shape = EVN_NORMAL, .errs_with = ALONE, .source = practice};
const evn_usual_uncertainty evn_usual_inverter_loss = {
    .what = "inverter losses", RELATIVE(0.2), .shape = EVN_NORMAL, .errs_with = ALONE, .source = practice};
/* The same 10 % of the losses, of an inverter that loses about 3 %. */
const evn_usual_uncertainty evn_usual_inverter_efficiency = {
    .what = "inverter efficiency", ABSOLUTE(0.006), .shape = EVN_NORMAL, .errs_with = ALONE, .source = practice};

/* ------------------------------------------------------------------------------------------------ gears and shafts */

const evn_usual_uncertainty evn_usual_gearbox_efficiency = {
    .what = "gearbox efficiency", ABSOLUTE(0.01), .shape = EVN_NORMAL, .errs_with = ALONE, .source = third};
const evn_usual_uncertainty evn_usual_axle_gear_efficiency = {
    .what = "axle gear efficiency", ABSOLUTE(0.012), .shape = EVN_NORMAL, .errs_with = ALONE, .source = third};
/* Half the usual range of a mesh with its bearings, 0.985 to 0.992. */
const evn_usual_uncertainty evn_usual_mesh_efficiency = {
    .what = "gear mesh efficiency", ABSOLUTE(0.0035), .shape = EVN_RECTANGULAR, .errs_with = ALONE, .source = practice};
const evn_usual_uncertainty evn_usual_gear_drag = {
    .what = "drag torque", RELATIVE(0.1), .shape = EVN_NORMAL, .errs_with = ALONE, .source = practice};
const evn_usual_uncertainty evn_usual_hub_drag = {
    .what = "hub drag", RELATIVE(0.3), .shape = EVN_NORMAL, .errs_with = ALONE, .source = practice};
const evn_usual_uncertainty evn_usual_shaft_efficiency = {.what = "propeller shaft efficiency",
                                                          ABSOLUTE(0.002),
                                                          .shape = EVN_RECTANGULAR,
                                                          .errs_with = ALONE,
                                                          .source = practice};
/* About half the usual range of needle bearings, 0.02 to 0.1, and never below it. */
const evn_usual_uncertainty evn_usual_joint_friction = {.what = "friction of universal joints",
                                                        ABSOLUTE(0.03),
                                                        .shape = EVN_RECTANGULAR,
                                                        .errs_with = "joint_friction",
                                                        .source = practice};
const evn_usual_uncertainty evn_usual_bearing_drag = {
    .what = "centre bearing drag", RELATIVE(0.3), .shape = EVN_RECTANGULAR, .errs_with = ALONE, .source = practice};
