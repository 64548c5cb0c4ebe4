/* What differs between two documents, in words. */
#include "show/check_story.h"
#include "show/diff_story.h"
#include "show/text.h"

bool evn_documents_text(const evn_documents *d, FILE *to, const evn_look *look)
{
    bool made = true;
    for (size_t i = 0; made && i < d->word_count; i++)
        made = evn_put_sentence(to, evn_look_prose(look), "  ", "%s: %s in the first, %s in the second", d->word[i].key,
                                d->word[i].first, d->word[i].second);
    made = made && (d->moved_count == 0 || evn_moved_table(d->moved, d->moved_count, to, look));
    size_t moved = evn_documents_moved(d);
    fprintf(to, "%zu quantit%s compared: %zu moved.\n", d->compared, d->compared == 1 ? "y" : "ies", moved);
    return made;
}
