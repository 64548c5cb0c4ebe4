/*
 * Names the shafts of drive units. A path is read from the motor to the wheels as a row of parts; between two of them
 * is a shaft. Where joints or shafts with losses of their own lie between, its two ends bear different torques, and
 * both are named: by the output of the one part and the input of the other.
 */
#include "truck/shafts.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { PARTS = EVN_CHAIN_MAX + 2 };

typedef struct part {
    char key[EVN_SHAFT_TEXT];
    evn_stage_role role;
    bool begins, divides_torque, is_wheel; /* where the row begins; the dividing point; the wheels */
    bool is_motor, carried;                /* carried: joints or shafts lie between it and the part before it */
    size_t above, below;                   /* stages of the normal form on the wheel side of its two ends */
} part;

typedef struct row {
    part at[PARTS];
    size_t count;
} row;

typedef struct list {
    const evn_rig *rig;
    size_t unit, count;
    evn_named_shaft *out;
} list;

/* ------------------------------------------------------------------------------------------------ parts */

static size_t alike_in(const evn_written_path *w, size_t kind)
{
    size_t count = 0;
    for (size_t k = 0; k < w->count; k++)
        count += w->kind[k] == kind;
    return count;
}

/* "mesh", or where there are several "mesh_1", counted from the motor. */
static void set_key(part *p, const evn_written_path *w, size_t at)
{
    const char *kind = evn_stage_kinds[w->kind[at]].key;
    size_t number = 1;
    for (size_t k = at + 1; k < w->count; k++)
        number += w->kind[k] == w->kind[at];
    if (alike_in(w, w->kind[at]) > 1)
        snprintf(p->key, sizeof p->key, "%.20s_%zu", kind, number);
    else
        snprintf(p->key, sizeof p->key, "%.20s", kind);
}

/* Between its first and its last part those that are written; `stages`: of the normal form, all together. */
static void set_row(row *r, const part *first, const part *last, const evn_written_path *w, size_t stages)
{
    bool carried = false;
    r->count = 1;
    r->at[0] = *first;
    r->at[0].below = stages;
    for (size_t k = w->count; k-- > 0;) {
        evn_stage_role role = evn_stage_kinds[w->kind[k]].role;
        if (role == EVN_ROLE_CARRIES) {
            carried = true;
            continue;
        }
        part *p = &r->at[r->count++];
        *p = (part){.role = role,
                    .carried = carried,
                    .above = k + 1 < w->count ? w->below[k + 1] : stages,
                    .below = w->below[k]};
        set_key(p, w, k);
        carried = false;
    }
    r->at[r->count] = *last;
    r->at[r->count++].carried = carried;
}

/* ------------------------------------------------------------------------------------------------ names */

#define INTER_AXLE "inter_axle"

/* The key in words; what is one word there stays one. */
static void set_label(evn_named_shaft *s)
{
    snprintf(s->label, sizeof s->label, "%s", s->key);
    for (char *letter = s->label; *letter != '\0'; letter++)
        if (*letter == '_')
            *letter = ' ';
    if (strncmp(s->key, INTER_AXLE, strlen(INTER_AXLE)) == 0)
        s->label[strlen("inter")] = '-';
}

static evn_named_shaft *add(list *l, const char *key, const char *end)
{
    evn_named_shaft *s = &l->out[l->count++];
    *s = (evn_named_shaft){.unit = l->unit, .alike = 1};
    snprintf(s->key, sizeof s->key, "%.34s%s", key, end);
    set_label(s);
    return s;
}

typedef struct stretch { /* of a unit, in which a row of parts stands */
    evn_shaft_of of;
    size_t branch;
    const char *axle;
} stretch;

static void add_at(list *l, const stretch *in, const char *key, const char *end, size_t place, size_t alike)
{
    evn_named_shaft *s = add(l, key, end);
    s->of = in->of;
    s->branch = in->branch;
    s->place = place;
    s->axle = in->axle;
    s->alike = alike;
}

/* One shaft without a loss between its ends, by the name that the trade has for it. */
static void add_single(list *l, const stretch *in, const part *a, const part *b, size_t alike)
{
    bool divides = b->role == EVN_ROLE_DIVIDES && !b->divides_torque;
    if (b->is_wheel)
        add_at(l, in, "wheel_hub", "", b->above, alike);
    else if (a->role == EVN_ROLE_DIVIDES && !a->begins)
        add_at(l, in, "half_shaft", "", b->above, alike);
    else if (divides && !(a->begins && !a->divides_torque))
        add_at(l, in, b->key, "_input", b->above, alike);
    else
        add_at(l, in, a->key, "_output", b->above, alike);
}

static void add_between(list *l, const stretch *in, const part *a, const part *b, size_t alike)
{
    bool two = b->carried && a->below != b->above;
    if (a->is_motor) { /* the shaft of the one motor is named already */
        if (two || l->rig->unit[l->unit].motor_count > 1)
            add_at(l, in, b->is_wheel ? "wheel_hub" : b->key, b->is_wheel ? "" : "_input", b->above, alike);
    } else if (two) {
        add_at(l, in, a->key, "_output", a->below, alike);
        add_at(l, in, b->is_wheel ? "wheel_hub" : b->key, b->is_wheel ? "" : "_input", b->above, alike);
    } else {
        add_single(l, in, a, b, alike);
    }
}

/* Behind a differential, and at the hubs, there are two of each. */
static void add_row(list *l, const stretch *in, const row *r)
{
    size_t alike = 1;
    for (size_t k = 0; k + 1 < r->count; k++) {
        const part *a = &r->at[k], *b = &r->at[k + 1];
        if ((a->role == EVN_ROLE_DIVIDES && !a->begins) || b->role == EVN_ROLE_HUB || b->is_wheel)
            alike = 2;
        add_between(l, in, a, b, alike);
    }
}

/* ------------------------------------------------------------------------------------------------ torque and speed */

static double down_nm(const evn_unit *u, const evn_stage *stage, size_t from, size_t count, double nm)
{
    double degc[EVN_NODES_MAX];
    evn_unit_start_degc(u, degc);
    for (size_t i = count; i-- > from;)
        nm = evn_stage_down(&stage[i], nm, 0, 0, degc);
    return nm;
}

/* Either way, of all motors at rest in the lowest gear; one branch may have to bear all of it where the others open or
 * the inter-axle differential locks. */
static double standing_nm(const evn_unit *u, const evn_named_shaft *s, double motors_nm)
{
    const evn_gear *g = &u->gear[0];
    if (s->of == EVN_SHAFT_OF_INPUT)
        return motors_nm;
    if (s->of == EVN_SHAFT_OF_MOTOR)
        return motors_nm / (double)u->motor_count;
    if (s->of == EVN_SHAFT_OF_PATH)
        return down_nm(u, g->stage, s->place, g->count, motors_nm);
    const evn_branch *b = &u->branch[s->branch];
    double share = u->has_inter_axle_lock || evn_can_open_branch(u) ? 1 : b->share;
    return down_nm(u, b->stage, s->place, b->count, share * down_nm(u, g->stage, 0, g->count, motors_nm));
}

/* Of its speed for 1 m/s of the truck, in the lowest gear. */
static double fastest_rad_m(const evn_rig *r, const evn_named_shaft *s)
{
    const evn_unit *u = &r->unit[s->unit];
    if (s->of == EVN_SHAFT_OF_BRANCH) {
        const evn_branch *b = &u->branch[s->branch];
        return (s->place < b->count ? b->speed_ratio[s->place] : b->ratio) / r->axle[b->axle].radius_m;
    }
    const evn_gear *g = &u->gear[0];
    return (s->place < g->count ? g->speed_ratio[s->place] : g->total_ratio) * r->unit_rad_m[s->unit];
}

static void set_reach(const evn_rig *r, evn_named_shaft *s)
{
    const evn_unit *u = &r->unit[s->unit];
    double all_nm = evn_unit_peak_nm(u), top_rad_s = evn_unit_top_rad_s(u);
    s->peak_nm = fmax(fabs(standing_nm(u, s, all_nm)), fabs(standing_nm(u, s, -all_nm))) / (double)s->alike;
    if (s->of == EVN_SHAFT_OF_MOTOR)
        s->peak_nm = all_nm / (double)u->motor_count;
    s->top_rad_s = top_rad_s;
    if (s->of == EVN_SHAFT_OF_PATH || s->of == EVN_SHAFT_OF_BRANCH)
        s->top_rad_s = fastest_rad_m(r, s) * r->top_speed_m_s;
}

/* ------------------------------------------------------------------------------------------------ units */

static void add_motors(list *l, const evn_unit *u)
{
    evn_named_shaft *s = add(l, "motor_shaft", "");
    s->of = EVN_SHAFT_OF_MOTOR;
    s->alike = u->motor_count;
    if (u->has_gearbox && u->motor_count > 1)
        add(l, "gearbox_input", "")->of = EVN_SHAFT_OF_INPUT;
}

static void add_unit(list *l)
{
    const evn_rig *r = l->rig;
    const evn_unit *u = &r->unit[l->unit];
    part motors = {.key = "motors", .role = EVN_ROLE_GEARS, .begins = true, .is_motor = true};
    part gearbox = {.key = "gearbox", .role = EVN_ROLE_GEARS, .begins = true};
    part dividing = {.key = INTER_AXLE "_differential", .role = EVN_ROLE_DIVIDES, .divides_torque = true};
    part wheels = {.is_wheel = true};
    row of;
    add_motors(l, u);
    bool branches = u->branch_count > 0;
    set_row(&of, u->has_gearbox ? &gearbox : &motors, branches ? &dividing : &wheels, &u->written, u->path_count);
    add_row(l, &(stretch){EVN_SHAFT_OF_PATH, 0, branches ? NULL : r->axle[u->axle].name}, &of);
    dividing.begins = true;
    for (size_t k = 0; k < u->branch_count; k++) {
        const evn_branch *b = &u->branch[k];
        set_row(&of, &dividing, &wheels, &b->written, b->count);
        add_row(l, &(stretch){EVN_SHAFT_OF_BRANCH, k, r->axle[b->axle].name}, &of);
    }
}

size_t evn_shafts_name(const evn_rig *r, evn_named_shaft *out)
{
    list l = {.rig = r, .out = out};
    for (l.unit = 0; l.unit < r->unit_count; l.unit++)
        add_unit(&l);
    for (size_t k = 0; k < l.count; k++)
        set_reach(r, &out[k]);
    return l.count;
}
