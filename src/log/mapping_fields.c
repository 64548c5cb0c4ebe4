/* The keys of a mapping. */
#include "core/words.h"
#include "log/mapping.h"
#include "log/units.h"
#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

const char *const evn_log_separators[] = {"found_out", "comma", "semicolon", "tab", "bar", NULL};
const char *const evn_log_decimals[] = {"found_out", "point", "comma", NULL};

#define MEMBER(member) offsetof(evn_mapping_column, member)
static const evn_field column_fields[] = {
    {.key = "name",
     .shape = EVN_TEXT,
     .presence = EVN_REQUIRED,
     .offset = MEMBER(name),
     .help = "of the column in the log's header; '' leaves the quantity out, whatever column bears its name"},
    {.key = "unit",
     .shape = EVN_TEXT,
     .offset = MEMBER(unit),
     .help = "of the column's numbers: km/h, m/s, %, degC, ...; not given: what the header says in brackets"},
};
#undef MEMBER
static const evn_object column_object = {.name = "log_column",
                                         .help = "which column of a log holds a quantity",
                                         .size = sizeof(evn_mapping_column),
                                         .fields = column_fields,
                                         .field_count = sizeof column_fields / sizeof *column_fields};

#define MEMBER(member) offsetof(evn_mapping_file, member)
static const evn_field mapping_fields[] = {
    {.key = "name", .shape = EVN_TEXT, .offset = MEMBER(name), .help = "label in reports"},
    {.key = "separator",
     .shape = EVN_CHOICE,
     .choices = evn_log_separators,
     .offset = MEMBER(separator),
     .help = "what separates the columns"},
    {.key = "decimal",
     .shape = EVN_CHOICE,
     .choices = evn_log_decimals,
     .offset = MEMBER(decimal),
     .help = "what stands before the decimals of a number"},
    {.key = "header_line",
     .shape = EVN_COUNT,
     .least = 1,
     .most = 1e6,
     .fallback = (double)NAN,
     .offset = MEMBER(header_line),
     .help = "line that names the columns, from 1; lines before it are left out; not given: the first that is neither "
             "empty nor begins with '#'"},
    {.key = "columns",
     .shape = EVN_MANY,
     .presence = EVN_REQUIRED,
     .of = &column_object,
     .offset = MEMBER(columns),
     .count_least = 1,
     .help = "columns by quantity: time, speed, place, altitude, latitude, longitude, grade, power, energy, ..."},
};
#undef MEMBER

static void check_mapping(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_mapping_file *f = self;
    const char *words[EVN_LOG_QUANTITY_COUNT];
    for (int q = 0; q < EVN_LOG_QUANTITY_COUNT; q++)
        words[q] = evn_log_word((evn_log_quantity)q);
    for (size_t k = 0; k < f->columns.count; k++) {
        int q = evn_log_quantity_named((evn_cell){f->columns.name[k], strlen(f->columns.name[k])});
        char all[EVN_PHRASE_BYTES], near[EVN_PHRASE_BYTES], path[EVN_PHRASE_BYTES];
        snprintf(path, sizeof path, "columns.%s", f->columns.name[k]);
        if (q < 0)
            evn_say_at(report, seat, EVN_FAULT_UNKNOWN_KEY, path, "%s is no quantity of logs; expected one of %s%s",
                       f->columns.name[k], evn_name_all(all, words, EVN_LOG_QUANTITY_COUNT),
                       evn_nearest_phrase(near, f->columns.name[k], words, EVN_LOG_QUANTITY_COUNT));
    }
}

const evn_object evn_mapping_object = {.name = "mapping",
                                       .help = "how the columns of a log are named and separated",
                                       .size = sizeof(evn_mapping_file),
                                       .fields = mapping_fields,
                                       .field_count = sizeof mapping_fields / sizeof *mapping_fields,
                                       .check = check_mapping};
