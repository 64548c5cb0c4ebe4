/* The group "payload": the largest payload under what the file permits and under rules, and what holds it down. */
#include "site/payload_left.h"
#include "site/site.h"
#include <math.h>

static const char group[] = "payload";
static const evn_site_column as_stated = {
    "as_placed_kg", "kg", "placed as stated", "largest payload with its centre where the file has it", 0, false};
static const evn_site_column best = {"placed_best_kg",
                                     "kg",
                                     "placed best",
                                     "largest payload with its centre anywhere from centre_from_m to centre_to_m",
                                     0,
                                     false};
static const evn_site_column place = {"best_place_m", "m", "its centre then", "counted as payload.centre_behind_m", 2,
                                      false};

static void add(evn_site_work *w, const evn_site_name *name, const evn_site_column *column,
                const evn_payload_left *left)
{
    if (left->missing) {
        evn_site_answer unknown = evn_site_unknown(w, left->missing);
        evn_site_add(w, name, column, &unknown);
        return;
    }
    evn_site_answer a = evn_site_value(left->kg, isnan(left->kg) ? "not even without payload are all limits kept"
                                                 : left->binds   ? left->binds
                                                                 : "nothing limits it");
    a.limit = w->laden->payload_kg;
    evn_site_add(w, name, column, &a);
}

static void add_row(evn_site_work *w, const evn_site_name *name, const evn_rules_file *rules)
{
    evn_payload_ask ask = {rules, w->ask.intermodal, false};
    evn_payload_left left;
    if (!evn_payload_left_of(w->truck, w->masses, &ask, evn_site_arena(w), &left)) {
        evn_site_short_of_memory(w);
        return;
    }
    add(w, name, &as_stated, &left);
    if (isnan(w->truck->payload->centre_from_m)) {
        evn_site_answer unknown = evn_site_unknown(w, "payload.centre_from_m");
        evn_site_add(w, name, &best, &unknown);
        return;
    }
    ask.anywhere = true;
    if (!evn_payload_left_of(w->truck, w->masses, &ask, evn_site_arena(w), &left)) {
        evn_site_short_of_memory(w);
        return;
    }
    add(w, name, &best, &left);
    if (!isnan(left.at_m)) {
        evn_site_answer at = evn_site_value(left.at_m, NULL);
        evn_site_add(w, name, &place, &at);
    }
}

void evn_site_payload(evn_site_work *w)
{
    const evn_site_name permitted = {group, "permitted", "largest that the file permits"};
    const evn_site_name ruled = {group, "rules", "largest under the rules as well"};
    add_row(w, &permitted, NULL);
    if (w->ask.rules)
        add_row(w, &ruled, w->ask.rules->file);
}
