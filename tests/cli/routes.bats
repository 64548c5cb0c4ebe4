#!/usr/bin/env bats
# tools/routes: the scenario routes in the tree are what it makes of their seeds, and they are what they are said to be.

bats_require_minimum_version 1.5.0

setup() {
    [ -x "$EVENER" ]
    root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    scenarios=$root/cycles/scenarios
}

# Prints figures of a route, one a line: figures ROUTE KEY...
figures() {
    local route=$1
    shift
    "$EVENER" cycle info "$scenarios/$route.yaml" --json >"$BATS_TEST_TMPDIR/info.json"
    for key in "$@"; do
        jq ".$key" "$BATS_TEST_TMPDIR/info.json"
    done
}

@test "the routes in the tree are what tools/routes makes" {
    run "$root/tools/routes" --check
    [ "$status" -eq 0 ]
    [ -z "$output" ]
}

@test "a route that was changed by hand, and one that is missing, are told" {
    "$root/tools/routes" --folder "$BATS_TEST_TMPDIR"
    sed -i '3s/,.*/,99/' "$BATS_TEST_TMPDIR/pass-road-speed.csv"
    rm "$BATS_TEST_TMPDIR/tipper-out.yaml"
    run "$root/tools/routes" --check --folder "$BATS_TEST_TMPDIR"
    [ "$status" -eq 1 ]
    [[ $output == *"pass-road-speed.csv"* ]]
    [[ $output == *"tipper-out.yaml: missing"* ]]
}

@test "another seed makes another road of the same kind" {
    "$root/tools/routes" --route pass-road --seed 3 --folder "$BATS_TEST_TMPDIR"
    run ! cmp -s "$scenarios/pass-road-grade.csv" "$BATS_TEST_TMPDIR/pass-road-grade.csv"
    length=$("$EVENER" cycle info "$BATS_TEST_TMPDIR/pass-road.yaml" --json | jq .distance_km)
    [ "$length" = "$(figures pass-road distance_km)" ]
}

@test "the pass road is 60 km at least, climbs over 1000 m, and begins on gravel" {
    figures pass-road 'distance_km > 60' 'climb_m > 1000' 'max_grade_percent > 9' 'min_grade_percent < -8' >"$BATS_TEST_TMPDIR/told"
    run ! grep -v true "$BATS_TEST_TMPDIR/told"
    grep -q 'rolling_factor: \[2.5' "$scenarios/pass-road.yaml"
}

@test "the motorway by night is 350 km at least with about 3000 m of climb and a rest of 45 minutes" {
    figures night-motorway 'distance_km > 350' 'climb_m > 2800' 'climb_m < 3200' 'standing_s >= 2700' >"$BATS_TEST_TMPDIR/told"
    run ! grep -v true "$BATS_TEST_TMPDIR/told"
}

@test "the rounds end at the height where they began, and the tipper's way back mirrors its way out" {
    figures haulage-round 'distance_km > 190' 'net_elevation_m < 2' 'net_elevation_m > -2' >"$BATS_TEST_TMPDIR/told"
    figures delivery-day 'stops > 25' 'net_elevation_m < 2' 'net_elevation_m > -2' >>"$BATS_TEST_TMPDIR/told"
    run ! grep -v true "$BATS_TEST_TMPDIR/told"
    [ "$(figures tipper-out climb_m descent_m distance_km)" = "$(figures tipper-back descent_m climb_m distance_km)" ]
}

@test "grades are continuous: no knot of a route stands at the place of another" {
    for table in "$scenarios"/*-grade.csv; do
        run awk -F, 'NR > 2 { if (NR > 3 && $1 <= last) { print FILENAME ": " $0; exit 1 } last = $1 }' "$table"
        [ "$status" -eq 0 ]
    done
}
