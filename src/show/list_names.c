/* Which of the files there are is told, and their bare names. */
#include "show/list_story.h"
#include "show/text.h"
#include <string.h>

bool evn_list_wants(const evn_list_story *story, const evn_item *item)
{
    return story->wanted[item->group] && (!story->kind || (item->kind && strcmp(item->kind, story->kind) == 0));
}

void evn_list_names(const evn_list_story *story, FILE *to)
{
    evn_item item;
    for (size_t i = 0; evn_catalogue_at(story->catalogue, i, &item); i++)
        if (item.kind && evn_list_wants(story, &item)) {
            evn_put_safe(to, item.name);
            fputc('\n', to);
        }
}
