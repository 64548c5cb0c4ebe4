#!/usr/bin/env bats
# The scripts in tools/: what they say, and that the count of tests cannot look better than the tests were.

bats_require_minimum_version 1.5.0

setup() {
    source_root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
}

# A log as Meson writes it: log RESULT OUTPUT...
log() {
    local result=$1
    shift
    printf '%s\n' '==================================== 1/1 ====================================' \
        'test:         evener:unit / planted' "result:       $result" '------------ stdout ------------' "$@"
}

count() {
    run awk -f "$source_root/tools/lib/count.awk"
}

@test "every script in tools explains itself and refuses what it does not know" {
    for script in "$source_root"/tools/*; do
        [ -f "$script" ] && [ -x "$script" ] || continue
        run "$script" --help
        [ "$status" -eq 0 ]
        [[ $output == *"usage: tools/$(basename "$script")"* ]]
        run "$script" --no-such-thing
        [ "$status" -ne 0 ]
    done
}

@test "cases of Check and of bats are counted" {
    count < <(
        log 'exit status 0' '100%: Checks: 12, Failures: 0, Errors: 0'
        log 'exit status 0' 1..3 'ok 1 one' 'ok 2 two # skip no reason' 'ok 3 three'
    )
    [ "$status" -eq 0 ]
    [ "$output" = "14 passed, 0 failed, 1 skipped" ]
}

@test "failed cases are counted and end in a failure" {
    count < <(
        log 'exit status 1' '80%: Checks: 10, Failures: 1, Errors: 1'
        log 'exit status 1' 1..2 'not ok 1 one' 'ok 2 two'
    )
    [ "$status" -eq 1 ]
    [ "$output" = "9 passed, 3 failed, 0 skipped" ]
}

@test "a program that fails without a failed case counts as failed" {
    count < <(log 'exit status 1' '100%: Checks: 5, Failures: 0, Errors: 0')
    [ "$status" -eq 1 ]
    [ "${lines[1]}" = "5 passed, 1 failed, 0 skipped" ]
    count < <(log 'killed by signal 11 SIGSEGV')
    [ "$status" -eq 1 ]
    [ "${lines[1]}" = "0 passed, 1 failed, 0 skipped" ]
}

@test "a program that runs no case counts as failed" {
    count < <(log 'exit status 0' '100%: Checks: 0, Failures: 0, Errors: 0')
    [ "$status" -eq 1 ]
    [ "${lines[1]}" = "0 passed, 1 failed, 0 skipped" ]
}

@test "an empty log is no success" {
    count </dev/null
    [ "$status" -eq 1 ]
    [ "$output" = "0 passed, 0 failed, 0 skipped" ]
}

@test "a compiler without the header of SUNDIALS has no version to tell, and that is no failure" {
    mkdir -p "$BATS_TEST_TMPDIR/bin"
    printf '#!/bin/sh\necho no such header >&2\nexit 1\n' >"$BATS_TEST_TMPDIR/bin/cc"
    chmod +x "$BATS_TEST_TMPDIR/bin/cc"
    run env PATH="$BATS_TEST_TMPDIR/bin:$PATH" bash -c '. "$1/tools/lib/common.sh"; found=$(sundials_version); echo "found [$found]"' \
        test "$source_root"
    [ "$status" -eq 0 ]
    [ "$output" = "found []" ]
}

@test "results that differ by more than round-off are found by tools/same" {
    cd "$source_root"
    run tools/same "$EVENER" "$EVENER"
    [ "$status" -eq 0 ]
    [[ $output == *"are the same to the last digit"* && $output != *"largest difference"* ]]
    printf '#!/bin/sh\nexec "%s" "$@" --accuracy 1e-5\n' "$EVENER" >"$BATS_TEST_TMPDIR/rougher"
    chmod +x "$BATS_TEST_TMPDIR/rougher"
    run tools/same "$EVENER" "$BATS_TEST_TMPDIR/rougher"
    [ "$status" -eq 1 ]
    [[ $output == *"largest difference"* ]]
}

@test "schedules that the accuracy decides are found, and those that it does not are no find" {
    cd "$source_root"
    run "$EVENER_BUILD/tests/schedules" tests/trucks/plain/tipper-8x4-two-eaxles.yaml -- cycles/reference/sort-2.yaml
    [ "$status" -eq 0 ]
    [[ $output =~ ^"2 runs, 0 without results, 0 with another schedule; "[0-9]+" and "[0-9]+" events"$ ]]
    run "$EVENER_BUILD/tests/schedules" --accuracy 1e-3 --all tests/trucks/plain/tipper-8x4-two-eaxles.yaml -- cycles/reference/sort-2.yaml
    [ "$status" -eq 1 ]
    [[ $output =~ "tipper-8x4-two-eaxles, sort-2, human: another schedule, "[^$'\n']*" kWh"$'\n  '[^$'\n']*" m against "[^$'\n']*" m"$'\n' ]]
    [[ ${lines[-1]} =~ ", "[12]" with another schedule; " ]]
    run "$EVENER_BUILD/tests/schedules" vehicles/trucks/tipper-8x4-two-eaxles.yaml
    [ "$status" -eq 2 ]
    run "$EVENER_BUILD/tests/schedules" --accuracy 1 tests/trucks/plain/tipper-8x4-two-eaxles.yaml -- cycles/reference/sort-2.yaml
    [ "$status" -eq 1 ]
    [[ ${lines[0]} == "tipper-8x4-two-eaxles, sort-2, exact: no results: "* ]]
}

# ---------------------------------------------------------------------------------------------------- tools/bench

@test "tools/bench explains the record with examples and refuses arguments that lead nowhere" {
    run "$source_root/tools/bench" --help
    [ "$status" -eq 0 ]
    [[ $output == *"Examples:"* && $output == *"tools/bench --against "* && $output == *"tools/bench --record"* ]]
    for wrong in "--repeats 0" "--repeats" "--against /nowhere.csv" "--measured /nowhere.csv" "--folder" \
        "--measured $source_root/tools/benchmark/record.csv"; do
        # shellcheck disable=SC2086 # words of a command line
        run "$source_root/tools/bench" $wrong
        echo "$wrong: $output"
        [ "$status" -eq 1 ]
        [[ $output == "bench: "* ]]
    done
}

# against COLUMN factor|new VALUE: holds the record, with a cell of one row times that or replaced by it, against the record.
against() {
    record=$source_root/tools/benchmark/record.csv
    awk -F , -v OFS=, -v column="$1" -v how="$2" -v value="$3" '
        /^tractor-6x4-central,urban-schedule,exact,cvode,/ { $column = how == "factor" ? $column * value : value }
        { print }' "$record" >"$BATS_TEST_TMPDIR/measured.csv"
    run "$source_root/tools/bench" --against --measured "$BATS_TEST_TMPDIR/measured.csv"
    echo "$output"
}

@test "tools/bench --against tells what moved, and exits with 1 only where something got slower" {
    against 7 factor 1
    [ "$status" -eq 0 ]
    [[ $output == *" rows: 0 moved, 0 times slower"* ]]
    against 7 factor 1.14 # cost_over_base
    [ "$status" -eq 0 ]
    [[ $output == *" rows: 0 moved, 0 times slower"* ]]
    against 7 factor 1.2
    [ "$status" -eq 1 ]
    [[ $output == *"tractor-6x4-central urban-schedule exact cvode: cost_over_base "*", slower"* ]]
    against 8 factor 1.2 # cost_over_rk4
    [ "$status" -eq 1 ]
    [[ $output == *"exact cvode: cost_over_rk4 "*"(+"*"%), slower"* ]]
    against 7 factor 0.8
    [ "$status" -eq 0 ]
    [[ $output == *"cost_over_base "* && $output == *" rows: 1 moved, 0 times slower"* ]]
    against 14 factor 1.02 # instructions
    [ "$status" -eq 1 ]
    [[ $output == *"instructions "*"(+2.0%), slower"* ]]
    against 14 factor 1.005
    [ "$status" -eq 0 ]
    [[ $output == *" 0 moved"* ]]
    against 13 new 1234567 # events
    [ "$status" -eq 0 ]
    [[ $output == *"events "*" -> 1234567"* && $output == *" 1 moved, 0 times slower"* ]]
    against 5 new stalled # end
    [ "$status" -eq 0 ]
    [[ $output == *"end finished -> stalled"* ]]
    against 9 new 1e-4 # energy_error
    [ "$status" -eq 0 ]
    [[ $output == *"energy_error "*" -> 1e-4"* ]]
}

@test "tools/bench --against exits with 1 where a row stands on one side only" {
    record=$source_root/tools/benchmark/record.csv
    grep -v '^tractor-6x4-central,haulage-round,human,arkode,' "$record" >"$BATS_TEST_TMPDIR/fewer.csv"
    run "$source_root/tools/bench" --against --measured "$BATS_TEST_TMPDIR/fewer.csv"
    [ "$status" -eq 1 ]
    [[ $output == *"tractor-6x4-central haulage-round human arkode: in the record only"*" 1 moved, 0 times slower"* ]]
    run "$source_root/tools/bench" --against "$BATS_TEST_TMPDIR/fewer.csv" --measured "$record"
    [ "$status" -eq 1 ]
    [[ $output == *"tractor-6x4-central haulage-round human arkode: not in the record"* ]]
}

@test "the record holds every shipped truck on its four cycles, by both drivers and both integrators" {
    cut -d , -f 1-4 "$source_root/tools/benchmark/record.csv" | sort >"$BATS_TEST_TMPDIR/there"
    for truck in "$source_root"/vehicles/trucks/*.yaml; do
        for cycle in urban-schedule urban-schedule-heavy haulage-round night-motorway; do
            for driver in exact human; do
                for integrator in cvode arkode; do
                    name=${truck##*/}
                    echo "${name%.yaml},$cycle,$driver,$integrator"
                done
            done
        done
    done | sort >"$BATS_TEST_TMPDIR/wanted"
    [ "$(wc -l <"$BATS_TEST_TMPDIR/wanted")" -eq $((13 * 4 * 2 * 2)) ]
    run comm -23 "$BATS_TEST_TMPDIR/wanted" "$BATS_TEST_TMPDIR/there"
    [ "$status" -eq 0 ]
    [ -z "$output" ] || { echo "not there: $output" && false; }
    printf 'truck,cycle\na,b\n' >"$BATS_TEST_TMPDIR/other.csv"
    run "$source_root/tools/bench" --against "$BATS_TEST_TMPDIR/other.csv" --measured "$BATS_TEST_TMPDIR/other.csv"
    [ "$status" -eq 1 ]
    [[ $output == *"is no record"*"expected truck,cycle,driver,integrator"* ]]
}

@test "figures of a bench are one table, and runs that ended early are told with how far they came" {
    printf '%s\n' \
        '{"figure": "times_real_time", "value": 1000, "unit": "1", "cycle": "hill", "driver": "exact", "solver": "cvode"}' \
        '{"figure": "times_real_time", "value": 2000, "unit": "1", "cycle": "far", "driver": "exact", "solver": "cvode", "end": "battery_empty", "km": 308.9}' \
        '{"figure": "events", "value": 7, "unit": "1", "cycle": "far", "driver": "exact", "solver": "cvode"}' \
        '{"figure": "energy_error", "value": 1e-4, "unit": "1", "cycle": "hill", "driver": "exact", "solver": "cvode", "at_most": 5e-5, "met": false}' \
        '{"figure": "run_time", "value": 3, "unit": "ms", "cycle": "urban-schedule", "driver": "exact", "solver": "LSODA", "truck": "plain"}' \
        >"$BATS_TEST_TMPDIR/figures"
    run /usr/bin/python3 "$source_root/tools/benchmark/table.py" "$BATS_TEST_TMPDIR/figures"
    echo "$output"
    [ "$status" -eq 0 ]
    grep -Eq '^  far +exact +2000 .* 7 +battery empty after 309 km$' <<<"$output"
    grep -Eq '^  hill +exact +1000$' <<<"$output"
    grep -q 'run time of plain urban-schedule exact LSODA: 3 ms' <<<"$output"
    [[ $output == *"Targets: 0 met, 1 missed"*"energy error of hill exact cvode: 0.0001; at most 5e-05"* ]]
}

# ---------------------------------------------------------------------------------------------------- tools/gear-rule

@test "tools/gear-rule explains its table with examples and refuses arguments that lead nowhere" {
    run "$source_root/tools/gear-rule" --help
    [ "$status" -eq 0 ]
    [[ $output == *"Examples:"* && $output == *"tools/gear-rule --all"* && $output == *"forgone_percent"* ]]
    for wrong in "--truck none-such" "--cycle none-such" "--basis none" "--set none" "--threads 0" "--check /nowhere.csv" \
        "--all --cycle sort-1" "--all --basis own" "--folder"; do
        # shellcheck disable=SC2086 # words of a command line
        run "$source_root/tools/gear-rule" $wrong
        echo "$wrong: $output"
        [ "$status" -eq 1 ]
        [[ $output == "gear-rule: "* ]]
    done
}

# field NAME TABLE-HEADER LINE
field() {
    awk -F , -v name="$1" -v header="$2" -v line="$3" \
        'BEGIN { n = split(header, h); split(line, c); for (k = 1; k <= n; k++) if (h[k] == name) print c[k] }'
}

@test "what the gear rule forgoes is told on both bases, and its rows sum up to the run" {
    cd "$source_root"
    header=$(head -n 1 tools/gear_rule/exact.csv)
    header=${header#family,}
    export EVENER_PATH=$source_root
    run "$EVENER_BUILD/tools/gear_rule/evener-gear-rule" both cycles/reference/sort-3.yaml \
        tests/vehicles/trucks/tractor-6x4-{central,eaxle}.yaml
    echo "$output"
    [ "$status" -eq 0 ]
    [ "${#lines[@]}" -eq 4 ]
    [[ ${lines[0]} == tractor-6x4-central,sort-3,own,finished,4,* && ${lines[1]} == tractor-6x4-eaxle,sort-3,own,finished,6,* ]]
    [[ ${lines[2]} == tractor-6x4-central,sort-3,common,* && ${lines[3]} == tractor-6x4-eaxle,sort-3,common,* ]]
    for line in "${lines[@]}"; do
        [ "$(tr -dc , <<<"$line")" = "$(tr -dc , <<<"$header")" ]
        awk -v x="$(field forgone_percent "$header" "$line")" -v most="$(field forgone_most_percent "$header" "$line")" \
            -v free="$(field forgone_free_percent "$header" "$line")" -v e="$(field sum_error_percent "$header" "$line")" \
            'BEGIN { exit !(x >= 0 && most >= x && free >= x && free < 10 && e < 0.1 && e > -0.1) }'
    done
}

@test "a dear price of a gear change makes the rule forgo more, and the price that changes truly have is not moved by it" {
    cd "$source_root"
    export EVENER_PATH=$source_root
    header=$(head -n 1 tools/gear_rule/exact.csv)
    for price in 3 300; do
        run "$EVENER_BUILD/tools/gear_rule/evener-gear-rule" own cycles/reference/sort-3.yaml \
            tests/vehicles/trucks/tractor-6x4-eaxle.yaml -- "drive_units.leading.gearbox.shift.price_kj=$price"
        echo "$output"
        [ "$status" -eq 0 ]
        forgone[price]=$(field forgone_free_percent "${header#family,}" "$output")
    done
    awk -v cheap="${forgone[3]}" -v dear="${forgone[300]}" 'BEGIN { exit !(dear > cheap + 0.2) }'
}

@test "tools/gear-rule --prices scans the human driver's prices, and one of them is the least" {
    cd "$source_root"
    export EVENER_PATH=$source_root
    run "$EVENER_BUILD/tools/gear_rule/evener-gear-rule" prices cycles/reference/sort-3.yaml \
        tests/vehicles/trucks/tractor-6x4-central.yaml
    echo "$output"
    [ "$status" -eq 0 ]
    [[ ${lines[0]} == tractor-6x4-central,sort-3,own,* && ${lines[-1]} == tractor-6x4-central,sort-3,100,* ]]
    [ "$(cut -d , -f 5 <<<"$output" | sort -g | head -n 1)" = 0.000 ]
}

# check VALUE...: what --check says of a table of one family with these forgone percents.
check() {
    {
        head -n 1 "$source_root/tools/gear_rule/exact.csv"
        for value in "$@"; do
            echo "any,any-$value,sort-3,own,finished,4,1,1,$value,$value,0,$value,1,1,1,0,0,0,${error:-0},0"
        done
    } >"$BATS_TEST_TMPDIR/table.csv"
    run "$source_root/tools/gear-rule" --check "$BATS_TEST_TMPDIR/table.csv"
    echo "$output"
}

@test "tools/gear-rule --check exits with 1 where a target is missed and says which" {
    check 0.3 0.5
    [ "$status" -eq 0 ]
    [ "$output" = "" ]
    check 0.4 0.501
    [ "$status" -eq 1 ]
    [ "$output" = "any-0.501 on sort-3, own speed: 0.501 % forgone; at most 0.5 is wanted" ]
    check 0.1 0.35
    [ "$status" -eq 1 ]
    [ "$output" = "any on sort-3, own speed: layouts are 0.250 points apart; at most 0.2 is wanted" ]
    error=-0.2 check 0.1
    [ "$status" -eq 1 ]
    [[ $output == "any-0.1 on sort-3, own speed: rows sum up to -0.2 % beside the run"* ]]
    check
    [ "$status" -eq 1 ]
    told="for information: one on sort-3, human driver: 0.31 % above the best price of this route alone"
    printf '%s\n' family,truck,cycle,price_kj,above_least_percent any,one,sort-3,own,0.31 any,one,sort-3,30,0 \
        any,one,sort-1,own,0 any,one,sort-1,30,5 >"$BATS_TEST_TMPDIR/table.csv"
    run "$source_root/tools/gear-rule" --check "$BATS_TEST_TMPDIR/table.csv" # a route alone is told, not judged
    [ "$status" -eq 0 ]
    [ "$output" = "$told" ]
    sed -i 's/sort-1,30,5/sort-1,30,-0.31/' "$BATS_TEST_TMPDIR/table.csv"
    run "$source_root/tools/gear-rule" --check "$BATS_TEST_TMPDIR/table.csv"
    [ "$status" -eq 1 ]
    [ "$output" = "$told
one, human driver: in the mean of its routes 0.310 points above its best price; at most 0.3 is wanted" ]
    echo nothing >"$BATS_TEST_TMPDIR/table.csv"
    run "$source_root/tools/gear-rule" --check "$BATS_TEST_TMPDIR/table.csv"
    [ "$status" -ne 0 ]
}

# ---------------------------------------------------------------------------------------------------- tools/calibrate

@test "tools/calibrate explains itself with examples and refuses arguments that lead nowhere" {
    run "$source_root/tools/calibrate" --help
    [ "$status" -eq 0 ]
    [[ $output == *"examples:"* && $output == *"tools/benchmark/coverage.csv"* ]]
    for wrong in "--lineups 0" "--from 0" "--draws 4" "--jobs 0"; do
        # shellcheck disable=SC2086 # words of a command line
        run "$source_root/tools/calibrate" $wrong
        echo "$wrong: $output"
        [ "$status" -eq 1 ]
        [[ $output == "calibrate: "* ]]
    done
}

@test "every planted fault still fits the source, and one that does not is told" {
    "$source_root/tools/plant" --fits
    mkdir "$BATS_TEST_TMPDIR/tree"
    cp -r "$source_root/src" "$source_root/tools" "$BATS_TEST_TMPDIR/tree/"
    sed -i 's/along = at->speed_m_s + r->headwind_m_s;/along = r->headwind_m_s + at->speed_m_s;/' "$BATS_TEST_TMPDIR/tree/src/pull/pull.c"
    run --separate-stderr "$BATS_TEST_TMPDIR/tree/tools/plant" --fits
    [ "$status" -eq 2 ] && [[ $stderr == "plant: no-headwind: src/pull/pull.c holds 0 times: "* ]]
}

@test "a lineup that tools/calibrate draws by lot is the same in every call" {
    cd "$BATS_TEST_TMPDIR"
    for table in one two; do
        EVENER=$EVENER "$source_root/tools/calibrate" --lineups 1 --from 3 --draws 16 --csv $table.csv
    done
    cmp one.csv two.csv
    [ "$(wc -l <one.csv)" -eq 3 ]
}

@test "intervals of the kept table cover the truth as often as they say" {
    table=$source_root/tools/benchmark/coverage.csv
    for method in draws first_order; do
        awk -F , -v column=${method}_covers 'NR == 2 { for (i = 1; i <= NF; i++) if ($i == column) of = i }
            NR > 2 { rows++; covered += $of }
            END { print column, covered, "of", rows; exit !(of && rows == 200 && covered >= 172 && covered <= 188) }' "$table"
    done
}
