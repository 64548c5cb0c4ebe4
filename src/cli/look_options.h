/* The option of every command that tells figures in words. */
#ifndef EVENER_CLI_LOOK_OPTIONS_H
#define EVENER_CLI_LOOK_OPTIONS_H
#include "cli/options.h"
#include "show/look.h"

/* A row of a table of options; `member` is a bool of the command's struct. */
#define EVN_DIGITS_OPTION(type, member)                                                                                \
    {.name = "digits",                                                                                                 \
     .kind = EVN_OPTION_FLAG,                                                                                          \
     .offset = offsetof(type, member),                                                                                 \
     .help = "figures with all digits that are computed, as JSON has them, not only those that the data deserve"}

/* The look of a stream, with all digits where these were asked for. */
static inline evn_look evn_look_with(const evn_look *look, bool all_digits)
{
    evn_look with = *look;
    with.all_digits = all_digits;
    return with;
}

#endif
