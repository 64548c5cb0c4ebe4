/* Keys and values as YAML. */
#include "show/yaml/yaml.h"
#include "show/text.h"
#include <ctype.h>

/* In double quotes; the reader takes no text with other control characters. */
void evn_put_yaml_text(FILE *to, const char *text)
{
    fputc('"', to);
    for (; *text != '\0'; text++) {
        if (*text == '"' || *text == '\\')
            fputc('\\', to);
        if (*text == '\n' || *text == '\t')
            fputs(*text == '\n' ? "\\n" : "\\t", to);
        else
            fputc(*text, to);
    }
    fputc('"', to);
}

/* A name that YAML could take for something else is quoted. */
void evn_put_yaml_key(FILE *to, const char *key)
{
    bool plain = isalpha((unsigned char)key[0]) != 0;
    for (const char *at = key; *at != '\0' && plain; at++)
        plain = isalnum((unsigned char)*at) || *at == '_' || *at == '-';
    if (plain)
        fputs(key, to);
    else
        evn_put_yaml_text(to, key);
    fputc(':', to);
}

void evn_put_yaml_texts(FILE *to, const char *const *texts)
{
    fputc('[', to);
    for (size_t i = 0; texts[i]; i++) {
        fputs(i > 0 ? ", " : "", to);
        evn_put_yaml_text(to, texts[i]);
    }
    fputc(']', to);
}

void evn_put_yaml_numbers(FILE *to, const evn_value *value)
{
    char number[32];
    if (value->kind == EVN_VALUE_NUMBERS)
        fputc('[', to);
    for (size_t i = 0; i < value->count; i++) {
        evn_format_exact(number, value->numbers[i]);
        fprintf(to, "%s%s", i > 0 ? ", " : "", number);
    }
    if (value->kind == EVN_VALUE_NUMBERS)
        fputc(']', to);
}
