#!/usr/bin/env bats
# evener drive. EVENER is the program; EVENER_SOURCE, if set, the folder of the sources.

bats_require_minimum_version 1.5.0

setup() {
    [ -x "$EVENER" ]
    root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    truck=$root/tests/vehicles/trucks/tractor-4x2-central.yaml
    urban=$root/cycles/reference/urban-schedule.yaml
    hill=$root/cycles/scenarios/hill.yaml
    mkdir "$BATS_TEST_TMPDIR/here" # bats keeps files of its own one folder up
    cd "$BATS_TEST_TMPDIR/here"
}

# "! command" does not end a test that goes on behind it.
refute() {
    if "$@"; then
        return 1
    fi
}

# Against such a wind no truck moves off.
storm=(--air-density-kg-m3 10 --headwind-m-s 60)

@test "help: the program lists its commands and exit codes" {
    run --separate-stderr "$EVENER" --help
    [ "$status" -eq 0 ]
    [ -z "$stderr" ]
    [[ $output == *"drive "* && $output == *"cycle info "* && $output == *"Exit codes"* ]]
    long=$output
    run --separate-stderr "$EVENER" help
    [ "$status" -eq 0 ]
    [ "$output" = "$long" ]
}

@test "help: every command that is listed has a page, the same three ways, with examples" {
    commands=$("$EVENER" --help | sed -n '/^Commands/,/^$/s/^  \([a-z]\{1,\}\( [a-z]\{1,\}\)\{0,1\}\)  .*/\1/p' | grep -v '^help$')
    [ -n "$commands" ]
    while read -r command; do
        # shellcheck disable=SC2086 # a command may be two words
        run --separate-stderr "$EVENER" help $command
        [ "$status" -eq 0 ]
        [ -z "$stderr" ]
        [[ $output == "evener $command: "* && $output == *"Options"* && $output == *"Examples"* ]]
        page=$output
        # shellcheck disable=SC2086
        run --separate-stderr "$EVENER" $command --help
        [ "$status" -eq 0 ]
        [ "$output" = "$page" ]
        # shellcheck disable=SC2086
        run --separate-stderr "$EVENER" $command --no-such-option -h
        [ "$status" -eq 0 ]
        [ "$output" = "$page" ]
    done <<< "$commands"
}

@test "version: one line" {
    run --separate-stderr "$EVENER" --version
    [ "$status" -eq 0 ]
    [[ $output =~ ^evener\ [0-9]+\.[0-9]+\.[0-9]+$ ]]
}

@test "exit 2: no command, an unknown command, a misspelt one names the nearest" {
    run --separate-stderr "$EVENER"
    [ "$status" -eq 2 ]
    [ -z "$output" ]
    [[ $stderr == *"Usage: evener"* ]]
    run --separate-stderr "$EVENER" zzzzzzz
    [ "$status" -eq 2 ]
    [[ $stderr == *"unknown command 'zzzzzzz'"* ]]
    run --separate-stderr "$EVENER" drvie
    [ "$status" -eq 2 ]
    [[ $stderr == *"did you mean 'evener drive'?"* ]]
    run --separate-stderr "$EVENER" help drvie
    [ "$status" -eq 2 ]
}

@test "exit 2: operands missing or too many" {
    run --separate-stderr "$EVENER" drive
    [ "$status" -eq 2 ]
    [[ $stderr == *"TRUCK is missing"* ]]
    run --separate-stderr "$EVENER" drive "$truck"
    [ "$status" -eq 2 ]
    [[ $stderr == *"CYCLE is missing"* ]]
    run --separate-stderr "$EVENER" drive "$truck" "$hill" more
    [ "$status" -eq 2 ]
    [[ $stderr == *"'more' is one word too many"* ]]
}

@test "exit 2: an unknown option names the nearest one" {
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --paylaod-kg 1
    [ "$status" -eq 2 ]
    [ -z "$output" ]
    [[ $stderr == *"error: unknown option --paylaod-kg;"*"did you mean --payload-kg?"* ]]
}

@test "exit 2: values that are no plain finite numbers, out of range, or not among the choices" {
    for wrong in --payload-kg=12t --payload-kg=nan --payload-kg=1e999 --payload-kg=-1 --payload-kg= \
        --accuracy=1 --start-soc=1.5 --driver=racing --json=1 --trace=; do
        run --separate-stderr "$EVENER" drive "$truck" "$hill" "$wrong"
        [ "$status" -eq 2 ]
        [ -z "$output" ]
        [[ $stderr == *"error: "*"--"* ]]
    done
}

@test "exit 4: a truck file that is not there" {
    run --separate-stderr "$EVENER" drive none.yaml "$hill"
    [ "$status" -eq 4 ]
    [ -z "$output" ]
    [[ $stderr == *"none.yaml"* ]]
}

@test "exit 2: a truck file with a mistake is refused at its line and column" {
    printf 'name: "Broken"\nno_such_key: 1\n' > broken.yaml
    run --separate-stderr "$EVENER" drive broken.yaml "$hill"
    [ "$status" -eq 2 ]
    [ -z "$output" ]
    [[ $stderr == *"broken.yaml:2:1: error: "* ]]
}

@test "exit 1: a truck that cannot move off is told with a report" {
    run --separate-stderr "$EVENER" drive "$truck" "$hill" "${storm[@]}"
    [ "$status" -eq 1 ]
    [[ $output == *"stalled"* && $output == *"Why:"* ]]
    run --separate-stderr "$EVENER" drive "$truck" "$hill" "${storm[@]}" --json
    [ "$status" -eq 1 ]
    [ "$(jq -r .status <<< "$output")" = stalled ]
    [ "$(jq '.findings | length' <<< "$output")" -ge 1 ]
}

@test "--strict: a payload above what is permitted is refused, and a limit that the run passes is exit 2 with the report" {
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --payload-kg 60000 --strict
    [ "$status" -eq 2 ]
    [ -z "$output" ]
    [[ $stderr == *"error: "*"gross mass "*"permitted are"* ]]
    hot=(--set drive_units.leading.motors.a.winding.start_degc=178 --set drive_units.leading.motors.b.winding.start_degc=178)
    run --separate-stderr "$EVENER" drive "$root/tests/vehicles/trucks/tractor-6x4-eaxle.yaml" "$urban" "${hot[@]}"
    [[ $stderr == *"warning: winding of drive unit leading at "*" degC at "*" km, "*" s; expected at most 175 degC, where derating ends"* ]]
    run --separate-stderr "$EVENER" drive "$root/tests/vehicles/trucks/tractor-6x4-eaxle.yaml" "$urban" "${hot[@]}" --strict --json
    [ "$status" -eq 2 ]
    [ "$(jq -r '[.findings[] | select(.fault == "limit_passed") | .severity] | unique[]' <<< "$output")" = error ]
}

@test "exit 3: a stack that is too small is said, and 256 KiB are enough, for threads too" {
    ! grep -q __asan_init "$EVENER" || skip "what watches memory needs more stack by itself"
    run --separate-stderr bash -c 'ulimit -s 32 && exec "$1" drive "$2" "$3"' - "$EVENER" "$truck" "$hill"
    [ "$status" -eq 3 ]
    [[ $stderr == *"stack of this program is limited to 32 KiB; at least 256 were expected"* ]]
    run --separate-stderr bash -c 'ulimit -s 256 && exec "$1" compare "$2"' - "$EVENER" "$root/tests/vehicles/lineups/hump.yaml"
    [ "$status" -eq 0 ]
}

@test "exit 0: the report says distance, energy balance, limits and caution, without a single escape" {
    run --separate-stderr "$EVENER" drive "$truck" "$urban"
    [ "$status" -eq 0 ]
    answer=${output%%$'\n\n'*}
    [[ ${answer//$'\n'/ } == *" finished "*" km in "*" kWh/km." ]]
    for part in "Energy balance" "rolling resistance" "discharged" "What limited the truck" \
        "Accuracy and validity" "invented" "not a type approval" "local regulation"; do
        [[ $output == *"$part"* ]]
    done
    [[ $output != *$'\033'* && $stderr != *$'\033'* ]]
}

@test "report: bars are blocks in a UTF-8 locale and ASCII elsewhere" {
    LC_ALL=C.UTF-8 "$EVENER" drive "$truck" "$hill" > blocks.txt
    grep -q '█' blocks.txt
    LC_ALL=C "$EVENER" drive "$truck" "$hill" > plain.txt
    grep -q '##' plain.txt
    refute grep -q '█' plain.txt
    refute grep -qF '\x' plain.txt
}

@test "report: colour on a terminal, none with NO_COLOR or TERM=dumb" {
    on_terminal() { script -qec "$*" /dev/null < /dev/null; }
    command="'$EVENER' drive '$truck' '$hill'"
    TERM=xterm on_terminal "env -u NO_COLOR $command" > coloured.txt
    TERM=xterm on_terminal "env NO_COLOR=1 $command" > refused.txt
    TERM=dumb on_terminal "env -u NO_COLOR $command" > dumb.txt
    grep -q $'\033\\[' coloured.txt
    for file in refused.txt dumb.txt; do
        grep -q 'Accuracy and validity' "$file"
        refute grep -q $'\033' "$file"
    done
}

@test "report: names with control characters are shown, not sent" {
    run --separate-stderr "$EVENER" drive $'red\033[31m.yaml' "$hill"
    [ "$status" -eq 4 ]
    [[ $stderr == *'red\x1b[31m.yaml'* && $stderr != *$'\033'* ]]
    run --separate-stderr "$EVENER" drive $'red\033[31m.yaml' "$hill" --json
    [[ $output != *$'\033'* ]]
    jq -e '.findings | length == 1' <<< "$output"
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --trace $'none/back\u202ewards\a'
    [ "$status" -eq 4 ]
    [[ $stderr == *'back\u{202e}wards\x07'* ]]
}

@test "json: the short list names results of the same document, the bounds that the words speak of beside it" {
    run --separate-stderr "$EVENER" drive "$truck" "$urban" --json
    [ "$status" -eq 0 ]
    jq -e '. as $all | [.headline[].key as $key | $all | has($key)] | length > 10 and all' <<< "$output"
    jq -e '[.headline[] | .label, .short_label, .unit, .kind, .help | type == "string"] | all' <<< "$output"
    jq -e '[.headline[].digits | type == "number"] | all' <<< "$output"
    jq -e '[.headline[].label] | length == (unique | length)' <<< "$output"
    jq -e '.thresholds == {below_target_km_h: 3.218688, alike_percent: 0.05}' <<< "$output"
}

@test "--digits: twelve digits where the data deserve one or two decimals, sentence, table and JSON document of the same numbers" {
    "$EVENER" drive "$truck" "$urban" --json >out.json
    COLUMNS=200 "$EVENER" drive "$truck" "$urban" >plain.txt
    COLUMNS=200 "$EVENER" drive "$truck" "$urban" --digits >digits.txt
    /usr/bin/python3 - <<'PYTHON'
import json, re

document = json.load(open("out.json"))

# The short list by itself, in its order.
LIST = """duration_s mean_speed_km_h delay_s time_below_target_s kwh_per_km kwh_per_t_km battery_kwh discharged_kwh
    regenerated_kwh regenerative_braking_kwh motor_braking_share final_soc peak_winding_temperature_degc
    peak_brake_temperature_degc gear_changes gear_changes_per_100_km speed_tolerance_met gross_mass_kg payload_kg""".split()
assert [row["key"] for row in document["headline"]] == LIST, document["headline"]

def shown(value, digits, kind="real"):
    if isinstance(value, bool):
        return "yes" if value else "no"
    value *= 100 if kind == "share" else 1
    return "%d" % value if kind == "whole" else "%.12g" % value if digits is None else "%.*f" % (digits, value)

def cells(text, heading, until):
    part = text.split(heading)[1].split(until)[0]
    return [re.split(r"\s{2,}", line.strip()) for line in part.splitlines() if line.startswith("  ")]

for path in ("plain.txt", "digits.txt"):
    every = path == "digits.txt"
    text = open(path).read()
    flat = " ".join(text.split())
    use = shown(document["kwh_per_km"], None if every else 2)
    km = shown(document["distance_km"], None if every else 2)
    assert re.search(r"finished .*: %s km in \d+ min \d\d s, %s kWh/km\." % (re.escape(km), re.escape(use)), flat), flat[:300]
    # The short list.
    lines = cells(text, "kWh/km.\n", "Energy balance")
    rows, told = {line[0]: line for line in lines}, 0
    assert [line[0] for line in lines] == [row["label"] for row in document["headline"]
                                           if row["key"] != "duration_s" and document[row["key"]] is not None], lines
    for row in document["headline"]:
        value = document[row["key"]]
        if row["key"] == "duration_s" or value is None: # in the sentence; not judged
            continue
        line = rows[row["label"]]
        if row["unit"] == "s" and not every: # minutes and seconds
            continue
        told += 1
        assert line[1] == shown(value, None if every else row["digits"], row["kind"]), (row, line)
        assert line[2:] == [unit for unit in ["%" if row["kind"] == "share" else row["unit"]] if unit], (row, line)
    assert told == (18 if every else 16), told
    # The energy balance: kWh, kWh/km, per cent.
    balance = {line[0]: line[1:] for line in cells(text, "Energy balance\n", "No energy")}
    for label, kwh, decimals in (("discharged", document["discharged_kwh"], 1), ("regenerated", document["regenerated_kwh"], 1),
                                 ("air drag", document["energy_balance"]["air_drag_kwh"], 2)):
        of = (kwh, kwh / document["distance_km"], 100 * kwh / document["discharged_kwh"])
        for cell, value, digits in zip(balance[label], of, (decimals, 2, 1)):
            if every:
                assert abs(float(cell) - value) <= 1e-11 * abs(value) and (len(cell.replace(".", "")) > 9 or value == 100), (label, cell, value)
            else:
                assert cell == "%.*f" % (digits, value), (label, cell, value)
PYTHON
}

@test "json: one valid document, nothing else on standard output, keys in the order of the results" {
    run --separate-stderr "$EVENER" drive "$truck" "$urban" --json
    [ "$status" -eq 0 ]
    [ "$(jq -s length <<< "$output")" -eq 1 ]
    [ "$(jq -r '.schema + " " + .status + " " + .driver' <<< "$output")" = "evener.drive/3 finished human" ]
    [ "$(jq -r 'keys_unsorted[0:3] | join(" ")' <<< "$output")" = "schema version status" ]
    jq -e '.version | test("^[0-9]+\\.[0-9]+\\.[0-9]+$")' <<< "$output"
    jq -e '.energy_balance | has("rolling_resistance_kwh") and has("air_drag_kwh") and has("friction_brakes_kwh")' <<< "$output"
    jq -e '.energy_balance | keys_unsorted != (keys_unsorted | sort)' <<< "$output"
    jq -e '(.speed_tolerance_met == null) or (.speed_tolerance_met | type == "boolean")' <<< "$output"
    jq -e '.gear_changes == (.gear_changes | floor)' <<< "$output"
    jq -e '[.limited_by[] | has("limit") and has("label") and has("duration_s") and has("at_km") and has("below_target_km_h")] | all' <<< "$output"
    jq -e '.findings | type == "array"' <<< "$output"
    [[ $output != *nan* && $output != *inf,* ]]
}

@test "json: the lines of the energy balance add up to the energy from the battery" {
    "$EVENER" drive "$truck" "$urban" --json > out.json
    jq -e '([.energy_balance[]] | add) as $sum | (($sum - .battery_kwh) / .discharged_kwh) | fabs < 1e-4' out.json
}

@test "json: real numbers have at most twelve digits" {
    "$EVENER" drive "$truck" "$hill" --json > out.json
    grep -q '[0-9]\.[0-9]' out.json
    grep -E '^ *"[a-z_0-9]+": -?[0-9]' out.json | sed 's/.*: -\{0,1\}//; s/e.*//; s/,.*//; s/\.//; s/^0*//' > digits.txt
    refute grep -Eq '^[0-9]{13,}$' digits.txt
}

@test "json: the same bytes with a trace, without one, twice, and in any locale" {
    "$EVENER" drive "$truck" "$urban" --json > a.json
    "$EVENER" drive "$truck" "$urban" --json --trace t.csv > b.json
    "$EVENER" drive "$truck" "$urban" --json --trace u.csv --trace-interval-s 0.25 |
        sed 's/"trace_interval_s": 0.25/"trace_interval_s": 1.0/' > c.json
    LC_ALL=C NO_COLOR=1 "$EVENER" drive --json "$truck" "$urban" > d.json
    cmp a.json b.json
    cmp a.json c.json
    cmp a.json d.json
    [ "$(wc -l < u.csv)" -gt "$(wc -l < t.csv)" ]
}

@test "json: a document on every failure" {
    run --separate-stderr "$EVENER" drive none.yaml "$hill" --json
    [ "$status" -eq 4 ]
    [ "$(jq -r .status <<< "$output")" = failed ]
    jq -e '.findings[0] | .severity == "error" and (.fault | length > 0) and (.text | length > 0)' <<< "$output"
    printf 'name: "Broken"\nno_such_key: 1\n' > broken.yaml
    run --separate-stderr "$EVENER" drive broken.yaml "$hill" --json
    [ "$status" -eq 2 ]
    jq -e '[.findings[] | select(.file == "broken.yaml" and .line == 2 and .column == 1)] | length > 0' <<< "$output"
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --no-such-option --json
    [ "$status" -eq 2 ]
    jq -e '.schema == "evener.drive/3" and .status == "failed" and .findings[0].fault == "usage"' <<< "$output"
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --json --trace none/t.csv
    [ "$status" -eq 4 ]
    jq -e '.status == "failed" and .findings[0].fault == "cannot_write"' <<< "$output"
}

@test "options: what cannot be driven is refused where it is asked, once, in the words of options" {
    while read -r option value bounds; do
        run --separate-stderr "$EVENER" drive "$truck" "$hill" "$option" "$value"
        [ "$status" -eq 2 ]
        [ "$stderr" = "evener: error: $option is $value; a number from $bounds was expected" ]
    done <<'LINES'
--altitude-m 10000 -500 to 9000
--temperature-degc 70 -60 to 60
--gravity-m-s2 0 0.1 to 30
--payload-kg 1e6 0 to 500000
--look-ahead-s 61 0.05 to 60
LINES
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --start-soc 0.99
    [ "$status" -eq 2 ]
    [[ $stderr == *"start_soc is 0.99; expected "*", the usable window of its battery" ]]
    [ "${#stderr_lines[@]}" -eq 1 ]
}

@test "json: what was asked stands there by the keys of its tables" {
    "$EVENER" drive "$truck" "$hill" --json --headwind-m-s 3 --driver exact > out.json
    for kind in load_case driving; do
        jq -r ".$kind | keys_unsorted[]" out.json > there
        "$EVENER" keys --paths "$kind" | sed 's/.*\.//' | cmp - there
    done
    jq -e '.load_case.headwind_m_s == 3 and .load_case.payload_kg == null and .driving.driver == "exact"' out.json
}

@test "options: payload, driver and surroundings reach the run" {
    base=$("$EVENER" drive "$truck" "$hill" --json --payload-kg 5000)
    jq -e '.payload_kg == 5000' <<< "$base"
    energy=$(jq .battery_kwh <<< "$base")
    for change in --payload-kg=6000 --driver=exact --air-density-kg-m3=1 --headwind-m-s=5 --altitude-m=1500 \
        --temperature-degc=-10 --gravity-m-s2=9.7 --look-ahead-s=4 --comfort-braking-m-s2=0.5; do
        words=("$change")
        [[ $change == --payload-kg=* ]] || words+=(--payload-kg 5000)
        other=$("$EVENER" drive "$truck" "$hill" --json "${words[@]}")
        jq -e ".battery_kwh > 0 and .battery_kwh != $energy" <<< "$other"
    done
    other=$("$EVENER" drive "$truck" "$hill" --json --start-soc 0.5)
    jq -e '.final_soc > 0 and .final_soc < 0.5' <<< "$other"
}

@test "trace: a header of keys, rows of as many numbers, time rising" {
    "$EVENER" drive "$truck" "$hill" --trace run.csv > /dev/null
    head -1 run.csv | grep -Eq '^[a-z][a-z0-9_]*(,[a-z][a-z0-9_]*)+$'
    awk -F, 'NR == 1 { columns = NF; next }
             NF != columns { exit 1 }
             { for (i = 1; i <= NF; i++) if ($i !~ /^(-?[0-9.]+(e[-+][0-9]+)?)?$/) exit 1 }
             $1 < last { exit 1 }
             { last = $1 }
             END { exit NR > 10 ? 0 : 1 }' run.csv
    [ "$(ls -A)" = run.csv ]
}

@test "trace: - is standard output, and the report goes to standard error" {
    "$EVENER" drive "$truck" "$hill" --trace run.csv > /dev/null
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --trace -
    [ "$status" -eq 0 ]
    [ "$output" = "$(cat run.csv)" ]
    [[ $stderr == *"Accuracy and validity"* ]]
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --trace - --json
    [ "$status" -eq 2 ]
    jq -e '.status == "failed"' <<< "$output"
}

@test "trace: replaces an older file and keeps its permissions" {
    echo old > run.csv
    chmod 640 run.csv
    "$EVENER" drive "$truck" "$hill" --trace run.csv > /dev/null
    refute grep -q old run.csv
    [ "$(stat -c %a run.csv)" = 640 ]
    [ "$(ls -A)" = run.csv ]
}

@test "trace: exit 4 and nothing left for a missing folder, a folder, a full device, a size limit" {
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --trace none/run.csv
    [ "$status" -eq 4 ]
    [[ $stderr == *"none/run.csv"* ]]
    mkdir folder
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --trace folder
    [ "$status" -eq 4 ]
    [[ $stderr == *"it is a folder"* ]]
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --trace /dev/full
    [ "$status" -eq 4 ]
    [[ $stderr == *"No space left"* ]]
    [ -c /dev/full ]
    echo old > run.csv
    run --separate-stderr bash -c 'ulimit -f 8; exec "$0" drive "$1" "$2" --trace run.csv --trace-interval-s 0.01' \
        "$EVENER" "$truck" "$hill"
    [ "$status" -eq 4 ]
    [ "$(cat run.csv)" = old ]
    [ "$(ls -A)" = "$(printf 'folder\nrun.csv')" ]
    [ -z "$(ls -A folder)" ]
}

@test "trace: an input is not overwritten" {
    cp "$hill" own.yaml
    ln -s own.yaml link.yaml
    for name in own.yaml link.yaml ./own.yaml; do
        run --separate-stderr "$EVENER" drive "$truck" own.yaml --trace "$name"
        [ "$status" -eq 2 ]
        [[ $stderr == *"would overwrite the input"* ]]
    done
    cmp "$hill" own.yaml
}

@test "trace: no file that the truck uses is overwritten" {
    mkdir trucks
    cp "${truck%/trucks/*}/parts" parts -r
    cp "$truck" trucks/mine.yaml
    cp parts/trailer-3-axle.yaml before.yaml
    run --separate-stderr "$EVENER" drive trucks/mine.yaml "$hill" --trace parts/trailer-3-axle.yaml
    [ "$status" -eq 2 ]
    [[ $stderr == *"would overwrite the input "*"trailer-3-axle.yaml'"* ]]
    cmp before.yaml parts/trailer-3-axle.yaml
}

@test "trace and page: not both into one file, whatever its name" {
    for name in both.html ./both.html "$PWD/both.html"; do
        run --separate-stderr "$EVENER" drive "$truck" "$hill" --trace both.html --page "$name"
        [ "$status" -eq 2 ]
        [[ $stderr == *"--trace and --page both write"* ]]
        [ -z "$(ls -A)" ]
    done
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --page -
    [ "$status" -eq 2 ]
    [[ $stderr == *"a file was expected"* ]]
}

# Sums of two columns by shaft: "shaft seconds revolutions".
collective_sums() {
    awk -F, 'NR > 1 { s[$3] += $11; n[$3] += $12 } END { for (k in s) printf "%s %.3f %.3f\n", k, s[k], n[k] }' "$1" | sort
}

@test "collective: a line for each class of each shaft and gear; report and document tell what it comes to" {
    COLUMNS=100 run -0 --separate-stderr "$EVENER" drive "$truck" "$hill" --collective loads.csv
    [[ $output == *"Load collectives"* && $output == *"exponent of 3.333"* && $output == *"licensed practice"* ]]
    for words in "motor shaft" "gearbox output" "final drive input" "half shaft" "wheel hub"; do
        [[ $output == *"$words"* ]]
    done
    [ "$(head -n 1 loads.csv)" = "drive_unit,axle,shaft,alike,gear,torque_from_nm,torque_to_nm,mean_torque_nm,speed_from_rpm,speed_to_rpm,duration_s,revolutions" ]
    [ "$(cut -d, -f3 loads.csv | sort -u | wc -l)" -eq 6 ]
    run -0 --separate-stderr "$EVENER" drive "$truck" "$hill" --collective again.csv --json
    cmp loads.csv again.csv
    echo "$output" | jq -r '.load_collectives.shafts[] | [.shaft, .duration_s, .revolutions] | @tsv' |
        awk '{ printf "%s %.3f %.3f\n", $1, $2, $3 }' | sort >told
    collective_sums loads.csv >summed
    cmp told summed
    [ "$(echo "$output" | jq '.load_collectives.damage_exponent * 3 | round')" -eq 10 ]
    [ "$(echo "$output" | jq .load_collectives.damage_revolutions)" = null ]
    [ "$(echo "$output" | jq '[.load_collectives.shafts[0].gears[].revolutions] | add - 24000 | . > 0')" = true ]
}

@test "collective: all else of the document is as without it" {
    "$EVENER" drive "$truck" "$hill" --json >plain.json
    "$EVENER" drive "$truck" "$hill" --collective loads.csv --json >with.json
    refute jq -e .load_collectives plain.json
    jq 'del(.load_collectives)' with.json >without.json
    jq . plain.json | cmp - without.json
}

@test "collective: exponent and revolutions of the damage are asked for" {
    for exponent in 1 9; do
        "$EVENER" drive "$truck" "$hill" --collective loads.csv --damage-exponent "$exponent" --damage-revolutions 1e6 \
            --json | jq .load_collectives >"damage-$exponent.json"
    done
    jq -e '.damage_exponent == 9 and .damage_revolutions == 1e6' damage-9.json
    # k = 1: the mean torque of 3882 turns, spread over a million, is work over 2 pi of a million
    jq -e '.shafts[-1] | (.pulling.work_kwh + .braking.work_kwh) * 3.6e6 / 6.283185307 / 1e6 / .equivalent_torque_nm - 1 |
        fabs < 1e-6' damage-1.json
    jq -e '.shafts[-1] | .equivalent_torque_nm > .largest_torque_nm / 4 and .equivalent_torque_nm < .largest_torque_nm' \
        damage-9.json
    run -2 --separate-stderr "$EVENER" drive "$truck" "$hill" --collective loads.csv --damage-exponent 0.5
    [[ $stderr == *"--damage-exponent is 0.5; a number from 1 to 100 was expected"* ]]
    run -2 --separate-stderr "$EVENER" drive "$truck" "$hill" --collective loads.csv --damage-revolutions 0
    [[ $stderr == *"--damage-revolutions is 0; a number from 1 to 1000000000000 was expected"* ]]
    run -2 --separate-stderr "$EVENER" drive "$truck" "$hill" --damage-exponent 3
    [[ $stderr == *"--damage-exponent stands without --collective"* ]]
    run -2 --separate-stderr "$EVENER" drive "$truck" "$hill" --damage-revolutions 3
    [[ $stderr == *"--damage-revolutions stands without --collective"* ]]
}

@test "collective: written whole or not at all, with trace and page or none" {
    run -4 "$EVENER" drive "$truck" "$hill" --collective none/loads.csv --trace rows.csv
    [ -z "$(ls -A)" ]
    run -4 "$EVENER" drive "$truck" "$hill" --collective /dev/full --trace rows.csv
    [ -z "$(ls -A)" ]
    run -2 "$EVENER" drive "$truck" "$hill" --collective both.csv --trace ./both.csv
    [[ $output == *"--trace and --collective both write"* ]]
    run -2 "$EVENER" drive "$truck" "$hill" --collective -
    [[ $output == *"a file was expected"* ]]
    [ -z "$(ls -A)" ]
    echo before >loads.csv
    run -1 "$EVENER" drive "$truck" "$hill" "${storm[@]}" --collective loads.csv
    [ "$(wc -l <loads.csv)" -eq 1 ]
}

@test "trace: a pipe that nobody reads is not waited for without end, one whose reader comes late is" {
    mkfifo rows
    run -4 timeout 60 "$EVENER" drive "$truck" "$hill" --trace rows
    [[ $output == *"nobody reads there"* ]]
    timeout 60 "$EVENER" drive "$truck" "$hill" --trace rows >page.txt &
    program=$!
    sleep 0.2
    cat rows >rows.csv
    wait "$program"
    "$EVENER" drive "$truck" "$hill" --trace alone.csv >page.txt
    cmp rows.csv alone.csv
}

@test "trace: a refused input leaves the older file alone" {
    echo old > run.csv
    printf 'no_such_key: 1\n' > broken.yaml
    run --separate-stderr "$EVENER" drive broken.yaml "$hill" --trace run.csv
    [ "$status" -eq 2 ]
    [ "$(cat run.csv)" = old ]
}

@test "signal: a run that is stopped exits 3 and keeps its rows under .partial" {
    echo old > run.csv
    # The signal waits for the program from its first moment on: it is blocked, sent, and inherited.
    run --separate-stderr env --block-signal=TERM bash -c \
        'kill -TERM $$; exec "$0" drive "$1" "$2" --trace run.csv --json' "$EVENER" "$truck" "$hill"
    [ "$status" -eq 3 ]
    [ "$(cat run.csv)" = old ]
    [ "$(ls -A)" = "$(printf 'run.csv\nrun.csv.partial')" ]
    head -1 run.csv.partial | grep -q ,
    [[ $stderr == *"run.csv.partial"* ]]
    jq -e '.status == "failed" or .status == "interrupted"' <<< "$output"
    jq -e '[.findings[] | select(.fault == "interrupted")] | length == 1' <<< "$output"
}

@test "signal: Ctrl-C in the middle of a run ends it cleanly" {
    mkfifo rows
    exec 5<> rows
    # The pipe fills up: the run waits in the middle until its rows are read.
    env --default-signal=INT "$EVENER" drive "$truck" "$urban" --trace rows --trace-interval-s 0.01 5<&- > out.txt 2> err.txt &
    program=$!
    IFS= read -r -t 60 header <&5
    kill -INT "$program"
    cat <&5 > rest.csv &
    reader=$!
    code=0
    wait "$program" || code=$?
    kill "$reader"
    exec 5<&-
    [[ $header == *,* ]]
    [ "$code" -eq 3 ]
    grep -q 'error: ' err.txt
}

@test "exit 4: standard output that is full or closed" {
    for words in "--help" "drive '$truck' '$hill'" "drive '$truck' '$hill' --json" "drive '$truck' '$hill' --trace -"; do
        run bash -c "'$EVENER' $words 2>&1 > /dev/full"
        [ "$status" -eq 4 ]
        [[ $output == *"cannot write standard output"* ]]
        run bash -c "'$EVENER' $words 2>&1 >&-"
        [ "$status" -eq 4 ]
    done
}

@test "a closed standard output does not let the report run into the trace" {
    run bash -c "'$EVENER' drive '$truck' '$hill' --trace run.csv >&- 2>&-"
    [ "$status" -eq 4 ]
    refute grep -q 'Accuracy' run.csv
}

@test "the report tells what was asked and differs from the defaults, and says nothing where nothing does" {
    run "$EVENER" drive "$truck" "$hill" --payload-kg 12000 --headwind-m-s 4 --driver exact
    [ "$status" -eq 0 ]
    [[ ${output//$'\n'/ } == *" Conditions: payload 12000 kg, headwind 4 m/s, driver exact; otherwise the defaults. "* ]]
    run "$EVENER" drive "$truck" "$hill" --headwind-m-s 0
    [ "$status" -eq 0 ]
    [[ $output != *"Conditions:"* ]]
}

@test "either integrator gives the same energy, is told, and a third is refused" {
    for which in cvode arkode; do
        "$EVENER" drive "$truck" "$hill" --json --driver exact --integrator "$which" >"$which.json"
        jq -e ".driving.integrator == \"$which\" and .balance_error < 2e-5" "$which.json"
    done
    jq -se '(.[0].battery_kwh / .[1].battery_kwh - 1) as $off | $off != 0 and $off < 1e-4 and $off > -1e-4' \
        cvode.json arkode.json
    "$EVENER" drive "$truck" "$hill" --json --driver exact | cmp - cvode.json
    run "$EVENER" drive "$truck" "$hill" --integrator arkode
    [[ $output == *$'\n'"Conditions: integrator arkode; otherwise the defaults."$'\n'* ]]
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --integrator arcode
    [ "$status" -eq 2 ]
    [[ $stderr == *"one of these was expected: cvode, arkode" ]]
}

@test "titles: a name of blanks, of two lines or too long for a heading is refused where it stands" {
    sixty=$(printf 'ü%.0s' {1..60})
    for of in '"  "|of blanks only' '"a\tb"|a tab or a line break' '"a\nb"|a tab or a line break' "$sixty|60 characters"; do
        printf 'extends: %s\nshort_name: %s\n' "$root/tests/vehicles/trucks/tractor-4x2-central.yaml" "${of%%|*}" >truck.yaml
        run --separate-stderr "$EVENER" drive truck.yaml "$hill"
        [ "$status" -eq 2 ] && [ -z "$output" ]
        [[ $stderr == *"truck.yaml:2:13: error: a title"*"${of##*|}"*"; expected "* ]]
    done
    forty=$(printf 'ü%.0s' {1..40})
    printf 'extends: %s\nshort_name: %s\n' "$root/tests/vehicles/trucks/tractor-4x2-central.yaml" "$forty" >truck.yaml
    "$EVENER" drive truck.yaml "$hill" >/dev/null
}
