/* Five starts in five minutes, found by driving. */
#ifndef EVENER_LIMITS_FIVE_STARTS_H
#define EVENER_LIMITS_FIVE_STARTS_H
#include "limits/made_road.h"
#include "limits/scene.h"

/* Steepest grade, per cent, on the ground of the scene, where one start manages `once`; NAN: not even on the level. */
evn_answer evn_five_starts(evn_limits_work *, evn_way, const evn_scene *, const evn_answer *once);

#endif
