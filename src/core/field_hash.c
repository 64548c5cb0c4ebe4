/* Walks a field table and mixes every value into 64 bits. */
#include "core/field_hash.h"
#include <math.h>
#include <string.h>

static const uint64_t BASIS = UINT64_C(14695981039346656037), PRIME = UINT64_C(1099511628211);

static uint64_t add_bits(uint64_t hash, uint64_t bits)
{
    for (int shift = 0; shift < 64; shift += 8)
        hash = (hash ^ (bits >> shift & 0xff)) * PRIME;
    return hash;
}

/* All that is not a number is one; so are both zeros. */
static uint64_t add_number(uint64_t hash, double number)
{
    uint64_t bits = 0;
    double plain = isnan(number) ? (double)NAN : number == 0 ? 0 : number;
    memcpy(&bits, &plain, sizeof bits);
    return add_bits(hash, isnan(number) ? UINT64_C(0x7ff8000000000000) : bits);
}

static uint64_t add_numbers(uint64_t hash, const double *at, size_t count)
{
    hash = add_bits(hash, count);
    for (size_t i = 0; i < count; i++)
        hash = add_number(hash, at[i]);
    return hash;
}

static uint64_t add_text(uint64_t hash, const char *text)
{
    for (const unsigned char *at = (const unsigned char *)text; *at != 0; at++)
        hash = (hash ^ *at) * PRIME;
    return add_bits(hash, 0);
}

static uint64_t add_object(uint64_t hash, const evn_object *object, const char *self);

static uint64_t add_many(uint64_t hash, const evn_object *of, const evn_many *many)
{
    hash = add_bits(hash, many->count);
    for (size_t i = 0; i < many->count; i++) {
        hash = add_text(hash, many->name[i]);
        hash = add_object(hash, of, (const char *)many->item + i * of->size);
    }
    return hash;
}

static uint64_t add_steps(uint64_t hash, const evn_field *field, const evn_steps *steps)
{
    hash = add_bits(hash, steps->count);
    for (size_t i = 0; i < steps->count; i++) {
        const evn_kind_row *row = &field->kinds[steps->at[i].kind];
        hash = add_text(hash, row->key);
        hash = add_object(hash, row->object, steps->at[i].item);
    }
    return hash;
}

static uint64_t add_sheet(uint64_t hash, const evn_sheet *sheet)
{
    hash = add_bits(hash, sheet ? sheet->columns : 0);
    for (size_t i = 0; sheet && i < sheet->columns; i++) {
        hash = add_text(hash, sheet->name[i]);
        hash = add_numbers(hash, sheet->column[i], sheet->rows);
    }
    return hash;
}

static uint64_t add_figures(uint64_t hash, const evn_numbers *figures)
{
    for (size_t i = 0; i < figures->count; i++)
        hash = add_text(hash, figures->name[i]);
    return add_numbers(hash, figures->value, figures->count);
}

static uint64_t add_member(uint64_t hash, const evn_field *field, const void *member)
{
    switch (field->shape) {
    case EVN_NUMBER:
    case EVN_COUNT:
        return add_number(hash, *(const double *)member);
    case EVN_FLAG:
        return add_bits(hash, *(const bool *)member);
    case EVN_CHOICE:
        return add_bits(hash, (uint64_t)*(const int *)member);
    case EVN_LIST:
        return add_numbers(hash, ((const evn_list *)member)->at, ((const evn_list *)member)->count);
    case EVN_ONE: {
        const char *inner = *(const char *const *)member;
        return inner ? add_object(add_bits(hash, 1), field->of, inner) : add_bits(hash, 0);
    }
    case EVN_MANY:
        return add_many(hash, field->of, member);
    case EVN_STEPS:
        return add_steps(hash, field, member);
    case EVN_SHEET:
        return add_sheet(hash, *(const evn_sheet *const *)member);
    case EVN_FIGURES:
        return add_figures(hash, member);
    case EVN_TEXT:
    case EVN_TEXTS:
        break;
    }
    return hash;
}

static uint64_t add_object(uint64_t hash, const evn_object *object, const char *self)
{
    for (size_t i = 0; i < object->field_count; i++)
        if (!object->fields[i].remark)
            hash = add_member(hash, &object->fields[i], self + object->fields[i].offset);
    return hash;
}

uint64_t evn_object_hash(const evn_object *object, const void *self) { return add_object(BASIS, object, self); }

uint64_t evn_member_hash(const evn_field *field, const void *self)
{
    return add_member(BASIS, field, (const char *)self + field->offset);
}
