#include "show/cycle_story.h"
#include "show/document.h"
#include "show/json_number.h"
#include "show/table.h"
#include "show/text.h"
#include <stdlib.h>

static void put_title(const evn_cycle *cycle, FILE *to, const evn_look *look)
{
    evn_style_begin(to, look, EVN_STYLE_STRONG);
    evn_put_safe(to, evn_cycle_name(cycle));
    evn_style_end(to, look, EVN_STYLE_STRONG);
    fputs("\nsource: ", to);
    evn_put_safe(to, evn_cycle_source(cycle));
    fputs("\n\n", to);
}

static bool figure_row(evn_table *table, const evn_quantity *what, double value)
{
    char label[64], cell[64];
    evn_format_label(label, sizeof label, what->key, what->unit);
    evn_format_value(cell, sizeof cell, what, value);
    return evn_table_row(table, (const char *const[]){label, cell, what->unit, what->help});
}

bool evn_cycle_text(const evn_cycle *cycle, FILE *to, const evn_look *look)
{
    static const evn_table_column columns[] = {{"", false}, {"", true}, {"", false}, {"", false}};
    evn_figures figures = evn_figures_of_cycle(cycle);
    size_t count = evn_figures_count(&figures);
    put_title(cycle, to, look);
    evn_table *table = evn_table_new(columns, 4, false);
    bool made = table != NULL;
    for (size_t i = 0; made && i < count; i++) {
        evn_quantity what;
        double value;
        if (evn_figures_at(&figures, i, &what, &value))
            made = figure_row(table, &what, value);
    }
    made = made && evn_table_print(table, to, "  ");
    evn_table_free(table);
    return made;
}

bool evn_cycle_json(const evn_cycle *cycle, const evn_findings *findings, FILE *to)
{
    if (cycle == NULL)
        return evn_document_failure(EVN_CYCLE_SCHEMA, findings, to);
    evn_figures figures = evn_figures_of_cycle(cycle);
    json_t *document = evn_document_begin(EVN_CYCLE_SCHEMA, "done");
    bool made = document != NULL && evn_json_put(document, "cycle", evn_json_text(evn_cycle_name(cycle))) &&
                evn_json_put(document, "source", evn_json_text(evn_cycle_source(cycle))) &&
                evn_document_figures(document, &figures);
    if (!made) {
        json_decref(document);
        return false;
    }
    return evn_document_end(document, findings, to);
}
