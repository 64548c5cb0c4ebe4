/* Two figures that are still to come: until then nothing of the kind can be done. */
#include "limits/abilities.h"
#include <math.h>

evn_answer evn_able_change_up_percent(evn_scene *s)
{
    (void)s;
    return evn_answer_of((double)NAN);
}

evn_answer evn_able_speed_m_s(evn_scene *s, double tangent, bool continuous)
{
    (void)s, (void)tangent, (void)continuous;
    return evn_answer_of((double)NAN);
}
