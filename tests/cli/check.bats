#!/usr/bin/env bats
# evener keep, check and diff: results that are recorded, driven again, and held against each other.

bats_require_minimum_version 1.5.0

setup() {
    [ -x "$EVENER" ]
    root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    mkdir "$BATS_TEST_TMPDIR/here"
    cd "$BATS_TEST_TMPDIR/here"
    cp "$root/tests/trucks/single-speed.yaml" one.yaml
    cp "$root/tests/trucks/four-speed.yaml" four.yaml
    cat >road.yaml <<'YAML'
name: a short hill
invented: true
length_m: 2500
speed: {place_m: [0], limit_km_h: [50]}
road: {place_m: [500, 700, 1200, 1400], grade_percent: [0, 4, 4, 0]}
YAML
}

keep_both() {
    "$EVENER" keep kept.yaml --truck one.yaml --truck four.yaml --cycle road.yaml >/dev/null
}

@test "what is kept is the same when it is driven again" {
    run "$EVENER" keep kept.yaml --truck one.yaml --truck four.yaml --cycle road.yaml
    [ "$status" -eq 0 ]
    [[ $output == *"2 new, 0 moved"* ]]
    run "$EVENER" check kept.yaml
    [ "$status" -eq 0 ]
    [ "$output" = "2 runs: 2 the same, 0 moved." ]
}

@test "a tenth of a per cent of rolling resistance is caught, with the ledger line and the truck that changed" {
    keep_both
    sed -i 's/rolling_resistance_coefficient: 0.0049,/rolling_resistance_coefficient: 0.0049049,/' one.yaml
    run "$EVENER" check kept.yaml
    [ "$status" -eq 1 ]
    [[ $output == *"one_on_road: moved"* ]]
    [[ $output == *battery_kwh* && $output == *ledger.rolling_kwh* ]]
    [[ $output == *"The truck has changed since it was recorded"* ]]
    [[ $output != *four_on_road* ]]
    [[ $output == *"1 the same, 1 moved"* ]]
}

@test "a comment or another way to write the same truck is no change" {
    keep_both
    { echo "# a comment"; cat one.yaml; } >other && mv other one.yaml
    sed -i 's/mass_kg: 4150/mass_kg: 4.15e3/' four.yaml
    "$EVENER" check kept.yaml --json >told.json
    [ "$(jq -c '[.runs[] | .truck_changed]' told.json)" = "[false,false]" ]
}

@test "a quantity that is gone, that is no number any more, and a run that ends otherwise have moved" {
    keep_both
    sed -i '0,/ledger.rolling_kwh/s//ledger.rumbling_kwh/' kept.yaml
    run "$EVENER" check kept.yaml
    [ "$status" -eq 1 ]
    [[ $output == *"ledger.rumbling_kwh"*gone* ]]
    keep_both || "$EVENER" keep kept.yaml --accept >/dev/null
    sed -i '0,/battery_kwh: [0-9.]*/s//battery_kwh: none/' kept.yaml
    run "$EVENER" check kept.yaml
    [ "$status" -eq 1 ]
    [[ $output == *"battery_kwh "*none* ]]
    "$EVENER" keep kept.yaml --accept >/dev/null
    sed -i '0,/battery_kwh: [0-9.]*, /s///' kept.yaml
    run "$EVENER" check kept.yaml
    [ "$status" -eq 1 ]
    [[ $output == *"battery_kwh "*none*new* ]]
    "$EVENER" keep kept.yaml --accept >/dev/null
    sed -i '0,/status: "finished"/s//status: "stalled"/' kept.yaml
    run "$EVENER" check kept.yaml
    [ "$status" -eq 1 ]
    [[ $output == *"It ended otherwise: stalled when recorded, finished now"* ]]
}

@test "a corrupt file is told by place and is no success" {
    keep_both
    sed -i '0,/battery_kwh: [0-9.]*/s//battery_kwh: 1.2.3/' kept.yaml
    run --separate-stderr "$EVENER" check kept.yaml
    [ "$status" -eq 2 ]
    [[ $stderr =~ ^kept.yaml:[0-9]+:[0-9]+:.error:.battery_kwh ]]
    [ -z "$output" ]
    head -c 700 kept.yaml >cut.yaml
    run --separate-stderr "$EVENER" check cut.yaml
    [ "$status" -eq 2 ]
    [[ $stderr == cut.yaml:*error* ]]
}

@test "what moved is recorded only when that is accepted, and the file is not touched before" {
    keep_both
    cp kept.yaml before.yaml
    sed -i 's/power_kw: 4/power_kw: 9/' one.yaml
    run "$EVENER" keep kept.yaml
    [ "$status" -eq 1 ]
    [[ $output == *"left as it is; --accept records what moved"* ]]
    cmp kept.yaml before.yaml
    run "$EVENER" keep kept.yaml --accept
    [ "$status" -eq 0 ]
    [[ $output == *"recorded (0 new, 1 moved, 1 as they were)"* ]]
    "$EVENER" check kept.yaml
}

@test "runs are added to a file that is there, and those there stay as they were recorded" {
    "$EVENER" keep kept.yaml --truck one.yaml --cycle road.yaml >/dev/null
    sed -n '/one_on_road/,/}/p' kept.yaml >before
    "$EVENER" keep kept.yaml --truck four.yaml --cycle road.yaml --driver exact >/dev/null
    sed -n '/one_on_road/,/}/p' kept.yaml | cmp - before
    grep -q 'four_on_road_exact' kept.yaml
    grep -q 'driver: exact' kept.yaml
}

@test "tolerances of the file count" {
    keep_both
    sed -i 's/power_kw: 4/power_kw: 4.01/' one.yaml
    run "$EVENER" check kept.yaml
    [ "$status" -eq 1 ]
    sed -i 's/energy_kwh: {absolute: [^}]*}/energy_kwh: {absolute: 1, relative: 0}/; s/share: {absolute: [^}]*}/share: {absolute: 1}/' kept.yaml
    sed -i 's/consumption_kwh_per_km: {absolute: [^}]*}/consumption_kwh_per_km: {absolute: 1}/; s/temperature_degc: {absolute: [^}]*}/temperature_degc: {absolute: 9}/' kept.yaml
    "$EVENER" check kept.yaml
}

@test "a truck that is not there is told at its place, nothing is written, and it is no success" {
    keep_both
    cp kept.yaml before.yaml
    mv one.yaml gone.yaml
    run --separate-stderr "$EVENER" check kept.yaml
    [ "$status" -ne 0 ]
    [[ $stderr =~ kept.yaml:[0-9]+:[0-9]+:.error:.run.one_on_road ]]
    run "$EVENER" keep kept.yaml --accept
    [ "$status" -ne 0 ]
    cmp kept.yaml before.yaml
}

@test "a file that cannot be written is told with exit 4, and the old one stays" {
    run "$EVENER" keep no/such/folder/kept.yaml --truck one.yaml --cycle road.yaml
    [ "$status" -eq 4 ]
    keep_both
    run "$EVENER" check kept.yaml --junit no/such/folder/report.xml
    [ "$status" -eq 4 ]
    if [ "$(id -u)" -ne 0 ]; then
        cp kept.yaml before.yaml
        chmod a-w .
        run "$EVENER" keep kept.yaml --accept
        chmod u+w .
        [ "$status" -eq 4 ]
        cmp kept.yaml before.yaml
    fi
}

@test "a full disk leaves the old file" {
    keep_both
    cp kept.yaml before.yaml
    run bash -c "ulimit -f 1; trap '' XFSZ; '$EVENER' keep kept.yaml --accept"
    [ "$status" -eq 4 ]
    cmp kept.yaml before.yaml
}

@test "the same bytes at any number of threads" {
    keep_both
    sed -i 's/power_kw: 4/power_kw: 6/' one.yaml
    for threads in 1 2 4; do
        "$EVENER" check kept.yaml --json --threads $threads >$threads.json || [ $? -eq 1 ]
    done
    cmp 1.json 2.json
    cmp 1.json 4.json
}

@test "reports for build servers: TAP and XML hold every run and say what moved" {
    keep_both
    sed -i 's/power_kw: 4/power_kw: 6/' one.yaml
    run "$EVENER" check kept.yaml --tap --junit report.xml
    [ "$status" -eq 1 ]
    [ "${lines[1]}" = "1..2" ]
    [[ $output == *"not ok 1 - one_on_road"* && $output == *"ok 2 - four_on_road"* ]]
    /usr/bin/python3 - <<'PYTHON'
import xml.etree.ElementTree as tree
suite = tree.parse("report.xml").getroot()
assert suite.attrib["tests"] == "2" and suite.attrib["failures"] == "1", suite.attrib
assert "battery_kwh" in suite.find("testcase/failure").text
PYTHON
    run "$EVENER" check kept.yaml --tap --json
    [ "$status" -eq 2 ]
}

@test "--only picks runs by a part of their name or a pattern" {
    keep_both
    [ "$("$EVENER" check kept.yaml --only four)" = "1 run: 1 the same, 0 moved; 1 left out." ]
    [ "$("$EVENER" check kept.yaml --only '*_on_r?ad')" = "2 runs: 2 the same, 0 moved." ]
    run "$EVENER" check kept.yaml --only none_such
    [ "$status" -eq 2 ]
}

@test "diff: two documents of one run are the same, of two trucks they are not" {
    "$EVENER" drive one.yaml road.yaml --json >one.json
    "$EVENER" drive four.yaml road.yaml --json >four.json
    run "$EVENER" diff one.json one.json
    [ "$status" -eq 0 ]
    [[ $output == *": 0 moved." ]]
    run "$EVENER" diff one.json four.json
    [ "$status" -eq 1 ]
    [[ $output == *"truck: "*" in the first"* && $output == *battery_kwh* ]]
    [ "$("$EVENER" diff one.json four.json --json | jq -r .status)" = moved ]
    jq 'del(.ledger.air_kwh) | .shifts = "many"' one.json >spoilt.json
    run "$EVENER" diff one.json spoilt.json
    [ "$status" -eq 1 ]
    [[ $output == *ledger.air_kwh*gone* && $output == *"shifts: a number in the first, many in the second"* ]]
}

@test "diff: what is no document is told" {
    "$EVENER" drive one.yaml road.yaml --json >one.json
    "$EVENER" show one.yaml --json >show.json
    run "$EVENER" diff one.json show.json
    [ "$status" -eq 2 ]
    run --separate-stderr "$EVENER" diff one.json road.yaml
    [ "$status" -eq 2 ]
    [[ $stderr == *"line 1"* ]]
    run "$EVENER" diff one.json missing.json
    [ "$status" -eq 4 ]
    mkfifo pipe
    run timeout 10 "$EVENER" diff one.json pipe
    [ "$status" -eq 4 ]
    [[ $output == *"no regular file"* ]]
}

@test "the report for build servers overwrites nothing that was read" {
    keep_both
    cp kept.yaml before.yaml
    run --separate-stderr "$EVENER" check kept.yaml --junit ./kept.yaml
    [ "$status" -eq 2 ]
    [[ $stderr == *"--junit would overwrite the input"* ]]
    cmp before.yaml kept.yaml
}

@test "the trucks of a lineup are kept as it asks, and a change of what it asks is told" {
    cat >side.yaml <<'YAML'
name: side by side
invented: true
cycle: {use: road.yaml}
load_case: {payload_kg: 9000}
trucks: {one: {use: one.yaml}, four: {use: four.yaml}}
YAML
    "$EVENER" keep kept.yaml --lineup side.yaml >/dev/null
    run "$EVENER" check kept.yaml
    [ "$status" -eq 0 ]
    [ "$output" = "2 runs: 2 the same, 0 moved." ]
    sed -i 's/9000/9500/' side.yaml
    run "$EVENER" check kept.yaml
    [ "$status" -eq 1 ]
    [[ $output == *"The lineup has changed since it was recorded"* && $output != *"The truck has changed"* ]]
    sed -i 's/, four: {use: four.yaml}/, five: {use: four.yaml}/' side.yaml
    run --separate-stderr "$EVENER" check kept.yaml
    [ "$status" -eq 2 ]
    [[ $stderr =~ kept.yaml:[0-9]+:[0-9]+:.error:.run.side_four:.no.truck.four ]]
}
