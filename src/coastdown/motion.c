/* The equations of motion of a vehicle that rolls freely, and how its speeds hang on each coefficient. */
#include "coastdown/coastdown.h"
#include <math.h>

/* Steps are at most so long, and end at every sample. */
static const double STEP_MOST_S = 0.5;

typedef struct instant {
    double acceleration_m_s2;
    double by_speed; /* its derivatives */
    double by[EVN_COAST_LAWS];
} instant;

static instant at_instant(const evn_coast_vehicle *of, const evn_coast_run *run, const evn_coast_road_load *load,
                          double grade, double headwind_m_s, double speed_m_s)
{
    double direction = run->back ? -1 : 1;
    double cosine = 1 / sqrt(1 + grade * grade), inertia_kg = of->mass_kg + of->rotating_kg;
    double weight_n = of->mass_kg * of->gravity_m_s2, half_density = 0.5 * run->density_kg_m3;
    double air_m_s = speed_m_s + headwind_m_s + direction * load->of[EVN_COAST_WIND];
    double by_air = half_density * load->of[EVN_COAST_DRAG] * 2 * fabs(air_m_s);
    double rolling = load->of[EVN_COAST_ROLLING] + load->of[EVN_COAST_ROLLING_S_M] * speed_m_s;
    double force_n = weight_n * cosine * (rolling + grade) + by_air * air_m_s / 2;
    return (instant){
        .acceleration_m_s2 = -force_n / inertia_kg,
        .by_speed = -(weight_n * cosine * load->of[EVN_COAST_ROLLING_S_M] + by_air) / inertia_kg,
        .by = {[EVN_COAST_ROLLING] = -weight_n * cosine / inertia_kg,
               [EVN_COAST_DRAG] = -half_density * air_m_s * fabs(air_m_s) / inertia_kg,
               [EVN_COAST_ROLLING_S_M] = -weight_n * cosine * speed_m_s / inertia_kg,
               [EVN_COAST_WIND] = -direction * by_air / inertia_kg},
    };
}

double evn_coast_deceleration_m_s2(const evn_coast_vehicle *of, const evn_coast_run *run,
                                   const evn_coast_road_load *load, double grade, double headwind_m_s, double speed_m_s)
{
    return -at_instant(of, run, load, grade, headwind_m_s, speed_m_s).acceleration_m_s2;
}

/* Speed, and its derivatives by all laws and by the first speed. */
typedef struct state {
    double speed_m_s, slope[EVN_COAST_SLOPES];
} state;

typedef struct motion {
    const evn_coast_vehicle *of;
    const evn_coast_run *run;
    const evn_coast_road_load *load;
} motion;

/* Between samples grade and wind go in straight lines. */
static state rates(const motion *m, size_t sample, double share, const state *s)
{
    const evn_coast_sample *a = &m->run->at[sample], *b = a + 1;
    instant i = at_instant(m->of, m->run, m->load, a->grade + share * (b->grade - a->grade),
                           a->headwind_m_s + share * (b->headwind_m_s - a->headwind_m_s), s->speed_m_s);
    state rate = {.speed_m_s = i.acceleration_m_s2};
    for (size_t k = 0; k < EVN_COAST_SLOPES; k++)
        rate.slope[k] = i.by_speed * s->slope[k] + (k < EVN_COAST_LAWS ? i.by[k] : 0);
    return rate;
}

static state moved(const state *from, const state *rate, double time_s)
{
    state to = {.speed_m_s = from->speed_m_s + time_s * rate->speed_m_s};
    for (size_t k = 0; k < EVN_COAST_SLOPES; k++)
        to.slope[k] = from->slope[k] + time_s * rate->slope[k];
    return to;
}

/* One step of the classical Runge-Kutta method of order 4. */
static state step(const motion *m, size_t sample, double share, double next_share, double step_s, const state *from)
{
    double middle = (share + next_share) / 2;
    state k1 = rates(m, sample, share, from), at2 = moved(from, &k1, step_s / 2);
    state k2 = rates(m, sample, middle, &at2), at3 = moved(from, &k2, step_s / 2);
    state k3 = rates(m, sample, middle, &at3), at4 = moved(from, &k3, step_s);
    state k4 = rates(m, sample, next_share, &at4), sum = {.speed_m_s = 0};
    sum.speed_m_s = (k1.speed_m_s + 2 * k2.speed_m_s + 2 * k3.speed_m_s + k4.speed_m_s) / 6;
    for (size_t k = 0; k < EVN_COAST_SLOPES; k++)
        sum.slope[k] = (k1.slope[k] + 2 * k2.slope[k] + 2 * k3.slope[k] + k4.slope[k]) / 6;
    return moved(from, &sum, step_s);
}

static void put(const state *s, size_t sample, double *speed_m_s, double (*slope)[EVN_COAST_SLOPES])
{
    speed_m_s[sample] = s->speed_m_s;
    for (size_t k = 0; slope && k < EVN_COAST_SLOPES; k++)
        slope[sample][k] = s->slope[k];
}

void evn_coast_motion(const evn_coast_vehicle *of, const evn_coast_run *run, const evn_coast_road_load *load,
                      double first_m_s, double *speed_m_s, double (*slope)[EVN_COAST_SLOPES])
{
    motion m = {of, run, load};
    state s = {.speed_m_s = first_m_s, .slope = {[EVN_COAST_LAWS] = 1}};
    put(&s, 0, speed_m_s, slope);
    for (size_t sample = 0; sample + 1 < run->count; sample++) {
        double time_s = run->at[sample + 1].time_s - run->at[sample].time_s;
        size_t steps = (size_t)ceil(fmax(time_s / STEP_MOST_S, 1));
        for (size_t k = 0; k < steps; k++) {
            double share = (double)k / (double)steps, next = ((double)k + 1) / (double)steps;
            s = step(&m, sample, share, next, time_s / (double)steps, &s);
        }
        put(&s, sample + 1, speed_m_s, slope);
    }
}
