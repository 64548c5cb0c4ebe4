#!/usr/bin/env bats
# evener range: what is told of distances to the reserve and of the battery that a day takes, and what is refused.

bats_require_minimum_version 1.5.0

setup() {
    root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    mkdir "$BATS_TEST_TMPDIR/here" # bats keeps files of its own one folder up
    cd "$BATS_TEST_TMPDIR/here" || return 1
    truck=$root/tests/trucks/ideal.yaml
    printf '%s\n' 'name: Flat' 'invented: true' 'length_m: 5000' 'speed: {place_m: [0], limit_km_h: [40]}' >flat.yaml
    printf '%s\n' 'name: A day' 'invented: true' 'day:' '  - rounds:' '      times: 4' '      each:' \
        '        - leg: {name: out, cycle: {use: flat.yaml}, payload_kg: 8000}' \
        '        - stop: {name: tip, duration_min: 3, payload_kg: 0}' \
        '        - leg: {name: home, cycle: {use: flat.yaml}, direction: back}' \
        'seasons: {winter: {share: 0.4, load_case: {temperature_degc: -15}}, rest: {share: 0.6}}' \
        'demands: {reserve_soc: 0.1}' >day.yaml
    small=battery.capacity_ah=20
}

# Words on one line.
told() {
    tr -s ' \n' ' ' <<<"$output"
}

@test "a day that is not done is an answer with season, leg and place, and a battery that does it" {
    run --separate-stderr "$EVENER" range "$truck" day.yaml --set $small
    echo "$output$stderr"
    [ "$status" -eq 1 ]
    [[ $(told) == *"does not do A day (40.0 km) in season winter, with a new battery and 8.0 t of payload: the charge is down to the reserve of 10.0 % above the usable window, at 10.0 % after "*" km, in leg '"*", round 2', "*" km into it; "*" km are missing. A battery of "*" kWh in place of its 14 kWh does it: it weighs "*" kg more, and it takes nothing from the payload. The case that asks for so much: season winter, a new battery."* ]]
    [[ $stderr == *"error: winter: "*" km with a new battery, before the reserve is met; expected at least 40.0 km"* ]]
    [[ $output == *"states no ageing"* ]]
    [ "$(grep -cE '^ +[0-9.]+ +0  (winter|rest)' <<<"$output")" -eq 6 ]
}

@test "a day that nothing is demanded of may end early, and the exit code is 0" {
    sed -i '/^demands/d' day.yaml
    run --separate-stderr "$EVENER" range "$truck" day.yaml --set battery.capacity_ah=10 --only-distances
    echo "$output$stderr"
    [ "$status" -eq 0 ] && [[ $stderr != *"error"* ]]
    [[ $(told) == *"the charge is down to the end of the usable window at 0.0 % after "* && $(told) != *"A battery of"* ]]
    run --separate-stderr "$EVENER" range "$truck" day.yaml --set battery.capacity_ah=10 --distance-km 33
    [ "$status" -eq 1 ]
    [[ $(told) == *"does not do 33.0 km of A day in season winter"* ]]
}

@test "document and table hold what is told, cell by cell" {
    run -0 --separate-stderr "$EVENER" range "$truck" day.yaml --set battery.capacity_ah=60 --payloads-kg 8000,0 --csv cells.csv --json
    echo "$output" >range.json
    jq -e '.schema == "evener.range/1" and .status == "finished" and .goal.demanded and .goal.day_km == 40' range.json
    jq -e '(.cells | length) == 4 and ([.cells[] | .does_it] | all) and .cells[.worst_cell].season == "winter"' range.json
    jq -e '[.cells[] | .payload_kg] == [8000, 8000, 0, 0] and (.cells | all(.floor_soc == 0.1 and .begin_soc == 0.5))' range.json
    jq -e '[.cells[].rolling_resistance_law] | all(. == "constant")' range.json
    jq -e '.battery.found and .battery.size < 1 and .battery.kwh < .battery.own_kwh and .battery.payload_lost_kg == 0' range.json
    jq -e '.cells[0] | .ends_in.day == 2 and .ends_in.kind == "leg" and .distance_km > 40 and ((.more_km - .distance_km + 40) | fabs < 1e-6)' range.json
    [ "$(wc -l <cells.csv)" -eq 5 ]
    [ "$(head -1 cells.csv | tr ',' '\n' | wc -l)" -eq "$(sed -n 3p cells.csv | tr ',' '\n' | wc -l)" ]
    [ "$(sed -n 2p cells.csv | cut -d, -f9 | cut -c1-8)" = "$(jq '.cells[0].distance_km' range.json | cut -c1-8)" ]
}

@test "ages are those that are asked for, else new and five years where the battery states its ageing" {
    ageing='battery.ageing={years: [0, 8], capacity_factor: [1, 0.8], resistance_factor: [1, 1.3]}'
    run --separate-stderr -1 "$EVENER" range "$truck" day.yaml --set $small --set "$ageing" --payloads-kg 0 --only-distances --json
    jq -e '[.cells[].age_years] == [0, 0, 5, 5] and .cells[2].distance_km < .cells[0].distance_km' <<<"$output"
    run --separate-stderr -2 "$EVENER" range "$truck" day.yaml --set "$ageing" --ages-years 2,9
    [[ $stderr == *"battery_age_years is 9; expected 0 to 8"* ]]
    run --separate-stderr -2 "$EVENER" range "$truck" day.yaml --ages-years 2
    [[ $stderr == *"battery_age_years is 2, and its battery states no ageing"* ]]
}

@test "an age of the battery in a season is refused where it stands, since range tells its ages of all seasons" {
    sed -i 's/temperature_degc: -15/battery_age_years: 2/' day.yaml
    ageing='battery.ageing={years: [0, 8], capacity_factor: [1, 0.8], resistance_factor: [1, 1.3]}'
    run --separate-stderr -2 "$EVENER" range "$truck" day.yaml --set "$ageing" --only-distances
    [[ -z $output && $stderr == *"day.yaml:10:"*"a battery of 2 years in a season; expected ages that are asked for"* ]]
}

@test "one payload or age beside several is refused" {
    run --separate-stderr -2 "$EVENER" range "$truck" day.yaml --ages-years 0 --battery-age-years 3
    [[ $stderr == *"--battery-age-years with --ages-years, which asks for the same of several; one of them was expected"* ]]
    run --separate-stderr -2 "$EVENER" range "$truck" day.yaml --payloads-kg 0 --payload-kg 100
    [[ $stderr == *"--payload-kg with --payloads-kg, which asks for the same of several; one of them was expected"* ]]
}

@test "how long the day takes with a smaller battery is told beside it, against the truck's own" {
    run -0 --separate-stderr "$EVENER" range "$truck" day.yaml --set battery.discharge_limit_kw=300 --payloads-kg 8000 --json
    jq -e '.battery | .size < 0.5 and .own_day_duration_s > 2000 and .day_duration_s > .own_day_duration_s + 10' <<<"$output"
    run -0 --separate-stderr "$EVENER" range "$truck" day.yaml --set battery.discharge_limit_kw=300 --payloads-kg 8000
    [[ $(told) == *" kWh would do; it weighs "*" kg less. The day takes "*" with it, "*" s more than with its own. "* ]]
}

@test "what holds the payload is no permitted load where the truck passes it already" {
    run --separate-stderr "$EVENER" range "$truck" day.yaml --set $small --set body.permitted_gross_kg=15000 --payloads-kg 8000
    echo "$output$stderr"
    [[ $(told) == *" from the payload, "*" kg are left, by what the truck weighs now, "*" kg over its permitted gross mass."* ]]
    # what weighs where with it is told beside it, and which key would tell what is permitted
    [[ $(told) == *" Too heavy with it: gross mass "*" kg, "*" over the 15000 permitted; axle front "*" kg, permitted not known (axles.front.permitted_kg); axle rear "*" kg, permitted not known (axles.rear.permitted_kg). Room for it is not looked for here: 'evener site TRUCK' tells the largest battery"* ]]
    run --separate-stderr "$EVENER" range "$truck" day.yaml --set $small --set axles.rear.permitted_kg=30000 --payloads-kg 8000 --json
    jq -e '.battery.loads | .[0].axle == null and .[0].missing_key == "body.permitted_gross_kg" and .[2].permitted_kg == 30000 and .[2].missing_key == null' <<<"$output"
    jq -e '.battery | .loads[0].kg - (9000 + 8000 + .kg - .own_kg) | fabs < 0.01' <<<"$output" # 9000: kerb mass with the battery of the file
    jq -e '.battery.loads | .[0].kg - .[1].kg - .[2].kg | fabs < 0.01' <<<"$output"
}

@test "axle loads and the payload that they leave are those of the season that asks for the battery" {
    sed -i 's/^seasons.*/seasons: {winter: {share: 1, load_case: {lifting_axle: down}}}/; s/, payload_kg: 8000//' day.yaml
    tag='axles.tag={behind_front_axle_m: 5.7, support: rear, tyres: 2, mass_kg: 700, permitted_kg: 4500, tyre: {rolling_resistance_coefficient: 0.006, rolling_radius_m: 0.5, inertia_kg_m2: 10}, lifts: {request: up, lower_above_load_kg: 14000}}'
    for how in '' '--lifting-axle down'; do
        run --separate-stderr -1 "$EVENER" range "$truck" day.yaml --set battery.capacity_ah=4 --set "$tag" --payloads-kg 9000 --distance-km 6 $how --json
        jq -S '{season: .cells[.battery.asked_by_cell].season} + (.battery | {loads, payload_kg, payload_bound_by, kwh})' <<<"$output" >"of$how.json"
        cat "of$how.json"
    done
    jq -e '.season == "winter" and .loads[3].axle == "tag" and .loads[3].kg > 4000' of.json
    jq -e '.payload_bound_by == "tag"' of.json
    cmp of.json 'of--lifting-axle down.json'
}

@test "a lineup is refused with what to do in its place, with a duty behind it and without" {
    printf '%s\n' 'name: Two' 'invented: true' 'duty: {use: day.yaml}' 'trucks:' "  one: {use: $truck}" "  two: {use: $truck}" >two.yaml
    for duty in day.yaml ''; do
        run --separate-stderr -2 "$EVENER" range two.yaml $duty
        [[ -z $output && $stderr == *"TRUCK is 'two.yaml': this is a lineup; a truck was expected; it takes one truck at a time: 'evener range TRUCK DUTY' for each of the files that the lineup names under trucks"* ]]
        [[ $stderr != *"missing"* && $stderr != *"compare"* ]]
    done
    run --separate-stderr -2 "$EVENER" range "$truck"
    [[ $stderr == *"DUTY is missing; a duty, "* ]]
}

@test "a cycle is driven again and again" {
    run -0 "$EVENER" range "$truck" flat.yaml --set $small --payloads-kg 9000 --only-distances
    echo "$output"
    [[ $(told) == *"does Flat (5.0 km) with a new battery and 9.0 t of payload. The day leaves "*"It goes "*" km further before the charge is down to the end of the usable window at 0.0 %."* ]]
}

@test "the battery that is found suffices, and one of 0.05 % less does not" {
    run --separate-stderr -1 "$EVENER" range "$truck" day.yaml --set $small --payloads-kg 8000 --json
    for less in 0 0.0005; do # resistance 0, limits beyond any power: capacity and mass are all that goes with the size
        ah=$(jq ".battery | 20 * .size * (1 - $less)" <<<"$output")
        kg=$(jq ".battery | .own_kg + .kg_per_kwh * (.own_kwh * .size * (1 - $less) - .own_kwh)" <<<"$output")
        "$EVENER" range "$truck" day.yaml --set "battery.capacity_ah=$ah" --set "battery.mass_kg=$kg" --payloads-kg 8000 --only-distances --json >"$less.json" 2>err || true
        jq -c '.cells[] | [.season, .distance_km, .does_it]' "$less.json"
    done
    jq -e '[.cells[].does_it] | all' 0.json
    jq -e '[.cells[].does_it] | all | not' 0.0005.json
}

@test "the battery that is found has what stops behind the last leg take, and one of 1 % less does not" {
    printf '%s\n' 'name: A day' 'invented: true' 'day:' '  - leg: {name: out, cycle: {use: flat.yaml}}' \
        '  - stop: {name: wait, duration_min: 600}' >waits.yaml
    set_size() { # SHARE: the options of a battery of such a size
        jq -r --argjson share "$1" '.battery | "--set battery.capacity_ah=\(20 * .size * $share)",
            "--set battery.mass_kg=\(.own_kg + .kg_per_kwh * (.own_kwh * .size * $share - .own_kwh))"' found.json | tr '\n' ' '
    }
    waits=(drive "$truck" waits.yaml --set auxiliaries.power_kw=3 --payload-kg 8000)
    "$EVENER" range "${waits[@]:1:4}" --set $small --payloads-kg 8000 --json >found.json
    jq -e '.battery.found and (.battery.day_duration_s > 36000)' found.json
    # shellcheck disable=SC2046
    run -0 "$EVENER" "${waits[@]}" $(set_size 1)
    # shellcheck disable=SC2046
    run -1 "$EVENER" "${waits[@]}" $(set_size 0.99)
    [[ $output == *"of the stop"* ]]
}

@test "a day that charging gives back is short of nothing, whatever has to be reached" {
    sed -i 's/^seasons/  - stop: {name: noon, duration_min: 60, charging: {connector_kw: 100, until_soc: 0.6}}\n&/' day.yaml
    run -0 "$EVENER" range "$truck" day.yaml --distance-km 1000 --payloads-kg 8000 --only-distances
    echo "$output"
    [ "$(grep -cE '^ +8\.0 +0  (winter|rest) +yes +>[0-9.]+ +any ' <<<"$output")" -eq 2 ]
    "$EVENER" range "$truck" day.yaml --distance-km 1000 --payloads-kg 8000 --only-distances --json | jq -e '.cells | all(.does_it and .more_km == 0)'
}

@test "a season that ends is the worst case beside one that goes on day after day, however far it gets" {
    sed -i 's/temperature_degc: -15/&, rolling_resistance_law: linear/; s/^seasons/  - stop: {name: noon, duration_min: 10, charging: {connector_kw: 84}}\n&/' day.yaml
    run -0 --separate-stderr "$EVENER" range "$truck" day.yaml --set battery.capacity_ah=200 --payloads-kg 8000 --only-distances
    echo "$output"
    [ "$(grep -cE '^ +8\.0 +0  winter +yes +[0-9]{3}\.[0-9] ' <<<"$output")" -eq 1 ]
    [ "$(grep -cE '^ +8\.0 +0  rest +yes +>40\.0 +any ' <<<"$output")" -eq 1 ]
    [[ $(told) == *"does A day (40.0 km) in season winter, "*", the worst case. "*" km further before the charge is down to the reserve"* ]]
    [[ $(told) == *"on rolling resistance (law linear"* ]] # the weather is that of the same season
}

@test "a day that begins with no more than the reserve is not begun" {
    run --separate-stderr -1 "$EVENER" range "$truck" day.yaml --start-soc 0.1
    [[ $(told) == *"the charge is down to the reserve of 10.0 % above the usable window, at 10.0 % before it begins, at a charge of 10.0 %. No size of battery does it: it begins with no more charge than the reserve."* ]]
}

@test "wrong lists, files and outputs are refused with what was expected" {
    for list in x '1,,2' '-1' '1,600000' '1,2,3,4,5,6,7,8,9' , '1,'; do
        run --separate-stderr -2 "$EVENER" range "$truck" day.yaml "--payloads-kg=$list"
        echo "$list: $stderr"
        [[ $stderr == *"--payloads-kg is '$list'; one to 8 numbers from 0 to 500000 with commas between were expected"* ]]
    done
    run --separate-stderr -2 "$EVENER" range "$truck" day.yaml --ages-years 1,41
    [[ $stderr == *"--ages-years is '1,41'; one to 8 numbers from 0 to 40 "* ]]
    run --separate-stderr -2 "$EVENER" range "$truck" day.yaml --only-distances --pack-kg-per-kwh 7
    [[ $stderr == *"--pack-kg-per-kwh with --only-distances"* ]]
    run --separate-stderr -2 "$EVENER" range "$truck" day.yaml --csv day.yaml
    [ "$(head -1 day.yaml)" = 'name: A day' ]
    run --separate-stderr -2 "$EVENER" range "$truck" "$truck"
    [[ $stderr == *"this is a truck; a duty or a cycle was expected"* ]]
    sed -i 's/name: tip/naem: tip/' day.yaml
    run --separate-stderr -2 "$EVENER" range "$truck" day.yaml
    [[ $stderr == *"day.yaml:8:"*"no key 'naem' in stop"* ]]
}

@test "a signal ends it without a word of distances and without a table" {
    timeout -s INT --preserve-status 0.3 "$EVENER" range "$root/vehicles/trucks/days/tractor-4x2-central-day.yaml" "$root/cycles/duties/haulage-220.yaml" --csv cells.csv >out 2>err || status=$?
    cat err
    [ "$status" -eq 3 ] || [ "$status" -eq 130 ]
    [ ! -s out ] && [ -z "$(find . -name 'cells.csv*')" ]
    grep -q interrupted err
}
