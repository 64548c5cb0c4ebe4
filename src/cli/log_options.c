/* The options of every command that reads logs. */
#include "cli/log_options.h"

const char *const evn_separator_words[] = {"comma", "semicolon", "tab", "bar", NULL};
const char *const evn_decimal_words[] = {"point", "comma", NULL};

evn_log_ask evn_log_ask_of(const evn_log_args *args)
{
    return (evn_log_ask){.mapping = args->mapping,
                         .columns = args->columns.count > 0 ? args->columns.at : NULL,
                         .separator = args->separator,
                         .decimal = args->decimal,
                         .header_line = (unsigned)args->header_line};
}
