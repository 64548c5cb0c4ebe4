/* Units at the edges: SI inside. Exact by definition (BIPM; 1959 yard and pound agreement). */
#ifndef EVENER_CORE_UNITS_H
#define EVENER_CORE_UNITS_H

#define EVN_PI 3.14159265358979323846
#define EVN_STANDARD_GRAVITY_M_S2 9.80665 /* CGPM 1901 */
#define EVN_M_S_PER_KM_H (1.0 / 3.6)
#define EVN_M_S_PER_MPH 0.44704
#define EVN_RAD_S_PER_RPM (EVN_PI / 30.0)
#define EVN_J_PER_KWH 3.6e6

#endif
