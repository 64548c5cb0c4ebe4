#!/usr/bin/env bats
# evener limits. EVENER is the program; EVENER_SOURCE the folder of the sources.
# shellcheck disable=SC2016,SC2154 # programs of other shells; run sets stderr

bats_require_minimum_version 1.5.0

setup() {
    root=$(realpath "${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}")
    central=$root/tests/vehicles/trucks/tractor-4x2-central.yaml
    eaxle=$root/tests/vehicles/trucks/tractor-4x2-eaxle.yaml
    two=$root/tests/vehicles/trucks/tractor-4x2-two-eaxles.yaml
    mkdir "$BATS_TEST_TMPDIR/here" # bats keeps files of its own one folder up
    cd "$BATS_TEST_TMPDIR/here" || return 1
}

# The text with line breaks as blanks: sentences are broken where the page is.
flat() { tr -s ' \n' ' ' <<<"$1"; }

# The build says itself whether it has a page.
has_pages() { ! "$EVENER" drive none.yaml none.yaml --page probe.html 2>&1 | grep -q 'built without pages'; }

# with_signal SIGNAL WORDS...: the program with the signal sent to it before it begins: it is seen at the first look.
with_signal() {
    local signal=$1
    shift
    run --separate-stderr env --block-signal="$signal" bash -c 'kill -"$0" $$; exec "$@"' "$signal" "$EVENER" "$@"
}

@test "exit 0: sentences that answer, a table for each group with what binds and what would next, what it rests on" {
    run --separate-stderr "$EVENER" limits "$central"
    [ "$status" -eq 0 ]
    page=$(flat "$output")
    for part in "Harrowmoor 40 t tractor with semitrailer, central drive, four gears: what it can do. Startability: " \
        "% (limited by adhesion; next motor torque, " "Highest speed on 3 %: " "Descent at 30 km/h: " \
        "Each figure stands with the limit that binds it" "limited by next limit then" "least adhesion" "most adhesion" \
        "Starting Steepest grade on which it moves off from rest" "no drive left" "Climbing" "winding temperature" \
        "What this rests on" "invented" "Gross mass 39775 kg, of which 22800 kg payload." "state of charge of the start" \
        "not a type approval" "local regulation, approved testing and licensed practice"; do
        [[ $page == *"$part"* ]] || { echo "not told: $part" && false; }
    done
    [[ $output != *$'\033'* ]]
}

@test "text, JSON and CSV tell the same figures with the same limits" {
    "$EVENER" limits "$two" --digits --csv all.csv >all.txt
    "$EVENER" limits "$two" --json >all.json
    [ "$(jq -r .schema all.json)" = evener.limits/1 ]
    [ "$(jq -r .status all.json)" = finished ]
    # every row has its figure, and no figure is without its row
    jq -e '. as $all | [.rows[] | .key as $key | $all.trucks[0].figures | getpath($key | split(".")) | has("value", "limited_by", "next")] | all' all.json
    [ "$(jq '[.trucks[0].figures | .. | objects | select(has("limited_by") and has("unit"))] | length' all.json)" -eq "$(jq '.rows | length' all.json)" ]
    [ "$(jq '.rows | length' all.json)" -gt 60 ]
    # the same in CSV, in the same order; and in words each value in one line with its next limit and the figure then
    COLUMNS=200 "$EVENER" limits "$two" --digits >wide.txt
    /usr/bin/python3 - <<'PYTHON'
import csv, json
document = json.load(open("all.json"))
text = open("wide.txt").read().splitlines()
table = list(csv.DictReader(open("all.csv")))
assert [row["key"] for row in table] == [row["key"] for row in document["rows"]]
number = lambda cell: None if cell == "" else float(cell)
lines = 0
for told in table:
    figure = document["trucks"][0]["figures"]
    for part in told["key"].split("."):
        figure = figure[part]
    wanted = (figure["value"], figure["unit"], figure["limited_by"] or "", figure["next"]["limited_by"] or "", figure["next"]["value"], figure["low"], figure["high"], figure["beyond"])
    found = (number(told["value"]), told["unit"], told["limited_by"], told["next_limited_by"], number(told["next_value"]), number(told["low"]), number(told["high"]), told["beyond"] == "yes")
    assert wanted == found, (told["key"], wanted, found)
    if told["value"] and told["next_limited_by"] and told["next_value"] and told["unit"] != "s":
        words = [told["column"], " %.12g " % float(told["value"]), document["limits"][told["limited_by"]], document["limits"][told["next_limited_by"]], " %.12g" % float(told["next_value"])]
        assert any(all(word in line for word in words) for line in text), words
        lines += 1
assert lines > 40, lines
PYTHON
    # the limits that are named are those that are listed
    jq -e '(.limits | keys) as $known | [.. | objects | .limited_by? // empty | IN($known[])] | all' all.json
}

@test "json: the answer comes first" {
    "$EVENER" limits "$central" "$eaxle" --only-forces --json >two.json
    [ "$(jq -r 'keys_unsorted[3]' two.json)" = answer ]
    [ "$(jq -c '[.answer[].truck]' two.json)" = '["tractor-4x2-central","tractor-4x2-eaxle"]' ]
    jq -e '[.answer[] | .does_all_that_is_demanded == null and (.demands | length == 0)] | all' two.json
    jq -e '.answer[0].deciding.startability | .value > 10 and .limited_by == "adhesion" and .next.limited_by == "motor_torque" and .next.value > .value' two.json
    jq -e '.only_forces' two.json
}

@test "several trucks stand side by side: rows of any of them, what binds below each figure" {
    run --separate-stderr "$EVENER" limits "$central" "$two" --group start --group climb
    [ "$status" -eq 0 ]
    page=$(flat "$output")
    [[ $page == "2 trucks: what they can do. Startability: central drive "*"), two electric axles "*"). Highest speed on 3 %: central drive "* ]]
    [[ $page == *"a unit out none "*" no drive left "* ]]
    [[ $page == *" rear, gear 1 "* && $page == *" leading, gear 1 "* ]] # each has rows of its own
    [[ $page == *"Gross mass of central drive: 39775 kg, of which 22800 kg payload; two electric axles: "* ]]
    [ "$(grep -cE '^(Starting|Climbing|Descending|Going on|What decides)$' <<<"$output")" -eq 2 ]
    [ "$(grep -cE '^ +central drive +two electric axles$' <<<"$output")" -eq 2 ]
    "$EVENER" limits "$central" "$two" --csv both.csv >/dev/null
    [ "$(tail -n +2 both.csv | cut -d, -f 1 | uniq | paste -sd ' ')" = "tractor-4x2-central tractor-4x2-two-eaxles" ]
}

@test "trucks of the same short name are told apart, as in a comparison" {
    run -0 --separate-stderr "$EVENER" limits "$central" "$root/tests/vehicles/trucks/tipper-8x4-central.yaml" "$eaxle" "$central" --only-forces --group deciding
    local told
    told=$(flat "$output")
    [[ $told == *"central drive (tractor-4x2-central) "*"central drive (tipper-8x4-central) "*"electric axle "*"central drive (tractor-4x2-central-2) "* ]]
    [[ $told != *"central drive "[0-9]* ]]
    [[ $told != *"electric axle ("* ]]
}

@test "a truck tells the same alone and beside others" {
    "$EVENER" limits "$central" --json | jq -S .trucks[0] >alone.json
    "$EVENER" limits "$two" "$central" "$eaxle" --json | jq -S .trucks[1] >beside.json
    cmp alone.json beside.json
}

@test "what is demanded is judged, and exit 1 says that not all is done" {
    start() { jq -r ".trucks[0].figures.start.soil.once_percent.value $1" soil.json; }
    "$EVENER" limits "$central" --only-forces --json >soil.json
    run -0 --separate-stderr "$EVENER" limits "$central" --start-grade-percent "$(start "- 0.01")" --start-surface soil
    [[ $(flat "$output") == *"It does all that is demanded. Starting on "*" %, soil: yes ("* ]]
    run -1 --separate-stderr "$EVENER" limits "$central" --start-grade-percent "$(start "+ 0.01")" --start-surface soil
    [[ $(flat "$output") == *"It does not do all that is demanded. Starting on "*" %, soil: no ("*", limited by adhesion; next motor torque, "* ]]
    run -1 --separate-stderr "$EVENER" limits "$central" "$two" --start-grade-percent 15 --start-surface soil --json
    jq -e '[.answer[].does_all_that_is_demanded] | any(. == false)' <<<"$output"
    jq -e '[.answer[].demands[0] | .demand == "start" and .demanded == 15 and .unit == "%" and .met == (.value >= 15)] | all' <<<"$output"
    run -1 --separate-stderr "$EVENER" limits "$central" "$root/tests/vehicles/trucks/tipper-8x4-two-eaxles.yaml" --start-grade-percent 15 --start-surface soil
    [[ $(flat "$output") == *"All that is demanded is done by two electric axles; not by central drive."* ]]
    run -1 --separate-stderr "$EVENER" limits "$central" "$eaxle" --only-forces --group deciding --start-grade-percent 90
    [[ $(flat "$output") == *"None of central drive, electric axle does all that is demanded."* ]]
    run -2 --separate-stderr "$EVENER" limits "$central" --climb-grade-percent 6
    [[ $stderr == *climb_speed_km_h* ]]
    [ -z "$output" ]
}

@test "load case and values set beside the files count; of one truck among several too" {
    startability() { jq -r ".answer[$1].deciding.startability.value" out.json; }
    "$EVENER" limits "$central" "$eaxle" --only-forces --json >out.json
    before=$(startability 0) other=$(startability 1)
    "$EVENER" limits "$central" "$eaxle" --only-forces --json --set trucks.tractor-4x2-central.body.mass_kg=5000 >out.json
    [ "$(startability 0)" != "$before" ]
    [ "$(startability 1)" = "$other" ]
    "$EVENER" limits "$central" "$eaxle" --only-forces --json --payload-kg 0 >out.json
    [ "$(startability 1)" != "$other" ]
    [ "$(jq .load_case.payload_kg out.json)" = 0 ]
    "$EVENER" limits "$central" --payload-kg 0 >out.txt
    grep -q 'of which 0 kg payload' out.txt
}

@test "a figure that does not exist says why, one beyond the search that it is more" {
    run --separate-stderr "$EVENER" limits "$central" --group start
    [[ $(flat "$output") == *" a motor out none no drive left "* ]]
    "$EVENER" limits "$root/tests/trucks/ideal.yaml" --json 2>/dev/null | jq -e '.trucks[0].figures.start.as_stated.once_percent | .beyond and .value == 100'
    run --separate-stderr "$EVENER" limits "$root/tests/trucks/ideal.yaml" --group start
    [[ $output == *"Startability: more than 100 % "* ]]
    [[ $output == *"  once   "*" more than 100 %  "* ]]
}

@test "pictures: wheel force over speed for each truck, in letters that the terminal has" {
    run --separate-stderr env LC_ALL=C.UTF-8 "$EVENER" limits "$central" "$eaxle" --only-forces --plot
    [ "$status" -eq 0 ]
    [ "$(grep -c '^Wheel force over speed: ' <<<"$output")" -eq 2 ]
    [[ $output == *" km/h"*"road load"* ]]
    LC_ALL=C "$EVENER" limits "$central" --only-forces --plot | sed -n '/^Wheel force/,$p' >plain
    grep -q ' 0 %$' plain
    run ! grep -qP '[^\x00-\x7f]' plain
    run -2 --separate-stderr "$EVENER" limits "$central" --plot --json
    [[ $output == *'"fault": "usage"'* ]]
}

@test "page: the document that --json prints, forces, and no route" {
    has_pages || skip "built without pages"
    "$EVENER" limits "$central" "$two" --page page.html --json >page.json
    sed -n 's/.*<script type="application\/json" id="page-data">\(.*\)<\/script>.*/\1/p' page.html >data.json
    [ "$(jq -r .kind data.json)" = limits ]
    [ "$(jq -r .title data.json)" = "What 2 trucks can do" ]
    diff <(jq -S .result data.json) <(jq -S . page.json)
    jq -e '.route == null and .made.cycle_hash == null and ([.trucks[].forces.columns | length > 10] | all)' data.json
    [ "$(sed -n '/<section id="answer"/,/<\/section>/p' page.html | grep -c '<p')" -ge 3 ]
    sed -n '/<section id="trust"/,/<\/section>/p' page.html | grep -q 'licensed practice'
}

@test "exit 2: no truck, a wrong name, a wrong value, a group that is none, too many trucks" {
    run -2 --separate-stderr "$EVENER" limits
    [[ $stderr == *TRUCK* ]]
    run -2 --separate-stderr env EVENER_PATH="$root" "$EVENER" limits tractor-4x2-centrl
    [[ $stderr == *"nearest is 'tractor-4x2-central'"* ]]
    run -2 --separate-stderr env EVENER_PATH="$root" "$EVENER" limits hill
    [[ $stderr == *"this is a cycle"* ]]
    run -2 --separate-stderr "$EVENER" limits "$central" --set battery.capacity=1
    [[ $stderr == *"--set 1:"*"nearest is 'capacity_ah'"* ]]
    run -2 --separate-stderr "$EVENER" limits "$central" --set trucks.other.body.mass_kg=1
    [[ $stderr == *"'trucks.other.body.mass_kg=1' is for no truck here"* ]]
    run -2 --separate-stderr "$EVENER" limits "$central" --group strat
    [[ $stderr == *"--group 'strat' is none; one of "*"start"*" was expected; did you mean 'start'?"* ]]
    [ -z "$output" ]
    run -2 --separate-stderr "$EVENER" limits "$central" --payload-kg -1
    [[ $stderr == *"payload"* ]]
    # shellcheck disable=SC2046 # thirteen words
    run -2 --separate-stderr "$EVENER" limits $(printf "$central %.0s" {1..13})
    [[ $stderr == *"more than 12 trucks"* ]]
    run -2 --separate-stderr "$EVENER" limits "$central" --start-soc 0.999
    [ -z "$output" ]
}

@test "a document also of a failure" {
    run -2 --separate-stderr "$EVENER" limits "$central" --set battery.capacity=1 --json
    [ "$(jq -r .status <<<"$output")" = failed ]
    jq -e '.findings | length == 1' <<<"$output"
    run -2 --separate-stderr "$EVENER" limits --json
    [ "$(jq -r .schema <<<"$output")" = evener.limits/1 ]
}

@test "files: whole or not at all, none over an input or each other" {
    run -4 --separate-stderr "$EVENER" limits "$central" --csv none/r.csv
    [[ $stderr == *"none/r.csv"* ]]
    cp "$central" before.yaml
    run -2 --separate-stderr "$EVENER" limits "$central" --csv "$central"
    [[ $stderr == *"--csv would overwrite the input"* ]]
    cmp before.yaml "$central"
    run -2 --separate-stderr "$EVENER" limits "$central" --csv one --page ./one
    [[ $stderr == *"--csv and --page both write"* ]]
    has_pages || skip "built without pages"
    echo old >r.csv
    run --separate-stderr bash -c 'ulimit -f 100; exec "$0" limits "$1" --csv r.csv --page r.html' "$EVENER" "$central"
    [ "$status" -eq 4 ]
    [ "$(cat r.csv)" = old ]
    [ ! -e r.html ]
    [ "$(find . -name '.evener-*' | wc -l)" -eq 0 ]
}

@test "exit 3: an interrupt says what was found, and leaves the old files" {
    echo old >r.csv
    with_signal INT limits "$central" "$eaxle" --csv r.csv
    [ "$status" -eq 3 ]
    [[ $stderr == *"interrupted; the limits of 0 of 2 trucks were found"* ]]
    [ -z "$output" ]
    [ "$(cat r.csv)" = old ]
    with_signal TERM limits "$central" --json
    [ "$status" -eq 3 ]
    [ "$(jq -r .status <<<"$output")" = interrupted ]
    jq -e '.trucks[0].figures == null and .answer[0].deciding == {}' <<<"$output"
    [ "$(ls -A)" = r.csv ]
}
