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

@test "a limit that a run passes is told by keep and by check, also where nothing moved" {
    hot=(--set drive_units.leading.motors.a.peak_torque_nm=1400 --set drive_units.leading.motors.b.peak_torque_nm=1400)
    run --separate-stderr "$EVENER" keep hot.yaml --truck "$root/tests/vehicles/trucks/tractor-6x4-eaxle.yaml" --cycle "$root/cycles/reference/cruise-65.yaml" "${hot[@]}"
    [ "$status" -eq 0 ]
    [[ $stderr == *"warning: "*": winding of drive unit leading at "* ]]
    run --separate-stderr "$EVENER" check hot.yaml
    [ "$status" -eq 0 ]
    [[ $output == *"1 the same"* && $stderr == *"warning: "*": winding of drive unit leading at "* ]]
}

@test "what is kept is the same when it is driven again" {
    run "$EVENER" keep kept.yaml --truck one.yaml --truck four.yaml --cycle road.yaml
    [ "$status" -eq 0 ]
    [[ $output == *"2 new, 0 moved"* ]]
    run "$EVENER" check kept.yaml
    [ "$status" -eq 0 ]
    [ "$output" = "2 runs: 2 the same, 0 moved." ]
}

@test "a tenth of a per cent of rolling resistance is caught, with the line of the energy balance and the truck that changed" {
    keep_both
    sed -i 's/rolling_resistance_coefficient: 0.0049,/rolling_resistance_coefficient: 0.0049049,/' one.yaml
    run "$EVENER" check kept.yaml
    [ "$status" -eq 1 ]
    [[ $output == *"one_on_road: moved"* ]]
    [[ $output == *battery_kwh* && $output == *energy_balance.rolling_resistance_kwh* ]]
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
    sed -i '0,/energy_balance.rolling_resistance_kwh/s//energy_balance.rumbling_kwh/' kept.yaml
    run "$EVENER" check kept.yaml
    [ "$status" -eq 1 ]
    [[ $output == *"energy_balance.rumbling_kwh"*gone* ]]
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
    jq 'del(.energy_balance.air_drag_kwh) | .gear_changes = "many"' one.json >spoilt.json
    run "$EVENER" diff one.json spoilt.json
    [ "$status" -eq 1 ]
    [[ $output == *energy_balance.air_drag_kwh*gone* && $output == *"gear_changes: a number in the first, many in the second"* ]]
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

# What a file of names of before holds in the place of NOW: older NOW BEFORE. The others are written as today.
older() { sed -i "s/\([ {]\)$1: /\1$2: /" kept.yaml; }

# Where a value of the first run stands: place KEY
place() { awk -v key=" $1: " '(at = index($0, key)) { print NR ":" at + length(key); exit }' kept.yaml; }

# refused COMMAND...: told by file, line, column, name of before and name of now, and the file is not touched.
refused() {
    cp kept.yaml before.yaml
    run --separate-stderr "$@"
    [ "$status" -eq 2 ]
    [ -z "$output" ]
    [ "${#stderr_lines[@]}" -eq 4 ]
    now="expected its name now: 'evener keep --accept' records all runs of the file anew"
    [ "${stderr_lines[0]}" = "kept.yaml:$(place behind_plan_s): error: 'behind_plan_s' is now 'time_below_target_s'; $now" ]
    [ "${stderr_lines[1]}" = "kept.yaml:$(place drawn_kwh): error: 'drawn_kwh' is now 'discharged_kwh'; $now" ]
    [ "${stderr_lines[2]}" = "kept.yaml:$(place shifts): error: 'shifts' is now 'gear_changes'; $now" ]
    [ "${stderr_lines[3]}" = "kept.yaml:$(place ledger.rolling_kwh): error: 'ledger.rolling_kwh' is now 'energy_balance.rolling_resistance_kwh'; $now" ]
    cmp kept.yaml before.yaml
}

@test "a kept file with names of before is refused by check and keep, and recorded anew by keep --accept" {
    keep_both
    cp kept.yaml today.yaml
    older time_below_target_s behind_plan_s
    older discharged_kwh drawn_kwh
    older gear_changes shifts
    older energy_balance.rolling_resistance_kwh ledger.rolling_kwh
    refused "$EVENER" check kept.yaml
    refused "$EVENER" keep kept.yaml
    run --separate-stderr "$EVENER" check kept.yaml --json
    [ "$status" -eq 2 ]
    jq -e '[.findings[] | .fault == "unknown_key" and .file == "kept.yaml" and .line > 0 and .column > 0] | length == 4 and all' <<<"$output"
    run --separate-stderr "$EVENER" keep kept.yaml --accept
    [ "$status" -eq 0 ]
    [ "$output" = "kept.yaml: recorded (0 new, 0 moved, 2 as they were)." ]
    cmp kept.yaml today.yaml
    run --separate-stderr "$EVENER" check kept.yaml
    [ "$output" = "2 runs: 2 the same, 0 moved." ]
}

@test "a kept result under a name of before and its name now is refused by check and keep, whichever comes first" {
    keep_both
    for both in 'gear_changes: 15, shifts: 3' 'shifts: 3, gear_changes: 15' 'shifts: 3, drive_units.rear.shifts: 2, drive_units.rear.gear_changes: 2, gear_changes: 15'; do
        sed "0,/ gear_changes: [0-9]*/s// $both/" kept.yaml >both.yaml
        cp both.yaml before.yaml
        for command in check keep "keep --accept"; do
            # shellcheck disable=SC2086 # one word or two
            run --separate-stderr "$EVENER" $command both.yaml
            [ "$status" -eq 2 ]
            [ -z "$output" ]
            [[ ${stderr_lines[0]} == "both.yaml:$(awk '(at = index($0, " shifts: ")) { print NR ":" at + 9; exit }' both.yaml): error: 'shifts' is now 'gear_changes', which stands in this run too; expected one of them" ]]
            cmp both.yaml before.yaml
        done
    done
    sed '0,/ gear_changes: [0-9]*/s// units.rear.shifts: 2, drive_units.rear.shifts: 2/' kept.yaml >both.yaml
    run --separate-stderr "$EVENER" keep both.yaml --accept
    [ "$status" -eq 2 ]
    [[ $stderr == *"'units.rear.shifts' is now 'drive_units.rear.gear_changes', which stands in this run too"* ]]
}

@test "a kept result by a name that no result bears is told where it stands, with the nearest" {
    keep_both
    sed -i '0,/ discharged_kwh/s// dischargd_kwh/; 0,/ gear_changes/s// drive_units.rear.gear_chnages/' kept.yaml
    run --separate-stderr "$EVENER" check kept.yaml
    [ "$status" -eq 1 ]
    [ "${#stderr_lines[@]}" -eq 2 ]
    expected="expected one that 'evener keys --results' shows"
    [ "${stderr_lines[0]}" = "kept.yaml:$(place dischargd_kwh): warning: no result is called 'dischargd_kwh'; $expected; nearest is 'discharged_kwh'" ]
    [ "${stderr_lines[1]}" = "kept.yaml:$(place drive_units.rear.gear_chnages): warning: no result is called 'drive_units.rear.gear_chnages'; $expected; nearest is 'drive_units.NAME.gear_changes'" ]
    [[ $output == *dischargd_kwh*gone* ]]
    run --separate-stderr "$EVENER" keep kept.yaml --accept
    [ "$status" -eq 0 ]
    run --separate-stderr "$EVENER" check kept.yaml
    [ "$status" -eq 0 ]
    [ -z "$stderr" ]
}

@test "a kept run that ended in a state with a name of before is told so, and recorded anew" {
    keep_both
    sed -i '0,/status: "finished"/s//status: "pack_empty"/' kept.yaml
    run --separate-stderr "$EVENER" check kept.yaml
    [ "$status" -eq 2 ]
    [[ $stderr == "kept.yaml:$(place status): error: 'pack_empty' is now 'battery_empty'; expected its name now: "* ]]
    run --separate-stderr "$EVENER" keep kept.yaml --accept
    [[ $output == *"It ended otherwise: battery_empty when recorded, finished now"* ]]
    "$EVENER" check kept.yaml
}

@test "diff: a document of schema 1 is refused with the names of now" {
    "$EVENER" drive one.yaml road.yaml --json >now.json
    jq '.schema = "evener.drive/1" | with_entries(.key |= ({discharged_kwh: "drawn_kwh", balance_error: "closure"}[.] // .))' \
        now.json >before.json
    for pair in "before.json now.json" "now.json before.json" "before.json before.json"; do
        # shellcheck disable=SC2086 # two words
        run --separate-stderr "$EVENER" diff $pair
        [ "$status" -eq 2 ]
        [ -z "$output" ]
        [ "$stderr" = "evener: error: 'before.json' is a document of evener.drive/1; expected one of evener.drive/3: 'drawn_kwh' is now 'discharged_kwh', 'closure' is now 'balance_error'" ]
    done
}

@test "diff: a document of a comparison of schema 1 is refused with the names of now, which stand within its trucks" {
    "$EVENER" compare one.yaml four.yaml --cycle road.yaml --json |
        jq '.schema = "evener.compare/1" | .trucks[].own |= with_entries(.key |= ({discharged_kwh: "drawn_kwh"}[.] // .))' >pair.json
    run --separate-stderr "$EVENER" diff pair.json pair.json
    [ "$status" -eq 2 ]
    [[ $stderr == *"'pair.json' is a document of evener.compare/1; expected one of evener.compare/4: "*"'drawn_kwh' is now 'discharged_kwh'"* ]]
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
    # What is demanded changes no run.
    echo 'demands: {start_grade_percent: 90}' >>side.yaml
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

@test "a kept run with another charge, air and accuracy is driven with them" {
    "$EVENER" keep kept.yaml --truck one.yaml --cycle road.yaml --start-soc 0.5 --altitude-m 1500 --headwind-m-s=-2 \
        --driver exact --accuracy 1e-7 >/dev/null
    grep -qx '    load_case: {start_soc: 0.5, altitude_m: 1500, headwind_m_s: -2}' kept.yaml
    grep -qx '    driving: {driver: exact, accuracy: 1e-07}' kept.yaml
    kept=$(grep -o 'final_soc: [0-9.]*' kept.yaml | cut -d ' ' -f 2)
    "$EVENER" drive one.yaml road.yaml --start-soc 0.5 --altitude-m 1500 --headwind-m-s=-2 --driver exact \
        --accuracy 1e-7 --json | jq -e ".final_soc - $kept | fabs < 1e-7"
    run "$EVENER" check kept.yaml
    [ "$output" = "1 run: 1 the same, 0 moved." ]
    sed -i 's/start_soc: 0.5/start_soc: 0.6/' kept.yaml
    run "$EVENER" check kept.yaml
    [ "$status" -eq 1 ]
    [[ $output == *final_soc* ]]
}

@test "what is not asked is not written, and a run that asks otherwise is another run" {
    "$EVENER" keep kept.yaml --truck one.yaml --cycle road.yaml --payload-kg 9000 >/dev/null
    "$EVENER" keep kept.yaml --truck one.yaml --cycle road.yaml --payload-kg 9000 --look-ahead-s 2 >/dev/null
    [ "$(grep -c 'truck: ' kept.yaml)" -eq 1 ]
    refute_driving=$(grep -c driving: kept.yaml || true)
    [ "$refute_driving" -eq 0 ]
    "$EVENER" keep kept.yaml --truck one.yaml --cycle road.yaml >/dev/null
    "$EVENER" keep kept.yaml --truck one.yaml --cycle road.yaml >/dev/null
    [ "$(grep -E '^  one' kept.yaml | paste -sd ' ')" = "  one_on_road:   one_on_road_2:" ]
    [ "$(grep -c load_case kept.yaml)" -eq 1 ]
}

@test "values set beside the files are kept with the run, covered by the hashes, from any folder" {
    mkdir kept
    cat >kept/pack.yaml <<'YAML'
capacity_ah: 700
YAML
    "$EVENER" keep kept/kept.yaml --truck one.yaml --cycle road.yaml --set auxiliaries.power_kw=7 \
        --set 'battery.use=pack.yaml' --set cycle.length_m=2400 >/dev/null
    grep -qxF '    set: ["auxiliaries.power_kw=7", "battery.use=pack.yaml", "cycle.length_m=2400"]' kept/kept.yaml
    "$EVENER" check kept/kept.yaml
    (cd / && "$EVENER" check "$OLDPWD/kept/kept.yaml")
    (cd kept && "$EVENER" check kept.yaml)
    "$EVENER" drive one.yaml road.yaml --set auxiliaries.power_kw=7 --set battery.use=kept/pack.yaml \
        --set cycle.length_m=2400 --json >told.json
    kept=$(grep -o ' discharged_kwh: [0-9.]*' kept/kept.yaml | cut -d ' ' -f 3)
    jq -e ".discharged_kwh - $kept | fabs < 1e-6" told.json
    "$EVENER" keep plain.yaml --truck one.yaml --cycle road.yaml >/dev/null
    for hash in truck_hash cycle_hash; do
        [ "$(grep "$hash" kept/kept.yaml)" != "$(grep "$hash" plain.yaml)" ]
    done
    sed -i 's/power_kw=7/power_kw=8/' kept/kept.yaml
    run "$EVENER" check kept/kept.yaml
    [ "$status" -eq 1 ]
    [[ $output == *"The truck has changed since it was recorded"* && $output == *energy_balance.auxiliaries_kwh* ]]
}

@test "values set beside a lineup are kept with the runs of its trucks" {
    cat >side.yaml <<'YAML'
name: side by side
invented: true
cycle: {use: road.yaml}
trucks: {one: {use: one.yaml}, four: {use: four.yaml}}
YAML
    "$EVENER" keep kept.yaml --lineup side.yaml --set load_case.payload_kg=4000 >/dev/null
    [ "$(grep -cxF '    set: ["load_case.payload_kg=4000"]' kept.yaml)" -eq 2 ]
    "$EVENER" check kept.yaml
    "$EVENER" keep kept.yaml --lineup side.yaml >/dev/null
    [ "$(grep -cE '^  side_' kept.yaml)" -eq 4 ]
    [ "$(grep -o 'gross_mass_kg: [0-9]*' kept.yaml | sort -u | wc -l)" -eq 4 ]
    run "$EVENER" check kept.yaml
    [ "$output" = "4 runs: 4 the same, 0 moved." ]
}

@test "what keep cannot ask for is refused before anything is driven" {
    keep_both
    cp kept.yaml before.yaml
    for wrong in "--payload-kg 1" "--set battery.capacity_ah=500" "--lineup side.yaml --driver exact" \
        "--truck one.yaml --cycle road.yaml --lineup side.yaml --set a=1" "--truck one.yaml --cycle road.yaml --altitude-m 10000"; do
        # shellcheck disable=SC2086
        run --separate-stderr "$EVENER" keep kept.yaml $wrong
        [ "$status" -eq 2 ]
        [[ $stderr == *"error: --"*expected* || $stderr == *"error: --"*"none was named"* ]]
        [ "${#stderr_lines[@]}" -eq 1 ]
    done
    cmp kept.yaml before.yaml
}

@test "a kept run that sets what cannot be is told at that place" {
    keep_both
    sed -i '0,/    truck_hash/s//    set: ["body.mass=4000"]\n    truck_hash/' kept.yaml
    line=$(grep -n ' set:' kept.yaml | cut -d : -f 1)
    run --separate-stderr "$EVENER" check kept.yaml
    [ "$status" -eq 2 ]
    [[ $stderr == "kept.yaml:$line:10: error: run one_on_road: truck one.yaml: --set 1: no key 'mass' in body;"*"nearest is 'mass_kg'"* ]]
    sed -i 's/ set: .*/ set: body.mass_kg=4000/' kept.yaml
    run --separate-stderr "$EVENER" check kept.yaml
    [[ $stderr == "kept.yaml:$line:10: error: set holds 'body.mass_kg=4000'; expected a list of texts; put a single text in brackets"* ]]
    sed -i 's/ set: .*/ set: [body.mass_kg=4000, {a: 1}]/' kept.yaml
    run --separate-stderr "$EVENER" check kept.yaml
    [[ $stderr == "kept.yaml:$line:30: error: set holds a map; expected a list of texts"* ]]
    sed -i 's/ set: .*/ driver: exact/' kept.yaml
    run --separate-stderr "$EVENER" check kept.yaml
    [[ $stderr == "kept.yaml:$line:5: error: no key 'driver' in kept_run; expected it within driving" ]]
}

@test "a lineup asks for itself: no load case and no driving stand beside it" {
    for beside in "load_case: {payload_kg: 1}" "driving: {driver: exact}" "cycle: road.yaml"; do
        printf 'runs:\n  a:\n    lineup: side.yaml\n    truck: one\n    %s\n' "$beside" >kept.yaml
        run --separate-stderr "$EVENER" check kept.yaml
        [ "$status" -eq 2 ]
        [[ $stderr =~ ^kept.yaml:[0-9]+:[0-9]+:.error:.${beside%%:*}.beside.a.lineup ]]
    done
}

@test "a load case or driving edited in the file is told as what changed, not as the program" {
    "$EVENER" keep kept.yaml --truck one.yaml --cycle road.yaml --payload-kg 2000 >/dev/null
    sed -i 's/payload_kg: 2000/payload_kg: 2100/' kept.yaml
    run "$EVENER" check kept.yaml
    [ "$status" -eq 1 ]
    [[ $output == *"Load case or driving has changed since it was recorded"* && $output != *"as recorded:"* ]]
    "$EVENER" check kept.yaml --json >told.json || [ $? -eq 1 ]
    [ "$(jq -c '.runs[0] | [.truck_changed, .cycle_changed, .ask_changed]' told.json)" = "[false,false,true]" ]
    "$EVENER" keep kept.yaml --accept >/dev/null
    "$EVENER" check kept.yaml
    sed -i '/ask_hash/d' kept.yaml # as an older version wrote it
    run "$EVENER" check kept.yaml
    [ "$status" -eq 0 ]
    sed -i 's/payload_kg: 2100/payload_kg: 2200/' kept.yaml
    run "$EVENER" check kept.yaml
    [ "$status" -eq 1 ]
    [[ $output == *"Without a record of its load case and driving: it may have changed"* ]]
    "$EVENER" check kept.yaml --json >told.json || [ $? -eq 1 ]
    [ "$(jq -c '.runs[0] | [.truck_changed, .cycle_changed, .ask_changed]' told.json)" = "[false,false,null]" ]
}

@test "runs whose files are not there are told once, and the file is not said to be empty" {
    keep_both
    mv road.yaml gone.yaml
    run --separate-stderr "$EVENER" check kept.yaml
    [ "$status" -ne 0 ]
    missing=$status
    [[ $stderr == *road.yaml* && $stderr != *"no run"* ]]
    cp gone.yaml road.yaml
    mv one.yaml away.yaml
    run --separate-stderr "$EVENER" check kept.yaml --tap --junit told.xml
    [ "$status" -eq "$missing" ]
    [ "${lines[1]}" = "1..2" ]
    grep -q '^not ok . - one_on_road' <<<"$output"
    grep -q '^ok . - four_on_road' <<<"$output"
    grep -qF 'tests="2" failures="1"' told.xml
    run --separate-stderr "$EVENER" check kept.yaml
    [[ $output == *"one_on_road: not driven"*"cannot be read"* && $output == *"1 the same, 0 moved, 1 not driven"* ]]
}

@test "a file that cannot be written is not called left as it is" {
    run --separate-stderr "$EVENER" keep nowhere/kept.yaml --truck one.yaml --cycle road.yaml
    [ "$status" -eq 4 ]
    [[ $output == *"not written"* && $output != *"nothing moved"* ]]
}

@test "exit 2: a number of threads that is no whole number" {
    keep_both
    run --separate-stderr "$EVENER" check kept.yaml --threads 1.5
    [ "$status" -eq 2 ]
    [[ $stderr == *"--threads is 1.5; a whole number was expected"* ]]
    "$EVENER" check kept.yaml --threads 0
}

@test "what only one of two documents holds is gone or new, each number of it" {
    echo '{"schema": "evener.drive.1", "a": {"b_kwh": 1, "c_kwh": 2}}' >more.json
    echo '{"schema": "evener.drive.1"}' >less.json
    run "$EVENER" diff more.json less.json
    [ "$status" -eq 1 ]
    [[ $output =~ a.b_kwh\ +1\ +none\ +gone && $output =~ a.c_kwh\ +2\ +none\ +gone ]]
    run "$EVENER" diff less.json more.json
    [ "$status" -eq 1 ]
    [[ $output =~ a.b_kwh\ +none\ +1\ +new && $output =~ a.c_kwh\ +none\ +2\ +new ]]
    echo '{"schema": "evener.drive.1", "empty": {}, "word": "s"}' >words.json
    run "$EVENER" diff words.json less.json
    [ "$status" -eq 1 ]
    [[ $output == *"empty: a group in the first, nothing in the second"* ]]
    [[ $output == *"word: s in the first, nothing in the second"* ]]
}
