/* Words of how sure a comparison is. */
#include "show/sure_words.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

const char *evn_basis_words(evn_basis basis) { return basis == EVN_BASIS_COMMON ? "the common speed" : "own speeds"; }

const char *evn_apart_words(evn_apart is)
{
    return is == EVN_IS_LOWER ? "lower" : is == EVN_IS_HIGHER ? "higher" : "cannot be told apart";
}

const char *evn_apart_short_words(evn_apart is)
{
    bool apart = is == EVN_IS_LOWER || is == EVN_IS_HIGHER;
    return apart ? evn_apart_words(is) : "not apart";
}

const char *evn_stated_in(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

const char *evn_half_width_words(const evn_datum *is, char *out, size_t size)
{
    bool relative = isfinite(is->relative);
    snprintf(out, size, "%.3g", relative ? 100 * fabs(is->relative) : fabs(is->half_width));
    return relative ? "%" : is->unit ? is->unit : "";
}
