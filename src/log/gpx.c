/*
 * GPX 1.1 (topografix.com, GPX 1.1 Schema Documentation, from memory): gpx/trk/trkseg/trkpt with lat and lon, and in it
 * ele and time. All tracks of a file are one log; waypoints, routes and extensions are left out. A document type is
 * refused: GPX has none, and its entities can be made to fill any memory.
 */
#include "log/reader.h"
#include "log/values.h"
#include <expat.h>
#include <limits.h>
#include <math.h>
#include <string.h>

#define SPACE "http://www.topografix.com/GPX/1/1"
enum { TEXT_MOST = 100, DEPTH_MOST = 40, ROWS_MOST = 5000000 };

typedef enum inside { NOWHERE, GPX, TRACK, SEGMENT, POINT, ELEVATION, TIME } inside;

typedef struct desk {
    evn_log_reader *reader;
    XML_Parser parser;
    evn_log *log;
    size_t room, depth, segments;
    inside at[DEPTH_MOST + 1]; /* by depth */
    double *column[4];         /* time, altitude, latitude, longitude */
    uint32_t *line, *segment;
    char text[TEXT_MOST + 1];
    size_t length;
    bool failed, has_times, has_altitudes, has_begin, zoned;
    int64_t begin_second;
} desk;

static evn_spot here(desk *d)
{
    XML_Index byte = XML_GetCurrentByteIndex(d->parser);
    uint32_t line = (uint32_t)XML_GetCurrentLineNumber(d->parser);
    if (byte < 0 || (size_t)byte > d->reader->length)
        return (evn_spot){d->reader->file, line, 1};
    const char *at = d->reader->bytes + byte, *begin = at;
    while (begin > d->reader->bytes && begin[-1] != '\n')
        begin--;
    evn_row row = {begin, at, line};
    return (evn_spot){d->reader->file, line, evn_row_column(&row, at)};
}

static void fail(desk *d)
{
    d->failed = true;
    XML_StopParser(d->parser, XML_FALSE);
}

static void say(desk *d, evn_fault fault, const char *text)
{
    evn_say(d->reader->report, fault, here(d), evn_nowhere, "%s", text);
    fail(d);
}

static void no_memory(desk *d)
{
    evn_log_no_memory(d->reader);
    fail(d);
}

/* ------------------------------------------------------------------------------------------------ points */

static bool grow(desk *d)
{
    if (d->log->rows < d->room)
        return true;
    if (d->room >= ROWS_MOST) {
        say(d, EVN_FAULT_TOO_LARGE, "more than 5000000 points; expected fewer in one log");
        return false;
    }
    /* Every point takes 24 bytes of the file or more, so that the file says how many there may be. */
    size_t most = d->reader->length / 24 + 1;
    d->room = most < ROWS_MOST ? most : ROWS_MOST;
    bool there = true;
    for (size_t k = 0; k < 4; k++) {
        d->column[k] = evn_arena_take(d->reader->keep, d->room * sizeof *d->column[k]);
        there = there && d->column[k];
    }
    d->line = evn_arena_take(d->reader->keep, d->room * sizeof *d->line);
    d->segment = evn_arena_take(d->reader->keep, d->room * sizeof *d->segment);
    if (!there || !d->line || !d->segment)
        no_memory(d);
    return there && d->line && d->segment;
}

static bool degrees(desk *d, const XML_Char **attributes, const char *name, evn_log_quantity quantity, double *value)
{
    for (; *attributes; attributes += 2) {
        if (strcmp(attributes[0], name) != 0)
            continue;
        char decimal = '.', quoted[EVN_QUOTE_BYTES];
        const char *why = evn_log_number(attributes[1], strlen(attributes[1]), &decimal, value);
        evn_log_bounds bounds = evn_log_bounds_of(quantity);
        if (!why && *value >= bounds.least && *value <= bounds.most)
            return true;
        if (!why)
            return evn_log_value_fits(d->reader, here(d), quantity, *value, evn_log_unit_implied(quantity));
        evn_say(d->reader->report, EVN_FAULT_NOT_A_NUMBER, here(d), evn_nowhere,
                "%s as %s of a track point; expected degrees: %s",
                evn_quote(quoted, attributes[1], strlen(attributes[1])), name, why);
        return false;
    }
    evn_say(d->reader->report, EVN_FAULT_MISSING_KEY, here(d), evn_nowhere, "a track point without %s; expected it",
            name);
    return false;
}

static void begin_point(desk *d, const XML_Char **attributes)
{
    double latitude, longitude;
    if (!grow(d))
        return;
    bool sound = degrees(d, attributes, "lat", EVN_LOG_LATITUDE, &latitude);
    if (!degrees(d, attributes, "lon", EVN_LOG_LONGITUDE, &longitude) || !sound) {
        if (evn_report_errors(d->reader->report) >= d->reader->errors_most)
            fail(d);
        return;
    }
    size_t row = d->log->rows++;
    d->column[0][row] = d->column[1][row] = (double)NAN;
    d->column[2][row] = latitude;
    d->column[3][row] = longitude;
    d->line[row] = (uint32_t)XML_GetCurrentLineNumber(d->parser);
    d->segment[row] = (uint32_t)(d->segments - 1);
}

static void say_text(desk *d, const char *what, const char *expected, const char *why)
{
    char quoted[EVN_QUOTE_BYTES];
    evn_say(d->reader->report, EVN_FAULT_NOT_A_NUMBER, here(d), evn_nowhere,
            "%s as %s of a track point; expected %s: %s", evn_quote(quoted, d->text, d->length), what, expected, why);
    if (evn_report_errors(d->reader->report) >= d->reader->errors_most)
        fail(d);
}

static void take_elevation(desk *d, size_t row, evn_cell text)
{
    char decimal = '.';
    evn_log_bounds bounds = evn_log_bounds_of(EVN_LOG_ALTITUDE);
    static const evn_log_unit metre = {EVN_DIMENSION_LENGTH, "m", "m", 1, 0};
    const char *why = evn_log_number(text.at, text.length, &decimal, &d->column[1][row]);
    if (why)
        say_text(d, "ele", "metres", why);
    else if (d->column[1][row] < bounds.least || d->column[1][row] > bounds.most)
        evn_log_value_fits(d->reader, here(d), EVN_LOG_ALTITUDE, d->column[1][row], &metre);
    else
        d->has_altitudes = true;
}

static void take_time(desk *d, size_t row, evn_cell text)
{
    evn_stamp stamp;
    const char *why = evn_stamp_read(text.at, text.length, &stamp);
    if (why) {
        say_text(d, "time", "date and time as ISO 8601 writes them", why);
        return;
    }
    if (!d->has_begin) {
        d->has_begin = true;
        d->begin_second = stamp.second;
        d->zoned = stamp.zoned;
        d->log->begin_unix_s = (double)stamp.second;
        d->log->local_time = !stamp.zoned;
    }
    if (stamp.zoned != d->zoned) {
        say_text(d, "time", "all times with how far their clock is off UTC, or none", "those before differ in it");
        return;
    }
    d->column[0][row] = (double)(stamp.second - d->begin_second) + stamp.fraction;
    d->has_times = true;
}

/* ------------------------------------------------------------------------------------------------ elements */

static void begin_root(desk *d, const char *name)
{
    if (strcmp(name, SPACE " gpx") == 0)
        return;
    say(d, EVN_FAULT_SYNTAX,
        strncmp(name, "http://www.topografix.com/GPX/", 30) == 0
            ? "GPX of another version; expected GPX 1.1, as nearly all programs write it on request"
            : "XML that is not GPX 1.1; expected the element gpx of the name space " SPACE);
}

static inside inner(inside outer, const char *name)
{
    static const struct {
        inside outer, inner;
        const char *name;
    } rows[] = {{GPX, TRACK, "trk"},
                {TRACK, SEGMENT, "trkseg"},
                {SEGMENT, POINT, "trkpt"},
                {POINT, ELEVATION, "ele"},
                {POINT, TIME, "time"}};
    size_t space = strlen(SPACE " ");
    if (strncmp(name, SPACE " ", space) != 0)
        return NOWHERE;
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
        if (rows[k].outer == outer && strcmp(name + space, rows[k].name) == 0)
            return rows[k].inner;
    return NOWHERE;
}

static void begin_element(void *self, const XML_Char *name, const XML_Char **attributes)
{
    desk *d = self;
    if (d->depth == DEPTH_MOST) {
        say(d, EVN_FAULT_TOO_LARGE, "elements more than 40 deep; expected fewer");
        return;
    }
    if (d->depth == 0)
        begin_root(d, name);
    inside now = d->depth == 0 ? GPX : inner(d->at[d->depth], name);
    d->at[++d->depth] = now;
    d->length = 0;
    if (d->failed)
        return;
    if (now == SEGMENT)
        d->segments++;
    else if (now == POINT)
        begin_point(d, attributes);
}

static void end_element(void *self, const XML_Char *name)
{
    (void)name;
    desk *d = self;
    inside ended = d->at[d->depth--];
    if (d->failed || d->log->rows == 0 || (ended != ELEVATION && ended != TIME))
        return;
    const char *space = " \t\r\n", *at = d->text, *end = d->text + d->length;
    while (at < end && strchr(space, *at))
        at++;
    while (end > at && strchr(space, end[-1]))
        end--;
    evn_cell text = {at, (size_t)(end - at)};
    if (ended == ELEVATION)
        take_elevation(d, d->log->rows - 1, text);
    else
        take_time(d, d->log->rows - 1, text);
}

static void take_text(void *self, const XML_Char *text, int length)
{
    desk *d = self;
    inside now = d->at[d->depth];
    if (now != ELEVATION && now != TIME)
        return;
    size_t left = TEXT_MOST - d->length, more = (size_t)length < left ? (size_t)length : left;
    memcpy(d->text + d->length, text, more);
    d->length += more;
}

static void refuse_type(void *self, const XML_Char *name, const XML_Char *system, const XML_Char *public, int internal)
{
    (void)name, (void)system, (void)public, (void)internal;
    say(self, EVN_FAULT_SYNTAX, "a document type; expected none, as GPX has it");
}

/* ------------------------------------------------------------------------------------------------ the whole */

static bool parse(desk *d)
{
    XML_SetUserData(d->parser, d);
    XML_SetElementHandler(d->parser, begin_element, end_element);
    XML_SetCharacterDataHandler(d->parser, take_text);
    XML_SetStartDoctypeDeclHandler(d->parser, refuse_type);
    if (XML_Parse(d->parser, d->reader->bytes, (int)d->reader->length, 1) == XML_STATUS_OK)
        return !d->failed;
    if (!d->failed)
        evn_say(d->reader->report, EVN_FAULT_SYNTAX, here(d), evn_nowhere,
                "XML that does not fit: %s; expected GPX 1.1", XML_ErrorString(XML_GetErrorCode(d->parser)));
    return false;
}

static evn_log *finish(desk *d)
{
    evn_log *log = d->log;
    if (log->rows == 0) {
        evn_say(d->reader->report, EVN_FAULT_SYNTAX, (evn_spot){d->reader->file, 1, 1}, evn_nowhere,
                "GPX without track points; expected a track; routes and waypoints are no log of a drive");
        return NULL;
    }
    static const struct {
        evn_log_quantity quantity;
        const char *name, *unit;
    } what[] = {{EVN_LOG_TIME, "time", "ISO 8601"},
                {EVN_LOG_ALTITUDE, "ele", "m"},
                {EVN_LOG_LATITUDE, "lat", "deg"},
                {EVN_LOG_LONGITUDE, "lon", "deg"}};
    const bool there[] = {d->has_times, d->has_altitudes, true, true};
    for (size_t k = 0; k < 4; k++)
        if (there[k]) {
            log->column[what[k].quantity] = d->column[k];
            log->origin[what[k].quantity] = (evn_log_origin){what[k].name, what[k].unit};
            for (size_t row = 0; row < log->rows; row++)
                log->empty_cells += isnan(d->column[k][row]) ? 1 : 0;
        }
    log->line = d->line;
    log->segment = d->segment;
    return log;
}

evn_log *evn_log_read_gpx(evn_log_reader *reader)
{
    desk *d = evn_arena_take(reader->keep, sizeof *d);
    evn_log *log = evn_arena_take(reader->keep, sizeof *log);
    if (!d || !log)
        return evn_log_no_memory(reader);
    if (reader->length > INT_MAX)
        return evn_log_no_memory(reader);
    *log = (evn_log){.file = reader->name, .form = EVN_LOG_GPX, .begin_unix_s = (double)NAN, .decimal = '.'};
    *d = (desk){.reader = reader, .log = log, .parser = XML_ParserCreateNS("UTF-8", ' ')};
    if (!d->parser)
        return evn_log_no_memory(reader);
    size_t errors = evn_report_errors(reader->report);
    bool sound = parse(d) && evn_report_errors(reader->report) == errors;
    evn_log *made = sound ? finish(d) : NULL;
    XML_ParserFree(d->parser);
    return made;
}
