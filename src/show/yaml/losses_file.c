/* The part of a table of losses: what final_drive, mesh and differential state. */
#include "show/losses_story.h"
#include "show/text.h"
#include "show/yaml/yaml.h"
#include <math.h>
#include <string.h>

static void put_list(FILE *to, const char *indent, const char *key, const double *x, size_t count)
{
    fprintf(to, "%s%s: [", indent, key);
    for (size_t k = 0; k < count; k++)
        fprintf(to, "%s%.6g", k > 0 ? ", " : "", x[k]);
    fputs("]\n", to);
}

static void put_oil(const evn_loss_told *t, FILE *to)
{
    fputs("# Factors of the drag are the table's. Heat capacity and cooling stand in no such table: they are the "
          "middle of\n"
          "# what is usual of a driven axle (from memory), to be replaced.\n"
          "oil:\n  heat_capacity_kj_per_k: 180\n  standing_w_per_k: 20\n  at_80_km_h_w_per_k: 60\n",
          to);
    put_list(to, "  ", "temperature_degc", t->oil_degc, t->oils);
    put_list(to, "  ", "drag_factor", t->drag_factor, t->oils);
}

void evn_losses_yaml(const evn_losses_story *s, FILE *to)
{
    const evn_loss_told *t = evn_loss_fit_tells(s->fit);
    const char *base = strrchr(s->table, '/') ? strrchr(s->table, '/') + 1 : s->table;
    char words[400], source[400];
    snprintf(
        words, sizeof words,
        "Losses of a table by evener losses: a share of the load and a drag over speed%s. The fit is %.2g %% off the "
        "mean loss (RMS), %.2g %% at most.",
        t->oils > 0 ? " that goes with the oil's temperature" : "", 100 * t->off_rms, 100 * t->off_most);
    snprintf(source, sizeof source, "fitted to %.250s, %zu points", base, t->fitted);
    evn_put_paragraph_within(to, 100, 0, "# ", words);
    fputs("source: ", to);
    evn_put_yaml_text(to, source);
    fprintf(to, "\nratio: %.6g\nefficiency: %.6g\ndrag:\n  at: %s\n", t->ratio, t->efficiency,
            t->motor_side ? "motor_side" : "wheel_side");
    put_list(to, "  ", "speed_rpm", t->speed_rpm, t->speeds);
    put_list(to, "  ", "torque_nm", t->drag_nm, t->speeds);
    if (t->oils > 0)
        put_oil(t, to);
}
