/* The library's values by the names that every medium writes. */
#include "show/names.h"

const char *evn_driver_name(evn_driver driver) { return driver == EVN_DRIVER_EXACT ? "exact" : "human"; }

const char *evn_basis_name(evn_basis basis) { return basis == EVN_BASIS_COMMON ? "common" : "own"; }

const char *const evn_unevenness_names[] = {"as_route", "A", "B", "C", "D", "E", "F", "G", "H", NULL};
const char *const evn_equal_names[] = {"payload", "gross", "power", NULL};

const char *evn_group_name(evn_item_group group)
{
    static const char *const names[] = {"truck",  "cycle", "duty", "lineup", "rules",
                                        "prices", "study", "part", "other"};
    return names[group];
}

const char *evn_checked_state_name(evn_checked_state state)
{
    static const char *const names[] = {[EVN_CHECKED_SAME] = "same",
                                        [EVN_CHECKED_MOVED] = "moved",
                                        [EVN_CHECKED_NEW] = "not_recorded",
                                        [EVN_CHECKED_NOT_RUN] = "not_driven"};
    return names[state];
}
