/* Numbers, texts and dotted keys as JSON, and a document printed. */
#define _POSIX_C_SOURCE 200809L
#include "show/json_number.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { REAL_DIGITS = 12 };

/* Whole numbers up to here are exact in a double. */
static const double most_exact = 9007199254740992.0;

json_t *evn_json_real(double value) { return isfinite(value) ? json_real(value) : json_null(); }

json_t *evn_json_value(evn_quantity_kind kind, double value)
{
    if (!isfinite(value))
        return json_null();
    if (kind == EVN_YES_NO)
        return json_boolean(value != 0);
    if (kind == EVN_WHOLE && fabs(value) <= most_exact)
        return json_integer((json_int_t)llround(value));
    return json_real(value);
}

static json_t *repaired_text(const char *text)
{
    char *clean = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&clean, &size);
    if (!memory)
        return NULL;
    uint32_t code;
    for (size_t length; (length = evn_utf8_next(text, &code)) > 0; text += length)
        if (code == EVN_NO_CODE)
            fputs("\uFFFD", memory);
        else
            fwrite(text, 1, length, memory);
    bool failed = ferror(memory) != 0;
    failed = fclose(memory) != 0 || failed;
    json_t *json = failed ? NULL : json_string(clean);
    free(clean);
    return json;
}

json_t *evn_json_if_made(bool made, json_t *json)
{
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

json_t *evn_json_text(const char *text)
{
    if (!text)
        return json_null();
    json_t *json = json_string(text);
    return json ? json : repaired_text(text);
}

/* The object under the first part of the key; NULL when memory is out or something else stands there. */
static json_t *object_under(json_t *object, const char *key, size_t length, bool *blocked)
{
    char *name = strndup(key, length);
    if (!name)
        return NULL;
    json_t *inner = json_object_get(object, name);
    *blocked = inner && !json_is_object(inner);
    if (!inner && json_object_set_new(object, name, json_object()) == 0)
        inner = json_object_get(object, name);
    free(name);
    return *blocked ? NULL : inner;
}

bool evn_json_put(json_t *object, const char *dotted_key, json_t *value)
{
    const char *key = dotted_key;
    json_t *at = object;
    for (const char *dot; (dot = strchr(key, '.')); key = dot + 1) {
        bool blocked = false;
        json_t *inner = object_under(at, key, (size_t)(dot - key), &blocked);
        if (blocked)
            break;
        if (!inner) {
            json_decref(value);
            return false;
        }
        at = inner;
    }
    return json_object_set_new(at, key, value) == 0;
}

/* jansson escapes the ASCII controls; the others may stand only inside strings, where an escape means the same. */
static void put_escaped(const char *text, FILE *to)
{
    uint32_t code;
    for (size_t length; (length = evn_utf8_next(text, &code)) > 0; text += length)
        if (code != EVN_NO_CODE && code >= 0x7F && evn_code_is_control(code))
            fprintf(to, "\\u%04X", (unsigned)code);
        else
            fwrite(text, 1, length, to);
    fputc('\n', to);
}

bool evn_json_print(const json_t *document, FILE *to)
{
    char *text = json_dumps(document, JSON_INDENT(2) | JSON_REAL_PRECISION(REAL_DIGITS));
    if (!text)
        return false;
    put_escaped(text, to);
    free(text);
    return true;
}
