"""Makes the table of the checks against published values: text for a terminal, and one HTML file.

usage: verification.py FOLDER TEXT HTML

FOLDER holds checks/NAME.tsv, the rows of the test program NAME as tests/published/checked.h writes them, and drives/NAME.json,
results of trucks that are reported beside measured figures, and failed, the names of programs that failed. Prints what is
wrong to standard error and the counts to standard output. Exit code: 0 every check holds and names source and status, 1 not so, or there is none.
"""
import collections
import glob
import html
import json
import math
import os
import sys
import textwrap

WIDTH = 100
STATUSES = {
    "read in the source": "the value itself was read in the text of the source",
    "recomputed from the source": "worked out here from data or a formula that was read in the source",
    "closed form": "follows from a formula that needs no source; the formula is given",
    "from memory": "value, formula or data behind it without the source at hand",
    "common practice, no source": "a rule of the trade",
}
PURPOSE = ("What the program computes, held against values from outside it. A check that does not hold, or that lacks its "
           "source, fails the tests. Closed forms and checks of the energy balance show that the arithmetic is right; how well it "
           "describes a truck, measured figures would have to show.")

# Measured energy use: kWh/km from, to; what; source; status; which trucks stand beside it.
MEASURED = [
    (0.92, 1.50, "91 electric tractors with trailers above 30 t in service",
     "International Council on Clean Transportation, 2025, as reported by naturenews.africa and oreaco.com (which print "
     "kWh per km where kWh per 100 km is meant)", "read in the source", "tractor-"),
    (0.83, 1.11, "rigids of 19 t in service; 0.93 on the mean, rural 0.83, urban 1.11",
     "Battery Electric Truck Trial, as reported by fleetnews.co.uk (which prints kWh per km where km per kWh is meant)",
     "recomputed from the source", "rigid-"),
]
LEGEND = ("An error or a tolerance is a share of the expected value, or where it says abs an amount in the unit of the "
          "quantity.")
BESIDE = ("Reported beside, never a gate: the shipped trucks are invented, stand for none that was measured, and nothing is "
          "fitted to these figures.")

Check = collections.namedtuple("Check", "program test quantity unit kind expected computed tolerance source status")
Drive = collections.namedtuple("Drive", "name mass_kg km kwh_per_km status cycle")


# ---------------------------------------------------------------------------------------------------- what was measured

def plain(cell):
    """The text of a cell, without the escapes for tabs, newlines and backslashes."""
    out, escaped = "", False
    for letter in cell:
        if escaped:
            out += {"t": "\t", "n": "\n"}.get(letter, letter)
            escaped = False
        elif letter == "\\":
            escaped = True
        else:
            out += letter
    return out


def read_checks(path, wrong):
    program = os.path.basename(path)[:-len(".tsv")]
    checks = []
    with open(path, encoding="utf-8") as file:
        for number, line in enumerate(file.read().split("\n")[:-1], 1):
            cells = [plain(cell) for cell in line.split("\t")]
            try:
                test, quantity, unit, kind, expected, computed, tolerance, source, status = cells
                checks.append(Check(program, test, quantity, unit, kind, float(expected), float(computed), float(tolerance),
                                    source.strip(), status.strip()))
            except ValueError:
                wrong.append("%s, row %d: not a row of a check" % (program, number))
    return checks


def error_of(check):
    off = abs(check.computed - check.expected)
    if check.kind == "relative":
        return off / abs(check.expected) if check.expected != 0 else (0.0 if off == 0 else math.inf)
    return off


def holds(check):
    if check.kind == "below":
        return check.computed < check.expected
    if check.kind == "above":
        return check.computed > check.expected
    within = check.tolerance * (abs(check.expected) if check.kind == "relative" else 1.0)
    return abs(check.computed - check.expected) <= within


def faults_of(check):
    name = "%s: %s" % (check.program, check.quantity)
    if not check.source:
        yield name + ": no source"
    if not check.status:
        yield name + ": no status"
    elif check.status not in STATUSES:
        yield "%s: status '%s'; expected one of: %s" % (name, check.status, "; ".join(STATUSES))
    if check.kind not in ("relative", "absolute", "below", "above"):
        yield "%s: comparison '%s'" % (name, check.kind)
    elif not holds(check):
        yield "%s: %.10g %s computed, %s expected" % (name, check.computed, unit_of(check), expected_of(check))


def read_failed(path):
    """Names of programs of checks that failed, each on a line; the file is there only when there are some."""
    if not os.path.exists(path):
        return []
    with open(path, encoding="utf-8") as file:
        return file.read().splitlines()


def read_drives(folder):
    drives = []
    for path in sorted(glob.glob(os.path.join(folder, "*.json"))):
        with open(path, encoding="utf-8") as file:
            of = json.load(file)
        drives.append(Drive(os.path.basename(path)[:-len(".json")], of["gross_mass_kg"], of["distance_km"], of["kwh_per_km"],
                            of["status"], of["cycle"]))
    return drives


# ---------------------------------------------------------------------------------------------------- words and numbers

def sentence(name):
    words = name.replace("_", " ")
    return words[:1].upper() + words[1:]


def unit_of(check):
    return "" if check.unit == "1" else check.unit


def number(value):
    return "%.8g" % value


def expected_of(check):
    return {"below": "< ", "above": "> "}.get(check.kind, "") + number(check.expected)


def error_text(check):
    if check.kind in ("below", "above"):
        return ""
    error = error_of(check)
    return "0" if error == 0 else "%.1e" % error


def tolerance_text(check):
    if check.kind in ("below", "above"):
        return ""
    if check.tolerance == 0:
        return "equal"
    return "%.2g%s" % (check.tolerance, "" if check.kind == "relative" else " abs")


def grouped(checks):
    """Checks in their order: [program, [test, [(source, status), [checks]]]]; equal neighbours are put together."""
    def split(rows, key):
        out = []
        for row in rows:
            if not out or out[-1][0] != key(row):
                out.append((key(row), []))
            out[-1][1].append(row)
        return out

    for program, of_program in split(checks, lambda row: row.program):
        yield program, [(test, split(sorted(of_test, key=order_of_sources(of_test)), lambda row: (row.source, row.status)))
                        for test, of_test in split(of_program, lambda row: row.test)]


def order_of_sources(rows):
    """Sources of one test in the order in which they come up; the sort is stable."""
    order = []
    for row in rows:
        if (row.source, row.status) not in order:
            order.append((row.source, row.status))
    return lambda row: order.index((row.source, row.status))


def count_rows(checks):
    count = collections.Counter(check.status for check in checks)
    return [(status, count[status]) for status in STATUSES if count[status]]


def verdict(checks, failed):
    off = sum(not holds(check) for check in checks)
    said = "all within their tolerances" if off == 0 else "%d outside their tolerances" % off
    return "not complete, %s failed; of those that are here %s" % (" and ".join(failed), said) if failed else said


def counts_text(checks, failed):
    tests = len({(check.program, check.test) for check in checks})
    lines = ["%4d  %s" % (count, status) for status, count in count_rows(checks)]
    lines.append("%4d  checks in %d tests, %s" % (len(checks), tests, verdict(checks, failed)))
    return "\n".join(lines) + "\n"


def beside(drives):
    """Yields the measured figure and the trucks that stand beside it."""
    for figure in MEASURED:
        of_it = [drive for drive in drives if drive.name.startswith(figure[5])]
        if of_it:
            yield figure, of_it


def drive_note(drive):
    return "" if drive.status == "finished" else "battery empty after %.0f km" % drive.km


# ---------------------------------------------------------------------------------------------------- text

def wrapped(text, indent):
    return textwrap.wrap(text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * indent, break_long_words=False)


def check_lines(check):
    """One line, or more where the quantity is long: 46 columns for it, then the numbers."""
    label = check.quantity + (", " + unit_of(check) if unit_of(check) else "")
    lines = textwrap.wrap(label, 44, break_long_words=True) or [""]
    cells = "%14s %14s %9s %11s" % (expected_of(check), number(check.computed), error_text(check), tolerance_text(check))
    out = ["    " + line for line in lines]
    out[-1] = ("%-48s%s" % (out[-1], cells)).rstrip() + ("" if holds(check) else "  off")
    return out


def text_of(checks, drives, failed):
    out = ["Checks against published values", ""] + wrapped(PURPOSE, 0) + ["", counts_text(checks, failed)]
    for program, tests in grouped(checks):
        out += ["", sentence(program), "=" * len(program)]
        for test, sources in tests:
            out += [""] + wrapped(sentence(test), 0)
            for (source, status), rows in sources:
                out += wrapped("%s (%s)" % (source, status), 2)
                out.append("%-48s%14s %14s %9s %11s" % ("", "expected", "computed", "error", "tolerance"))
                for row in rows:
                    out += check_lines(row)
    out += ["", "Beside measured figures", "=======================", ""] + wrapped(BESIDE, 0)
    for (low, high, what, source, status, _), of_it in beside(drives):
        out += [""] + wrapped("%.2f to %.2f kWh/km: %s" % (low, high, what), 0) + wrapped("%s (%s)" % (source, status), 2)
        out.append("    %-30s %8s %8s   over %s" % ("invented truck", "t gross", "kWh/km", of_it[0].cycle))
        for drive in of_it:
            line = "    %-30s %8.1f %8.2f   %s" % (drive.name, drive.mass_kg / 1000, drive.kwh_per_km, drive_note(drive))
            out.append(line.rstrip())
    out += ["", "What the statuses mean", "======================", ""]
    for status, meaning in STATUSES.items():
        out += wrapped("%s: %s" % (status, meaning), 0)
    return "\n".join(out + [""] + wrapped(LEGEND, 0)) + "\n"


# ---------------------------------------------------------------------------------------------------- HTML

STYLE = """
:root { color-scheme: light dark; --ink: #22282b; --soft: #5d686d; --line: #dbe0e0; --page: #fcfcfa; --band: #f1f3f1; --off: #a3342a; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #dde2e1; --soft: #98a3a6; --line: #353d40; --page: #191d1f; --band: #212629; --off: #ee8f82; }
}
body { margin: 0 auto; padding: 2.5rem 1.5rem 4rem; max-width: 62rem; background: var(--page); color: var(--ink);
  font: 1rem/1.5 system-ui, sans-serif; }
h1 { font-size: 1.7rem; font-weight: 600; margin: 0 0 .6rem; }
h2 { font-size: 1.25rem; font-weight: 600; margin: 3rem 0 0; padding-top: .8rem; border-top: 1px solid var(--line); }
h3 { font-size: 1rem; font-weight: 600; margin: 1.8rem 0 .3rem; }
p { max-width: 46rem; margin: .5rem 0; }
.soft, caption span, th { color: var(--soft); }
table { border-collapse: collapse; width: 100%; margin: .3rem 0 1rem; font-variant-numeric: tabular-nums; }
caption { text-align: left; padding: .3rem 0; font-size: .93rem; }
caption span { border: 1px solid var(--line); border-radius: 1em; padding: .05em .65em; font-size: .82em; white-space: nowrap; }
th { font-weight: 400; font-size: .85rem; text-align: right; }
td { text-align: right; padding: .12rem 0 .12rem .9rem; border-top: 1px solid var(--line); }
th:first-child, td:first-child { text-align: left; padding-left: 0; width: 44%; }
td:first-child { overflow-wrap: anywhere; }
tr:hover td { background: var(--band); }
.off td { color: var(--off); font-weight: 600; }
.counts { width: auto; }
.counts td:first-child { text-align: right; width: auto; }
.counts td { text-align: left; vertical-align: top; }
@media (max-width: 40rem) { body { padding: 1.2rem .8rem; font-size: .85rem; } td { padding-left: .4rem; } }
@media print {
  :root { --ink: #000; --soft: #444; --line: #bbb; --page: #fff; --band: #fff; }
  body { max-width: none; padding: 0; font-size: 9pt; }
  h2, h3, caption { break-after: avoid; }
  tr { break-inside: avoid; }
  thead { display: table-header-group; }
}
"""


def tag(name, text, kind=""):
    return "<%s%s>%s</%s>" % (name, ' class="%s"' % kind if kind else "", html.escape(text), name)


def row_of(cells, kind=""):
    return "<tr%s>%s</tr>" % (' class="%s"' % kind if kind else "", "".join(tag("td", cell) for cell in cells))


def table_of(source, status, heads, rows):
    return ["<table><caption>%s %s</caption>" % (html.escape(source), tag("span", status)),
            "<thead><tr>%s</tr></thead><tbody>" % "".join(tag("th", head) for head in heads)] + rows + ["</tbody></table>"]


def html_of(checks, drives, failed):
    tests = len({(check.program, check.test) for check in checks})
    out = ["<!DOCTYPE html>", '<html lang="en"><head><meta charset="utf-8">',
           '<meta name="viewport" content="width=device-width, initial-scale=1">',
           "<title>Checks against published values</title><style>" + STYLE + "</style></head><body>",
           tag("h1", "Checks against published values"), tag("p", PURPOSE),
           tag("p", "%d checks in %d tests, %s." % (len(checks), tests, verdict(checks, failed))), '<table class="counts"><tbody>']
    out += [row_of([str(count), status, STATUSES[status]]) for status, count in count_rows(checks)]
    out += ["</tbody></table>", tag("p", LEGEND, "soft")]
    heads = ["quantity", "unit", "expected", "computed", "error", "tolerance"]
    for program, of_program in grouped(checks):
        out.append(tag("h2", sentence(program)))
        for test, sources in of_program:
            out.append(tag("h3", sentence(test)))
            for (source, status), rows in sources:
                out += table_of(source, status, heads, [
                    row_of([row.quantity, unit_of(row), expected_of(row), number(row.computed), error_text(row),
                            tolerance_text(row)], "" if holds(row) else "off") for row in rows])
    out += [tag("h2", "Beside measured figures"), tag("p", BESIDE)]
    for (low, high, what, source, status, _), of_it in beside(drives):
        out.append(tag("h3", "%.2f to %.2f kWh/km: %s" % (low, high, what)))
        out += table_of(source, status, ["invented truck, over " + of_it[0].cycle, "t gross", "kWh/km", ""], [
            row_of([drive.name, "%.1f" % (drive.mass_kg / 1000), "%.2f" % drive.kwh_per_km, drive_note(drive)])
            for drive in of_it])
    return "\n".join(out + ["</body></html>"]) + "\n"


# ---------------------------------------------------------------------------------------------------- all of it

def write_whole(path, text):
    part = "%s.%d" % (path, os.getpid())
    with open(part, "w", encoding="utf-8") as file:
        file.write(text)
    os.replace(part, path)


def main(folder, text_path, html_path):
    wrong, checks, unread = [], [], []
    for path in sorted(glob.glob(os.path.join(folder, "checks", "*.tsv"))):
        before, rows = len(wrong), read_checks(path, wrong)
        name = os.path.basename(path)[:-len(".tsv")]
        if not rows:
            wrong.append("%s: no checks" % name)
        if not rows or len(wrong) > before:
            unread.append(name)
        checks += rows
    if not checks:
        wrong.append("there are no checks")
    for check in checks:
        wrong += faults_of(check)
    failed = read_failed(os.path.join(folder, "failed"))
    wrong += ["%s failed" % name for name in failed]
    failed += [name for name in unread if name not in failed]
    drives = read_drives(os.path.join(folder, "drives"))
    write_whole(text_path, text_of(checks, drives, failed))
    write_whole(html_path, html_of(checks, drives, failed))
    for line in wrong:
        print("verify: " + line, file=sys.stderr)
    print(counts_text(checks, failed), end="")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
