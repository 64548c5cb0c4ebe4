/* What differs between two documents, in words. */
#include "show/check_story.h"
#include "show/diff_story.h"
#include "show/text.h"

bool evn_documents_text(const evn_documents *d, FILE *to, const evn_look *look)
{
    for (size_t i = 0; i < d->word_count; i++) {
        fputs("  ", to);
        evn_put_safe(to, d->word[i].key);
        fputs(": ", to);
        evn_put_safe(to, d->word[i].first);
        fputs(" in the first, ", to);
        evn_put_safe(to, d->word[i].second);
        fputs(" in the second\n", to);
    }
    bool made = d->moved_count == 0 || evn_moved_table(d->moved, d->moved_count, to, look);
    size_t moved = evn_documents_moved(d);
    fprintf(to, "%zu quantit%s compared: %zu moved.\n", d->compared, d->compared == 1 ? "y" : "ies", moved);
    return made;
}
