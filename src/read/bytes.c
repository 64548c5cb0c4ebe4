/* Reads a file into memory within bounds, and finds the first byte that is no text. */
#define _POSIX_C_SOURCE 200809L
#include "read/bytes.h"
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* ---------------------------------------------------------------------------------------------------- loading */

static bool fail(evn_trouble *trouble, evn_fault fault, const char *why)
{
    *trouble = (evn_trouble){.absent = false, .fault = fault, .why = why};
    return false;
}

static bool fail_by_number(evn_trouble *trouble, int number)
{
    switch (number) {
    case ENOENT:
    case ENOTDIR:
        *trouble = (evn_trouble){true, EVN_FAULT_CANNOT_READ, "there is no such file; expected a file to read"};
        return false;
    case EACCES:
    case EPERM:
        return fail(trouble, EVN_FAULT_CANNOT_READ, "permission denied; expected a file that may be read");
    case ENXIO:
        return fail(trouble, EVN_FAULT_CANNOT_READ, "a socket or device; expected a regular file");
    case ELOOP:
        return fail(trouble, EVN_FAULT_CANNOT_READ, "symbolic links in a circle; expected a regular file");
    case ENAMETOOLONG:
        return fail(trouble, EVN_FAULT_CANNOT_READ, "a path longer than the system takes; expected a shorter one");
    case EMFILE:
    case ENFILE:
        return fail(trouble, EVN_FAULT_CANNOT_READ, "too many open files; expected room for one more");
    default:
        return fail(trouble, EVN_FAULT_CANNOT_READ, "the system could not read it; expected a regular file");
    }
}

static bool fail_by_kind(evn_trouble *trouble, mode_t mode)
{
    const char *why = S_ISDIR(mode)    ? "a directory; expected a regular file"
                      : S_ISFIFO(mode) ? "a named pipe; expected a regular file"
                                       : "a device; expected a regular file";
    return fail(trouble, EVN_FAULT_CANNOT_READ, why);
}

static bool grow(evn_bytes *bytes, size_t *room)
{
    size_t larger = *room < 4096 ? 4096 : *room * 2;
    char *grown = realloc(bytes->at, larger);
    if (!grown)
        return false;
    bytes->at = grown;
    *room = larger;
    return true;
}

/* Reads to the end rather than trusting the size: a file may grow, and some of the system's state no size. */
static bool read_all(int descriptor, size_t expected, evn_bytes *out, evn_trouble *trouble)
{
    size_t room = expected + 1; /* one more, to see the end without growing */
    out->at = malloc(room);
    if (!out->at)
        return fail(trouble, EVN_FAULT_OUT_OF_MEMORY, "memory ran out; expected enough for the file");
    for (;;) {
        if (out->length == room && !grow(out, &room))
            return fail(trouble, EVN_FAULT_OUT_OF_MEMORY, "memory ran out; expected enough for the file");
        ssize_t got = read(descriptor, out->at + out->length, room - out->length);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            return fail_by_number(trouble, errno);
        out->length += (size_t)got;
        if (out->length > EVN_FILE_BYTES_MOST)
            return fail(trouble, EVN_FAULT_TOO_LARGE, "more than 64 MiB; expected a smaller file");
        if (got == 0)
            return true;
    }
}

static bool load_open(int descriptor, evn_bytes *out, evn_trouble *trouble)
{
    struct stat state;
    if (fstat(descriptor, &state) != 0)
        return fail_by_number(trouble, errno);
    if (!S_ISREG(state.st_mode))
        return fail_by_kind(trouble, state.st_mode);
    if (state.st_size > EVN_FILE_BYTES_MOST)
        return fail(trouble, EVN_FAULT_TOO_LARGE, "more than 64 MiB; expected a smaller file");
    out->device = (uint64_t)state.st_dev;
    out->number = (uint64_t)state.st_ino;
    return read_all(descriptor, (size_t)state.st_size, out, trouble);
}

bool evn_bytes_load(const char *path, evn_bytes *out, evn_trouble *trouble)
{
    *out = (evn_bytes){0};
    int descriptor;
    do {
        descriptor = open(path, O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
    } while (descriptor < 0 && errno == EINTR);
    if (descriptor < 0)
        return fail_by_number(trouble, errno);
    bool loaded = load_open(descriptor, out, trouble);
    close(descriptor); /* only read from: nothing is lost when this fails */
    if (!loaded) {
        free(out->at);
        *out = (evn_bytes){0};
    }
    return loaded;
}

/* ---------------------------------------------------------------------------------------------------- text */

size_t evn_utf8_length(const char *at, size_t left, uint32_t *character)
{
    static const uint32_t least[5] = {0, 0, 0x80, 0x800, 0x10000};
    unsigned char first = (unsigned char)at[0];
    if (first < 0x80) {
        *character = first;
        return 1;
    }
    size_t length = first >= 0xf0 && first < 0xf8 ? 4 : first >= 0xe0 ? 3 : 2;
    if (first < 0xc2 || first >= 0xf8 || length > left)
        return 0;
    uint32_t value = first & (0xffU >> (length + 1));
    for (size_t i = 1; i < length; i++) {
        unsigned char next = (unsigned char)at[i];
        if ((next & 0xc0) != 0x80)
            return 0;
        value = value << 6 | (next & 0x3fU);
    }
    *character = value;
    bool valid = value >= least[length] && value <= 0x10ffff && (value < 0xd800 || value > 0xdfff);
    return valid ? length : 0;
}

bool evn_is_control(uint32_t character)
{
    bool ascii = (character < 0x20 && character != '\n' && character != '\t') || character == 0x7f;
    bool line_end = character == 0x2028 || character == 0x2029;
    bool turns_text = (character >= 0x202a && character <= 0x202e) || (character >= 0x2066 && character <= 0x2069);
    bool not_a_character = character == 0xfeff || character == 0xfffe || character == 0xffff;
    return ascii || (character >= 0x80 && character < 0xa0) || line_end || turns_text || not_a_character;
}

static bool looks_like_utf16(const char *at, size_t length)
{
    return length >= 2 && (memcmp(at, "\xff\xfe", 2) == 0 || memcmp(at, "\xfe\xff", 2) == 0);
}

static void say_invalid(evn_reading *reading, evn_spot at, evn_spot used_from, const char *bytes, size_t left)
{
    if (at.line == 1 && at.column == 1 && looks_like_utf16(bytes, left)) {
        evn_say(reading->report, EVN_FAULT_SYNTAX, at, used_from,
                "UTF-16 text; expected UTF-8; save the file as UTF-8");
        return;
    }
    evn_say(reading->report, EVN_FAULT_SYNTAX, at, used_from,
            "the byte 0x%02x, which is not UTF-8 here; expected UTF-8 text; save the file as UTF-8",
            (unsigned)(unsigned char)bytes[0]);
}

static void say_control(evn_reading *reading, evn_spot at, evn_spot used_from, uint32_t character)
{
    if (character == '\r') {
        evn_say(reading->report, EVN_FAULT_SYNTAX, at, used_from,
                "a carriage return without a line feed; expected lines that end in LF or CR LF");
        return;
    }
    evn_say(reading->report, EVN_FAULT_SYNTAX, at, used_from,
            "the control character U+%04X; expected plain text; remove it", (unsigned)character);
}

bool evn_bytes_check(evn_reading *reading, const evn_source *source, const char **at, size_t *length)
{
    if (*length >= 3 && memcmp(*at, "\xef\xbb\xbf", 3) == 0) {
        *at += 3;
        *length -= 3;
    }
    evn_spot spot = {source->file, 1, 1};
    for (size_t i = 0; i < *length;) {
        uint32_t character = 0;
        size_t step = evn_utf8_length(*at + i, *length - i, &character);
        evn_spot here = evn_source_spot(source, spot.line, spot.column);
        if (step == 0) {
            say_invalid(reading, here, source->used_from, *at + i, *length - i);
            return false;
        }
        bool line_end = character == '\r' && i + 1 < *length && (*at)[i + 1] == '\n';
        if (evn_is_control(character) && !line_end) {
            say_control(reading, here, source->used_from, character);
            return false;
        }
        spot.column++;
        if (character == '\n') {
            spot.line++;
            spot.column = 1;
        }
        i += step;
    }
    return true;
}
