/* A fit of losses in words: what the part states, and how far the table is from it. */
#include "show/losses_story.h"
#include "show/report/table.h"
#include "show/text.h"
#include <math.h>

enum { CELL = 40 };

static bool put_drags(const evn_loss_told *t, FILE *to, const evn_look *look)
{
    static const evn_table_column columns[] = {{"speed, rpm", true, false}, {"drag, Nm", true, false}};
    evn_table *table = evn_table_new(columns, 2, true);
    bool made = table;
    for (size_t k = 0; k < t->speeds && made; k++) {
        char rpm[CELL], nm[CELL];
        snprintf(rpm, sizeof rpm, "%.6g", t->speed_rpm[k]);
        evn_format_decimals(nm, sizeof nm, evn_look_digits(look, 2), t->drag_nm[k]);
        made = evn_table_row(table, (const char *const[]){rpm, nm});
    }
    made = made && evn_table_print(table, to, "  ", evn_look_width(look));
    evn_table_free(table);
    return made;
}

static bool put_oils(const evn_loss_told *t, FILE *to, const evn_look *look)
{
    static const evn_table_column columns[] = {{"oil, degC", true, false}, {"factor of the drag", true, false}};
    evn_table *table = evn_table_new(columns, 2, true);
    bool made = table;
    for (size_t k = 0; k < t->oils && made; k++) {
        char degc[CELL], factor[CELL];
        snprintf(degc, sizeof degc, "%.4g", t->oil_degc[k]);
        evn_format_decimals(factor, sizeof factor, evn_look_digits(look, 3), t->drag_factor[k]);
        made = evn_table_row(table, (const char *const[]){degc, factor});
    }
    fputc('\n', to);
    made = made && evn_table_print(table, to, "  ", evn_look_width(look));
    evn_table_free(table);
    return made;
}

static bool put_off(const evn_loss_told *t, FILE *to, size_t width)
{
    char oil[CELL] = "";
    if (!isnan(t->reference_degc))
        snprintf(oil, sizeof oil, " with the oil at %.4g degC", t->most_oil_degc);
    if (!evn_put_sentence(
            to, width, "",
            "Off the table by %.2g %% of the mean loss (RMS), at most by %.2g %%: at %.6g rpm and %.6g Nm%s.",
            100 * t->off_rms, 100 * t->off_most, t->most_speed_rpm, t->most_torque_nm, oil))
        return false;
    return isnan(t->off_pushing_rms) ||
           evn_put_sentence(to, width, "", "Off the points that push, which nothing was fitted to, by %.2g %% (RMS).",
                            100 * t->off_pushing_rms);
}

bool evn_losses_text(const evn_losses_story *s, FILE *to, const evn_look *look)
{
    const evn_loss_told *t = evn_loss_fit_tells(s->fit);
    size_t width = evn_look_prose(look);
    char oil[CELL] = "";
    if (!isnan(t->reference_degc))
        snprintf(oil, sizeof oil, ", oil at %.4g degC", t->reference_degc);
    bool made = evn_put_sentence(
        to, width, "", "%zu points, %zu of them fitted: efficiency of the load %.4f; drag on the %s side%s:", t->points,
        t->fitted, t->efficiency, t->motor_side ? "motor" : "wheel", oil);
    fputc('\n', to);
    made = made && put_drags(t, to, look) && (t->oils == 0 || put_oils(t, to, look));
    fputc('\n', to);
    return made && put_off(t, to, width) && (!s->part || evn_put_sentence(to, width, "", "Written: %s.", s->part));
}
