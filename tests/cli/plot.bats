#!/usr/bin/env bats
# Pictures in the terminal: within the window, in letters that it has.

setup() {
    bats_require_minimum_version 1.5.0
    cd "${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}" || return 1
    truck=vehicles/trucks/tractor-4x2-central.yaml
    hill=cycles/scenarios/hill.yaml
}

# The picture alone.
picture() { sed -n '/^Along the route/,$p'; }

# Widest line of the input, in columns.
widest() { LC_ALL=C.UTF-8 wc -L; }

@test "a run's picture shows the road, the speed, the distance and the losses, largest first" {
    run --separate-stderr env LC_ALL=C.UTF-8 "$EVENER" drive "$truck" "$hill" --plot
    [ "$status" -eq 0 ]
    picture <<<"$output" >"$BATS_TEST_TMPDIR/picture"
    grep -q 'elevation above the start, m' "$BATS_TEST_TMPDIR/picture"
    grep -q 'speed, km/h; state of charge from 90 to' "$BATS_TEST_TMPDIR/picture"
    grep -q ' 10 km' "$BATS_TEST_TMPDIR/picture"
    sed -n '/largest first/,$p' "$BATS_TEST_TMPDIR/picture" | awk '/[0-9]/ { print $(NF - 1) }' >"$BATS_TEST_TMPDIR/kwh"
    sort -rn "$BATS_TEST_TMPDIR/kwh" | cmp - "$BATS_TEST_TMPDIR/kwh"
}

@test "without UTF-8 a picture is plain ASCII" {
    LC_ALL=C "$EVENER" drive "$truck" "$hill" --plot | picture >"$BATS_TEST_TMPDIR/plain"
    [ -s "$BATS_TEST_TMPDIR/plain" ]
    run ! grep -qP '[^\x00-\x7f]' "$BATS_TEST_TMPDIR/plain"
}

@test "pictures stay within the window" {
    command -v script >/dev/null || skip "there is no script(1) to make a terminal"
    for columns in 44 80 140; do
        for what in "drive $truck $hill" "compare tests/vehicles/lineups/hump.yaml --uncertainty off"; do
            script -qec "stty cols $columns; NO_COLOR=1 LC_ALL=C.UTF-8 $EVENER $what --plot" /dev/null </dev/null |
                tr -d '\r' | picture >"$BATS_TEST_TMPDIR/$columns"
            [ -s "$BATS_TEST_TMPDIR/$columns" ]
            [ "$(widest <"$BATS_TEST_TMPDIR/$columns")" -le "$columns" ]
        done
    done
}

@test "pictures of limits stay within the window" {
    command -v script >/dev/null || skip "there is no script(1) to make a terminal"
    for columns in 44 80 140; do
        script -qec "stty cols $columns; NO_COLOR=1 LC_ALL=C.UTF-8 $EVENER limits $truck --only-forces --plot" /dev/null </dev/null |
            tr -d '\r' | sed -n '/^Wheel force over speed/,/km.h$/p' >"$BATS_TEST_TMPDIR/$columns"
        [ "$(wc -l <"$BATS_TEST_TMPDIR/$columns")" -eq 20 ]
        [ "$(widest <"$BATS_TEST_TMPDIR/$columns")" -le "$columns" ]
        grep -q '15 %$' "$BATS_TEST_TMPDIR/$columns"
    done
}

@test "a comparison draws each truck by name, and one that stalls as far as it came" {
    run --separate-stderr "$EVENER" compare tests/vehicles/lineups/hump.yaml --plot --uncertainty off
    [ "$status" -eq 0 ]
    [[ $output == *"speed of central drive, km/h"* && $output == *"speed of electric axle, km/h"* ]]
    run -1 --separate-stderr "$EVENER" drive "$truck" "$hill" --payload-kg 200000 --plot
    [[ $output == *"Along the route"* ]]
}

@test "a level road is said to be level" {
    run --separate-stderr "$EVENER" drive "$truck" cycles/reference/sort-1.yaml --plot
    [[ $output == *"the road is level"* ]]
}

@test "words before a picture are those without it" {
    "$EVENER" drive "$truck" "$hill" >"$BATS_TEST_TMPDIR/words"
    "$EVENER" drive "$truck" "$hill" --plot | head -c "$(stat -c %s "$BATS_TEST_TMPDIR/words")" |
        cmp - "$BATS_TEST_TMPDIR/words"
}

@test "a picture beside a trace on standard output goes to standard error" {
    "$EVENER" drive "$truck" "$hill" --plot --trace - >"$BATS_TEST_TMPDIR/out" 2>"$BATS_TEST_TMPDIR/err"
    run ! grep -q 'Along the route' "$BATS_TEST_TMPDIR/out"
    grep -q 'Along the route' "$BATS_TEST_TMPDIR/err"
}

@test "a picture within a JSON document is refused" {
    run -2 --separate-stderr "$EVENER" drive "$truck" "$hill" --plot --json
    [[ $stderr == *"--plot and --json"* ]]
    run -2 --separate-stderr "$EVENER" compare vehicles/lineups/demo.yaml --plot --json
    [[ $stderr == *"--plot and --json"* ]]
}

@test "trucks that stopped are told with how far they came, and have no bars beside those that did not" {
    central=$PWD/tests/vehicles/trucks/tractor-4x2-central.yaml
    {
        printf 'name: Stop\ninvented: true\ncycle: {use: %s}\ntrucks:\n' "$PWD/$hill"
        printf '  whole: {use: %s}\n  stuck: {use: %s, adhesion: {driving: 0.2}}\n' "$central" "$central"
    } >"$BATS_TEST_TMPDIR/stop.yaml"
    run -1 --separate-stderr "$EVENER" compare "$BATS_TEST_TMPDIR/stop.yaml" --plot --uncertainty off
    picture <<<"$output" >"$BATS_TEST_TMPDIR/picture"
    [ "$(grep -A 1 '^  speed of .*stuck' "$BATS_TEST_TMPDIR/picture" | tail -1)" = '  did not finish: 5.23 km' ]
    [ "$(grep -c 'did not finish: 5.23' "$BATS_TEST_TMPDIR/picture")" -eq 1 ]
    sed -n '/largest first/,$p' "$BATS_TEST_TMPDIR/picture" >"$BATS_TEST_TMPDIR/bars"
    [[ $(tr -s ' \n' ' ' <"$BATS_TEST_TMPDIR/bars") == *" Each at its own speeds; without those that did not finish: "*"stuck"*" (5.23 km). "* ]]
    [ "$(grep -c '^    .*(whole)  *[0-9]' "$BATS_TEST_TMPDIR/bars")" -gt 5 ]
    run ! grep '^    .*stuck' "$BATS_TEST_TMPDIR/bars"
}
