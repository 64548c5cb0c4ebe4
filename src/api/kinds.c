/* Every kind of object that a file can hold, from the tables of truck, cycle, lineup, kept results, uncertainties,
 * duty, rules, prices, logs and studies. */
#include "api/kinds.h"
#include "core/uncertain.h"
#include "cycle/cycle.h"
#include "duty/duty.h"
#include "judge/kept.h"
#include "lineup/lineup.h"
#include "log/mapping.h"
#include "money/prices.h"
#include "truck/rules.h"
#include "vary/study.h"
#include <string.h>

evn_objects evn_all_kinds(void)
{
    evn_objects all = {0};
    evn_objects_add(&all, &evn_truck_object);
    evn_objects_add(&all, &evn_cycle_object);
    evn_objects_add(&all, &evn_lineup_object);
    evn_objects_add(&all, &evn_kept_object);
    evn_objects_add(&all, &evn_uncertainties_object);
    evn_objects_add(&all, &evn_duty_object);
    evn_objects_add(&all, &evn_rules_object);
    evn_objects_add(&all, &evn_prices_object);
    evn_objects_add(&all, &evn_mapping_object);
    evn_objects_add(&all, &evn_study_object);
    return all;
}

const evn_object *evn_kind_object(const char *name)
{
    evn_objects all = evn_all_kinds();
    return evn_object_named(&all, name, strlen(name));
}
