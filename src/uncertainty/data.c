/* A stand-in, to be replaced: data by the defaults of keys alone. */
#include "uncertainty/data.h"
#include "core/uncertain.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST = 4096 };
typedef struct gathering {
    evn_arena *arena;
    evn_data *out;
    size_t truck;
    const char *name;
} gathering;

static size_t datum_of(gathering *g, const evn_usual_uncertainty *u, const char *path, double value, double h)
{
    char label[300];
    if (u->errs_with)
        snprintf(label, sizeof label, "%s", u->errs_with);
    else
        snprintf(label, sizeof label, "%s.%s", g->name, path);
    if (!u->errs_with && strchr(label, '['))
        *strchr(label, '[') = '\0';
    for (size_t k = 0; k < g->out->count; k++)
        if (strcmp(g->out->datum[k].label, label) == 0)
            return k;
    g->out->datum[g->out->count] = (evn_datum){.label = evn_arena_text(g->arena, label, strlen(label)),
                                               .path = evn_arena_text(g->arena, path, strlen(path)),
                                               .unit = "",
                                               .value = value,
                                               .half_width = h,
                                               .relative = u->relative,
                                               .shape = u->shape,
                                               .errs_with = u->errs_with,
                                               .source = u->source,
                                               .by_default = true};
    return g->out->count++;
}

static void add(gathering *g, const evn_field *f, const char *path, double value)
{
    const evn_usual_uncertainty *u = f->uncertain;
    if (isnan(value) || g->out->moved_count == MOST || g->out->count == MOST)
        return;
    double h = isnan(u->relative) ? u->half_width : u->relative * fabs(value);
    size_t d = datum_of(g, u, path, value, h);
    g->out->datum[d].values++;
    g->out->datum[d].trucks |= UINT64_C(1) << g->truck;
    g->out->moved[g->out->moved_count++] = (evn_moved){.datum = d,
                                                       .in = EVN_IN_TRUCK,
                                                       .truck = g->truck,
                                                       .path = evn_arena_text(g->arena, path, strlen(path)),
                                                       .nominal = value,
                                                       .half_width = h,
                                                       .shape = u->shape,
                                                       .least = f->least,
                                                       .most = f->most};
}

static void walk(gathering *g, const evn_object *o, const char *self, const char *path)
{
    for (size_t k = 0; k < o->field_count; k++) {
        const evn_field *f = &o->fields[k];
        const char *at = self + f->offset;
        char here[400];
        snprintf(here, sizeof here, "%s%s%s", path, *path ? "." : "", f->key);
        size_t length = strlen(here);
        if (f->shape == EVN_NUMBER && f->uncertain)
            add(g, f, here, *(const double *)(const void *)at);
        if (f->shape == EVN_LIST && f->uncertain) {
            const evn_list *l = (const void *)at;
            for (size_t i = 0; i < l->count; i++) {
                snprintf(here + length, sizeof here - length, "[%zu]", i);
                add(g, f, here, l->at[i]);
            }
        }
        if (f->shape == EVN_ONE && *(const void *const *)(const void *)at)
            walk(g, f->of, *(const char *const *)(const void *)at, here);
        if (f->shape == EVN_MANY && strcmp(f->key, "uncertain") != 0) {
            const evn_many *m = (const void *)at;
            for (size_t i = 0; i < m->count; i++) {
                snprintf(here + length, sizeof here - length, ".%s", m->name[i]);
                walk(g, f->of, (const char *)m->item + i * f->of->size, here);
            }
        }
        if (f->shape == EVN_STEPS) {
            const evn_steps *s = (const void *)at;
            for (size_t i = 0; i < s->count; i++) {
                snprintf(here + length, sizeof here - length, "[%zu].%s", i, f->kinds[s->at[i].kind].key);
                walk(g, f->kinds[s->at[i].kind].object, s->at[i].item, here);
            }
        }
    }
}

bool evn_data_gather(const evn_erring *e, evn_arena *arena, evn_data *out, evn_report *report)
{
    (void)report;
    *out = (evn_data){.datum = evn_arena_take(arena, MOST * sizeof *out->datum),
                      .moved = evn_arena_take(arena, MOST * sizeof *out->moved)};
    for (size_t i = 0; i < e->count; i++) {
        gathering g = {arena, out, i, e->who[i].name};
        walk(&g, &evn_truck_object, (const char *)e->who[i].truck, "");
    }
    return true;
}
