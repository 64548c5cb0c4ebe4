/* The strict reader, from bytes in memory: what it accepts, and the exact place and words of each refusal. */
#define _POSIX_C_SOURCE 200809L
#include "read/number.h"
#include "wagon.h"
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>

#define HEAD "name: w\nmass_kg: 1000\n"

/* ---------------------------------------------------------------------------------------------------- refusals */

typedef struct refusal {
    const char *proves, *text, *fault;
    unsigned line, column;
    const char *piece; /* of the finding */
} refusal;

static const refusal refusals[] = {
    /* numbers */
    {"a leading zero is no number", "name: w\nmass_kg: 012\n", "not_a_number", 2, 10, "no leading zeros"},
    {"a base-60 number is no number", "name: w\nmass_kg: 1:30\n", "not_a_number", 2, 10, "base-60"},
    {"underscores are no part of numbers", "name: w\nmass_kg: 1_000\n", "not_a_number", 2, 10, "no underscores"},
    {"hexadecimal is no number", "name: w\nmass_kg: 0x10\n", "not_a_number", 2, 10, "hexadecimal"},
    {"octal is no number", "name: w\nmass_kg: 0o17\n", "not_a_number", 2, 10, "octal"},
    {".inf is no number", "name: w\nmass_kg: .inf\n", "not_a_number", 2, 10, "only finite"},
    {"-.INF is no number", "name: w\nmass_kg: -.INF\n", "not_a_number", 2, 10, "only finite"},
    {"nan is no number", "name: w\nmass_kg: nan\n", "not_a_number", 2, 10, "only finite"},
    {"a number beyond the format is refused", "name: w\nmass_kg: 1e999\n", "not_a_number", 2, 10, "1.79e308"},
    {"text after a number is refused", "name: w\nmass_kg: 1000 kg\n", "not_a_number", 2, 10, "unit is part of the key"},
    {"a unit glued to a number is refused", "name: w\nmass_kg: 12bar\n", "not_a_number", 2, 10, "unit is part"},
    {"a decimal comma is refused", "name: w\nmass_kg: 1000,5\n", "not_a_number", 2, 10, "no commas"},
    {"a point needs a digit before it", "name: w\nmass_kg: .5\n", "not_a_number", 2, 10, "0.5, not .5"},
    {"a point needs a digit after it", "name: w\nmass_kg: 500.\n", "not_a_number", 2, 10, "on both sides"},
    {"an exponent needs digits", "name: w\nmass_kg: 1e\n", "not_a_number", 2, 10, "digits after the e"},
    {"a number in quotes is text", "name: w\nmass_kg: \"1000\"\n", "not_a_number", 2, 10, "without quotes"},
    {"a word is no number", "name: w\nmass_kg: heavy\n", "not_a_number", 2, 10, "'heavy'"},
    {"a count is whole", HEAD "wheels: 4.5\n", "not_a_number", 3, 9, "a whole number"},
    {"a value above its bounds names value, bounds and unit", "name: w\nmass_kg: 70000\n", "out_of_range", 2, 10,
     "mass_kg is 70000 kg; expected 100 to 60000 kg"},
    {"a value below its bounds is refused", "name: w\nmass_kg: -1\n", "out_of_range", 2, 10, "mass_kg is -1 kg"},
    {"an open upper bound is told as one", HEAD "brake: {force_n: -1}\n", "out_of_range", 3, 18, "at least 0 N"},
    {"the source of a bound is told", HEAD "coupling: {height_m: 3}\n", "out_of_range", 3, 22,
     "0.1 to 2 m; source: common practice"},
    /* flags, words, texts */
    {"yes is no flag", HEAD "covered: yes\n", "unknown_choice", 3, 10, "'yes'; expected true or false"},
    {"NO is no flag", HEAD "covered: NO\n", "unknown_choice", 3, 10, "'NO'; expected true or false"},
    {"on is no flag", HEAD "covered: on\n", "unknown_choice", 3, 10, "not yes, no, on or off"},
    {"True is no flag", HEAD "covered: True\n", "unknown_choice", 3, 10, "'True'"},
    {"a flag in quotes is text", HEAD "covered: 'true'\n", "unknown_choice", 3, 10, "the text 'true'"},
    {"a mistyped choice is told the nearest", HEAD "colour: gren\n", "unknown_choice", 3, 9,
     "expected one of red, green, grey; nearest is 'green'"},
    {"a choice far from all is told them", HEAD "colour: x\n", "unknown_choice", 3, 9, "one of red, green, grey"},
    {"null is no text", "name: null\nmass_kg: 1000\n", "wrong_shape", 1, 7, "stands for nothing"},
    {"an empty text is refused", "name: ''\nmass_kg: 1000\n", "wrong_shape", 1, 7, "expected text"},
    {"a zero byte by escape is refused", "name: \"a\\0b\"\nmass_kg: 1000\n", "syntax", 1, 7, "control character"},
    {"a terminal escape by escape is refused", "name: \"\\e[2J\"\nmass_kg: 1000\n", "syntax", 1, 7, "control"},
    /* shapes */
    {"nothing where a number belongs", "name: w\nmass_kg:\n", "wrong_shape", 2, 1,
     "mass_kg holds nothing; expected a number in kg"},
    {"a map where a number belongs", "name: w\nmass_kg: {a: 1}\n", "wrong_shape", 2, 10, "mass_kg holds a map"},
    {"a list where text belongs", "name: [w]\nmass_kg: 1000\n", "wrong_shape", 1, 7,
     "name holds a list; expected text"},
    {"a number where a list belongs", HEAD "slopes_percent: 3\n", "wrong_shape", 3, 17,
     "put a single number in brackets"},
    {"a word where a list belongs", HEAD "slopes_percent: steep\n", "wrong_shape", 3, 17, "numbers stand in brackets"},
    {"a list where names belong", HEAD "loads:\n  - mass_kg: 3\n", "wrong_shape", 3, 1, "each has a name: a: {...}"},
    {"a map where steps belong", HEAD "path:\n  spring: {stiffness_n_m: 5}\n", "wrong_shape", 3, 1,
     "each with one key that names what it is: - spring: {...}"},
    {"a list where a map belongs", HEAD "brake:\n  - 1\n", "wrong_shape", 3, 1,
     "brake holds a list; expected a map of keys (brake)"},
    {"text where a part belongs hints at use", HEAD "coupling: b.yaml\n", "wrong_shape", 3, 11, "{use: PATH}"},
    {"a list item that is a list", HEAD "slopes_percent: [1, [2]]\n", "wrong_shape", 3, 21,
     "slopes_percent[1] holds a list"},
    {"a list item that is empty", HEAD "slopes_percent:\n  - 1\n  -\n", "wrong_shape", 5, 4,
     "slopes_percent[1] holds nothing"},
    {"a faulty list item is located", HEAD "slopes_percent: [1, 2, 0x3]\n", "not_a_number", 3, 24,
     "slopes_percent[2] is '0x3'"},
    {"a list item outside the bounds", HEAD "slopes_percent:\n  - 1\n  - 31\n", "out_of_range", 5, 5,
     "slopes_percent[1] is 31 %; expected -30 to 30 %"},
    {"a list with too many values", HEAD "slopes_percent: [1, 2, 3, 4, 5, 6]\n", "out_of_range", 3, 17,
     "holds 6 values; expected 0 to 5"},
    {"a map with too few names", HEAD "loads: {}\n", "out_of_range", 3, 8, "holds 0 names; expected 1 to 3"},
    {"too few steps", HEAD "path: []\n", "out_of_range", 3, 7, "holds 0 steps; expected 1 or more"},
    {"a named thing that is a number", HEAD "loads: {sand: 3}\n", "wrong_shape", 3, 15,
     "'sand' of loads is a single value"},
    {"a name with a dot would spoil paths", HEAD "loads: {a.b: {mass_kg: 3}}\n", "unknown_key", 3, 9, "holds '.'"},
    {"a step that is a word", HEAD "path: [spring]\n", "wrong_shape", 3, 8, "such as spring: {}"},
    {"a step of two keys", HEAD "path:\n  - spring: {stiffness_n_m: 5}\n    damper: {}\n", "wrong_shape", 4, 5,
     "has 2 keys; expected one"},
    {"a step without a map", HEAD "path:\n  - damper:\n", "wrong_shape", 4, 5, "{} for none"},
    {"an unknown step is told the nearest", HEAD "path: [{dampr: {}}]\n", "unknown_key", 3, 9,
     "expected one of spring, damper; nearest is 'damper'"},
    {"a whole file that is a list", "- 1\n", "wrong_shape", 1, 1, "a list as the whole file"},
    {"a whole file that is a word", "wagon\n", "wrong_shape", 1, 1, "a single value as the whole file"},
    /* keys */
    {"an unknown key is told the nearest", HEAD "permited_kg: 5000\n", "unknown_key", 3, 1,
     "nearest is 'permitted_kg'"},
    {"a key without its unit is told it", HEAD "permitted: 5000\n", "unknown_key", 3, 1, "nearest is 'permitted_kg'"},
    {"a key near none is told all", HEAD "coupling: {height_m: 1, zzz: 5}\n", "unknown_key", 3, 25,
     "expected one of its keys: height_m, brake"},
    {"a mistyped use is told", HEAD "coupling: {height_m: 1, ues: 5}\n", "unknown_key", 3, 25, "nearest is 'use'"},
    {"a key in another case is another key", HEAD "Colour: red\n", "unknown_key", 3, 1, "nearest is 'colour'"},
    {"a key twice names the first", HEAD "wheels: 4\n\nwheels: 6\n", "duplicate_key", 5, 1,
     "it stands in line 3 already"},
    {"a key twice in quotes is the same key", HEAD "\"mass_kg\": 4\n", "duplicate_key", 3, 1,
     "'mass_kg' a second time"},
    {"a missing key is named at the file's beginning", "# a wagon\n\nname: w\n", "missing_key", 3, 1,
     "no key 'mass_kg' in wagon, which must have it; expected a number in kg: empty"},
    {"a missing key in a block is named at its key", HEAD "coupling:\n  brake: {}\n", "missing_key", 3, 1,
     "no key 'height_m' in coupling"},
    {"a missing key in braces is named at the brace", HEAD "coupling: {brake: {}}\n", "missing_key", 3, 11,
     "above the road"},
    {"a missing key of a named thing", HEAD "loads:\n  sand:\n    note: wet\n", "missing_key", 4, 3,
     "no key 'mass_kg' in load"},
    {"a missing key of a step", HEAD "path:\n  - damper: {}\n  - spring: {}\n", "missing_key", 5, 13, "stiffness_n_m"},
    {"extends inside a map is refused", HEAD "coupling: {extends: a.yaml, height_m: 1}\n", "unknown_key", 3, 12,
     "'use' does that job"},
    {"an empty key is refused", HEAD "'': 1\n", "syntax", 3, 1, "an empty key"},
    {"a list as a key is refused", HEAD "? [a, b]\n: 1\n", "wrong_shape", 3, 3, "a map or list as a key"},
    /* rules between fields */
    {"a rule speaks at a place by name", HEAD "loads:\n  a: {mass_kg: 1}\n  b: {mass_kg: 40000}\n", "disagrees", 5, 16,
     "41001 kg in all"},
    {"a rule speaks at a list item", HEAD "slopes_percent: [1, 2, 2]\n", "disagrees", 3, 24, "the same slope twice"},
    {"a rule speaks inside a step", HEAD "path:\n  - spring: {stiffness_n_m: 5}\n  - damper: {share: 0}\n", "disagrees",
     5, 21, "a damper without"},
    {"a curve's lists have one length", HEAD "brake: {speed_km_h: [0, 1], share: [1]}\n", "disagrees", 3, 36,
     "share has 1 values and speed_km_h has 2"},
    {"a curve's axis rises", HEAD "brake:\n  speed_km_h: [0, 5, 5]\n  share: [1, 1, 1]\n", "disagrees", 4, 22,
     "from 5 to 5"},
    {"a curve deep inside is located too",
     HEAD "loads: {a: {mass_kg: 1, lashing: {height_m: 1, brake: {share: [1]}}}}\n", "disagrees", 3, 63,
     "speed_km_h has 0"},
    /* YAML that is not for files of data */
    {"an anchor is refused", HEAD "wheels: &a 4\n", "anchor", 3, 9, "an anchor"},
    {"an alias is refused", HEAD "wheels: *a\n", "anchor", 3, 9, "an alias"},
    {"a tag is refused", HEAD "wheels: !!int 4\n", "anchor", 3, 9, "a tag"},
    {"a tag of nobody is refused", HEAD "wheels: !x!y 4\n", "syntax", 3, 9, "a tag"},
    {"an anchored map is refused once", HEAD "coupling: &c {zzz: 1}\n", "anchor", 3, 11, "an anchor"},
    {"an anchored list is refused once", HEAD "slopes_percent: &c [x]\n", "anchor", 3, 17, "an anchor"},
    {"a merge key is refused", HEAD "coupling: {<<: 1}\n", "anchor", 3, 12, "a merge key"},
    {"an anchor on a key is refused", "&a name: w\nmass_kg: 1000\n", "anchor", 1, 1, "an anchor"},
    {"an alias as a key is refused", HEAD "*a : w\n", "anchor", 3, 1, "an alias as a key"},
    {"a second document is refused", HEAD "---\nname: v\n", "syntax", 3, 1, "a second document"},
    {"a directive is refused", "%YAML 1.1\n---\n" HEAD, "syntax", 1, 1, "a directive"},
    {"an unknown directive is refused", "%X 1\n---\n" HEAD, "syntax", 1, 3, "a directive"},
    /* what is no YAML */
    {"an empty file has no keys", "", "syntax", 1, 1, "a file without keys"},
    {"a file of comments has no keys", "# a\n\n# b\n", "syntax", 1, 1, "a file without keys"},
    {"a tab is no indentation", HEAD "coupling:\n\theight_m: 1\n", "syntax", 4, 1, "a tab; expected spaces"},
    {"a line without a colon", HEAD "wheels 4\ncolour: red\n", "syntax", 4, 1, "a line without ':'"},
    {"a key out of line", HEAD "coupling:\n    height_m: 1\n  brake: {}\n", "syntax", 5, 3, "out of line"},
    {"two colons in a line", HEAD "coupling: height_m: 1\n", "syntax", 3, 19, "a ':' where no key can stand"},
    {"brackets that stay open name their beginning", HEAD "slopes_percent: [1, 2\nwheels: 4\n", "syntax", 4, 7,
     "it began in line 3, column 17"},
    {"braces that stay open", HEAD "coupling: {height_m: 1\n", "syntax", 4, 1, "expected ',' or '}'"},
    {"a quote that stays open", HEAD "coupling: {height_m: 'x\n", "syntax", 4, 1, "a quote that is not closed"},
    {"an unknown escape",
     "name: \"a\\qb\"\n"
     "mass_kg: 1\n",
     "syntax", 1, 9, "an unknown escape"},
    {"a character that begins no value", HEAD "wheels: @4\n", "syntax", 3, 9, "'@' at the beginning"},
    {"a second root", HEAD "}\n", "syntax", 3, 1, "expected"},
    /* bytes that are no text */
    {"invalid UTF-8 is located by characters", "name: \xc3\xa4\xc3\xa4\xff\nmass_kg: 1000\n", "syntax", 1, 9, "0xff"},
    {"a cut UTF-8 character", HEAD "colour: \xe2\x82", "syntax", 3, 9, "0xe2"},
    {"an overlong UTF-8 character", HEAD "colour: \xc0\xaf\n", "syntax", 3, 9, "0xc0"},
    {"a surrogate in UTF-8", HEAD "colour: \xed\xa0\x80\n", "syntax", 3, 9, "0xed"},
    {"a control character", HEAD "colour: r\x01\n", "syntax", 3, 10, "U+0001"},
    {"an escape to the terminal", HEAD "# \x1b[2J\n", "syntax", 3, 3, "U+001B"},
    {"a carriage return alone", HEAD "wheels: 4\rcolour: red\n", "syntax", 3, 10, "carriage return"},
    {"an invisible line end", HEAD "# a\xe2\x80\xa8 b\n", "syntax", 3, 4, "U+2028"},
    {"a byte-order mark inside the text", HEAD "\xef\xbb\xbfwheels: 4\n", "syntax", 3, 1, "U+FEFF"},
};

START_TEST(each_refusal_has_its_fault_place_and_words)
{
    const refusal *r = &refusals[_i];
    outcome out = read_text(r->text);
    ck_assert_msg(evn_report_count(out.report) == 1, "%s: %zu findings", r->proves, evn_report_count(out.report));
    evn_finding found = finding_at(&out, 0);
    ck_assert_str_eq(found.file, "wagon.yaml");
    ck_assert_ptr_null(found.used_from_file);
    ck_assert_msg(strstr(found.text, r->piece) && found.line == r->line && found.column == r->column &&
                      strcmp(found.fault, r->fault) == 0,
                  "%s: expected %s at %u:%u with \"%s\"; found %s at %u:%u: %s", r->proves, r->fault, r->line,
                  r->column, r->piece, found.fault, found.line, found.column, found.text);
    ck_assert_msg(found.text[strlen(found.text) - 1] != '.', "a full stop at the end: %s", found.text);
    ck_assert_ptr_null(out.wagon);
    outcome_end(&out);
}
END_TEST

START_TEST(a_zero_byte_is_located)
{
    static const char text[] = "name: w\nmass_kg: 10\0"
                               "00\n";
    outcome out = read_bytes(text, sizeof text - 1);
    evn_finding found = finding_at(&out, 0);
    expect_finding(&found, "syntax", 2, 12, "U+0000");
    outcome_end(&out);
}
END_TEST

START_TEST(utf16_is_named)
{
    static const char text[] = "\xff\xfen\0a\0";
    outcome out = read_bytes(text, sizeof text - 1);
    evn_finding found = finding_at(&out, 0);
    expect_finding(&found, "syntax", 1, 1, "UTF-16");
    outcome_end(&out);
}
END_TEST

/* ---------------------------------------------------------------------------------------------------- acceptance */

START_TEST(a_file_fills_every_shape)
{
    outcome out = read_text("name: Sand wagon\n"
                            "mass_kg: 9.5e3\n"
                            "wheels: 6\n"
                            "covered: false\n"
                            "colour: green\n"
                            "slopes_percent: [-2.5, 0, +3]\n"
                            "brake: {force_n: 1000, speed_km_h: [0, 50], share: [1, 0.5]}\n"
                            "coupling: {height_m: 0.9}\n"
                            "loads:\n"
                            "  wet: {mass_kg: 1000, note: \"wet: heavy\"}\n"
                            "  dry: {mass_kg: 900}\n"
                            "path:\n"
                            "  - spring: {stiffness_n_m: 5}\n"
                            "  - damper: {}\n"
                            "  - spring: {stiffness_n_m: 7}\n");
    ck_assert_uint_eq(evn_report_count(out.report), 0);
    const wagon *w = out.wagon;
    ck_assert_str_eq(w->name, "Sand wagon");
    ck_assert_double_eq(w->mass_kg, 9500);
    ck_assert_double_eq(w->wheels, 6);
    ck_assert(!w->covered);
    ck_assert_int_eq(w->colour, 1);
    ck_assert_uint_eq(w->slopes_percent.count, 3);
    ck_assert_double_eq(w->slopes_percent.at[0], -2.5);
    ck_assert_double_eq(w->slopes_percent.at[2], 3);
    ck_assert_double_eq(w->brake->share.at[1], 0.5);
    ck_assert_double_eq(w->coupling->height_m, 0.9);
    const load *loads = w->loads.item;
    ck_assert_uint_eq(w->loads.count, 2);
    ck_assert_str_eq(w->loads.name[0], "wet");
    ck_assert_str_eq(loads[0].note, "wet: heavy");
    ck_assert_double_eq(loads[1].mass_kg, 900);
    ck_assert_uint_eq(w->path.count, 3);
    ck_assert_uint_eq(w->path.at[1].kind, 1);
    ck_assert_double_eq(((const damper *)w->path.at[1].item)->share, 0.25);
    ck_assert_double_eq(((const spring *)w->path.at[2].item)->stiffness_n_m, 7);
    outcome_end(&out);
}
END_TEST

START_TEST(absent_keys_take_their_fallbacks)
{
    outcome out = read_text(HEAD);
    ck_assert_uint_eq(evn_report_count(out.report), 0);
    const wagon *w = out.wagon;
    ck_assert_double_eq(w->permitted_kg, 40000);
    ck_assert_double_eq(w->wheels, 4);
    ck_assert(w->covered);
    ck_assert_int_eq(w->colour, 2);
    ck_assert_uint_eq(w->slopes_percent.count, 0);
    ck_assert_ptr_nonnull(w->brake); /* made of its own fallbacks */
    ck_assert_double_eq(w->brake->force_n, 900);
    ck_assert_double_nan(w->brake->fade_km_h);
    ck_assert_ptr_null(w->coupling);
    ck_assert_uint_eq(w->loads.count, 0);
    ck_assert_uint_eq(w->path.count, 0);
    ck_assert_ptr_null(w->table);
    outcome_end(&out);
}
END_TEST

START_TEST(json_is_read_as_well)
{
    outcome out =
        read_text("{\"name\": \"w\", \"mass_kg\": 1000, \"slopes_percent\": [1, 2], \"coupling\": {\"height_m\": 1}}");
    ck_assert_uint_eq(evn_report_count(out.report), 0);
    ck_assert_double_eq(out.wagon->slopes_percent.at[1], 2);
    outcome_end(&out);
}
END_TEST

START_TEST(a_byte_order_mark_and_crlf_are_accepted)
{
    outcome out = read_text("\xef\xbb\xbfname: w\r\nmass_kg: 1000\r\nwheels: 4\r\nzzz: 1\r\n");
    ck_assert_uint_eq(evn_report_count(out.report), 1);
    evn_finding found = finding_at(&out, 0);
    expect_finding(&found, "unknown_key", 4, 1, "'zzz'");
    outcome_end(&out);
    out = read_text("\xef\xbb\xbf"
                    "zzz: 1\r\nname: w\r\nmass_kg: 1000");
    found = finding_at(&out, 0);
    expect_finding(&found, "unknown_key", 1, 1, "'zzz'");
    outcome_end(&out);
}
END_TEST

START_TEST(one_document_marker_and_text_blocks_are_accepted)
{
    outcome out = read_text("---\nname: >\n  a long\n  name\nmass_kg: 1000\n...\n");
    ck_assert_uint_eq(evn_report_count(out.report), 0);
    ck_assert_str_eq(out.wagon->name, "a long name\n");
    outcome_end(&out);
}
END_TEST

START_TEST(columns_count_characters)
{
    outcome out = read_text("{name: \xc3\xa4\xe2\x82\xac\xf0\x9f\x9a\x9a, mass_kg: x}\n");
    evn_finding found = finding_at(&out, 0);
    expect_finding(&found, "not_a_number", 1, 22, "'x'");
    outcome_end(&out);
}
END_TEST

START_TEST(numbers_do_not_depend_on_the_locale)
{
    locale_t before = uselocale((locale_t)0);
    locale_t comma = newlocale(LC_ALL_MASK, "de_DE.UTF-8", (locale_t)0);
    if (comma != (locale_t)0) /* where it is installed; the reading must be the same everywhere */
        uselocale(comma);
    outcome out = read_text("name: w\nmass_kg: 1000.5\nwheels: 32.5\nbrake: {force_n: -0.5}\n");
    locale_t after = uselocale(before);
    ck_assert(comma == (locale_t)0 || after == comma);
    ck_assert_uint_eq(evn_report_count(out.report), 2);
    evn_finding found = finding_at(&out, 1);
    expect_finding(&found, "out_of_range", 4, 18, "-0.5 N");
    outcome_end(&out);
    if (comma != (locale_t)0)
        freelocale(comma);
}
END_TEST

START_TEST(plain_decimals_are_read_to_the_last_bit)
{
    static const struct {
        const char *text;
        double value;
    } rows[] = {{"0", 0.0},         {"-0", -0.0},       {"0.1", 0.1}, {"12", 12},
                {"1e3", 1000},      {"1.5E-3", 0.0015}, {"+2", 2},    {"123456789.987654321", 123456789.987654321},
                {"5e-324", 5e-324}, {"1e-400", 0.0}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double value = (double)NAN;
        ck_assert_ptr_null(evn_number_read(rows[i].text, strlen(rows[i].text), &value));
        ck_assert_mem_eq(&value, &rows[i].value, sizeof value);
    }
}
END_TEST

/* ---------------------------------------------------------------------------------------------------- many findings */

START_TEST(all_problems_are_said_in_one_go_in_the_order_of_the_file)
{
    outcome out = read_text("nam: w\n"
                            "mass_kg: 1_0\n"
                            "wheels: 99\n"
                            "wheels: 4\n"
                            "coupling: {brake: [], colour: red}\n");
    static const struct {
        const char *fault;
        unsigned line, column;
    } rows[] = {{"unknown_key", 1, 1},   {"missing_key", 1, 1},  {"not_a_number", 2, 10}, {"out_of_range", 3, 9},
                {"duplicate_key", 4, 1}, {"missing_key", 5, 11}, {"wrong_shape", 5, 19},  {"unknown_key", 5, 23}};
    ck_assert_uint_eq(evn_report_count(out.report), sizeof rows / sizeof rows[0]);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        evn_finding found = finding_at(&out, i);
        expect_finding(&found, rows[i].fault, rows[i].line, rows[i].column, "");
    }
    outcome_end(&out);
}
END_TEST

START_TEST(findings_beyond_twenty_are_counted)
{
    char text[4000] = HEAD;
    for (int i = 0; i < 30; i++) {
        char line[20];
        snprintf(line, sizeof line, "zzz%d: 1\n", i);
        strcat(text, line);
    }
    outcome out = read_text(text);
    ck_assert_uint_eq(evn_report_count(out.report), 20);
    ck_assert_uint_eq(evn_report_left_out(out.report), 10);
    evn_finding found = finding_at(&out, 19);
    expect_finding(&found, "unknown_key", 22, 1, "zzz19");
    outcome_end(&out);
}
END_TEST

START_TEST(no_rule_is_checked_on_faulty_values)
{
    outcome out = read_text(HEAD "slopes_percent: [1, 1]\nloads: {a: {mass_kg: x}}\n");
    ck_assert_uint_eq(evn_report_count(out.report), 1); /* not also "the same slope twice" */
    evn_finding found = finding_at(&out, 0);
    expect_finding(&found, "not_a_number", 4, 22, "'x'");
    outcome_end(&out);
}
END_TEST

START_TEST(rules_of_inner_objects_keep_outer_rules_from_running)
{
    outcome out = read_text(HEAD "slopes_percent: [1, 1]\nbrake: {share: [1]}\n");
    ck_assert_uint_eq(evn_report_count(out.report), 1);
    evn_finding found = finding_at(&out, 0);
    expect_finding(&found, "disagrees", 4, 16, "share has 1");
    outcome_end(&out);
}
END_TEST

START_TEST(unusual_values_warn_and_are_read)
{
    outcome out = read_text("name: w\nmass_kg: 400\nslopes_percent: [1, 13, 2, 14]\n");
    ck_assert_uint_eq(evn_report_count(out.report), 2);
    evn_finding found = finding_at(&out, 0);
    expect_finding(&found, "unusual_value", 2, 10, "mass_kg is 400 kg; expected 500 to 45000 kg in a sound design");
    ck_assert_int_eq(found.severity, EVN_WARNING);
    found = finding_at(&out, 1);
    expect_finding(&found, "unusual_value", 3, 21,
                   "slopes_percent[1] is 13 %; expected -12 to 12 % in a sound design; so are 1 more");
    ck_assert_int_eq(evn_report_status(out.report), EVN_DONE);
    ck_assert_double_eq(out.wagon->mass_kg, 400);
    outcome_end(&out);
}
END_TEST

START_TEST(a_report_that_has_failed_before_gives_no_object)
{
    outcome out = outcome_begin();
    evn_say(out.report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "said before");
    out.wagon = evn_read_bytes(HEAD, strlen(HEAD), "wagon.yaml", &wagon_object, NULL, out.arena, out.report);
    ck_assert_ptr_null(out.wagon);
    ck_assert_uint_eq(evn_report_count(out.report), 1);
    outcome_end(&out);
}
END_TEST

static void add_refusals(Suite *suite)
{
    TCase *tests = tcase_create("refusals");
    tcase_add_loop_test(tests, each_refusal_has_its_fault_place_and_words, 0,
                        (int)(sizeof refusals / sizeof refusals[0]));
    tcase_add_test(tests, a_zero_byte_is_located);
    tcase_add_test(tests, utf16_is_named);
    suite_add_tcase(suite, tests);
}

static void add_acceptance(Suite *suite)
{
    TCase *tests = tcase_create("acceptance");
    tcase_add_test(tests, a_file_fills_every_shape);
    tcase_add_test(tests, absent_keys_take_their_fallbacks);
    tcase_add_test(tests, json_is_read_as_well);
    tcase_add_test(tests, a_byte_order_mark_and_crlf_are_accepted);
    tcase_add_test(tests, one_document_marker_and_text_blocks_are_accepted);
    tcase_add_test(tests, columns_count_characters);
    tcase_add_test(tests, numbers_do_not_depend_on_the_locale);
    tcase_add_test(tests, plain_decimals_are_read_to_the_last_bit);
    suite_add_tcase(suite, tests);
}

static void add_many(Suite *suite)
{
    TCase *tests = tcase_create("many findings");
    tcase_add_test(tests, all_problems_are_said_in_one_go_in_the_order_of_the_file);
    tcase_add_test(tests, findings_beyond_twenty_are_counted);
    tcase_add_test(tests, no_rule_is_checked_on_faulty_values);
    tcase_add_test(tests, rules_of_inner_objects_keep_outer_rules_from_running);
    tcase_add_test(tests, unusual_values_warn_and_are_read);
    tcase_add_test(tests, a_report_that_has_failed_before_gives_no_object);
    suite_add_tcase(suite, tests);
}

int main(void)
{
    Suite *suite = suite_create("reader");
    add_refusals(suite);
    add_acceptance(suite);
    add_many(suite);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
