/* How a log is to be read, from the options of a command. */
#include "cli/log_options.h"

const char *const evn_log_separator_words[] = {"found_out", "comma", "semicolon", "tab", "bar", NULL};
const char *const evn_log_decimal_words[] = {"found_out", "point", "comma", NULL};

evn_log_ask evn_log_asked(const evn_log_args *a)
{
    return (evn_log_ask){.mapping = a->mapping,
                         .columns = a->columns.at,
                         .separator = a->separator > 0 ? evn_log_separator_words[a->separator] : NULL,
                         .decimal = a->decimal > 0 ? evn_log_decimal_words[a->decimal] : NULL,
                         .header_line = (unsigned)a->header_line};
}
