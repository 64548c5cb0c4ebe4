#!/usr/bin/env bats
# The table of checks against published values: it holds all of them, and none can be off, or lack its source, unnoticed.

bats_require_minimum_version 1.5.0

setup() {
    source_root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    verify=$source_root/tools/verify
    folder=$BATS_TEST_TMPDIR/build
}

# A build folder whose one program of published checks leaves these rows: plant EXIT_CODE [ROW...]
plant() {
    local code=$1
    shift
    mkdir -p "$folder/meson-info"
    printf '%s\n' "$@" >"$folder/rows"
    cat >"$folder/planted" <<TEXT
#!/bin/sh
[ $# -eq 0 ] || cat "$folder/rows" >>"\$EVENER_CHECKS"
exit $code
TEXT
    cat >"$folder/evener" <<'TEXT'
#!/bin/sh
echo '{"gross_mass_kg": 40000, "distance_km": 300, "kwh_per_km": 1.234, "status": "finished", "cycle": "planted road"}'
TEXT
    chmod +x "$folder/planted" "$folder/evener"
    printf '[{"name": "planted", "suite": ["evener:published"], "cmd": ["%s"]}, {"name": "other", "suite": ["evener:unit"], "cmd": ["/bin/false"]}]' \
        "$folder/planted" >"$folder/meson-info/intro-tests.json"
}

# row COMPUTED TOLERANCE SOURCE STATUS [KIND]: of 10 expected
row() { printf '%s\t' some_test 'some length' m "${5-relative}" 10 "$1" "$2" "$3" && printf '%s\n' "$4"; }

planted() { run --separate-stderr "$verify" --no-build --folder "$folder" "$@"; }

# Rows of numbers of a page.
page_rows() { grep -c '<td>[^<]*</td><td>[^<]*</td><td>[^<]*</td><td>[^<]*</td><td>[^<]*</td><td>' "$@"; }

@test "the published checks hold, and each of them stands in the table once" {
    run --separate-stderr "$verify" --no-build
    echo "$stderr"
    [ "$status" -eq 0 ]
    [ -z "$stderr" ]
    rows=$(sed -nE 's/^ *([0-9]+)  checks in [0-9]+ tests, all within their tolerances$/\1/p' <<<"$output")
    [ "$rows" -gt 400 ]
    [ "$(awk '/^ *[0-9]+  (read in|recomputed|closed|from mem|common)/ { sum += $1 } END { print sum }' <<<"$output")" -eq "$rows" ]
    [ "$(grep -cE '^.{48} *([<>] )?-?[0-9][-0-9.e+]* +-?[0-9][-0-9.e+]*( |$)' <<<"$output")" -eq "$rows" ]
    [ "$(awk 'length > 100' <<<"$output" | grep -vc '^Written')" -eq 0 ]
    page=$EVENER_BUILD/verification.html
    cd "$source_root"
    [ "$(page_rows "$page")" -eq "$rows" ]
    # README.md tells the same counts
    told=$(sed -n '/^\$ tools\/verify --no-build --counts$/,/^```$/p' README.md | sed '1d;$d')
    [ "$(wc -l <<<"$told")" -eq 6 ]
    [[ $output == *"$told"* ]] || { echo "README.md: $told" && false; }
    # as many as a program itself leaves, one row a check
    EVENER_CHECKS=$BATS_TEST_TMPDIR/rows "$EVENER_BUILD/tests/test_road_load" >/dev/null
    [ "$(wc -l <"$BATS_TEST_TMPDIR/rows")" -eq "$(sed -n '/<h2>Road load/,/<h2>/p' "$page" | page_rows)" ]
}

@test "the page stands by itself: nothing to run, nothing to fetch" {
    plant 0 "$(row 10 0 'a <b>source</b> & "more"' 'closed form')"
    planted
    [ "$status" -eq 0 ]
    page=$folder/verification.html
    run grep -ciE '<script|<link|<img|<iframe|src=|href=|url\(|@import|https?:' "$page"
    [ "$output" = 0 ]
    grep -qF 'a &lt;b&gt;source&lt;/b&gt; &amp; &quot;more&quot;' "$page"
    grep -q 'prefers-color-scheme: dark' "$page"
    grep -q '@media print' "$page"
    /usr/bin/python3 - "$page" <<'TEXT'
import html.parser
import sys

class Tags(html.parser.HTMLParser):
    open = []
    def handle_starttag(self, tag, attributes):
        self.open += [] if tag == "meta" else [tag]
    def handle_endtag(self, tag):
        assert self.open.pop() == tag, tag

tags = Tags()
tags.feed(open(sys.argv[1], encoding="utf-8").read())
assert not tags.open
TEXT
}

@test "what a cell holds comes out as it was" {
    plant 0 "$(row 10 0 'a\ttab, a\nline and a \\n' 'closed form')"
    planted
    [ "$status" -eq 0 ]
    grep -qF 'line and a \n' "$folder/verification.html"
    grep -qF "a$(printf '\t')tab, a" "$folder/verification.html"
}

@test "counts alone are printed when asked for" {
    plant 0 "$(row 10 0 'a book' 'from memory')" "$(row 10.04 0.005 'a book' 'from memory')" "$(row 9 0 'trade' 'common practice, no source' below)"
    planted --counts
    [ "$status" -eq 0 ]
    [ "$output" = "   2  from memory
   1  common practice, no source
   3  checks in 1 tests, all within their tolerances" ]
}

@test "a check without a source fails" {
    plant 0 "$(row 10 0 '' 'from memory')"
    planted
    [ "$status" -eq 1 ]
    [ "$stderr" = "verify: planted: some length: no source" ]
}

@test "a check without a status, or with one that is none, fails" {
    plant 0 "$(row 10 0 'a book' '')" "$(row 10 0 'a book' 'heard of')"
    planted
    [ "$status" -eq 1 ]
    [ "${stderr_lines[0]}" = "verify: planted: some length: no status" ]
    [[ ${stderr_lines[1]} == "verify: planted: some length: status 'heard of'; expected one of: read in the source;"* ]]
}

@test "a value that is off fails and is marked, though its program did not notice" {
    plant 0 "$(row 10.06 0.005 'a book' 'from memory')" "$(row 10.04 0.005 'a book' 'from memory')"
    planted
    [ "$status" -eq 1 ]
    [ "$stderr" = "verify: planted: some length: 10.06 m computed, 10 expected" ]
    [ "$(grep -c '  off$' "$folder/verification.txt")" -eq 1 ]
    [ "$(grep -c '<tr class="off">' "$folder/verification.html")" -eq 1 ]
    plant 0 "$(row 10.06 0.05 b 'from memory' absolute)" "$(row 10 0 b 'from memory' below)" "$(row 9 0 b 'from memory' above)" \
        "$(row nan 0.005 b 'from memory')"
    planted
    [ "$status" -eq 1 ]
    [ "${#stderr_lines[@]}" -eq 4 ]
}

@test "a program that fails, or leaves no check, fails" {
    plant 1 "$(row 10 0 'a book' 'from memory')"
    planted
    [ "$status" -eq 1 ]
    [ "${stderr_lines[0]}" = "verify: planted failed:" ]
    [[ $output == *"not complete, planted failed; of those that are here all within their tolerances"* ]]
    plant 0
    planted
    [ "$status" -eq 1 ]
    [[ $stderr == *"verify: planted: no checks"* ]]
    echo '[]' >"$folder/meson-info/intro-tests.json"
    planted
    [ "$status" -eq 1 ]
    [[ $stderr == *"verify: there are no checks"* ]]
}

@test "a row that is none fails" {
    plant 0 "$(row 10 0 'a book' 'from memory')" 'no row at all'
    planted
    [ "$status" -eq 1 ]
    [ "$stderr" = "verify: planted, row 2: not a row of a check" ]
}

@test "measured figures stand beside and decide nothing" {
    plant 0 "$(row 10 0 'a book' 'from memory')"
    sed -i 's/1.234/9.876/' "$folder/evener"
    planted
    [ "$status" -eq 0 ]
    [[ $output == *"0.92 to 1.50 kWh/km"*"tractor-6x4-central"*"9.88"* ]]
    [[ $output == *"never a gate"* ]]
}
