/* Packs whole numbers into bytes, and bytes into text. */
#include "show/page/html_pack.h"
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ numbers */

static void put_byte(evn_packed *to, unsigned char byte)
{
    if (to->count == to->room) {
        size_t room = to->room > 0 ? 2 * to->room : 256;
        unsigned char *bytes = to->short_of_memory ? NULL : realloc(to->bytes, room);
        to->short_of_memory = !bytes;
        if (!bytes)
            return;
        to->bytes = bytes;
        to->room = room;
    }
    to->bytes[to->count++] = byte;
}

static void put_number(evn_packed *to, uint64_t number)
{
    for (; number >= 0x80; number >>= 7)
        put_byte(to, (unsigned char)(0x80 | (number & 0x7f)));
    put_byte(to, (unsigned char)number);
}

void evn_packed_end(evn_packed *to)
{
    uint64_t zeros = to->zeros;
    to->zeros = 0;
    if (zeros == 0)
        return;
    put_number(to, 0);
    put_number(to, zeros - 1);
}

void evn_packed_add(evn_packed *to, int64_t now)
{
    int64_t change = now - to->last, told = to->order == 2 ? change - to->last_change : change;
    to->last = now;
    to->last_change = change;
    if (told == 0) {
        to->zeros++;
        return;
    }
    evn_packed_end(to);
    put_number(to, told < 0 ? 2 * (uint64_t)(-told) - 1 : 2 * (uint64_t)told);
}

void evn_packed_free(evn_packed *packed) { free(packed->bytes); }

/* ------------------------------------------------------------------------------------------------ base64 */

static void put_group(char out[4], const unsigned char in[3], size_t bytes)
{
    static const char letters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    unsigned long bits = (unsigned long)in[0] << 16 | (unsigned long)in[1] << 8 | in[2];
    for (int k = 0; k < 4; k++)
        out[k] = (size_t)k <= bytes ? letters[bits >> (18 - 6 * k) & 63] : '=';
}

static void put_held(evn_base64 *to)
{
    put_group(to->text + to->used, to->group, to->held);
    to->used += 4;
    to->held = 0;
    memset(to->group, 0, sizeof to->group);
}

bool evn_base64_begin(evn_base64 *to, size_t bytes)
{
    *to = (evn_base64){.text = malloc((bytes + 2) / 3 * 4 + 1)};
    return to->text;
}

void evn_base64_put(evn_base64 *to, const unsigned char *from, size_t bytes)
{
    for (size_t i = 0; i < bytes; i++) {
        to->group[to->held++] = from[i];
        if (to->held == sizeof to->group)
            put_held(to);
    }
}

char *evn_base64_end(evn_base64 *to)
{
    if (to->held > 0)
        put_held(to);
    to->text[to->used] = '\0';
    return to->text;
}
