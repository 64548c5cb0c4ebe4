#!/usr/bin/env bats
# Why trucks differ: parts of a difference by causes, alike in terminal, JSON, CSV, pictures and page. EVENER is the program.
# shellcheck disable=SC2154 # run sets stderr

bats_require_minimum_version 1.5.0

names() {
    [ -x "$EVENER" ]
    root=$(cd "${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}" && pwd)
    hump=$root/tests/vehicles/lineups/hump.yaml
    export LC_ALL=C.UTF-8
    plain=(--uncertainty off)
    merged=(--set 'trucks.electric_axle.axles.drive.hub_drag={speed_rpm: [0], torque_nm: [15]}'
        --set 'trucks.electric_axle.drive_units.rear.path=[{mesh: {ratio: 5.9, efficiency: 0.98}}, {differential: {}}]')
    other=(--set trucks.electric_axle.auxiliaries.power_kw=7 --set trucks.electric_axle.body.drag_area_m2=5.6)
}

# Runs that several tests look at, each driven once: demo with and without --why, a short road with draws and beside another.
setup_file() {
    names
    cd "$BATS_FILE_TMPDIR"
    page=() bare=() beside=()
    if has_pages; then page=(--page p.html) bare=(--page bare.html) beside=(--page beside.html); fi
    export NO_COLOR=1
    "$EVENER" compare "$hump" --why "${plain[@]}" "${other[@]}" --threads 1 --json --csv r.csv "${page[@]}" >out.json 2>err.txt
    COLUMNS=80 "$EVENER" compare "$hump" --why "${plain[@]}" "${other[@]}" --plot >told-80.txt 2>err.txt
    COLUMNS=60 "$EVENER" compare "$hump" --why "${plain[@]}" "${other[@]}" --plot >told-60.txt 2>err.txt
    "$EVENER" compare "$hump" "${plain[@]}" --json --csv bare.csv "${bare[@]}" >bare.json 2>err.txt
    write_short pair >pair.yaml
    write_short heavy ', auxiliaries: {power_kw: 9}' >heavy.yaml
    "$EVENER" compare pair.yaml --why --draws 16 --json --csv drawn.csv >drawn.json 2>drawn.txt
    "$EVENER" compare pair.yaml --beside heavy.yaml --why --uncertainty first-order --json "${beside[@]}" >beside.json 2>err.txt
}

setup() {
    names
    cp -r "$BATS_FILE_TMPDIR"/. "$BATS_TEST_TMPDIR"
    cd "$BATS_TEST_TMPDIR"
}

# The text with line breaks as blanks.
flat() { tr -s ' \n' ' ' <<<"$1"; }

has_pages() { ! "$EVENER" drive none.yaml none.yaml --page probe.html 2>&1 | grep -q 'built without pages'; }

# Whether what a document says follows from itself: parts add up to the difference that was driven, lines to their part,
# laws with their remainder to the drivetrain's part; what is alike is nothing; per cent are of the first truck's.
follows_from_itself='
    def near($a; $b): ($a - $b | fabs) < 1e-9;
    [.why.trucks[] | select(.state == "found") | . as $t |
     near([.parts[].part] | add; .other_parted - .first_parted),
     near(.layout + .rest + .mixed; .other_parted - .first_parted),
     near(.other - .first - (.other_parted - .first_parted); .lowered_speed),
     (.parts[] | near([.lines[].part] | add; .part), (.alike | not) or .part == 0,
      near(.percent; 100 * .part / $t.first_parted), .least_percent <= .percent + 1e-9, .most_percent >= .percent - 1e-9),
     (.laws as $laws | .parts[] | select(.causes | index("drivetrain")) | near([$laws[].part | values] | add; .part))
    ] | length > 10 and all'

@test "parts add up, in JSON, CSV and the terminal alike" {
    jq -e "$follows_from_itself" out.json
    jq -e '.why.trucks[0].parts | map(.causes) | flatten == ["body", "auxiliaries", "driven_axles", "hub_drag", "drivetrain", "switching"]' out.json
    jq -e '.why | .key == "kwh_per_km" and .partial == false and (.source | test("Shapley"))' out.json
    jq -e '[.why.trucks[0].parts[] | select(.alike) | .label] == ["driven axles"]
           or [.why.trucks[0].parts[] | select(.alike) | .label] == ["driven axles", "hub drag"]' out.json
    head -1 r.csv | grep -q 'why_body_percent,why_auxiliaries_percent,why_driven_axles_percent,why_hub_drag_percent,why_drivetrain_percent,why_switching_percent'
    told=$(jq -r '.why.trucks[0].parts[] | select(.label == "auxiliaries").percent' out.json)
    /usr/bin/python3 - "$told" <<'PY'
import csv, sys
rows = [row for row in csv.DictReader(open("r.csv")) if row["truck"] == "electric_axle"]
assert [row["why_auxiliaries_percent"] != "" for row in rows] == [False, True], rows
assert abs(float(rows[1]["why_auxiliaries_percent"]) - float(sys.argv[1])) < 1e-6
PY
    page=$(flat "$(<told-80.txt)")
    [[ $page == *"auxiliaries $(printf %+.1f "$told")"* ]]
    [[ $page == *" the layout makes "*"(drivetrain "*", all else "*"(body, tyres and mass "* ]]
    [[ $page == *"averaged over all orders of exchange (L. S. Shapley, "* ]]
    [[ $page == *"one law at a time, ratios as they are"*"load losses of gears and shafts"*"remainder"* ]]
}

@test "the document has the sentence on causes and what would change the answer, as terminal and page tell them" {
    "$EVENER" compare pair.yaml --why --draws 16 >told.txt 2>err.txt
    page=$(flat "$(<told.txt)")
    jq -e '.answer | (.sentences | length == 3) and (.why | length == 1) and (.change | length == 1)' drawn.json
    [[ $page == *" Why $(jq -r '.answer.why[0]' drawn.json) "* ]]
    [[ $page == *" What would change it $(jq -r '.answer.change[0]' drawn.json) "* ]]
    jq -e '.answer.why | length == 2 and (.[0] | startswith("There, ") | not) and (.[1] | startswith("There, "))' beside.json
    # without causes it is told by the lines of the energy balance, and nothing that would change it
    jq -e '.answer | (.why | length == 1 and all(contains("losses") and contains("all lines"))) and .change == []' bare.json
}

@test "where the first truck does not finish the others are parted from the one that the ranking is against" {
    write_short three ', auxiliaries: {power_kw: 6}' >three.yaml
    printf '%s\n' "  third: {use: $root/tests/vehicles/trucks/tractor-4x2-central.yaml, short_name: other central}" >>three.yaml
    "$EVENER" compare three.yaml --why "${plain[@]}" --json --set trucks.first.battery.discharge_limit_kw=1 >out.json 2>err.txt || true
    jq -e "$follows_from_itself" out.json
    least=$(jq -r .answer.common.lowest out.json)
    jq -e --arg least "$least" '.why | .partial == false and .against == $least and [.trucks[].name] == (["first", "second", "third"] - [$least])
           and [.trucks[].state] == ["not_driven", "found"]' out.json
    jq -e --arg least "$(jq -r --arg least "$least" '.reached[] | select(.name == $least).short_name' out.json)" \
        '.answer.why | length == 2 and (.[1] | contains(" % against \($least) "))' out.json
    # of two there is nothing left, and nothing is partial
    "$EVENER" compare pair.yaml --why "${plain[@]}" --json --set trucks.first.battery.discharge_limit_kw=1 >out.json 2>err.txt || true
    jq -e '.why | .status == "not_found" and .partial == false' out.json
    has_pages || return 0
    "$EVENER" compare pair.yaml --why "${plain[@]}" --page two.html --set trucks.first.battery.discharge_limit_kw=1 >told.txt 2>err.txt || true
    run ! grep -q 'href="#why"' two.html # there is no such section
}

@test "CSV names what is told as one, and has intervals where draws found them" {
    "$EVENER" compare "$hump" --why "${plain[@]}" --csv merged.csv "${merged[@]}" >told.txt 2>err.txt || true
    /usr/bin/python3 - <<'PY'
import csv, json
rows = [row for row in csv.DictReader(open("merged.csv")) if row["truck"] == "electric_axle"]
assert [row["why_told_as_one"] for row in rows] == ["", "hub_drag+drivetrain"], rows
assert rows[1]["why_hub_drag_percent"] != "" and rows[1]["why_drivetrain_percent"] == "" and "why_body_low_percent" not in rows[1]
part = {part["causes"][0]: part for part in json.load(open("drawn.json"))["why"]["trucks"][0]["parts"]}
row = [row for row in csv.DictReader(open("drawn.csv")) if row["truck"] == "second"][1]
for end in "low", "high":
    assert abs(float(row[f"why_drivetrain_{end}_percent"]) - part["drivetrain"][f"{end}_percent"]) < 1e-6
assert row["why_told_as_one"] == ""
PY
}

@test "the page breaks no option, and its lines add up with all others" {
    has_pages || skip "built without pages"
    grep -q '<span class="option">--uncertainty</span> first-order or <span class="option">--draws 256</span>' p.html
    grep -q '>all other lines</th>' p.html
    run ! grep -q '>0.00 to 0.00<' p.html
}

@test "power at the wheels is told of, whatever part holds it" {
    "$EVENER" compare "$hump" --why "${plain[@]}" "${merged[@]}" --set trucks.central.drive_units.rear.motors.a.scale.torque=1.3 >told.txt 2>err.txt || true
    [[ $(flat "$(<told.txt)") == *" what cannot be parted "*" with what its other power at the wheels makes"* ]]
    write_short alike >/dev/null
    printf '%s\n' 'name: alike' 'invented: true' 'cycle: {use: short.yaml}' 'trucks:' \
        "  one: {use: $root/tests/vehicles/trucks/tractor-4x2-central.yaml}" \
        "  two: {use: $root/tests/vehicles/trucks/tractor-4x2-central.yaml, drive_units: {rear: {motors: {a: {scale: {torque: 1.2}}}}}}" >alike.yaml
    "$EVENER" compare alike.yaml --why "${plain[@]}" >told.txt 2>err.txt
    [[ $(flat "$(<told.txt)") == *" other data of the same layout make "*" with what its other power at the wheels makes"* ]]
}

@test "without --why nothing of causes is told, the largest lines of the balance alone" {
    jq -e '.why == null' bare.json
    run ! grep -q 'why_' bare.csv
    "$EVENER" compare "$hump" "${plain[@]}" >told.txt 2>err.txt
    run ! grep -q '^By causes' told.txt
    [[ $(flat "$(<told.txt)") == *" Why $(jq -r '.answer.why[0]' bare.json) "* ]]
}

@test "any number of threads tells the same bytes" {
    "$EVENER" compare "$hump" --why "${plain[@]}" "${other[@]}" --threads 3 --json >three.json 2>err.txt
    cmp out.json three.json
}

@test "with draws parts have intervals in the same draws, and the number of runs is told before" {
    runs=$(jq '.why.trucks[0].hybrids * 17 + 5' drawn.json) # as it is and in each draw, and laws
    grep -qx "evener: intervals of the causes take about $runs runs, more where draws fall short of the speed" drawn.txt
    jq -e "$follows_from_itself" drawn.json
    jq -e '.why.trucks[0] | .draws == {asked: 16, done: 16, failed: 0, late: 0}
           and (.parts[] | select(.label == "drivetrain") | .low_percent < .percent and .percent < .high_percent)
           and ([.parts[] | select(.alike) | .low_percent == 0 and .high_percent == 0] | all)' drawn.json
}

@test "what cannot be parted is told as one, with why" {
    "$EVENER" compare "$hump" --why "${plain[@]}" --json \
        "${merged[@]}" >out.json 2>err.txt || true
    jq -e "$follows_from_itself" out.json
    jq -e '.why.trucks[0] | .merged[0] == {one: "hub_drag", other: "drivetrain", reason: .merged[0].reason} and (.merged[0].reason | test("counted twice"))
           and ([.parts[].label] | index("hub drag + drivetrain")) and ([.parts[] | select(.of == "both")] | length) == 1' out.json
}

@test "stopped, what was not driven is marked, and the exit says so" {
    run --separate-stderr timeout --preserve-status -s INT 3 "$EVENER" compare "$root/tests/vehicles/lineups/haulage.yaml" --why --uncertainty off --threads 1 --json
    [ "$status" -eq 3 ]
    [[ $output == *'"status": "interrupted"'* ]] || [[ $output == *'"status":"interrupted"'* ]]
}

# A lineup over a short road.
write_short() {
    printf '%s\n' 'name: short' 'invented: true' 'length_m: 3000' 'speed: {place_m: [0, 2500], limit_km_h: [70, 40]}' \
        'road: {place_m: [500, 700, 1500, 1700], grade_percent: [0, 4, 4, 0]}' >short.yaml
    printf '%s\n' "name: ${1:-pair}" 'invented: true' "cycle: {use: short.yaml}" 'trucks:' \
        "  first: {use: $root/tests/vehicles/trucks/tractor-4x2-central.yaml}" \
        "  second: {use: $root/tests/vehicles/trucks/tractor-4x2-eaxle.yaml${2:-}}"
}

@test "stopped while it was found how sure the difference is, the document marks that no cause was begun" {
    run --separate-stderr timeout --preserve-status -s INT 2 "$EVENER" compare "$hump" --why --draws 65536 --threads 1 --json
    [ "$status" -eq 3 ]
    jq -e '.status == "interrupted" and .why.status == "interrupted" and .why.partial and .why.trucks == []
           and (.why.causes | length) == 6' <<<"$output"
}

@test "with another lineup beside, both are parted, and both tell intervals by the same method" {
    mv beside.json out.json
    jq -e "$follows_from_itself" out.json
    jq -e '.beside | '"$follows_from_itself" out.json
    jq -e '.beside.trucks[1].interval | .here.by == "first_order" and .there.by == "first_order"
           and .here.low_percent < .here.high_percent and .there.low_percent < .there.high_percent' out.json
    jq -e '.beside.trucks[0].interval == {here: null, there: null}' out.json
    jq -e '([.beside.why.trucks[0].parts[] | select(.label == "auxiliaries").part][0]
            > [.why.trucks[0].parts[] | select(.label == "auxiliaries").part][0] + 0.01)' out.json
    # the other lineup by itself says the same of its causes
    "$EVENER" compare heavy.yaml --why --uncertainty first-order --json >alone.json 2>err.txt
    jq -e --slurpfile both out.json '.why == $both[0].beside.why
           and (.uncertainty.pairs[0].common.told.low_percent == $both[0].beside.trucks[1].interval.there.low_percent)' alone.json
    "$EVENER" compare pair.yaml --beside heavy.yaml --why --uncertainty first-order >told.txt 2>err.txt
    page=$(flat "$(<told.txt)")
    [[ $page == *"Why, there "*"There, by causes: "*"90 % interval "*" to "* ]]
    run ! grep -nE '^.{81,}' told.txt
}

@test "what is alike has an interval of exactly nothing, or none where its data err apart" {
    jq -e '[.why.trucks[0].parts[] | select(.alike) | .low_percent == 0 and .high_percent == 0] | length > 2 and all' drawn.json
    printf '%s\n' 'name: apart' 'invented: true' 'uncertain:' \
        '  own: {of: [trucks.second.auxiliaries.power_kw], relative: 0.3, shape: rectangular, source: invented}' >apart.yaml
    "$EVENER" compare pair.yaml --why --draws 16 --json --uncertain apart.yaml >out.json 2>err.txt
    jq -e '.why.trucks[0].parts[] | select(.label == "auxiliaries") | .alike and .part == 0 and .low_percent == null and .high_percent == null' out.json
}

@test "a first truck that does not finish has nothing to be parted" {
    run --separate-stderr "$EVENER" compare "$hump" --why "${plain[@]}" --set trucks.central.battery.discharge_limit_kw=1
    [ "$status" -eq 1 ]
    [[ $stderr == *"why the trucks differ cannot be told: central did not finish at the common speed"* ]]
    [[ $(flat "$output") == *"Why Not found: neither the first truck nor two others finished at the common speed."* ]]
}

@test "reports and pictures stay within their columns, without colours where none are wanted" {
    for columns in 80 60; do
        run ! grep -nE "^.{$((columns + 1)),}" "told-$columns.txt"
        run ! grep -q $'\e' "told-$columns.txt"
        grep -q '^By causes: energy consumption at the common speed, kWh/km$' "told-$columns.txt"
    done
}

@test "the page has the bridge's place, its tables and its words" {
    has_pages || skip "built without pages"
    grep -q '<section id="why"' p.html
    grep -q 'data-charts="why"' p.html
    grep -q 'by the lines of the energy balance that change most' p.html
    run ! grep -q '<section id="why"' bare.html
}

@test "the page has tables of the lineup beside too, marked as those there" {
    has_pages || skip "built without pages"
    [ "$(grep -o 'aria-label="[^"]* at the common speed, by causes' beside.html | wc -l)" -eq 2 ]
    [ "$(grep -o 'aria-label="there, [^"]* at the common speed, by causes' beside.html | wc -l)" -eq 1 ]
    grep -q '>Why, there<' beside.html
    run ! grep -q '>There, [^<]*: of ' beside.html # the heading says so
    [ "$(grep -o 'aria-label="there, [^"]* at the common speed, by causes' p.html | wc -l)" -eq 0 ]
}

@test "what makes trucks of one layout differ is never told as the layout's doing" {
    printf '%s\n' 'name: one layout twice' 'invented: true' "cycle: {use: $root/cycles/scenarios/hill.yaml}" 'trucks:' \
        "  one: {use: $root/tests/vehicles/trucks/tractor-4x2-central.yaml}" \
        "  two: {use: $root/tests/vehicles/trucks/tractor-4x2-central.yaml, drive_units: {rear: {gearbox: {drag: {torque_nm: [9, 15]}}}}}" >alike.yaml
    "$EVENER" compare alike.yaml --why "${plain[@]}" --json >out.json 2>err.txt
    jq -e '.why.trucks[0] | .laid_out_alike and (.layout | . > 0)' out.json
    "$EVENER" compare alike.yaml --why "${plain[@]}" >told.txt 2>err.txt
    page=$(flat "$(<told.txt)")
    [[ $page == *" other data of the same layout make +"*"(drivetrain +"* ]]
    [[ $page != *"the layout makes"* ]]
    jq -e '.why.trucks[0].laid_out_alike == false' "$BATS_FILE_TMPDIR/out.json"
}

@test "that power at the wheels is other is told with what the layout makes" {
    "$EVENER" compare "$hump" --why "${plain[@]}" --set trucks.central.drive_units.rear.motors.a.scale.torque=1.3 >told.txt 2>err.txt
    [[ $(flat "$(<told.txt)") == *" the layout makes "*" with what its other power at the wheels makes"* ]]
}

@test "with another number of driven axles the parts of body and driven axles are told to hang together" {
    printf '%s\n' 'name: short' 'invented: true' 'length_m: 3000' 'speed: {place_m: [0, 2500], limit_km_h: [70, 40]}' \
        'road: {place_m: [500, 700, 1500, 1700], grade_percent: [0, 4, 4, 0]}' >short.yaml
    printf '%s\n' 'name: axles' 'invented: true' "cycle: {use: short.yaml}" 'load_case: {payload_kg: 16000}' 'trucks:' \
        "  two: {use: $root/vehicles/trucks/tractor-6x4-two-eaxles.yaml}" "  one: {use: $root/vehicles/trucks/tractor-6x2-eaxle.yaml}" >axles.yaml
    "$EVENER" compare axles.yaml --why "${plain[@]}" >told.txt 2>err.txt
    page=$(flat "$(<told.txt)")
    [[ $page == *"the parts of body and of driven axles hang together, and only their sum tells."* ]]
    [[ $page == *" By order of exchange the parts of body, tyres and mass ("*" to "*"driven axles ("*") hang together: only their sum tells, "* ]]
    [[ $page != *"Hubs of an axle that only one of them has"* ]] # both have three
    "$EVENER" compare axles.yaml --why "${plain[@]}" --json >out.json 2>err.txt
    jq -e '.why.trucks[0].parts | map(select(.label == "body, tyres and mass" or .label == "driven axles"))
           | length == 2 and all(.hangs_on_order and .most_percent - .least_percent > ([.percent, -.percent, 0.5] | max))' out.json
    jq -e '[.why.trucks[0].parts[] | select(.hangs_on_order | not) | .most_percent - .least_percent <= ([.percent, -.percent, 0.5] | max)] | all' out.json
    [[ $(flat "$(<told-80.txt)") != *"hang together"* ]]
}
