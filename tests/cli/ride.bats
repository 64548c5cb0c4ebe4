#!/usr/bin/env bats
# evener site, rough roads: what is asked on the command line and in files, and what is told.
# shellcheck disable=SC2154 # run sets stderr

bats_require_minimum_version 1.5.0

setup() {
    [ -x "$EVENER" ]
    root=$(realpath "${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}")
    truck=$root/vehicles/trucks/tipper-8x4-central.yaml
    other=$root/vehicles/trucks/tipper-8x2-eaxle.yaml
    plain=$root/tests/vehicles/trucks/tipper-8x4-central.yaml # states no suspension
    route=$root/cycles/scenarios/tipper-out.yaml
    mkdir "$BATS_TEST_TMPDIR/here"
    cd "$BATS_TEST_TMPDIR/here" || return 1
}

flat() { tr -s ' \n' ' ' <<<"$1"; }

refused() {
    run --separate-stderr "$EVENER" "$@"
    echo "$output$stderr"
    [ "$status" -eq 2 ]
    told=$(flat "$stderr")
}

@test "layouts stand side by side with their masses, their loads on the road and how fast they may go" {
    run "$EVENER" site "$truck" "$other" --group ride --unevenness D --speed-km-h 30
    echo "$output"
    [ "$status" -eq 0 ]
    [[ $output == *"axle leading"* && $output == *"unsprung "*"1120 kg "*"1340 kg"* ]]
    [[ $output == *"fastest, laden "*"km/h"* && $output == *"mounting, largest"* && $output == *"load coefficient"* ]]
}

@test "the document and the csv hold the figures, and the document what was asked" {
    "$EVENER" site "$truck" --group ride --unevenness D --json --csv ride.csv >ride.json
    jq -e '.site.unevenness == "D" and .site.ride_s == 600 and .site.over_time == false' ride.json
    for column in fastest_km_h load_coefficient own_peak_m_s2 mounting_peak_kn wear; do
        grep -q "$column" ride.json
        grep -q "$column" ride.csv
    done
}

@test "a class that is none is refused, with those that are" {
    refused site "$truck" --unevenness Z
    [[ $told == *"--unevenness"*"Z"*"A"* ]]
}

@test "speeds, densities and seeds out of their bounds are refused" {
    refused site "$truck" --speed-km-h 0
    [[ $told == *speed_km_h* ]]
    refused site "$truck" --unevenness-m3 -1
    [[ $told == *unevenness_m3* ]]
    refused site "$truck" --seed 1.5
    [[ $told == *seed* ]]
}

@test "a cycle that is not there is refused" {
    refused site "$truck" --cycle no-such-route
    [[ $told == *no-such-route* ]]
}

@test "steel springs that damp little miss nothing; whether they are as good as air is told, and what is not stated for it" {
    run "$EVENER" site "$truck" --group ride
    echo "$output"
    [[ $(flat "$output") == *"nothing asked is missed."*"not air, nor called as good; no axle needs to be"* ]]
    [[ $output != *"not met"* && $output != *"body damping 0"*limit* ]]
    run "$EVENER" site "$truck" --group ride --set axles.leading.suspension.damping_kn_s_m=40
    [[ $(flat "$output") == *"(damper_share is not stated)"* ]]
    run "$EVENER" site "$truck" --group ride --set axles.leading.suspension.damping_kn_s_m=40 \
        --set axles.leading.suspension.damper_share=0.8
    echo "$output"
    [[ $(flat "$output") == *"not air, but as good"*"without dampers 0.20"* ]]
}

@test "a suspension needs one of stiffness and frequency, and not both; keys are told by their nearest" {
    refused site "$plain" --set 'axles.front.suspension={damping_kn_s_m: 20}'
    [[ $told == *"neither of stiffness_kn_m and natural_frequency_hz"* ]]
    refused site "$plain" --set 'axles.front.suspension={damping_kn_s_m: 20, stiffness_kn_m: 300, natural_frequency_hz: 1.3}'
    [[ $told == *"both of stiffness_kn_m and natural_frequency_hz"* ]]
    refused site "$plain" --set 'axles.front.suspension={damping_kn_s: 20, stiffness_kn_m: 300}'
    [[ $told == *damping_kn_s_m* ]]
}

@test "unevenness in files is a class for each place, or a number for each" {
    cp "$root"/cycles/scenarios/tipper-out-*.csv .
    sed 's/unevenness: .*/unevenness: [D, C, J, D]/' "$route" >bad.yaml
    refused site "$truck" --cycle bad.yaml
    [[ $told == *bad.yaml:* && $told == *"unevenness is 'J'; expected a class of ISO 8608, one of A, B, C, D, E, F, G, H"* ]]
    sed 's/unevenness: .*/unevenness: [D, C]/' "$route" >bad.yaml
    refused site "$truck" --cycle bad.yaml
    [[ $told == *"unevenness has 2 values and place_m has 4"* ]]
    sed 's/unevenness: .*/&\n  unevenness_m3: [1e-3, 3e-4, 6e-5, 1e-3]/' "$route" >bad.yaml
    refused site "$truck" --cycle bad.yaml
    [[ $told == *"unevenness_m3 beside unevenness"* ]]
    sed 's/unevenness: .*/unevenness_m3: [1e-3, 3e-4, 6e-5, 1e-3]/' "$route" >good.yaml
    run "$EVENER" site "$truck" --group ride --cycle good.yaml
    echo "$output"
    [ "$status" -eq 0 ]
    [[ $(flat "$output") == *"unevenness, roughest 1000 cm3"* ]]
}

@test "a measured spectrum stands instead of classes, whole and by itself" {
    cp "$root"/cycles/scenarios/tipper-out-*.csv .
    sed 's/unevenness: .*/&\n  spectrum: {wave_m1: [0.01, 1], density_m3: [1e-2, 1e-6]}/' "$route" >bad.yaml
    refused site "$truck" --cycle bad.yaml
    [[ $told == *"a spectrum beside unevenness"* ]]
    sed 's/unevenness: .*/spectrum: {wave_m1: [0.01, 1], density_m3: [1e-2]}/' "$route" >bad.yaml
    refused site "$truck" --cycle bad.yaml
    [[ $told == *density_m3* ]]
    sed 's/unevenness: .*/spectrum: {wave_m1: [0.01, 3], density_m3: [1e-2, 1.1111111e-7]}/' "$route" >good.yaml
    run "$EVENER" site "$truck" --group ride --cycle good.yaml --over-time
    echo "$output"
    [ "$status" -eq 0 ]
    [[ $(flat "$output") == *"unevenness, roughest 100 cm3 spectrum as measured"* ]]
}

@test "a lineup rides over its own route, and over one track where that is asked" {
    run "$EVENER" site "$root/vehicles/lineups/tipper-out.yaml" --group ride
    [ "$status" -eq 0 ]
    [[ $output == *"surfaces of the"* ]]
    run "$EVENER" site "$root/vehicles/lineups/tipper-out.yaml" --group ride --unevenness B
    [ "$status" -eq 0 ]
    [[ $output == *"as asked"* && $output != *"surfaces of the"* ]]
}

@test "over a duty each leg rides with its own payload and speeds; fastest laden is of loaded legs alone" {
    "$EVENER" site "$truck" --group ride --cycle "$root/cycles/duties/tipper-rounds.yaml" --json >day.json
    jq -e '.trucks[0].figures.ride | .road.legs.value == 2 and .leg_1.payload_kg.value == 16800 and
        .leg_2.payload_kg.value == 0 and .leg_2.leg_coefficient.value > .leg_1.leg_coefficient.value and
        (.road.legs.why | test("the leg on which it is worst")) and
        .truck.fastest_km_h.value > 2 * .truck.fastest_empty_km_h.value' day.json
    "$EVENER" site "$truck" --group ride --cycle "$root/cycles/duties/tipper-rounds.yaml" --set payload.mass_kg=0 --json >zero.json # legs state theirs
    [ "$(jq .trucks[0].figures.ride.truck.fastest_km_h.value day.json)" = "$(jq .trucks[0].figures.ride.truck.fastest_km_h.value zero.json)" ]
    run "$EVENER" site "$truck" --cycle "$root/cycles/duties/deliveries.yaml"
    echo "$output"
    [ "$status" -eq 0 ]
    [[ $(flat "$output") == *"fastest, empty none no leg is driven without payload"* ]]
    [[ $(flat "$output") == *"legs of the duty 17 each figure is of the leg on which it is worst"* ]]
}

@test "over a duty each figure is the worst of all legs and names its leg, though another leg has the largest load coefficient" {
    cat >duty.yaml <<END
name: rounds
invented: true
day:
  - leg: {name: out, cycle: {use: $root/cycles/scenarios/tipper-out.yaml}, payload_kg: 16800}
  - stop: {name: tip, duration_min: 6, payload_kg: 0}
  - leg: {name: back, cycle: {use: $root/cycles/scenarios/tipper-back.yaml}}
END
    sed 's/, payload_kg: 16800//; /stop/,$d' duty.yaml >out.yaml
    "$EVENER" site "$truck" --group ride --cycle duty.yaml --json | jq .trucks[0] >both.json
    "$EVENER" site "$truck" --group ride --cycle out.yaml --set payload.mass_kg=16800 --json | jq .trucks[0] >out.json
    jq -e '.figures.ride | .leg_2.leg_coefficient.value > .leg_1.leg_coefficient.value' both.json
    jq -es '[.[].figures.ride] | .[0].leading as $both | .[1].leading as $out | .[0].truck.wear.value == .[1].truck.wear.value and
        $both.tyre_kn.value == $out.tyre_kn.value and $both.tyre_kn.leg == "leg 1: out, 16800 kg" and
        ($both.tyre_kn.why | test("leg 1: out")) and $both.load_coefficient.leg == "leg 2: back, 0 kg" and
        $both.travel_peak_mm.margin <= $out.travel_peak_mm.margin and ($both.unsprung_kg | has("leg") | not) and
        ($out.tyre_kn | has("leg") | not)' both.json out.json
    run "$EVENER" site "$truck" "$root/vehicles/trucks/tipper-8x2-eaxle.yaml" --group ride --cycle duty.yaml # each figure side by side has its leg
    [[ $(flat "$output") =~ "tyre load, RMS "[0-9.]+" kN "[0-9.]+" kN leg 1: out, leg 1: out," ]]
}

@test "over time the seed is told, and the same seed gives the same bytes" {
    "$EVENER" site "$truck" --group ride --unevenness E --over-time --seed 7 >once
    "$EVENER" site "$truck" --group ride --unevenness E --over-time --seed 7 >twice
    "$EVENER" site "$truck" --group ride --unevenness E --over-time --seed 8 >other
    cmp once twice
    run cmp -s once other
    [ "$status" -eq 1 ]
    grep -q 'seed 7' once
    grep -q 'tyre off the ground' once
}

@test "that axles of a trailer are not looked at is told once, with what the file has no keys for; without a trailer nothing is" {
    run "$EVENER" site "$root/vehicles/trucks/tractor-4x2-central.yaml"
    echo "$output"
    [ "$status" -eq 0 ]
    [[ $(flat "$output") == *"axles of the trailer fastest, laden not known not looked at; a trailer has no keys for the mass of an axle and its suspension"* ]]
    [ "$(grep -c 'axles of the trailer' <<<"$output")" -eq 1 ]
    run "$EVENER" site "$truck"
    [[ $output != *"axles of the trailer"* ]]
}

@test "a truck that states no suspension is told the key, and its other figures come" {
    run "$EVENER" site "$plain" --group ride
    echo "$output"
    [ "$status" -eq 0 ]
    [[ $(flat "$output") == *"To be stated in its file first: axles.front.suspension, axles.second.suspension, "* ]]
    [ "$(grep -c 'axles.front.suspension' <<<"$output")" -eq 1 ]
    [[ $output == *"unsprung "*" kg"* ]]
    "$EVENER" site "$plain" --group ride --json >ride.json
    jq -e '.trucks[0].figures.ride.front.body_m_s2.why == "not known: axles.front.suspension is not stated"' ride.json
}

# A track of 60 m in steps of 0.1 m with two waves; what awk is told beside it makes it another.
track() {
    awk -v n="${2:-600}" "BEGIN {
        print \"place_m,height_m\"
        for (i = 0; i <= n; i++) {
            place = i * 0.1; height = 0.03 * sin(0.6283185 * place) + 0.01 * sin(2.5132741 * place)
            ${1:-}
            printf \"%.2f,%.6f\\n\", place, height
        }
    }" >heights.csv
}

@test "heights along a track stand instead of classes, and over time the track itself is driven" {
    cp "$root"/cycles/scenarios/tipper-out-*.csv .
    track
    sed 's/unevenness: .*/profile: {table: heights.csv}/' "$route" >good.yaml
    run "$EVENER" site "$truck" --group ride --cycle good.yaml --over-time
    echo "$output"
    [ "$status" -eq 0 ]
    [[ $(flat "$output") == *"as measured over 60 m: class "*"unevenness, at most"*"the track as measured"* ]]
    [[ $(flat "$output") == *"shorter waves 0.0 % left out: shorter than 0.36 m"* && $output != *"lies in waves shorter"* ]]
    sed 's/unevenness: .*/&\n  profile: {table: heights.csv}/' "$route" >bad.yaml
    refused site "$truck" --cycle bad.yaml
    [[ $told == *bad.yaml:*"a profile beside unevenness"* ]]
}

@test "heights of a track that are none are refused at their line" {
    cp "$root"/cycles/scenarios/tipper-out-*.csv .
    sed 's/unevenness: .*/profile: {table: heights.csv}/' "$route" >bad.yaml
    track 'if (i == 300) place += 0.05'
    refused site "$truck" --cycle bad.yaml
    [[ $told == *"heights.csv:302:1"*"expected even steps"* ]]
    track 'if (i == 300) place = 29.8'
    refused site "$truck" --cycle bad.yaml
    [[ $told == *"heights.csv:302:1"*"from 29.9 to 29.8"*"expected even steps"* ]]
    track '' 400
    refused site "$truck" --cycle bad.yaml
    [[ $told == *"heights.csv:402:1"*"a profile of 40 m; expected 50 to 5000 m"* ]]
    track '' 0
    refused site "$truck" --cycle bad.yaml
    [[ $told == *"place_m has 1 value; expected at least 2"* ]]
    track 'height = 3 + place / 100'
    refused site "$truck" --cycle bad.yaml
    [[ $told == *"heights on one straight line"* ]]
    track 'place *= 5'
    refused site "$truck" --cycle bad.yaml
    [[ $told == *"heights.csv:3:1"*"expected a rise of 0.01 to 0.25"* ]]
    track 'if (i == 7) height = 9500'
    refused site "$truck" --cycle bad.yaml
    [[ $told == *"heights.csv:9:"*"height_m is 9500; expected -500 to 9000"* ]]
}

@test "a height that is no number, and a column that is none, are refused" {
    cp "$root"/cycles/scenarios/tipper-out-*.csv .
    sed 's/unevenness: .*/profile: {table: heights.csv}/' "$route" >bad.yaml
    for value in nan inf '' x; do
        track
        sed -i "9s/,.*/,$value/" heights.csv
        refused site "$truck" --cycle bad.yaml
        [[ $told == *heights.csv:* ]]
    done
    track
    sed -i '1s/height_m/elevation_m/' heights.csv
    refused site "$truck" --cycle bad.yaml
    [[ $told == *heights.csv:1:*elevation_m*"expected place_m and height_m"* ]]
    sed 's/unevenness: .*/profile: {place_m: [0, 0.1], height_m: [0, 0.1, 0.2]}/' "$route" >bad.yaml
    refused site "$truck" --cycle bad.yaml
    [[ $told == *bad.yaml:*"height_m has 3 values and place_m has 2"* ]]
}

@test "axle and machine are told apart in what decides, and what is not valid is marked there as below" {
    two=$root/vehicles/trucks/tipper-8x4-two-eaxles.yaml
    "$EVENER" site "$truck" "$two" --group ride --unevenness E --speed-km-h 20 --json >rough.json
    jq -e '.answer[1].decides.own_peak_m_s2.value == .trucks[1].figures.ride.trailing.own_peak_m_s2.value and
        .answer[1].decides.machine_peak_m_s2.value == .trucks[1].figures.ride.unit_leading.shake_peak_m_s2.value and
        .answer[1].decides.mounting_peak_kn.value == ([.trucks[1].figures.ride | .unit_leading, .unit_trailing | .mounting_peak_kn.value] | max)' rough.json
    jq -e '[.answer[].decides | .own_peak_m_s2, .tyre_kn, .machine_peak_m_s2, .mounting_peak_kn | .where | test("not valid")] | all' rough.json
    "$EVENER" site "$truck" --group ride --unevenness B --speed-km-h 20 --json >smooth.json
    jq -e '[.answer[0].decides[] | .where // "" | test("not valid")] | any | not' smooth.json
    run "$EVENER" site "$truck" "$two" --group ride --unevenness E --speed-km-h 20
    [[ $(flat "$output") == *"axle shaken "*"not valid"*"machine shaken "*"drive unit rear;"*"not valid"*"mounting force "* ]]
}

@test "an axle on the ground that bears no more than itself does not vanish: not known, with both masses" {
    set -- "$root/vehicles/trucks/tipper-8x2-eaxle.yaml" --group ride --set axles.trailing.load_share=0.05 --set axles.leading.load_share=0.95
    "$EVENER" site "$@" --payload-kg 0 --json >light.json
    jq -e '.trucks[0].figures.ride | [.trailing.tyre_kn, .trailing.sprung_kg, .trailing.fastest_km_h, .truck.fastest_km_h, .truck.fastest_empty_km_h, .truck.wear] |
        all(.value == null and (.why | test("not known: axle trailing bears [0-9]+ kg, no more than its unsprung mass of 800 kg")))' light.json
    jq -e '.trucks[0].figures.ride | .leading.tyre_kn.value > 0 and .trailing.unsprung_kg.value == 800' light.json
    "$EVENER" site "$@" --json >laden.json # laden it bears more, and only empty it is not known
    jq -e '.trucks[0].figures.ride | .trailing.tyre_kn.value > 0 and .truck.fastest_km_h.value > 0 and .truck.fastest_empty_km_h.value == null' laden.json
}

@test "the rebound stop is held against the largest travel, and on a leg with another load steel springs have moved it" {
    "$EVENER" site "$truck" --group ride --unevenness C --set axles.leading.suspension.rebound_travel_m=0.02 --json >short.json
    jq -e '.trucks[0].figures.ride | .leading.travel_peak_mm.limit == 20 and .leading.travel_peak_mm.margin < 0 and
        .leading.body_m_s2.why == "but for rebound stops, which it hits" and .trailing.body_m_s2.why == null' short.json
    "$EVENER" site "$truck" --group ride --group axle_loads --cycle "$root/cycles/duties/tipper-rounds.yaml" --json \
        --set axles.leading.suspension.stiffness_kn_m=2000 --set axles.leading.suspension.rebound_travel_m=0.03 >rounds.json
    # give by hand: difference of the loads at rest over twice the stiffness of a side, 9.80665 m/s2
    jq -e '.trucks[0].figures | .axle_loads.axle_leading as $load | .ride.leading.travel_peak_mm | (.leg | test("^leg 2: back")) and
        (.limit - (30 - ($load.laden_kg.value - $load.empty_kg.value) * 9.80665 / (2 * 2000)) | fabs < 0.05)' rounds.json
}

@test "a washboard too short to count is told with its share, and with a warning" {
    cp "$root"/cycles/scenarios/tipper-out-*.csv .
    track 'height = 0.01 * sin(25.1327412 * place)' # waves of 0.25 m
    sed 's/unevenness: .*/profile: {table: heights.csv}/' "$route" >good.yaml
    run --separate-stderr "$EVENER" site "$truck" --group ride --cycle good.yaml --json
    [ "$status" -eq 0 ]
    [[ $stderr == *"warning: "*" of the variance of the track's heights lies in waves shorter than 0.36 m, which do not count; expected at most 3 %"* ]]
    jq -e '.trucks[0].figures.ride.road.short_waves_percent.value > 95' <<<"$output"
}
