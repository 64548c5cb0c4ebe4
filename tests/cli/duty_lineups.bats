#!/usr/bin/env bats
# evener compare over a duty: what is told of each truck's day, held against what the duty demands, and what is refused.

bats_require_minimum_version 1.5.0

setup() {
    root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    mkdir "$BATS_TEST_TMPDIR/here" # bats keeps files of its own one folder up
    cd "$BATS_TEST_TMPDIR/here" || return 1
    truck=$root/vehicles/trucks/tractor-4x2-central.yaml
    printf '%s\n' 'name: Short hill' 'invented: true' 'length_m: 3000' 'speed: {place_m: [0], limit_km_h: [60]}' \
        'road: {place_m: [500, 700, 1200, 1400], grade_percent: [0, 5, 5, 0]}' \
        'stops: {place_m: [1000, 2000], wait_s: [20, 40]}' >hill.yaml
    printf '%s\n' 'name: Trace' 'invented: true' 'speed: {time_s: [0, 20, 40], speed_km_h: [0, 30, 0]}' >trace.yaml
}

# day TEXT...: the file day.yaml, a day of these lines.
day() {
    printf '%s\n' 'name: A day' 'invented: true' 'day:' "$@" >day.yaml
}

# refused TEXT LINE:COLUMN WORDS: the day of this one line is refused there, with these words.
refused() {
    day "$1"
    run --separate-stderr "$EVENER" drive "$truck" day.yaml
    echo "$stderr"
    [ "$status" -eq 2 ] && [ -z "$output" ] && [[ $stderr == *"day.yaml:$2"*"error: "*"$3"* ]]
}

# The build says itself whether it has a page.
has_pages() { ! "$EVENER" drive none.yaml none.yaml --page probe.html 2>&1 | grep -q 'built without pages'; }

leg='leg: {name: a, cycle: {use: hill.yaml}}'

@test "a lineup over a duty compares its trucks over the whole day at both speeds" {
    lineup=$root/tests/vehicles/lineups/hill-rounds.yaml
    run --separate-stderr "$EVENER" compare "$lineup" --json
    jq -e '.status == "finished" and .duty == "Ostervane hill rounds" and .season == "winter"' <<<"$output"
    jq -e '.common.trucks == 2 and .common.duration_spread < 1e-4' <<<"$output"
    jq -e '[.trucks[].own, .trucks[].common] | all(.balance_error < 1e-5 and .distance_km > 59.9)' <<<"$output"
    for option in --why '--draws 16' '--uncertainty first-order'; do
        # shellcheck disable=SC2086
        run --separate-stderr "$EVENER" compare "$lineup" $option
        [ "$status" -eq 2 ] && [[ $stderr == *" with a lineup over a duty"* ]]
    done
}

@test "a lineup over a duty tells leg by leg what each truck takes, which sums to its day" {
    lineup=$root/tests/vehicles/lineups/hill-rounds.yaml
    "$EVENER" compare "$lineup" --uncertainty off >told
    "$EVENER" compare "$lineup" --uncertainty off --json >told.json
    sed -n '/^Leg by leg at the common speed of each/,/^[A-KM-Z]/p' told >legs
    cat legs
    [ "$(wc -L <legs)" -le 80 ] && [ "$(grep -c '^  tip, round 2 ' legs)" -ge 1 ]
    awk '/^  [a-z].* [0-9.-]+$/ { sum += $(NF - 1) } END { print sum }' legs >sum # a block for each truck
    jq -e --slurpfile sum sum '([.trucks[].common.battery_kwh] | add) - $sum[0] | fabs < 1' told.json
}

@test "a lineup over a duty is drawn, written and traced over one clock" {
    lineup=$root/tests/vehicles/lineups/hill-rounds.yaml
    COLUMNS=80 LC_ALL=C.UTF-8 "$EVENER" compare "$lineup" --plot --trace-dir rows --json >none || [ $? -eq 2 ] # both want standard output
    COLUMNS=80 LC_ALL=C.UTF-8 "$EVENER" compare "$lineup" --plot --trace-dir rows >told
    "$EVENER" compare "$lineup" --json >compared.json
    sed -n '/^Along the day, season winter/,/charging; names/p' told >drawn
    cat drawn
    [ "$(grep -c 'state of charge of .* axle\|state of charge of central drive' drawn)" -eq 2 ]
    [ "$(grep -c '▒' drawn)" -eq 3 ] && [ "$(grep -c '0:30 ' drawn)" -eq 1 ] && [ "$(wc -L <drawn)" -le 79 ]
    grep -q 'charged and stored' told
    for truck in 0 1; do
        for basis in own common; do
            name=$(jq -r ".trucks[$truck].name" compared.json)
            end=$(tail -1 "rows/$name-$basis.csv" | cut -d, -f6)
            jq -e ".trucks[$truck].$basis.duration_s - $end | fabs < 1e-5" compared.json
            [ "$(tail -n +2 "rows/$name-$basis.csv" | cut -d, -f2,4 | uniq | wc -l)" -eq 10 ]
        done
    done
}

@test "a lineup over a duty tells each season's day where it is asked for, and the worst of them" {
    day '  - leg: {name: out, cycle: {use: hill.yaml}, payload_kg: 9000}' \
        '  - stop: {name: tip, duration_min: 3, takeoff_kw: 20, takeoff_s: 60, payload_kg: 0}' \
        '  - stop: {name: noon, duration_min: 4, charging: {connector_kw: 30}}' \
        '  - leg: {name: out, cycle: {use: hill.yaml}, direction: back}' '  - leg: {name: home, cycle: {use: hill.yaml}}' \
        '  - leg: {name: home, cycle: {use: hill.yaml}}' \
        'seasons: {warm: {share: 0.7, load_case: {temperature_degc: 25}}, cold: {share: 0.3, load_case: {temperature_degc: -15}}}' \
        'demands: {reserve_soc: 0.1}'
    days=$root/vehicles/trucks/days
    printf '%s\n' 'name: Two' 'invented: true' 'duty: {use: day.yaml}' 'trucks:' \
        "  a: {use: $days/tipper-8x4-central-day.yaml}" "  b: {use: $days/tipper-8x2-eaxle-day.yaml}" >two.yaml
    "$EVENER" compare two.yaml --seasons --json --csv two.csv >two.json
    for truck in tipper-8x4-central-day tipper-8x2-eaxle-day; do
        "$EVENER" drive "$days/$truck.yaml" day.yaml --json
    done | jq -c '[.seasons[] | [.reserve_soc, .day.kwh_per_km, .day.charged_kwh]]' | jq -s . >alone.json
    jq -c '[.trucks[] | [.seasons[] | [.reserve_soc, .kwh_per_km, .charged_kwh]]]' two.json >beside.json
    cat alone.json beside.json
    [ "$(jq -c flatten alone.json)" = "$(jq -c flatten beside.json)" ]
    jq -e '.season == "warm" and ([.trucks[].worst_season] == ["cold", "cold"]) and (.trucks[0].seasons[0].reserve_kwh > .trucks[0].seasons[1].reserve_kwh)' two.json
    head -1 two.csv | grep ',season_warm_reserve_soc,season_warm_status,season_cold_reserve_soc,season_cold_status,worst_season$'
    grep -c ',cold$' two.csv | grep -x 2
    "$EVENER" compare two.yaml --seasons >told
    cat told
    [ "$(wc -L <told)" -le 80 ] && [ "$(grep -c 'Compared in season' told)" -eq 0 ]
    grep 'worst in cold, which leaves .* % above the usable window' told
    for row in 'charged, kWh ' 'take-off, kWh '; do grep "^  $row" told; done
    # the page has the same, a row of each truck in each season
    if has_pages; then
        "$EVENER" compare two.yaml --seasons --page two.html >two.txt
        sed -n '/<table class="seasons">/,/<\/table>/p' two.html >seasons.html
        grep -c '<th scope="rowgroup" colspan="5">\(warm, 70\|cold, 30\)&#160;% of the days</th>' seasons.html | grep -x 2
        [ "$(grep -c '<td class="words">worst</td>' seasons.html)" -eq 2 ]
        jq -r '.trucks[].seasons[] | "\(.kwh_per_km) \(100 * .reserve_soc)"' two.json | while read -r use reserve; do
            grep -F "<td>$(printf '%.2f</td><td>%.1f' "$use" "$reserve")</td><td class=\"words\">yes</td>" seasons.html
        done
    fi
    # legs of one name are told apart: by their way, and where that is one too by their number
    for name in 'out, out ' 'out, back ' 'home (1) ' 'home (2) '; do grep "^  $name" told; done
    "$EVENER" compare two.yaml >told
    [ "$(grep -c 'each season' told)" -eq 0 ]
    [[ $(tr -s ' \n' ' ' <told) == *" Compared in season warm alone; the duty has 2: --seasons drives them all, and tells the worst of every truck. "* ]]
    run --separate-stderr -2 "$EVENER" compare "$root/vehicles/lineups/demo.yaml" --seasons
    [[ $stderr == *"--seasons with '"*"', a lineup over a cycle; one over a duty was expected"* ]]
}

@test "a truck of a lineup that cannot have the duty is not driven, and the reason stands where the duty asks for it" {
    day '  - leg: {name: out, cycle: {use: hill.yaml}}' '  - stop: {name: tip, duration_min: 3, takeoff_kw: 20, takeoff_s: 60}' \
        '  - stop: {name: fill, duration_min: 3, takeoff_kw: 5, takeoff_s: 60}'
    printf '%s\n' 'name: Two' 'invented: true' 'duty: {use: day.yaml}' 'trucks:' "  without: {use: $truck}" \
        "  with: {use: $root/vehicles/trucks/days/tipper-8x4-central-day.yaml}" >two.yaml
    run --separate-stderr -1 "$EVENER" compare two.yaml --json
    echo "$stderr"
    grep "^day.yaml:5:52: error: without: stop 'tip': 20 kW are asked of a power take-off" <<<"$stderr"
    grep "^day.yaml:6:53: error: without: stop 'fill': 5 kW are asked of a power take-off" <<<"$stderr"
    [[ $stderr == *"used from two.yaml:3:"* ]]
    jq -e '[.trucks[] | .own.status, .common.status] == ["failed", "left_out", "finished", "finished"]' <<<"$output"
    day '  - leg: {name: out, cycle: {use: hill.yaml}}' '  - stop: {name: tip, duration_min: 3, payload_change_kg: -50000}'
    run --separate-stderr -2 "$EVENER" compare two.yaml
    echo "$stderr"
    [ -z "$output" ] && [[ $stderr == *"day.yaml:5:59: error: the stop 'tip' takes 50000 kg off a truck that carries "* && $stderr != *memory* ]]
}

@test "what a duty demands is held against each truck's day as drive holds it, and one that falls short is an answer" {
    day '  - leg: {name: out, cycle: {use: hill.yaml}, payload_kg: 9000}' '  - stop: {name: tip, duration_min: 3, payload_kg: 0}' \
        'seasons: {warm: {share: 0.7, load_case: {temperature_degc: 25}}, cold: {share: 0.3, load_case: {temperature_degc: -15}}}' \
        'demands: {reserve_soc: 0.1, steepest_start_percent: 25, distance_km: 4}'
    days=$root/vehicles/trucks/days
    printf '%s\n' 'name: Two' 'invented: true' 'duty: {use: day.yaml}' 'trucks:' \
        "  a: {use: $days/tipper-8x4-central-day.yaml}" "  b: {use: $days/tipper-8x2-eaxle-day.yaml}" >two.yaml
    for truck in tipper-8x4-central-day tipper-8x2-eaxle-day; do
        "$EVENER" drive "$days/$truck.yaml" day.yaml --json 2>err || true
    done | jq -c '[.seasons[] | .demands[] | [.value, .met]]' >alone
    run --separate-stderr -1 "$EVENER" compare two.yaml --seasons --json
    jq -c '.trucks[] | [.demands[] | [.value, .met]]' <<<"$output" | diff - alone
    jq -e '[.trucks[].meets_demands] == [true, false] and [.trucks[1].demands[].season][0:4] == ["warm", "warm", "warm", "cold"]' <<<"$output"
    [[ $stderr == *", warm, steepest start: "*" %; expected at least 25.00 %"* ]]
    run --separate-stderr -1 "$EVENER" compare two.yaml
    told=$(tr -s ' \n' ' ' <<<"$output")
    [[ $told == *"(does not meet the demands)"*"Demanded of the day in season warm, steepest start at least 25.00 %: central drive yes, "*" %; electric axle, 8x2 no, "* ]]
    [[ $told != *"season cold"* ]]
    # a reserve that the judged season leaves, and the other does not
    less=$("$EVENER" compare two.yaml --seasons --json 2>err | jq '[.trucks[0].seasons[].reserve_soc] | add / 2')
    sed -i "s/^demands.*/demands: {reserve_soc: $less}/" day.yaml
    "$EVENER" compare two.yaml >told
    run --separate-stderr -1 "$EVENER" compare two.yaml --seasons
    [[ $stderr == *"error: "*", cold, reserve of charge: "*" %; expected at least "* ]]
}

@test "a truck that ends its day at the common speed only is told so, and where it is compared" {
    printf '%s\n' 'name: Flat' 'invented: true' 'length_m: 5000' 'speed: {place_m: [0], limit_km_h: [80]}' >flat.yaml
    day '  - leg: {name: out, cycle: {use: flat.yaml}, payload_kg: 8000}' '  - leg: {name: home, cycle: {use: flat.yaml}, direction: back}'
    ideal=$root/tests/trucks/ideal.yaml
    # the second holds the first down to a speed at which its small battery suffices
    printf '%s\n' 'name: Two' 'invented: true' 'duty: {use: day.yaml}' 'trucks:' \
        "  fast: {use: $ideal, short_name: fast, battery: {capacity_ah: 21.5}}" \
        "  slow: {use: $ideal, short_name: slow, battery: {discharge_limit_kw: 30}}" >two.yaml
    "$EVENER" compare two.yaml --uncertainty off --json >told.json 2>err || true
    jq -e '[.trucks[] | .own.status, .common.status] == ["battery_empty", "finished", "finished", "finished"]' told.json
    jq -e '[.. | objects | select(has("at_the_common_speed_only")) | .at_the_common_speed_only] == [true, false]' told.json
    run --separate-stderr "$EVENER" compare two.yaml --uncertainty off
    told=$(tr -s ' \n' ' ' <<<"$output")
    echo "$told"
    [[ $told == *"1 of 2 trucks finished (fast did not); "*" fast did not finish: ran out of charge at "*" km at its own speeds (at the common speed it finished, and is held against the others there)"* ]]
    [[ $told == *" 1 of 2 finished at own speeds, and 2 at the common speed "* && $told != *"only those are held against each other"* ]]
}

@test "seasons that are alike have no worst among them" {
    day "  - $leg" 'seasons: {one: {share: 0.5, load_case: {temperature_degc: 5}}, other: {share: 0.5, load_case: {temperature_degc: 5}}}'
    printf '%s\n' 'name: Two' 'invented: true' 'duty: {use: day.yaml}' 'trucks:' "  a: {use: $truck}" "  b: {use: $truck}" >two.yaml
    "$EVENER" compare two.yaml --seasons --json | jq -e '[.trucks[].worst_season] == [null, null]'
    "$EVENER" compare two.yaml --seasons >told
    grep 'common speed of each, kWh; begin: clock of ' told
    grep -c 'all seasons alike: the day leaves ' told | grep -x 2
}

@test "an option goes before what seasons state, and that before the lineup, also where they state or ask for a default" {
    ideal=$root/tests/trucks/ideal.yaml
    day "  - $leg" 'seasons: {calm: {share: 0.5, load_case: {wind_m_s: 0}}, windy: {share: 0.5, load_case: {wind_m_s: 6, temperature_degc: -5}}}'
    printf '%s\n' 'name: Two' 'invented: true' 'duty: {use: day.yaml}' 'load_case: {wind_m_s: 3, altitude_m: 100}' 'trucks:' \
        "  a: {use: $ideal}" "  b: {use: $ideal}" >two.yaml
    winds() { jq -c '[.seasons[].load_case | .wind_m_s, .temperature_degc], .before_seasons'; }
    [ "$("$EVENER" drive "$ideal" day.yaml --json | winds)" = '[0,null,6,-5]
[]' ]
    "$EVENER" drive "$ideal" day.yaml --wind-m-s 0 --temperature-degc 10 --json >drive.json
    [ "$(winds <drive.json)" = '[0,10,0,10]
["temperature_degc","wind_m_s"]' ]
    jq -e '[.seasons[].day.kwh_per_km] | .[0] == .[1]' drive.json
    "$EVENER" drive "$ideal" day.yaml --wind-m-s 0 | tr -s ' \n' ' ' | grep 'By options, which go before what seasons state: wind 0 m/s\.'
    "$EVENER" range "$ideal" day.yaml --only-distances --payloads-kg 0 --distance-km 4 --start-soc 0.02 --wind-m-s 0 --temperature-degc 10 --json >range.json 2>err || [ $? -eq 1 ]
    jq -e '(.cells[0].distance_km == .cells[1].distance_km) and (.before_seasons | length) == 3' range.json
    # the season's 0 beats the lineup's 3, an option beats both, and what no season states is the lineup's
    "$EVENER" compare two.yaml --uncertainty off --seasons --json >compare.json
    jq -e '.load_case.wind_m_s == 0 and .load_case.altitude_m == 100 and .before_seasons == []' compare.json
    jq -e '.trucks[0].seasons | .[0].kwh_per_km < .[1].kwh_per_km' compare.json
    "$EVENER" compare two.yaml --uncertainty off --seasons --wind-m-s 4 --temperature-degc 15 --json >compare.json
    jq -e '.load_case.wind_m_s == 4 and (.trucks[0].seasons | .[0].kwh_per_km == .[1].kwh_per_km)' compare.json
    "$EVENER" compare two.yaml --uncertainty off --wind-m-s 0 | tr -s ' \n' ' ' | grep 'By options, which go before what seasons state: wind 0 m/s\.'
}

@test "a payload that is asked for is refused where no leg carries it, and told with its legs where some do" {
    ideal=$root/tests/trucks/ideal.yaml
    printf '%s\n' 'name: Two' 'invented: true' 'duty: {use: day.yaml}' 'trucks:' "  a: {use: $ideal}" "  b: {use: $ideal}" >two.yaml
    day '  - leg: {name: out, cycle: {use: hill.yaml}, payload_kg: 9000}' '  - stop: {name: tip, duration_min: 3, payload_kg: 0}' \
        'seasons: {calm: {share: 1}}'
    for how in "drive $ideal day.yaml" "range $ideal day.yaml --only-distances" "compare two.yaml --uncertainty off"; do
        run --separate-stderr -2 "$EVENER" $how --payload-kg 5000
        echo "$stderr"
        [[ -z $output && $stderr == *"day.yaml:4:"*"error: a payload of 5000 kg is asked for, and no leg of the day carries it: leg 'out' states 9000 kg before any is driven; "*"--set 'duty.day[0].leg.payload_kg=5000'"* ]]
        run -0 --separate-stderr "$EVENER" $how
        [[ $output != *"The payload of"* ]]
    done
    sed -i 's/, payload_kg: 9000//' day.yaml
    for how in "drive $ideal day.yaml" "range $ideal day.yaml --only-distances" "compare two.yaml --uncertainty off"; do
        run -0 --separate-stderr "$EVENER" $how --payload-kg 5000 --wind-m-s 0
        told=$(tr -s ' \n' ' ' <<<"$output")
        [[ $told == *"The payload of 5000 kg is that of the day until stop 'tip', which states its own."* ]]
        [[ $told == *"By options, which go before what seasons state: wind 0 m/s."* ]] # seasons state no payload
    done
}

@test "a day that does not end in any season that is asked for is an answer, as it is in the one compared" {
    day "  - $leg" 'seasons: {full: {share: 0.5}, low: {share: 0.5, load_case: {start_soc: 0.005}}}'
    printf '%s\n' 'name: Two' 'invented: true' 'duty: {use: day.yaml}' 'trucks:' \
        "  a: {use: $root/tests/trucks/ideal.yaml}" "  b: {use: $root/tests/trucks/ideal.yaml}" >two.yaml
    "$EVENER" compare two.yaml --uncertainty off >told
    run --separate-stderr -1 "$EVENER" compare two.yaml --uncertainty off --seasons --json
    jq -e '.status == "incomplete" and ([.trucks[].seasons[].status] == ["finished", "battery_empty", "finished", "battery_empty"])' <<<"$output"
    [[ $stderr == *"error: a, low: leg 'a': "*"error: b, low: "* ]]
    run --separate-stderr -1 "$EVENER" drive "$root/tests/trucks/ideal.yaml" day.yaml
    [[ $stderr == *"error: low, leg 'a': "* ]]
}

@test "a truck that does not stand in one of the seasons is refused by drive, range and compare" {
    day "  - $leg" 'seasons: {rest: {share: 0.5}, winter: {share: 0.5, load_case: {battery_start_degc: 10}}}'
    printf '%s\n' 'name: Two' 'invented: true' 'duty: {use: day.yaml}' 'season: rest' 'trucks:' "  a: {use: $truck}" "  b: {use: $truck}" >two.yaml
    for what in "drive $truck day.yaml" "range $truck day.yaml" "compare two.yaml"; do
        # shellcheck disable=SC2086
        run --separate-stderr "$EVENER" $what
        echo "$what: $status $stderr"
        [ "$status" -ne 0 ] && [[ $stderr == *"day.yaml:"*"winter: "*"battery_start_degc is 10"* ]]
    done
}

@test "of which legs the common speed is that of all is told where a truck does not end its day" {
    ideal=$root/tests/trucks/ideal.yaml
    day '  - leg: {name: out, cycle: {use: hill.yaml}}' '  - leg: {name: home, cycle: {use: hill.yaml}, direction: back}'
    printf '%s\n' 'name: Two' 'invented: true' 'duty: {use: day.yaml}' 'trucks:' "  a: {use: $ideal, short_name: a}" "  b: {use: $ideal, short_name: b}" >two.yaml
    told() { "$EVENER" compare two.yaml --uncertainty off --set trucks.a.battery.capacity_ah=10 "$@" 2>err | tr -s ' \n' ' '; }
    [[ $(told --set trucks.a.battery.start_soc=0.4) == *"a does not end leg 'out' and counts in no common speed: that of every leg is the lowest of the others."* ]]
    [[ $(told --set trucks.a.battery.start_soc=0.6) == *"a does not end leg 'home': the common speed of the legs before it is the lowest of all, of this and those behind it that of the others."* ]]
    [[ $(told --set trucks.a.battery.capacity_ah=100) != *"does not end"* ]]
}
