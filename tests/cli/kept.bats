#!/usr/bin/env bats
# Kept results: every shipped truck on every reference cycle, held against what was recorded. When a change of the program
# is meant to move them: `build/evener keep tests/kept/reference.yaml --accept`, and read the difference.

bats_require_minimum_version 1.5.0

setup() {
    [ -x "$EVENER" ]
    root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
}

@test "every shipped truck on every reference cycle gives what was kept" {
    run "$EVENER" check "$root/tests/kept/reference.yaml"
    echo "$output"
    [ "$status" -eq 0 ]
}

@test "the kept file holds every shipped truck and every reference cycle" {
    for truck in "$root"/vehicles/trucks/*.yaml; do
        for cycle in "$root"/cycles/reference/*.yaml; do
            grep -q "^  $(basename "$truck" .yaml)_on_$(basename "$cycle" .yaml):$" "$root/tests/kept/reference.yaml"
        done
    done
}
