#!/usr/bin/env bats
# evener match: the invented log of a drive and the truck that drove it, in every medium; what cannot be held is refused.
# shellcheck disable=SC2154 # run sets stderr

bats_require_minimum_version 1.5.0

setup() {
    [ -x "$EVENER" ]
    root=$(cd "${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}" && pwd)
    log=$root/cycles/logs/delivery-drive.csv
    export EVENER_PATH=$root
    cd "$BATS_TEST_TMPDIR"
}

match() { "$EVENER" match tractor-4x2-central "$@"; }

# refused TEXT ARGUMENT...: exit 2, nothing told, a finding that holds the text.
refused() {
    run --separate-stderr match "${@:2}"
    echo "$stderr"
    [ "$status" -eq 2 ] && [ -z "$output" ] && [[ $stderr == *"$1"* ]]
}

@test "what was changed of the truck lies within the intervals, and the energy comes out with it" {
    match "$log" --json >found.json
    jq -e '.schema == "evener.match/1" and .status == "finished" and .truck_invented' found.json
    jq -e '.energy | .high_95_percent < 0 and .difference_percent < -10' found.json
    jq -e '(.energy.explained_kwh / .energy.log_kwh - 1) | fabs < 0.01' found.json
    jq -e '.explained.parameters[] | select(.key == "rolling_coefficient") | .low_95 < 1.1 * .stated and .high_95 > 1.1 * .stated' found.json
    jq -e '.explained.parameters[] | select(.key == "auxiliaries_kw") | .low_95 < 8 and .high_95 > 8 and .differs' found.json
    jq -e '.explained.parameters[] | select(.key == "drag_area_m2") | .low_95 < .stated and .high_95 > .stated' found.json
    jq -e '.explained.found and .explained.runs == 4 and .explained.condition < 10' found.json
    jq -e '[.quantities[].key] == ["speed_km_h", "power_kw", "soc_percent", "motor_speed_rpm"]' found.json
    jq -e '.quantities[] | select(.key == "motor_speed_rpm") | .middle_ratio > 0.995 and .middle_ratio < 1.005' found.json
    jq -e '.load_case.start_soc == 0.9' found.json
}

@test "the same bytes each time, and words, CSV, picture and page" {
    match "$log" --csv one.csv --page page.html --plot >one
    match "$log" --csv two.csv --plot >two
    cmp one two
    cmp one.csv two.csv
    [ "$(wc -l <one.csv)" -gt 2900 ]
    [[ $(head -1 one.csv) == time_s,place_m,speed_km_h,run_speed_km_h,power_kw,run_power_kw,explained_power_kw,* ]]
    grep -q "Energy of the run less that of the log" one
    grep -q "auxiliaries 8" one # kW, as the log was made
    [ ! -s page.html ] || grep -q "Log and run over each other" page.html
}

@test "--explain names parameters, or none of them" {
    match "$log" --explain none --json | jq -e '.explained == null and .energy.explained_kwh == null'
    match "$log" --explain auxiliaries --json | jq -e '[.explained.parameters[].key] == ["auxiliaries_kw"]'
    refused "--explain names 'drag'" "$log" --explain rolling,drag
    [[ $stderr == *"did you mean 'drag_area'?"* ]]
}

@test "values stay within what a truck can have, a bound is told, and no round is kept that is worse" {
    # 30 kW less in each row: more than the auxiliaries take.
    awk -F, -v OFS=, '/^[0-9]/ { $4 -= 30 } { print }' "$log" >less.csv
    match less.csv --explain auxiliaries --json >less.json
    jq -e '.explained.parameters[0] | .value == 0 and .low_95 >= 0 and .at_bound' less.json
    match less.csv --explain auxiliaries | tr '\n' ' ' | grep -q "the last that a truck can have"
    # Two that hardly anything tells apart: what is told is better than what is stated, or nothing is told.
    match less.csv --explain headwind,drag_area --json >pair.json
    jq -e '.explained | if .found then .share > 0 else .parameters == [] and .why_not != null end' pair.json
    jq -e '[.explained.parameters[] | select(.key == "drag_area_m2") | .value] | all(. >= 1 and . <= 20)' pair.json
    jq -e '[.explained.parameters[] | select(.key == "headwind_m_s") | .value] | all(. >= -20 and . <= 20)' pair.json
    # Nor is the truck lighter than without its payload.
    match less.csv --explain mass --json | jq -e '.explained.parameters[0] | .value >= .low_95 and .low_95 > 5000'
}

@test "power that is turned over, of another unit, or missing for a time is not taken in silence" {
    awk -F, -v OFS=, '/^[0-9]/ { $4 = -$4 } { print }' "$log" >turned.csv
    refused "discharging above 0 was expected, or --charging-positive" turned.csv
    match turned.csv --charging-positive --json >turned.json
    match "$log" --json >right.json
    jq -e --slurpfile right right.json '.energy == $right[0].energy' turned.json
    awk -F, -v OFS=, '/^[0-9]/ { $4 = 1000 * $4 } { print }' "$log" >watt.csv
    refused "far above what its speed and the mass of the truck ask for" watt.csv
    awk -F, -v OFS=, '/^[0-9]/ { $4 = $4 / 1000 } { print }' "$log" >megawatt.csv
    refused "far below what its speed and the mass of the truck ask for" megawatt.csv
    # 200 s without power: blocks go, and the energy that is told of the others is nearly as it was of all.
    awk -F, -v OFS=, '/^[0-9]/ && $1 >= 1000 && $1 < 1200 { $4 = "" } { print }' "$log" >gap.csv
    match gap.csv --json >gap.json
    match gap.csv 2>said >/dev/null
    jq -e '.energy.blocks_left_out >= 3 and .energy.blocks_left_out <= 5' gap.json
    jq -e --slurpfile right right.json '.energy | (.blocks + .blocks_left_out) == $right[0].energy.blocks and (.difference_percent - $right[0].energy.difference_percent | fabs) < 1' gap.json
    jq -e '.findings[] | select(.fault == "gap_in_log") | .line > 500' gap.json
    grep -q "no power is told for 20[0-9]" said
    match gap.csv 2>/dev/null | tr '\n' ' ' | grep -q "the log does not tell all of its power"
}

@test "a counter of energy that starts again is refused at its row, and one that goes on is power summed up" {
    awk -F, -v OFS=, '/^#/ { print; next } /^time/ { print $1, $2, $3, "energy_kwh"; next }
        { if (n++) sum += ($1 - t) * ($4 + p) / 7200; t = $1; p = $4; print $1, $2, $3, sum + 100 }' "$log" >counter.csv
    match counter.csv --explain none --json >counter.json
    match "$log" --explain none --json >power.json
    jq -e --slurpfile power power.json '.energy | .from == "energy" and (.log_kwh - $power[0].energy.log_kwh | fabs) < 0.05' counter.json
    awk -F, -v OFS=, '/^[0-9]/ && $1 >= 3000 { $4 -= 100 } { print }' counter.csv >again.csv
    refused "a counter that starts again, or another unit" again.csv
    [[ $stderr == *"again.csv:"*":1: "* ]]
}

@test "a log of the charge alone is held against the charge" {
    cut -d, -f1-3,5 "$log" | sed 's/^#.*/# invented/' >charge.csv
    match charge.csv --json >found.json
    jq -e '.energy.from == "charge" and .energy.difference_percent < -5' found.json
}

@test "a log that tells nothing to hold a run against, a bad one and a bad option are refused" {
    cut -d, -f1-3 "$log" | sed 's/^#.*/# invented/' >speed.csv
    refused "nothing in this log to hold a run against" speed.csv
    : >empty.csv
    refused "empty.csv" empty.csv
    refused "block-s" "$log" --block-s 1
    run --separate-stderr match nowhere.csv
    [ "$status" -eq 4 ]
    run --separate-stderr "$EVENER" match nowhere.yaml "$log"
    [ "$status" -ne 0 ]
}

@test "a run that does not finish is told as that" {
    run --separate-stderr match "$log" --start-soc 0.07 --json
    [ "$status" -eq 1 ]
    jq -e '.status == "battery_empty" and .energy == null' <<<"$output"
}
