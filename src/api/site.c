/* The public calls for a truck where it works: their checks, then the work. */
#include "site/site.h"
#include "api/objects.h"
#include "core/field_number.h"

evn_site_ask evn_site_ask_default(void)
{
    evn_site_ask ask = {.rules = NULL};
    evn_object_default(&evn_site_ask_object, &ask, NULL);
    return ask;
}

bool evn_site_ask_set(evn_site_ask *ask, const char *key, double value, evn_report *report)
{
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"ask", ask}, {"key", key}, {0}}))
        return false;
    return evn_field_number_put(&evn_site_ask_object, ask, key, value, report);
}

bool evn_site_ask_get(const evn_site_ask *ask, const char *key, double *value)
{
    return ask && key && value && evn_field_number_get(&evn_site_ask_object, ask, key, value);
}

evn_status evn_site_find(const evn_truck *truck, const evn_load_case *load_case, const evn_site_ask *ask,
                         evn_site **out, evn_report *report)
{
    if (out)
        *out = NULL;
    const evn_argument needed[] = {{"truck", truck}, {"load_case", load_case}, {"ask", ask}, {"out", out}, {0}};
    if (!evn_not_null(report, __func__, needed) || !evn_object_fits(&evn_site_ask_object, ask, report))
        return EVN_BAD_INPUT;
    return evn_site_make(truck->file, load_case, ask, ask->route ? ask->route->file : NULL,
                         ask->duty ? ask->duty->file : NULL, out, report);
}

evn_status evn_drawing_of(const evn_truck *truck, const evn_load_case *load_case, evn_drawing **out, evn_report *report)
{
    if (out)
        *out = NULL;
    const evn_argument needed[] = {{"truck", truck}, {"load_case", load_case}, {"out", out}, {0}};
    if (!evn_not_null(report, __func__, needed))
        return EVN_BAD_INPUT;
    return evn_drawing_make(truck->file, load_case, out, report);
}
