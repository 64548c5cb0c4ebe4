/* Walks a field table and copies what each member leads to. */
#include "core/field_copy.h"
#include <string.h>

static bool copy_into(const evn_object *object, const void *self, void *copy, evn_arena *arena);

/* A copy of so many bytes; what holds nothing stays NULL. False when memory is out. */
static bool copy_bytes(const void *from, size_t bytes, void **copy, evn_arena *arena)
{
    *copy = NULL;
    if (!from || bytes == 0)
        return true;
    *copy = evn_arena_take(arena, bytes);
    if (*copy)
        memcpy(*copy, from, bytes);
    return *copy;
}

static bool copy_text(const char **member, evn_arena *arena)
{
    *member = *member ? evn_arena_text(arena, *member, strlen(*member)) : NULL;
    return *member;
}

static bool copy_names(const char *const **member, size_t count, evn_arena *arena)
{
    void *made;
    if (!copy_bytes(*member, count * sizeof **member, &made, arena))
        return false;
    const char **name = made;
    for (size_t i = 0; i < count; i++)
        if (!copy_text(&name[i], arena))
            return false;
    *member = name;
    return true;
}

/* Behind the last stands the NULL that ends the list. */
static bool copy_texts(evn_text_list *texts, evn_arena *arena)
{
    void *made;
    if (!copy_bytes(texts->at, texts->at ? (texts->count + 1) * sizeof *texts->at : 0, &made, arena))
        return false;
    const char **text = made;
    for (size_t i = 0; i < texts->count; i++)
        if (!copy_text(&text[i], arena))
            return false;
    texts->at = text;
    return true;
}

static bool copy_numbers(const double **member, size_t count, evn_arena *arena)
{
    void *made;
    bool copied = copy_bytes(*member, count * sizeof **member, &made, arena);
    *member = made;
    return copied;
}

static bool copy_many(const evn_object *of, evn_many *many, evn_arena *arena)
{
    void *items;
    if (!copy_names(&many->name, many->count, arena) || !copy_bytes(many->item, many->count * of->size, &items, arena))
        return false;
    for (size_t i = 0; i < many->count; i++)
        if (!copy_into(of, (const char *)many->item + i * of->size, (char *)items + i * of->size, arena))
            return false;
    many->item = items;
    return true;
}

static bool copy_steps(const evn_field *field, evn_steps *steps, evn_arena *arena)
{
    void *made;
    if (!copy_bytes(steps->at, steps->count * sizeof *steps->at, &made, arena))
        return false;
    evn_step *at = made;
    for (size_t i = 0; i < steps->count; i++) {
        at[i].item = evn_object_copy(field->kinds[at[i].kind].object, at[i].item, arena);
        if (!at[i].item)
            return false;
    }
    steps->at = at;
    return true;
}

static bool copy_columns(evn_sheet *sheet, evn_arena *arena)
{
    void *made;
    if (!copy_bytes(sheet->column, sheet->columns * sizeof *sheet->column, &made, arena))
        return false;
    const double **column = made;
    for (size_t i = 0; i < sheet->columns; i++)
        if (!copy_numbers(&column[i], sheet->rows, arena))
            return false;
    sheet->column = (const double *const *)column;
    return true;
}

static bool copy_sheet(const evn_sheet **member, evn_arena *arena)
{
    void *made, *line;
    if (!copy_bytes(*member, sizeof **member, &made, arena))
        return false;
    evn_sheet *sheet = made;
    *member = sheet;
    if (!sheet)
        return true;
    bool copied = copy_text(&sheet->file, arena) && copy_names(&sheet->name, sheet->columns, arena) &&
                  copy_columns(sheet, arena) &&
                  copy_bytes(sheet->line, sheet->rows * sizeof *sheet->line, &line, arena);
    if (copied)
        sheet->line = line;
    return copied;
}

/* The member is a copy that still leads where the original does. */
static bool copy_member(const evn_field *field, void *member, evn_arena *arena)
{
    switch (field->shape) {
    case EVN_NUMBER:
    case EVN_COUNT:
    case EVN_FLAG:
    case EVN_CHOICE:
        return true;
    case EVN_TEXT: {
        const char **text = member;
        return !*text || copy_text(text, arena);
    }
    case EVN_LIST: {
        evn_list *list = member;
        return copy_numbers(&list->at, list->count, arena);
    }
    case EVN_ONE: {
        const void *inner, *made;
        memcpy(&inner, member, sizeof inner);
        made = inner ? evn_object_copy(field->of, inner, arena) : NULL;
        memcpy(member, &made, sizeof made);
        return !inner || made;
    }
    case EVN_MANY:
        return copy_many(field->of, member, arena);
    case EVN_STEPS:
        return copy_steps(field, member, arena);
    case EVN_SHEET:
        return copy_sheet(member, arena);
    case EVN_TEXTS: {
        evn_text_list *texts = member;
        return copy_texts(texts, arena);
    }
    case EVN_FIGURES: {
        evn_numbers *figures = member;
        return copy_names(&figures->name, figures->count, arena) &&
               copy_numbers(&figures->value, figures->count, arena);
    }
    }
    return false;
}

static bool copy_into(const evn_object *object, const void *self, void *copy, evn_arena *arena)
{
    memcpy(copy, self, object->size);
    for (size_t i = 0; i < object->field_count; i++)
        if (!copy_member(&object->fields[i], (char *)copy + object->fields[i].offset, arena))
            return false;
    return !object->equip || object->equip(copy, arena);
}

void *evn_object_copy(const evn_object *object, const void *self, evn_arena *arena)
{
    void *copy = evn_arena_take(arena, object->size);
    return copy && copy_into(object, self, copy, arena) ? copy : NULL;
}
