/* A fit of losses as a JSON document. */
#include "show/document.h"
#include "show/json_number.h"
#include "show/losses_story.h"

static json_t *list(const double *x, size_t count)
{
    json_t *made = json_array();
    for (size_t k = 0; made && k < count; k++)
        if (json_array_append_new(made, evn_json_real(x[k])) != 0) {
            json_decref(made);
            return NULL;
        }
    return made;
}

bool evn_losses_json(const evn_losses_story *s, const evn_findings *findings, FILE *to)
{
    if (!s->fit || !s->part)
        return evn_document_failure(EVN_LOSSES_SCHEMA, findings, to);
    const evn_loss_told *t = evn_loss_fit_tells(s->fit);
    const struct {
        const char *key;
        double value;
    } rows[] = {{"efficiency", t->efficiency},
                {"ratio", t->ratio},
                {"reference_oil_degc", t->reference_degc},
                {"off.rms_of_mean_loss", t->off_rms},
                {"off.most_of_mean_loss", t->off_most},
                {"off.most_at_speed_rpm", t->most_speed_rpm},
                {"off.most_at_torque_nm", t->most_torque_nm},
                {"off.pushing_rms_of_mean_loss", t->off_pushing_rms}};
    json_t *document = evn_document_begin(EVN_LOSSES_SCHEMA, "done");
    bool made = document && evn_json_put(document, "file", evn_json_text(s->part)) &&
                evn_json_put(document, "side", evn_json_text(t->motor_side ? "motor_side" : "wheel_side")) &&
                evn_json_put(document, "points", json_integer((json_int_t)t->points)) &&
                evn_json_put(document, "points_fitted", json_integer((json_int_t)t->fitted));
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
        made = made && evn_json_put(document, rows[k].key, evn_json_real(rows[k].value));
    made = made && evn_json_put(document, "drag.speed_rpm", list(t->speed_rpm, t->speeds)) &&
           evn_json_put(document, "drag.torque_nm", list(t->drag_nm, t->speeds)) &&
           evn_json_put(document, "oil.temperature_degc", list(t->oil_degc, t->oils)) &&
           evn_json_put(document, "oil.drag_factor", list(t->drag_factor, t->oils));
    if (!made) {
        json_decref(document);
        return false;
    }
    return evn_document_end(document, findings, to);
}
