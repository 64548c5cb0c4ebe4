/* Dates and times of ISO 8601 (from memory): calendar dates, extended or basic, with seconds and their fraction. */
#include "log/values.h"
#include <string.h>

typedef struct text {
    const char *at, *end;
} text;

static bool is_digit(char letter) { return letter >= '0' && letter <= '9'; }

/* So many digits as a number; -1: they are not there. */
static int take(text *t, int count)
{
    int value = 0;
    for (int k = 0; k < count; k++, t->at++) {
        if (t->at == t->end || !is_digit(*t->at))
            return -1;
        value = value * 10 + (*t->at - '0');
    }
    return value;
}

static bool take_letter(text *t, const char *letters)
{
    if (t->at == t->end || !strchr(letters, *t->at))
        return false;
    t->at++;
    return true;
}

/* Days from 1970-01-01 to a day of the Gregorian calendar: whole years, with their leap days, then the days of the
 * year. */
static int64_t days_to(int year, int month, int day)
{
    static const int before[] = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334};
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    int64_t y = year - 1;
    int64_t days = 365 * y + y / 4 - y / 100 + y / 400;
    return days - 719162 + before[month - 1] + (leap && month > 2) + day - 1;
}

static int days_of(int year, int month)
{
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return days[month - 1] + (leap && month == 2);
}

static const char *take_date(text *t, evn_stamp *out)
{
    int year = take(t, 4);
    bool extended = take_letter(t, "-");
    int month = take(t, 2);
    if (extended && !take_letter(t, "-"))
        return "a date as 2026-05-04";
    int day = take(t, 2);
    if (year < 1 || month < 1 || month > 12 || day < 1)
        return "a date as 2026-05-04";
    if (day > days_of(year, month))
        return "a day that the month has";
    out->second = days_to(year, month, day) * 86400;
    return NULL;
}

/* A fraction of what was taken last. */
static double take_fraction(text *t)
{
    double value = 0, scale = 0.1;
    for (; t->at < t->end && is_digit(*t->at); t->at++, scale /= 10)
        value += scale * (*t->at - '0');
    return value;
}

static const char *take_time(text *t, evn_stamp *out)
{
    int hour = take(t, 2), second = 0;
    bool extended = take_letter(t, ":");
    int minute = take(t, 2);
    bool seconds = extended ? take_letter(t, ":") : t->at < t->end && is_digit(*t->at);
    if (seconds)
        second = take(t, 2);
    if (hour < 0 || hour > 24 || minute < 0 || minute > 59 || second < 0 || second > 60)
        return "a time as 08:15:30";
    out->fraction = 0;
    if (seconds && take_letter(t, ".,"))
        out->fraction = take_fraction(t);
    if (hour == 24 && (minute > 0 || second > 0 || out->fraction > 0))
        return "a time up to 24:00:00";
    out->second += hour * 3600 + minute * 60 + second;
    return NULL;
}

static const char *take_zone(text *t, evn_stamp *out)
{
    out->zoned = t->at < t->end;
    if (!out->zoned)
        return NULL;
    if (take_letter(t, "Zz"))
        return t->at == t->end ? NULL : "nothing behind the Z";
    bool minus = t->at < t->end && *t->at == '-';
    if (!take_letter(t, "+-"))
        return "Z, or how far the clock is off UTC as +02:00";
    int hour = take(t, 2), minute = 0;
    if (t->at < t->end) {
        take_letter(t, ":");
        minute = take(t, 2);
    }
    if (hour < 0 || hour > 18 || minute < 0 || minute > 59 || t->at != t->end)
        return "how far the clock is off UTC as +02:00";
    int off = hour * 3600 + minute * 60;
    out->second -= minus ? -off : off;
    return NULL;
}

const char *evn_stamp_read(const char *from, size_t length, evn_stamp *out)
{
    text t = {from, from + length};
    const char *why = take_date(&t, out);
    if (why)
        return why;
    if (!take_letter(&t, "Tt "))
        return "a T between date and time";
    why = take_time(&t, out);
    return why ? why : take_zone(&t, out);
}

bool evn_stamp_meant(const char *from, size_t length)
{
    if (length < 8)
        return false;
    for (size_t k = 0; k < 4; k++)
        if (!is_digit(from[k]))
            return false;
    return from[4] == '-' || (length > 8 && (from[8] == 'T' || from[8] == 't'));
}
