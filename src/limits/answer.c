/* Answers: a value, and what binds it by lifting limits. */
#include "limits/limits.h"
#include <math.h>

evn_answer evn_answer_of(double value)
{
    return (evn_answer){.value = value, .next_value = (double)NAN, .low = (double)NAN, .high = (double)NAN};
}

evn_answer evn_answer_none(evn_bound why)
{
    evn_answer a = evn_answer_of((double)NAN);
    a.bound = why;
    return a;
}

/* Nothing is less than any figure. */
static bool gains(double value, double over)
{
    return !isnan(value) && (isnan(over) || value > over + 1e-7 * (1e-3 + fabs(over)));
}

/* The limit whose lifting gains most over a figure; NONE: no single one does. */
static evn_bound most_gained(evn_able *able, void *self, const evn_bound limits[], unsigned lifted, double over,
                             double *most)
{
    evn_bound best = EVN_BOUND_NONE;
    *most = over;
    for (; *limits != EVN_BOUND_NONE; limits++) {
        if (evn_is_lifted(lifted, *limits))
            continue;
        double value = able(self, lifted | evn_lift(*limits));
        if (gains(value, *most)) {
            *most = value;
            best = *limits;
        }
    }
    return best;
}

evn_answer evn_answer_by(evn_able *able, void *self, const evn_bound limits[])
{
    double beyond;
    evn_answer a = evn_answer_of(able(self, 0));
    a.bound = most_gained(able, self, limits, 0, a.value, &a.next_value);
    if (a.bound == EVN_BOUND_NONE) {
        a.bound = limits[0];
        a.next_value = able(self, evn_lift(limits[0]));
    }
    a.next = most_gained(able, self, limits, evn_lift(a.bound), a.next_value, &beyond);
    return a;
}

evn_answer evn_answer_of_scene(bool plain, evn_able *able, void *self, const evn_bound limits[])
{
    return plain ? evn_answer_of(able(self, 0)) : evn_answer_by(able, self, limits);
}
