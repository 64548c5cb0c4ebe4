/* Words that all media tell of how numbers come about. */
#include "show/explain_story.h"
#include <math.h>
#include <string.h>

static const struct known {
    const char *word, *phrase;
} known[] = {
    [EVN_KNOWN_BY_FORMULA] = {"formula", ""},
    [EVN_KNOWN_OVER_RUN] = {"over_run", "integrated over the run: "},
    [EVN_KNOWN_AS_MOST] = {"most", "the most over the run of: "},
    [EVN_KNOWN_BY_COUNT] = {"count", "counted over the run: "},
    [EVN_KNOWN_AS_JUDGED] = {"judged", "judged: "},
    [EVN_KNOWN_FROM_ENDS] = {"ends", "from start and end of the run: "},
    [EVN_KNOWN_FROM_TRUCK] = {"truck", "of the truck before it drives: "},
    [EVN_KNOWN_AS_SOUGHT] = {"sought", "sought by forces, or by runs on made roads: "},
    [EVN_KNOWN_AS_LIMIT] = {"limit", ""},
    [EVN_KNOWN_AS_AVERAGE] = {"average", "averaged over all orders of exchange: "},
    [EVN_KNOWN_BY_EXCHANGE] = {"exchange", ""},
    [EVN_KNOWN_AS_WRITTEN] = {"written", ""},
    [EVN_KNOWN_AS_ASKED] = {"asked", ""},
};

const char *evn_known_by_word(evn_known_by by) { return known[by].word; }
const char *evn_known_by_phrase(evn_known_by by) { return known[by].phrase; }

/* "load_case.altitude_m" parted. */
static bool by_option(const evn_explain_story *story, const evn_explained *row)
{
    char kind[32];
    const char *dot = strchr(row->key, '.');
    size_t length = dot ? (size_t)(dot - row->key) : 0;
    if (length == 0 || length >= sizeof kind)
        return false;
    memcpy(kind, row->key, length);
    kind[length] = '\0';
    return story->asked_by_option(story->asked, kind, dot + 1);
}

const char *evn_explained_origin(const evn_explain_story *story, const evn_explained *row)
{
    static const char *const written[] = {[EVN_FROM_FILE] = "file",
                                          [EVN_FROM_SET] = "set",
                                          [EVN_FROM_DEFAULT] = "default",
                                          [EVN_NOT_GIVEN] = "not_given"};
    if (row->written)
        return written[row->written->origin];
    if (by_option(story, row))
        return "option";
    if (!row->by_default)
        return "lineup";
    return isnan(row->value) ? "not_given" : "default";
}
