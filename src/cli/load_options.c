/* The options of commands that load files, as the library takes them. */
#include "cli/load_options.h"

void evn_load_begin(const evn_load_args *args, evn_report *report) { evn_report_be_strict(report, args->strict); }

evn_load evn_load_of(const evn_load_args *args) { return (evn_load){.set = args->set.at, .strict = args->strict}; }
