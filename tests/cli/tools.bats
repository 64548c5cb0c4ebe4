#!/usr/bin/env bats
# The scripts in tools/: what they say, and that the count of tests cannot look better than the tests were.

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
    run "$EVENER_BUILD/tests/schedules" vehicles/trucks/tipper-8x4-two-eaxles.yaml -- cycles/reference/sort-2.yaml
    [ "$status" -eq 0 ]
    [[ $output =~ ^"2 runs, 0 without results, 0 with another schedule; "[0-9]+" and "[0-9]+" events"$ ]]
    run "$EVENER_BUILD/tests/schedules" --accuracy 1e-3 --all vehicles/trucks/tipper-8x4-two-eaxles.yaml -- cycles/reference/sort-2.yaml
    [ "$status" -eq 1 ]
    [[ $output =~ "tipper-8x4-two-eaxles, sort-2, human: another schedule, "[^$'\n']*" kWh"$'\n  '[^$'\n']*" m against "[^$'\n']*" m"$'\n' ]]
    [[ ${lines[-1]} =~ ", "[12]" with another schedule; " ]]
    run "$EVENER_BUILD/tests/schedules" vehicles/trucks/tipper-8x4-two-eaxles.yaml
    [ "$status" -eq 2 ]
    run "$EVENER_BUILD/tests/schedules" --accuracy 1 vehicles/trucks/tipper-8x4-two-eaxles.yaml -- cycles/reference/sort-2.yaml
    [ "$status" -eq 1 ]
    [[ ${lines[0]} == "tipper-8x4-two-eaxles, sort-2, exact: no results: "* ]]
}
