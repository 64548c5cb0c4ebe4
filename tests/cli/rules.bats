#!/usr/bin/env bats
# Axle loads, rules on them and payloads, as evener site tells them, and sets of rules as files: found, listed, refused.

bats_require_minimum_version 1.5.0

setup() {
    root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    mkdir "$BATS_TEST_TMPDIR/here" # bats keeps files of its own one folder up
    cd "$BATS_TEST_TMPDIR/here" || return 1
    export EVENER_PATH=$root
    truck=tractor-4x2-central
    cat >own.yaml <<'YAML'
name: Rules of the yard
invented: true
clauses:
  axle: {limits: axle_load, most_kg: 11500, status: own, source: invented}
  gross: {limits: mass, most_kg: 39000, zero_emission_most_kg: 500, status: own, source: invented}
YAML
}

# Words on one line.
told() {
    tr -s ' \n' ' ' <<<"$output"
}

# A set with one place changed is refused: refused SED-EXPRESSION WORDS...
refused() {
    sed "$1" own.yaml >broken.yaml
    run ! cmp -s own.yaml broken.yaml
    run --separate-stderr "$EVENER" site $truck --rules broken.yaml
    [ "$status" -eq 2 ] || { echo "taken: $1"; return 1; }
    output=$stderr
    [[ $(told) == *"$2"* ]] || { echo "$1: $stderr"; return 1; }
}

@test "a set of rules is found by name and listed, and new writes one that can be read" {
    run "$EVENER" list rules --names
    [ "$status" -eq 0 ]
    [[ $output == *eu-96-53* && $output == *us-bridge-formula* && $output == *own* ]]
    "$EVENER" new rules mine.yaml
    run "$EVENER" site $truck --rules mine.yaml --group rules
    [[ $(told) == *"Example of rules of one's own"* ]]
    run --separate-stderr "$EVENER" site $truck --rules $truck
    [ "$status" -eq 2 ]
    [[ $stderr == *"this is a truck; a set of rules was expected"* ]]
}

@test "every clause stands with actual, limit and margin, and what is not met is told and exits with 1" {
    run "$EVENER" site $truck --rules eu-96-53 --group rules
    [ "$status" -eq 0 ]
    [[ $(told) == *"clauses not met 0 0 0 all clauses that apply are met"* ]]
    [[ $(told) == *"motor vehicle 18475 kg 20000 kg +1525 kg with 2000 kg for the zero-emission drivetrain"* ]]
    run "$EVENER" site $truck --rules own.yaml --group rules
    echo "$output"
    [ "$status" -eq 1 ]
    [[ $(told) == *"gross, all 39636 kg, demanded 39500 kg"* ]]
    run "$EVENER" site $truck --rules own.yaml --group rules --payload-kg 22000
    [ "$status" -eq 0 ]
}

@test "what a file does not state is told as not known and is not met" {
    run "$EVENER" site $truck --rules eu-96-53 --group rules --set trailer.axles=2 --set trailer.tyres=6
    [[ $(told) == *"2 axles of the trailer"* ]]
    sed -e '/^axles:/d' -e '/^axle_spacing_m:/d' "$root/vehicles/parts/trailer-3-axle.yaml" | sed "s|use: |use: $root/vehicles/parts/|g" >plain-trailer.yaml
    run "$EVENER" site $truck --rules eu-96-53 --group rules --group payload --set trailer='{use: plain-trailer.yaml}'
    echo "$output"
    [ "$status" -eq 1 ]
    [[ $(told) == *"trailer.axles is not stated"* ]]
    [[ $(told) == *"permitted on axle drive"* ]]
}

@test "intermodal transport allows what the clauses for it allow" {
    run "$EVENER" site tractor-6x2-eaxle --rules eu-96-53 --group rules
    [ "$status" -eq 1 ]
    [[ $output == *"five axles"* && $output != *"six axles intermodal"* ]]
    run "$EVENER" site tractor-6x2-eaxle --rules eu-96-53 --group rules --intermodal
    [ "$status" -eq 0 ]
    [[ $output == *"six axles intermodal"* ]]
}

@test "axle loads stand with what the file permits and with the part that puts them there" {
    "$EVENER" site $truck --json --group axle_loads >site.json
    run jq -e '.trucks[0].figures.axle_loads as $f |
        [$f | to_entries[] | select(.key | test("^axle_|^trailer_axles")) | .value.laden_kg.value] as $loads |
        ($loads | add) - $f.gross.laden_kg.value | fabs < 1e-6' site.json
    [ "$status" -eq 0 ]
    run jq -e '.trucks[0].figures.axle_loads as $f |
        [$f | to_entries[] | select(.value.front_kg and .key != "payload_moved") | .value |
            .front_kg.value + .rear_kg.value + .trailer_kg.value] | add - $f.gross.laden_kg.value | fabs < 1e-6' site.json
    [ "$status" -eq 0 ]
    run jq -r '.trucks[0].figures.axle_loads.axle_drive.laden_kg | "\(.limit) \(.why)"' site.json
    [ "$output" = "11500 axles.drive.permitted_kg" ]
}

@test "the payload left says what binds, and a place of its own choice is never worse" {
    "$EVENER" site $truck --json --group payload >site.json
    run jq -e '.trucks[0].figures.payload.permitted | .placed_best_kg.value >= .as_placed_kg.value and
        .as_placed_kg.why == "axles.drive.permitted_kg" and .placed_best_kg.why == "body.permitted_gross_kg"' site.json
    [ "$status" -eq 0 ]
}

@test "a trailer at a drawbar is weighed, judged and driven; a fifth wheel beside it is refused" {
    sets=(--set drawbar.behind_front_axle_m=7 --set payload.trailer_share=0.5 --set payload.trailer_centre_behind_m=5)
    trailer="{use: $root/vehicles/parts/trailer-3-axle.yaml, front_axles_behind_kingpin_m: 2.5}"
    run "$EVENER" site rigid-6x2-central "${sets[@]}" --set trailer="$trailer" --rules eu-96-53 --all
    echo "$output"
    [[ $(told) == *"on the drawbar laden 0 kg"* ]]
    [[ $(told) == *"trailer of three axles"* ]]
    [[ $(told) == *"trailer at the drawbar"* ]]
    printf '%s\n' 'name: Flat' 'invented: true' 'length_m: 300' 'speed: {place_m: [0], limit_km_h: [40]}' >flat.yaml
    run --separate-stderr "$EVENER" drive rigid-6x2-central flat.yaml "${sets[@]}" --set trailer="$trailer" --json
    [ "$status" -eq 0 ]
    run jq -e '.energy_balance | length > 5' <<<"$output"
    [ "$status" -eq 0 ]
    run --separate-stderr "$EVENER" site $truck --set drawbar.behind_front_axle_m=7
    [ "$status" -eq 2 ]
    [[ $stderr == *"a drawbar beside a fifth wheel; expected one of them"* ]]
}

@test "sets of rules with a fault are refused, with place and what was expected" {
    refused 's/most_kg: 11500, //' "broken.yaml:4"
    refused 's/axle_load/axle_lode/' "axle_load"
    refused 's/most_kg: 11500/most_kg: 11500, least_percent: 3/' "which has no such figure; expected none"
    refused 's/most_kg: 11500/most_kg: -1/' "expected 100 to 1000000 kg"
    refused 's/status: own, source: invented}$/status: own, instead_of: axel}/' "no clause axel; expected the name of one of the set, nearest is axle"
    refused 's/limits: mass, /limits: mass, instead_of: axle, /' "clause axle limits axle_load, this one mass; expected the same"
    refused 's/clauses:/clause:/' "clauses"
    printf 'name: \377\n' >broken.yaml
    run "$EVENER" site $truck --rules broken.yaml
    [ "$status" -eq 2 ]
}

@test "the rollover threshold stands with its caution, and is not known without a track" {
    run "$EVENER" site tipper-8x4-central --group rollover
    [[ $(told) == *"an upper bound"* && $(told) == *"licensed practice"* ]]
    sed -e '/^track_m:/d' "$root/vehicles/parts/trailer-3-axle.yaml" | sed "s|use: |use: $root/vehicles/parts/|g" >plain-trailer.yaml
    run "$EVENER" site $truck --group rollover --set trailer='{use: plain-trailer.yaml}'
    [[ $(told) == *"To be stated in its file first: trailer.track_m."* ]]
}

@test "a clause of the bridge formula holds only where its conditions are met" {
    clause() {
        sed -e '/^  axle/d' -e '/^  gross/d' own.yaml >bridge.yaml
        echo "  bridge: {limits: bridge_formula, $1 status: own, source: invented}" >>bridge.yaml
        "$EVENER" site rigid-6x2-eaxle --rules bridge.yaml --json >bridge.json
    }
    run clause ""
    [ "$status" -eq 1 ]
    jq -e '.trucks[0].figures | .rules.set.not_met.value == 1 and .payload.rules.as_placed_kg.value != .payload.permitted.as_placed_kg.value' bridge.json
    for condition in "motor_axles_from: 4," "intermodal: true," "axles_to: 2," "trailer_axles_from: 1,"; do
        run clause "$condition"
        [ "$status" -eq 0 ] || { echo "held although $condition" && false; }
        jq -e '.trucks[0].figures | .rules.set.not_met.value == 0 and .payload.rules.as_placed_kg.value == .payload.permitted.as_placed_kg.value' bridge.json
    done
    run --separate-stderr clause "of: trailer,"
    [ "$status" -eq 2 ] && [[ $stderr == *"trailer of a limit of bridge_formula"* ]]
}

@test "the 32 t of four axles ask for 9.5 t on driven axles of steel springs, and on air springs for no more than any" {
    set -- "$EVENER_SOURCE/vehicles/trucks/tipper-8x2-eaxle.yaml" --group rules --rules "$EVENER_SOURCE/vehicles/rules/eu-96-53.yaml"
    "$EVENER" site "$@" --json >steel.json || [ $? -eq 1 ]
    jq -e '.trucks[0].figures.rules | .four_axles_driven.leading_kg | .value > 9500 and .limit == 9500 and .margin < 0' steel.json
    jq -e '.answer[0].against | contains("by the rules tandem leading to trailing") and contains("by the rules axle leading")' steel.json
    "$EVENER" site "$@" --set axles.leading.suspension.air=true --json >air.json || [ $? -eq 1 ]
    jq -e '.trucks[0].figures.rules | has("four_axles_driven") | not' air.json
    jq -e '.trucks[0].figures.rules.four_axles_driven_air.leading_kg | .limit == 11500 and .margin > 0' air.json
}

@test "what decides of rollover is the lower of truck and trailer, which it names" {
    sets=(--set drawbar.behind_front_axle_m=7 --set payload.trailer_share=0.5 --set payload.trailer_centre_behind_m=5
        --set trailer="{use: $root/vehicles/parts/trailer-3-axle.yaml, front_axles_behind_kingpin_m: 2.5}")
    "$EVENER" site rigid-6x2-central "${sets[@]}" --set trailer.centre_height_m=2.4 --group rollover --json >tall.json
    "$EVENER" site rigid-6x2-central "${sets[@]}" --set trailer.centre_height_m=0.6 --set payload.centre_height_m=1 --group rollover --json >low.json
    jq -e '.trucks[0].figures.rollover as $f | .answer[0].decides.rollover_g | .value == $f.trailer.laden_g.value and
        .value < $f.whole.laden_g.value and .where == "trailer at the drawbar"' tall.json
    jq -e '.answer[0].decides.rollover_g.value == ([.trucks[0].figures.rollover[].laden_g.value] | min)' low.json
}
