/*
 * Whatever bytes a file holds, the reader returns, and it gives no object exactly when the report has failed. The bytes
 * are sound files with random changes, from a fixed start, so that every run tries the same ones.
 */
#include "../unit/wagon.h"
#include <stdlib.h>

enum { INPUTS = 20000, BYTES_MOST = 2000, CHANGES_MOST = 8 };

static const char *const sound[] = {
    "name: Sand wagon\nmass_kg: 9.5e3\nwheels: 6\ncovered: false\ncolour: green\nslopes_percent: [-2.5, 0, 3]\n"
    "brake: {force_n: 1000, speed_km_h: [0, 50], share: [1, 0.5]}\ncoupling: {height_m: 0.9}\n",
    "# a comment\nname: \"w \\u00e4 \\\" x\"\nmass_kg: 1000\nloads:\n  wet: {mass_kg: 1000, note: 'it''s wet'}\n"
    "  dry:\n    mass_kg: 900\n    lashing:\n      height_m: 1\n      brake:\n        share: [1]\n        speed_km_h: "
    "[3]\n"
    "path:\n  - spring: {stiffness_n_m: 5}\n  - damper: {}\n  - spring:\n      stiffness_n_m: 7\n",
    "---\nname: >-\n  a long\n  name\nmass_kg: 1000\nslopes_percent:\n  - 1\n  - 2\nbrake:\n  force_n: 1\n...\n",
    "{\"name\": \"w\", \"mass_kg\": 1000, \"coupling\": {\"height_m\": 1}, \"path\": [{\"damper\": {\"share\": 0.1}}]}",
    "extends: no_such_base.yaml\nname: |\n  w\nmass_kg: 1000\ncoupling: {use: no/such.yaml}\ntable: none.csv\n",
    "&a name: !!str w\nmass_kg: *a\n<<: {x: 1}\n? [1]\n: 2\n%YAML 1.1\n",
};

static const char *const pieces[] = {
    "{",
    "}",
    "[",
    "]",
    ": ",
    ",",
    "\n",
    "\n  ",
    "\n- ",
    "- ",
    "? ",
    "&a ",
    "*a",
    "!!x",
    "'",
    "\"",
    "|\n",
    ">\n",
    "#",
    " #",
    "%",
    "---\n",
    "...\n",
    "\t",
    "\r",
    "\r\n",
    "\\",
    "\\x00",
    "\xff",
    "\xc3\xa4",
    "\xef\xbb\xbf",
    "\xe2\x80\xa8",
    "\x01",
    "0x1",
    "1e999",
    ".nan",
    "yes",
    "~",
    "use: x\n",
    "extends: y\n",
    "name: z\n",
    "{use: wagon.yaml}",
    "[[[[[[[[[[",
    "{a: {a: {a: ",
    "mass_kg",
    "01",
    "-",
};

typedef struct source {
    unsigned long long state;
} source;

/* xorshift64*, enough to vary inputs and the same on every machine. */
static size_t draw(source *from, size_t below)
{
    from->state ^= from->state >> 12;
    from->state ^= from->state << 25;
    from->state ^= from->state >> 27;
    return (size_t)((from->state * 2685821657736338717ULL) >> 33) % below;
}

static size_t replace(char *bytes, size_t length, size_t at, size_t taken, const char *by, size_t by_length)
{
    if (taken > length - at)
        taken = length - at;
    if (length - taken + by_length > BYTES_MOST)
        return length;
    memmove(bytes + at + by_length, bytes + at + taken, length - at - taken);
    memcpy(bytes + at, by, by_length);
    return length - taken + by_length;
}

static size_t change(source *from, char *bytes, size_t length)
{
    size_t at = draw(from, length + 1);
    char any[1] = {(char)draw(from, 256)};
    char copy[64];
    size_t copied = length - at < sizeof copy ? length - at : sizeof copy;
    const char *piece = pieces[draw(from, sizeof pieces / sizeof pieces[0])];
    switch (draw(from, 6)) {
    case 0: /* another byte */
        return replace(bytes, length, at, 1, any, 1);
    case 1: /* some bytes less */
        return replace(bytes, length, at, 1 + draw(from, 20), "", 0);
    case 2: /* a stretch a second time somewhere else */
        memcpy(copy, bytes + at, copied);
        return replace(bytes, length, draw(from, length + 1), 0, copy, copied);
    case 3: /* the end is missing */
        return draw(from, 4) == 0 ? at : length;
    case 4: /* a piece of syntax instead of what stood there */
        return replace(bytes, length, at, 1 + draw(from, 4), piece, strlen(piece));
    default: /* a piece of syntax more */
        return replace(bytes, length, at, 0, piece, strlen(piece));
    }
}

/* Reads the bytes from a block of exactly their size, so that a sanitizer sees any step beyond it. */
static bool read_exactly(const char *bytes, size_t length)
{
    char *exact = malloc(length == 0 ? 1 : length);
    ck_assert_ptr_nonnull(exact);
    memcpy(exact, bytes, length);
    outcome out = read_bytes(exact, length); /* asserts: no object exactly when the report has failed */
    for (size_t i = 0; i < evn_report_count(out.report); i++) {
        evn_finding found = finding_at(&out, i);
        ck_assert_uint_gt(strlen(found.text), 0);
        ck_assert_ptr_nonnull(found.file);
    }
    bool read = out.wagon;
    outcome_end(&out);
    free(exact);
    return read;
}

START_TEST(any_bytes_are_read_or_refused)
{
    source from = {0x9e3779b97f4a7c15ULL};
    size_t accepted = 0;
    for (size_t i = 0; i < INPUTS; i++) {
        char bytes[BYTES_MOST];
        const char *base = sound[i % (sizeof sound / sizeof sound[0])];
        size_t length = strlen(base);
        memcpy(bytes, base, length);
        for (size_t changes = 1 + draw(&from, CHANGES_MOST); changes > 0; changes--)
            length = change(&from, bytes, length);
        accepted += read_exactly(bytes, length);
    }
    ck_assert_uint_gt(accepted, INPUTS / 100); /* both outcomes were tried, in numbers */
    ck_assert_uint_lt(accepted, INPUTS / 2);
}
END_TEST

START_TEST(every_beginning_of_a_sound_file_is_read_or_refused)
{
    for (size_t i = 0; i < sizeof sound / sizeof sound[0]; i++)
        for (size_t length = 0; length <= strlen(sound[i]); length++)
            read_exactly(sound[i], length);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("reader bytes");
    TCase *tests = tcase_create("bytes");
    tcase_add_test(tests, any_bytes_are_read_or_refused);
    tcase_add_test(tests, every_beginning_of_a_sound_file_is_read_or_refused);
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
