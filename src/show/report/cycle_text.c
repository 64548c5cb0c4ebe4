/* A cycle in words: its name and source, its figures with their meaning. */
#include "show/cycle_story.h"
#include "show/report/table.h"
#include "show/text.h"
#include <math.h>
#include <string.h>

static bool put_title(const evn_cycle *cycle, FILE *to, const evn_look *look)
{
    size_t width = evn_look_prose(look);
    evn_style_begin(to, look, EVN_STYLE_STRONG);
    bool made = evn_put_sentence(to, width, "", "%s", evn_cycle_name(cycle));
    evn_style_end(to, look, EVN_STYLE_STRONG);
    made = made && evn_put_sentence(to, width, "", "source: %s", evn_cycle_source(cycle));
    fputc('\n', to);
    return made;
}

enum { LABEL = 64, MISSING = 1024 };

static bool figure_row(evn_table *table, const evn_look *look, const evn_quantity *what, double value)
{
    char cell[LABEL];
    evn_format_value(cell, sizeof cell, look, what, value);
    return evn_table_row(table, (const char *const[]){what->label, cell, evn_shown_unit(what), what->help});
}

/* Figures that this kind of cycle does not have are gathered by name instead. */
static bool add_figures(evn_table *table, const evn_look *look, const evn_figures *figures, char missing[MISSING])
{
    size_t count = evn_figures_count(figures);
    for (size_t i = 0; i < count; i++) {
        evn_quantity what;
        double value;
        if (!evn_figures_at(figures, i, &what, &value))
            continue;
        size_t used = strlen(missing);
        if (what.kind != EVN_YES_NO && !isfinite(value))
            snprintf(missing + used, MISSING - used, "%s %s", used > 0 ? "," : "", what.label);
        else if (!figure_row(table, look, &what, value))
            return false;
    }
    return true;
}

bool evn_cycle_text(const evn_cycle *cycle, FILE *to, const evn_look *look)
{
    static const evn_table_column columns[] = {
        {"", false, true}, {"", true, false}, {"", false, false}, {"", false, true}};
    evn_figures figures = evn_figures_of_cycle(cycle);
    char missing[MISSING] = "";
    evn_table *table = evn_table_new(columns, 4, false);
    bool made = table && put_title(cycle, to, look) && add_figures(table, look, &figures, missing) &&
                evn_table_print(table, to, "  ", evn_look_width(look));
    evn_table_free(table);
    if (made && missing[0] != '\0') {
        char sentence[MISSING + LABEL];
        snprintf(sentence, sizeof sentence, "This kind of cycle does not say:%s.", missing);
        fputc('\n', to);
        evn_put_paragraph_within(to, evn_look_prose(look), 0, "  ", sentence);
    }
    return made;
}
