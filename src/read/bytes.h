/* A file whole, and whether its bytes are text. */
#ifndef EVENER_READ_BYTES_H
#define EVENER_READ_BYTES_H
#include "read/reading.h"

typedef struct evn_bytes {
    char *at; /* free() it */
    size_t length;
    uint64_t device, number;
} evn_bytes;

typedef struct evn_trouble {
    bool absent; /* there is no such file */
    evn_fault fault;
    const char *why; /* what was found; what was expected */
} evn_trouble;

/* Regular files only: never waits for a pipe or a device. False and the trouble when it cannot be read. */
bool evn_bytes_load(const char *path, evn_bytes *out, evn_trouble *trouble);

/*
 * Takes off a byte-order mark and looks for what is not text: invalid UTF-8, control characters, line ends other than
 * LF and CRLF (they would make the line numbers of messages disagree with editors). Says the first and returns false.
 */
bool evn_bytes_check(evn_reading *, const evn_source *, const char **at, size_t *length);

/* Length of the UTF-8 character that begins here; 0 when the bytes are not UTF-8. */
size_t evn_utf8_length(const char *at, size_t left, uint32_t *character);

/* True for characters that steer a terminal or are invisible line ends; tab and line feed are not among them. */
bool evn_is_control(uint32_t character);

#endif
