/* A matrix as a JSON document. */
#include "show/document.h"
#include "show/json_number.h"
#include "show/matrix_story.h"

bool evn_matrix_json(const evn_matrix_story *s, const evn_findings *findings, FILE *to)
{
    if (!s->matrix || !s->table)
        return evn_document_failure(EVN_MATRIX_SCHEMA, findings, to);
    const evn_matrix_told *t = evn_matrix_tells(s->matrix);
    const struct {
        const char *key;
        double value;
    } rows[] = {{"speed_least_rpm", t->speed_least_rpm}, {"speed_most_rpm", t->speed_most_rpm},
                {"torque_least_nm", t->torque_least_nm}, {"torque_most_nm", t->torque_most_nm},
                {"value_least", t->value_least},         {"value_most", t->value_most},
                {"best_speed_rpm", t->best_speed_rpm},   {"best_torque_nm", t->best_torque_nm}};
    json_t *document = evn_document_begin(EVN_MATRIX_SCHEMA, "done");
    bool made = document && evn_json_put(document, "file", evn_json_text(s->table)) &&
                evn_json_put(document, "value_column", evn_json_text(t->value_column)) &&
                evn_json_put(document, "sheet_column", evn_json_text(t->sheet_column)) &&
                evn_json_put(document, "sheets", json_integer((json_int_t)t->sheets)) &&
                evn_json_put(document, "cells", json_integer((json_int_t)t->cells)) &&
                evn_json_put(document, "cells_without_value", json_integer((json_int_t)t->empty)) &&
                evn_json_put(document, "cells_of_reverse_speed", json_integer((json_int_t)t->reversed));
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
        made = made && evn_json_put(document, rows[k].key, evn_json_real(rows[k].value));
    if (!made) {
        json_decref(document);
        return false;
    }
    return evn_document_end(document, findings, to);
}
