#!/usr/bin/env bats
# evener drive with a duty, and lineups over one: what is told, and what is refused where.

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

leg='leg: {name: a, cycle: {use: hill.yaml}}'

@test "a day is told in words, as a document and as a table of legs" {
    day '  - rounds: {times: 2, each: [leg: {name: out, cycle: {use: hill.yaml}, payload_kg: 9000}, stop: {name: tip, duration_min: 3, payload_kg: 0}]}' \
        '  - stop: {name: noon, charging: {connector_kw: 100, until_soc: 0.9, efficiency: 0.95}}' \
        'working_days_per_year: 200' 'demands: {reserve_soc: 0.1, distance_km: 6, steepest_start_percent: 3, reserve_kwh: 5}'
    run --separate-stderr "$EVENER" drive "$truck" day.yaml --csv legs.csv
    echo "$output$stderr"
    [ "$status" -eq 0 ]
    [ "$(grep -c ' met$' <<<"$output")" -eq 4 ]
    told=$(tr -s ' \n' ' ' <<<"$output")
    [[ $told == *" does A day: 6.0 km in "* ]]
    [[ $told == *"200 working days: 1200 km"* ]]
    [[ $output != *"season"* ]] # of a duty that has none
    grep -E 'Charged at stops: [0-9.]+ kWh, which take [0-9.]+ kWh from the grid with the losses of the charger\. .*The year .*Charged at stops: [0-9]+ kWh, which take [0-9]+ kWh from the grid with' <<<"$told"
    [ "$(wc -l <legs.csv)" -eq 6 ]
    [ "$(head -1 legs.csv | tr ',' '\n' | wc -l)" -eq "$(sed -n 3p legs.csv | tr ',' '\n' | wc -l)" ]
    "$EVENER" drive "$truck" day.yaml --json >day.json
    jq -e '.schema == "evener.day/2" and .status == "finished" and (.seasons | length) == 1' day.json
    jq -e '.seasons[0] | (.phases | length) == 5 and ((([.phases[].battery_kwh] | add) - .day.battery_kwh) | fabs) < 1e-9' day.json
    jq -e '.seasons[0].phases[4] | .charged_kwh > 1 and .energy_balance.charging_kwh == -.charged_kwh' day.json
    jq -e '.seasons[0].phases[4] | (.charged_from_grid_kwh * 0.95 - .charged_kwh) | fabs < 1e-9' day.json
    jq -e '.seasons[0].demands | length == 4 and all(.met)' day.json
    jq -e '.year.distance_km - 1200 | fabs < 1e-6' day.json
}

@test "a battery that ends before the day does is an answer with leg and place" {
    day '  - rounds: {times: 3, each: [leg: {name: haul, cycle: {use: hill.yaml}}]}'
    run --separate-stderr "$EVENER" drive "$truck" day.yaml --start-soc 0.071
    echo "$output$stderr"
    [ "$status" -eq 1 ]
    told=$(tr -s ' \n' ' ' <<<"$output")
    [[ $told == *"does not do A day: the battery is empty in leg 'haul, round 1' after "*" km and "* ]]
    [[ $stderr == *"leg 'haul' of round "*" of 3: the usable charge of "* ]]
    run --separate-stderr "$EVENER" drive "$truck" day.yaml --start-soc 0.071 --json
    jq -e '.status == "battery_empty" and (.seasons[0].phases[1].status == null) and .year == null' <<<"$output"
}

@test "a demand that is not met is an answer" {
    day "  - $leg" 'demands: {reserve_soc: 0.93}'
    run --separate-stderr "$EVENER" drive "$truck" day.yaml
    echo "$output$stderr"
    [ "$status" -eq 1 ]
    [[ $stderr == *"reserve of charge: "*"expected at least 93.0 %"* ]]
}

@test "a battery that cannot be charged so far is an answer" {
    day "  - $leg" '  - stop: {name: noon, charging: {connector_kw: 1, until_soc: 0.93}}'
    run --separate-stderr "$EVENER" drive "$truck" day.yaml
    echo "$output$stderr"
    [ "$status" -eq 1 ]
    [[ $stderr == *"stop 'noon': the battery of "*" after 24 h at the connector"* ]]
}

@test "what is wrong with a duty is said where it stands" {
    refused '  - leg: {name: a, cycle: {use: hill.yaml}, direction: across}' 4:56 "direction"
    refused '  - leg: {name: a, cycle: {use: trace.yaml}, direction: back}' 4:57 "is a trace over time"
    refused '  - leg: {name: a, cycle: {use: trace.yaml}, stops: [stop: {name: b, place_m: 5}]}' 4:53 "is a trace over time"
    refused '  - leg: {name: a, cycle: {use: hill.yaml}, payload_kg: -1}' 4:57 "payload_kg is -1"
    refused '  - leg: {name: a, cycle: {use: hill.yaml}, stops: [stop: {name: b, place_m: 1600}]}' 4:78 "no stop at 1600 m; expected one of its stops between its ends; nearest is 2000 m"
    refused '  - leg: {name: a, cycle: {use: hill.yaml}, stops: [stop: {name: b}]}' 4:59 "no place_m of the stop 'b'"
    refused '  - leg: {name: a, cycle: {use: hill.yaml}, stops: [stop: {name: b, place_m: 2000}, stop: {name: c, place_m: 1000}]}' 4:110 "places rising"
    refused '  - leg: {name: a}' 4:10 "no key 'cycle' in leg"
    refused '  - leg: {cycle: {use: hill.yaml}}' 4:10 "no key 'name' in leg"
    refused '  - stop: {name: a}' 4:11 "nothing says how long the stop 'a' lasts"
    refused '  - stop: {name: a, duration_min: -3}' 4:35 "duration_min is -3"
    refused '  - stop: {name: a, duration_min: 3, place_m: 4}' 4:47 "which stands between legs"
    refused '  - stop: {name: a, duration_min: 3, payload_kg: 4, payload_change_kg: 4}' 4:72 "expected one of them"
    refused '  - stop: {name: a, duration_min: 3, payload_change_kg: 1e9}' 4:57 "payload_change_kg is 1000000000 kg"
    refused '  - stop: {name: a, duration_min: 3, charging: {}}' 4:48 "no key 'connector_kw' in charging"
    refused '  - stop: {name: a, duration_min: 3, charging: {connector_kw: 0}}' 4:63 "connector_kw is 0"
    refused '  - stop: {name: a, duration_min: 3, charging: {connector_kw: 9, until_soc: 2}}' 4:77 "until_soc is 2"
    refused '  - stop: {name: a, duration_min: 3, charging: {connector_kw: 9, efficiency: 0.1}}' 4:78 "efficiency is 0.1"
    refused '  - stop: {name: a, duration_min: 3, charging: {connector_kw: 9, soc: [0, 1], power_kw: [9]}}' 4:89 "power_kw"
    refused '  - stop: {name: a, duration_min: 3, charging: {connector_kw: 9, soc: [0, 1], power_kw: [9, 10]}}' 4:93 "10 kW of a connector that gives 9 kW"
    refused '  - stop: {name: a, duration_min: 3, takeoff_kw: 30}' 4:50 "without takeoff_s"
    refused '  - stop: {name: a, duration_min: 3, takeoff_s: 30}' 4:49 "without takeoff_kw"
    refused '  - stop: {name: a, duration_min: 3, takeoff_kw: -1, takeoff_s: 30}' 4:50 "takeoff_kw is -1"
    refused '  - stop: {name: a, duration_min: 3, takeoff_kw: 30, takeoff_s: x}' 4:65 "takeoff_s"
    refused '  - stop: {name: a, duration_min: 3, takeoff_kw: 30, takeoff_s: 181}' 4:65 "work of the power take-off of 181 s at the stop 'a' of 180 s"
    refused '  - stop: {name: a, charging: {connector_kw: 9, until_soc: 0.9}, takeoff_kw: 30, takeoff_s: 9}' 4:93 "expected duration_min"
    refused '  - leg: {name: a, cycle: {use: hill.yaml}, stops: [stop: {name: b, place_m: 1000, takeoff_kw: 30, takeoff_s: 21}]}' 4:111 "of 21 s at the stop 'b' of 20 s"
    refused '  - rounds: {times: 0, each: [stop: {name: a, duration_min: 1}]}' 4:21 "times is 0"
    refused '  - rounds: {times: 2, each: []}' 4:30 "each"
    refused '  - walk: {name: a}' 4:5 "walk"
}

@test "what is wrong with the year, the seasons and the demands of a duty is said where it stands" {
    check() {
        day "  - $leg" "$1"
        run --separate-stderr "$EVENER" drive "$truck" day.yaml
        echo "$stderr"
        [ "$status" -eq 2 ] && [[ $stderr == *"day.yaml:5:$2: error: "*"$3"* ]]
    }
    check 'working_days_per_year: 400' 24 "working_days_per_year is 400"
    check 'seasons: {w: {share: 0.5}}' 10 "shares of the seasons sum to 0.5"
    check 'seasons: {w: {share: 1, load_case: {payload_kg: 5}}}' 49 "a payload of the season"
    check "seasons: {$(printf 'n%.0s' {1..80}): {share: 1, load_case: {payload_kg: 5}}}" 128 "a payload of the season"
    for many in 81 251 1000; do
        check "seasons: {$(printf "n%.0s" $(seq $many)): {share: 1}}" $((many + 13)) "a season's name of $many bytes; expected at most 80"
    done
    check 'seasons: {w: {share: 1, load_case: {temperature_degc: 900}}}' 55 "temperature_degc is 900"
    check 'seasons: {w: {}}' 14 "no key 'share' in season"
    check 'demands: {reserve_soc: 2}' 24 "reserve_soc is 2"
    check 'demands: {reserve_kwh: -1}' 24 "reserve_kwh is -1"
    check 'demands: {distance_km: -1}' 24 "distance_km is -1"
    check 'demands: {steepest_start_percent: 200}' 35 "steepest_start_percent is 200"
    check 'demand: {}' 1 "demands"
}

@test "a day needs a leg, and says where it comes from" {
    refused '  - stop: {name: a, duration_min: 3}' 3:1 "a day without a leg"
    printf '%s\n' 'name: A day' 'day:' "  - $leg" >day.yaml
    run --separate-stderr "$EVENER" drive "$truck" day.yaml
    [ "$status" -eq 2 ] && [[ $stderr == *"nothing says where the duty comes from"* ]]
}

@test "more cannot be delivered than is carried" {
    day "  - $leg" '  - stop: {name: far too much, duration_min: 1, payload_change_kg: -90000}'
    run --separate-stderr "$EVENER" drive "$truck" day.yaml
    echo "$stderr"
    [ "$status" -eq 2 ] && [[ $stderr == *"the stop 'far too much' takes 90000 kg off a truck that carries "* ]]
    # where the duty itself says what is carried the place is told, also where only the second round asks for too much
    day '  - leg: {name: a, cycle: {use: hill.yaml}, payload_kg: 9000}' \
        '  - rounds: {times: 2, each: [leg: {name: b, cycle: {use: hill.yaml}}, stop: {name: drop, duration_min: 1, payload_change_kg: -6000}]}'
    run --separate-stderr "$EVENER" drive "$truck" day.yaml
    echo "$stderr"
    [ "$status" -eq 2 ] && [[ $stderr == *"day.yaml:5:"*"the stop 'drop' takes 6000 kg off a truck that carries 3000 kg"* ]]
    [ "$(grep -c 'error: ' <<<"$stderr")" -eq 1 ]
}

@test "work of the power take-off is told of stop, day and year, and refused of a truck without one" {
    day "  - $leg" '  - stop: {name: tip, duration_min: 3, takeoff_kw: 36, takeoff_s: 100, charging: {connector_kw: 60}}' 'working_days_per_year: 200'
    run --separate-stderr "$EVENER" drive "$truck" day.yaml
    [ "$status" -eq 2 ] && [[ $stderr == *"stop 'tip': 36 kW are asked of a power take-off, and Harrowmoor "*" has none"* ]]
    printf '%s\n' "extends: $truck" 'drive_units: {rear: {takeoff: {torque_limit_nm: 600, speed_limit_rpm: 2500}}}' \
        'power_take_off: {speed_rpm: 1500}' >with.yaml
    run --separate-stderr "$EVENER" drive with.yaml day.yaml --csv legs.csv
    echo "$output$stderr"
    [ "$status" -eq 0 ]
    told=$(tr -s ' \n' ' ' <<<"$output")
    [[ $told == *"The power take-off does 1.00 kWh of work for the body."* ]]
    [[ $told == *"Work of the power take-off: 200 kWh."* ]]
    # one block of lines holds a stop that does both, in 80 columns
    [ "$(grep -c '^  leg or stop ' <<<"$output")" -eq 1 ]
    grep -E '^  tip +[0-9:]+ +0:03 +[0-9.]+ +[0-9.]+ +1\.00 +[0-9.]+ +[0-9.]+$' <<<"$output"
    [[ $(sed -n 3p legs.csv) == ,tip,stop,* ]]
    head -1 legs.csv | grep -q energy_balance.power_take_off_kwh
    "$EVENER" drive with.yaml day.yaml --json >day.json
    jq -e '.seasons[0].phases[1].energy_balance.power_take_off_kwh - 1 | fabs < 1e-9' day.json
    jq -e '.year.energy_balance.power_take_off_kwh - 200 | fabs < 1e-6' day.json
}

@test "what is of a single cycle is refused with a duty, and the table of legs with a cycle" {
    day "  - $leg"
    run --separate-stderr "$EVENER" drive "$truck" day.yaml --collective x.csv
    [ "$status" -eq 2 ] && [[ $stderr == *"--collective with the duty 'day.yaml'"* ]]
    run --separate-stderr "$EVENER" drive "$truck" hill.yaml --csv x.csv
    [ "$status" -eq 2 ] && [[ $stderr == *"--csv with the cycle 'hill.yaml'"* ]]
    [ ! -e x.csv ]
}

# Two legs with a stop between them and one that charges, in two seasons.
short_day() {
    day '  - rounds: {times: 2, each: [leg: {name: out, cycle: {use: hill.yaml}, payload_kg: 9000}, stop: {name: tip, duration_min: 3, payload_kg: 0}]}' \
        '  - stop: {name: noon, duration_min: 20, charging: {connector_kw: 100}}' '  - leg: {name: home, cycle: {use: hill.yaml}}' \
        'seasons: {winter: {share: 0.3, load_case: {temperature_degc: -5}}, rest: {share: 0.7}}' 'demands: {reserve_soc: 0.2}'
}

@test "the trace of a day has each row's season, leg or stop, and the clock of the day" {
    short_day
    "$EVENER" drive "$truck" day.yaml --trace rows.csv --json >day.json
    [ "$(head -1 rows.csv | cut -d, -f1-9)" = season,name,kind,round,part,clock_s,time_s,place_m,speed_km_h ]
    [ "$(tail -n +2 rows.csv | cut -d, -f1-4 | uniq | paste -sd ' ')" = "winter,out,leg,1 winter,tip,stop,1 winter,out,leg,2 winter,tip,stop,2 winter,noon,stop,0 winter,home,leg,0 rest,out,leg,1 rest,tip,stop,1 rest,out,leg,2 rest,tip,stop,2 rest,noon,stop,0 rest,home,leg,0" ]
    awk -F, 'NR > 1 { if ($1 == season && $6 < clock) exit 1; season = $1; clock = $6 } NR > 1 && NF != columns { exit 1 } { columns = NF }' rows.csv
    for season in 0 1; do
        name=$(jq -r ".seasons[$season].name" day.json)
        end=$(grep "^$name," rows.csv | tail -1 | cut -d, -f6)
        jq -e ".seasons[$season].day.duration_s - $end | fabs < 1e-5" day.json
    done
    run --separate-stderr "$EVENER" drive "$truck" day.yaml --trace -
    [ "$status" -eq 0 ] && [ "$output" = "$(cat rows.csv)" ] && [[ $(tr '\n' ' ' <<<"$stderr") == *"does A day in every season"* ]]
    run --separate-stderr "$EVENER" drive "$truck" day.yaml --trace day.yaml
    [ "$status" -eq 2 ] && [[ $stderr == *"--trace"*"day.yaml"* ]]
}

# strip COLUMNS LOCALE: the picture of the day alone.
strip() { COLUMNS=$1 LC_ALL=$2 "$EVENER" drive "$truck" day.yaml --plot | sed -n '/^Along the day/,/charging; names/p'; }

@test "the picture of a day has the charge over the clock, the reserve, legs, stops and charging" {
    short_day
    strip 80 C.UTF-8 >drawn
    cat drawn
    grep -q 'Along the day, season winter' drawn
    grep -q 'dotted: reserve demanded, 26' drawn # 6 % is the end of the usable window
    grep -q '│━━*··*━━*··*▒▒*━━*$' drawn
    [ "$(grep -c '^ *│out  *out  *home' drawn)" -eq 1 ] && grep -q '^ *│ *tip  *tip  *noon' drawn
    [ "$(wc -L <drawn)" -le 79 ]
    strip 60 C >plain
    cat plain
    grep -q '|==*\.\.*==*\.\.*##*==*$' plain
    [ "$(wc -L <plain)" -le 59 ] && ! grep -q '[^ -~]' plain
}

@test "the page of a day stands without scripts and has the day's data" {
    "$EVENER" drive none.yaml none.yaml --page probe.html 2>&1 | grep -q 'built without pages' && skip "built without pages"
    short_day
    "$EVENER" drive "$truck" day.yaml --page day.html --json >day.json
    grep -q '<div class="verdict"><p>.* does A day in every season:' day.html
    [ "$(grep -c '<th scope="row">out, round' day.html)" -eq 2 ]
    [ "$(sed -n '/<table class="seasons">/,/<\/table>/p' day.html | grep -c '<th scope="row">')" -eq 2 ]
    grep -q '<th scope="row">mean gross mass, kg</th>' day.html # they change along the day
    grep -q '<th scope="row">mean payload, kg</th>' day.html
    sed -n 's/.*<script type="application\/json" id="page-data">\(.*\)<\/script>.*/\1/p' day.html >data.json
    jq -e '.quantities.payload_kg.label == "mean payload"' data.json
    jq -e '.kind == "day" and .day.season == "winter" and (.day.strips[0] | (.clock_s | length) == (.soc | length))' data.json
    jq -e '.day.strips[0].phases | map(.kind) == ["leg", "stop", "leg", "stop", "charging", "leg"]' data.json
    jq -e --slurpfile day day.json '.day.strips[0] | (.end_s - $day[0].seasons[0].day.duration_s | fabs < 1e-6) and (.soc[-1] - $day[0].seasons[0].day.final_soc | fabs < 1e-4)' data.json
}

@test "a day that ends early is drawn and traced as far as it went" {
    day '  - rounds: {times: 3, each: [leg: {name: haul, cycle: {use: hill.yaml}}]}'
    run --separate-stderr "$EVENER" drive "$truck" day.yaml --start-soc 0.071 --plot --trace rows.csv
    echo "$output$stderr"
    [ "$status" -eq 1 ] && [[ $output == *"dotted: end of the usable window, 6"* ]]
    [ "$(tail -1 rows.csv | cut -d, -f2-4)" = haul,leg,1 ]
}

@test "values set beside a duty are its own" {
    day "  - $leg"
    run --separate-stderr "$EVENER" drive "$truck" day.yaml --set 'duty.day[0].leg.payload_kg=1234' --json
    jq -e '.seasons[0].phases[0].payload_kg == 1234' <<<"$output"
}

# Their own lineups drive them in winter; here once each, in the first season, which is the winter.
@test "the shipped duties are done by a shipped truck for a day, on a balance that closes, with take-off and charging told" {
    while read -r which duty; do
        "$EVENER" drive "$root/vehicles/trucks/days/$which-day.yaml" "$root/cycles/duties/$duty.yaml" --integrator arkode \
            --accuracy 1e-5 --json >day.json
        jq -e '.status == "finished" and ([.seasons[].name] == ["winter", "summer", "between"])' day.json
        jq -e '[.seasons[].day.balance_error] | max < 1e-5' day.json
        # also at stops, where what is slow to warm is slow to cool, and over the day
        jq -e '[.seasons[] | (.phases[], .day).peak_temperatures[] | select(.part == "winding")] |
            length >= 15 and all(.low_degc <= .peak_degc and .peak_degc <= .high_degc)' day.json
        jq -e '[.seasons[] | .demands[] | .met] | length == 9 and all' day.json
        jq -e '.seasons[0].day.kwh_per_km > .seasons[2].day.kwh_per_km and .worst_season == 0' day.json
    done <<'DAYS'
rigid-6x2-eaxle deliveries
tractor-4x2-eaxle pass-both-ways
tractor-6x2-eaxle trunk-400
tractor-6x2-eaxle haulage-199
tipper-8x2-eaxle tipper-rounds
DAYS
    jq -e '.seasons[] | .day.energy_balance.power_take_off_kwh - 8 * 28 / 60 | fabs < 1e-9' day.json
    jq -e '.seasons[0].day.charged_kwh > 100' day.json
}

@test "what is of runs over a cycle refuses a duty and says what to do" {
    lineup=$root/tests/vehicles/lineups/hill-rounds.yaml
    day "  - $leg"
    no() {
        run --separate-stderr "$EVENER" "${@:2}"
        echo "$stderr"
        [ "$status" -eq 2 ] && [ -z "$output" ] && [[ $stderr == *"$1"* ]]
    }
    no "a lineup over a cycle was expected, or one of the legs' cycles" explain --lineup "$lineup" central kwh_per_km
    no "this is a duty; a cycle was expected" explain "$truck" day.yaml kwh_per_km
    no "expected a lineup over a cycle, such as that of one of its legs" keep kept.yaml --lineup "$lineup"
    no "this is a duty; a cycle was expected" keep kept.yaml --truck "$truck" --cycle day.yaml
    no "this is a duty; a truck was expected" show day.yaml
    no "this is a duty; a truck was expected" limits day.yaml
    no "this is a duty; a cycle was expected" cycle info day.yaml
    no "such as one of a leg's cycle with its payload" compare "$lineup" --why
    no "this is a duty; a cycle was expected" compare "$truck" "$truck" --cycle day.yaml
    [ ! -e kept.yaml ]
    "$EVENER" drive "$truck" day.yaml --json >first.json
    "$EVENER" drive "$truck" day.yaml --json --start-soc 0.8 >second.json
    run --separate-stderr "$EVENER" diff first.json second.json
    [ "$status" -eq 0 ] && [[ $output == *"seasons.0.begin_soc"* ]]
    jq '.schema = "evener.day/0"' first.json >older.json
    run --separate-stderr "$EVENER" diff older.json second.json
    [ "$status" -eq 2 ] && [[ $stderr == *"a document of evener.day/0; expected one of evener.day/2"* ]]
    run --separate-stderr "$EVENER" compare "$lineup"
    told=$(tr -s ' \n' ' ' <<<"$output")
    [[ $told == *"it is found over a cycle, not over the day of a duty. No truck is called the lowest without it; --uncertainty off goes without."* ]]
}

@test "a lineup has a cycle or a duty, and a season that the duty has" {
    trucks="trucks: {a: {use: $truck}, b: {use: $truck}}"
    bad() {
        printf '%s\n' 'name: l' 'invented: true' "$1" "$trucks" >lineup.yaml
        run --separate-stderr "$EVENER" compare lineup.yaml
        echo "$stderr"
        [ "$status" -eq 2 ] && [[ $stderr == *"lineup.yaml:$2"*"$3"* ]]
    }
    day "  - $leg"
    bad '' '' "no key 'cycle' in lineup, and no duty"
    bad "season: winter" 3:9 "the season 'winter', without a duty"
    printf '%s\n' 'name: l' 'invented: true' 'cycle: {use: hill.yaml}' 'duty: {use: day.yaml}' "$trucks" >lineup.yaml
    run --separate-stderr "$EVENER" compare lineup.yaml
    [ "$status" -eq 2 ] && [[ $stderr == *"error: a duty beside a cycle"*"used from lineup.yaml:4:13"* ]]
    bad 'duty: {use: day.yaml}
season: winter' 4:9 "the season 'winter', of a duty that has no seasons; expected none"
    bad 'duty: {use: day.yaml, seasons: {winter: {share: 0.5}, rest: {share: 0.5}}}
season: wintre' 4:9 "the season 'wintre', which the duty does not have; expected one of winter, rest; nearest is 'winter'"
    bad 'duty: {use: day.yaml}
equal: gross' 4:8 "gross with a duty"
}

@test "rows of seasons with other columns stand below their own names, in trace and page" {
    day '  - leg: {name: out, cycle: {use: hill.yaml}}' '  - stop: {name: rest, duration_min: 1}' \
        'seasons:' '  plain: {share: 0.4}' \
        '  wet: {share: 0.6, load_case: {temperature_degc: -12, rolling_resistance_law: linear, tyres_at_start: cold}}'
    "$EVENER" drive "$root/vehicles/trucks/days/tipper-8x4-central-day.yaml" day.yaml --csv legs.csv --trace rows.csv --page page.html
    "$EVENER" drive "$root/vehicles/trucks/days/tipper-8x4-central-day.yaml" day.yaml --json >day.json
    # the charge in the last row of each leg and stop, and that of the table of legs
    column() { head -1 "$1" | tr ',' '\n' | grep -nx "$2" | cut -d: -f1; }
    awk -F, -v soc="$(column rows.csv soc)" '
        NR > 1 { key = $1 "," $2; if (!(key in last)) order[++n] = key; last[key] = $soc }
        END { for (k = 1; k <= n; k++) print order[k] "," last[order[k]] }' rows.csv >ends.csv
    awk -F, -v soc="$(column legs.csv final_soc)" 'NR > 1 && $3 != "day" && $2 != "" { print $1 "," $2 "," $soc }' legs.csv |
        awk -F, '$2 == "out" || $2 == "rest"' >told.csv
    cat ends.csv told.csv
    [ "$(wc -l <ends.csv)" -eq 4 ]
    paste -d, ends.csv told.csv | awk -F, '$1 != $4 || $2 != $5 || ($3 - $6) ^ 2 > 1e-16 { bad = 1 } END { exit bad }'
    # every row is as wide as the head, and only the season on the linear law has a temperature of tyres
    awk -F, 'NR == 1 { n = NF } NF != n { bad = 1 } END { exit bad }' rows.csv
    awk -F, -v t="$(column rows.csv tyre_temperature_degc)" '
        NR > 1 && ($1 == "wet") != ($t != "") { bad = 1 } END { exit bad }' rows.csv
    grep -q 'tyre_temperature_degc' page.html
}

@test "a day that does not come to what the duty demands is told as not done, in words and on the page" {
    day '  - leg: {name: out, cycle: {use: hill.yaml}}' 'demands: {reserve_soc: 0.5, distance_km: 40, steepest_start_percent: 3}'
    run --separate-stderr "$EVENER" drive "$truck" day.yaml --start-soc 0.4 --page page.html
    echo "$output$stderr"
    [ "$status" -eq 1 ]
    told=$(tr -s ' \n' ' ' <<<"$output")
    [[ $told == *" does not do A day: reserve of charge "*" % of the 50.0 % demanded; distance to the reserve 0.0 km of the 40.0 km demanded. It comes to the end of the day: 3.0 km in "* ]]
    [[ $told != *" does A day"* ]]
    tr -s ' \n' ' ' <page.html | grep -q ' does not do A day: reserve of charge '
    run --separate-stderr "$EVENER" range "$truck" day.yaml --start-soc 0.4
    [ "$status" -eq 1 ]
    [[ $(tr -s ' \n' ' ' <<<"$output") == *" does not do "* ]]
}

@test "drive and range judge a demanded distance alike, also one that is longer than the day" {
    for km in 2 3 8 40; do
        for soc in 0.9 0.15; do
            day "  - $leg" "demands: {reserve_soc: 0.05, distance_km: $km}" 'seasons: {cold: {share: 0.5, load_case: {temperature_degc: -10}}, warm: {share: 0.5}}'
            run "$EVENER" drive "$truck" day.yaml --start-soc $soc --json
            by_drive=$status
            jq -c '[.seasons[].demands[] | select(.key == "distance_km") | [.value, .met]]' <<<"$(sed -n '/^{/,$p' <<<"$output" | sed '/^evener: /d')" >drive.json
            run "$EVENER" range "$truck" day.yaml --start-soc $soc --only-distances --payloads-kg 22800 --ages-years 0 --json
            jq -c '[.cells[] | [.distance_km, .does_it]]' <<<"$(sed -n '/^{/,$p' <<<"$output" | sed '/^evener: /d')" >range.json
            echo "$km km from $soc: $by_drive by drive, $status by range"
            cat drive.json range.json
            [ "$by_drive" -eq "$status" ]
            jq -e --argjson range "$(cat range.json)" --argjson km $km \
                '[., $range] | transpose | all(.[0][1] == .[1][1] and (.[0][1] or (.[0][0] - .[1][0] | fabs) < 1e-9) and (.[0][1] == (.[0][0] >= $km)))' drive.json
            echo "$status" >>judged
        done
    done
    grep -q 0 judged && grep -q 1 judged
}

@test "a fault of writing in a duty is told alone, and not as if the duty were a cycle" {
    for fault in 'working_days_per_year: &a 200' 'name: Again'; do
        day "  - $leg" "$fault"
        for command in drive range; do
            run --separate-stderr "$EVENER" "$command" "$truck" day.yaml
            echo "$stderr"
            [ "$status" -eq 2 ] && [ -z "$output" ]
            [ "$(grep -c 'error: ' <<<"$stderr")" -eq 1 ]
            [[ $stderr == *"day.yaml:5:"* ]]
        done
    done
}

@test "a duty that the truck cannot have is refused where it asks for it, before anything is driven, with all reasons" {
    printf '%s\n' 'name: Yard' 'invented: true' 'length_m: 3000' 'speed: {place_m: [0], limit_km_h: [60]}' \
        'stops: {place_m: [1000, 2000], wait_s: [60, 60], takeoff_kw: [0, 15], takeoff_s: [0, 30]}' >yard.yaml
    day '  - rounds: {times: 2, each: [leg: {name: out, cycle: {use: yard.yaml}}]}' \
        '  - stop: {name: tip, duration_min: 3, takeoff_kw: 20, takeoff_s: 60}' \
        '  - stop: {name: noon, charging: {connector_kw: 200, until_soc: 0.99}}' \
        'seasons:' '  mild: {share: 0.5}' '  cold: {share: 0.5, load_case: {battery_start_degc: 5}}'
    for command in drive range; do
        run --separate-stderr "$EVENER" $command "$truck" day.yaml --csv legs.csv
        echo "$output$stderr"
        [ "$status" -eq 2 ] && [ -z "$output" ] && [ ! -e legs.csv ]
        [ "$(grep -c 'error: ' <<<"$stderr")" -eq 4 ]
        grep "^yard.yaml:5:62: error: leg 'out': 15 kW are asked of a power take-off at 2.000 km, and .* has none; expected power_take_off in the truck, or a cycle without takeoff_kw" <<<"$stderr"
        grep "^day.yaml:5:52: error: stop 'tip': 20 kW are asked of a power take-off, and .* has none; expected power_take_off in the truck, or a stop without takeoff_kw" <<<"$stderr"
        grep "^day.yaml:6:65: error: the stop 'noon' lasts until a charge of 0.99 (until_soc), and the battery of .* is charged to 0.94 at most, the end of its usable window; expected until_soc up to there, or duration_min" <<<"$stderr"
        grep "^day.yaml:9:33: error: cold: .*battery_start_degc is 5.*; expected no such condition" <<<"$stderr"
    done
    run --separate-stderr -2 "$EVENER" drive "$truck" day.yaml --set duty.day[1].stop.takeoff_kw=10
    grep "^--set 1:29: error: stop 'tip': 10 kW are asked" <<<"$stderr"
    run --separate-stderr -2 "$EVENER" range "$truck" yard.yaml
    grep "^yard.yaml:5:62: error: leg 'Yard': 15 kW are asked of a power take-off at 2.000 km" <<<"$stderr"
    # a condition that is asked for beside the seasons stands in no file
    run --separate-stderr -2 "$EVENER" range "$truck" day.yaml --battery-start-degc 5
    grep "^evener: error: mild: .*battery_start_degc is 5" <<<"$stderr"
}

# Each truck's day in the other season stands against the same day driven by itself.
@test "a stop with a duration may charge towards what its battery never holds" {
    day "  - $leg" '  - stop: {name: noon, duration_min: 1, charging: {connector_kw: 200, until_soc: 0.99}}'
    "$EVENER" drive "$truck" day.yaml
}

@test "a stop that has nothing to charge has charged 0, without a sign" {
    day "  - $leg" '  - stop: {name: noon, charging: {connector_kw: 100, until_soc: 0.3}}'
    "$EVENER" drive "$truck" day.yaml --json >day.json
    grep '"charged_kwh"' day.json
    [ "$(grep -cE '"charged_kwh": -0' day.json)" -eq 0 ]
}

@test "what brake applications owe at the end of a leg is drawn on, in stops and the next leg" {
    printf '%s\n' 'name: Short' 'invented: true' 'length_m: 1000' 'speed: {place_m: [0], limit_km_h: [40]}' \
        'stops: {place_m: [300, 600], wait_s: [5, 5]}' >short.yaml
    day '  - leg: {name: out, cycle: {use: short.yaml}}' '  - stop: {name: wait, duration_min: 1}' \
        '  - leg: {name: home, cycle: {use: short.yaml}}' '  - stop: {name: end, duration_min: 20}'
    "$EVENER" drive "$root/tests/trucks/ideal.yaml" day.yaml --set brakes.regeneration=false \
        --set 'auxiliaries.consumers={air: {brake_application_kj: 150, making_up_kw: 1}}' --json >day.json
    jq -c '[.seasons[0].phases[] | .brake_applications, .auxiliaries.air.used_kwh]' day.json
    # each of 150 kJ, of which a leg of some two minutes at 1 kW makes up for less than one
    jq -e '.seasons[0].day | .brake_applications == 6 and ((.auxiliaries.air.used_kwh - 6 * 150 / 3600) | fabs < 1e-4)' day.json
    jq -e '.seasons[0].phases | .[1].auxiliaries.air.used_kwh > 60 / 3600 - 1e-4 and .[3].auxiliaries.air.used_kwh > 0.05' day.json
}

@test "a day that is interrupted is not judged, in words and as a document" {
    day '  - rounds: {times: 200, each: [leg: {name: a, cycle: {use: hill.yaml}}, leg: {name: b, cycle: {use: hill.yaml}}]}' \
        'seasons: {one: {share: 0.5}, two: {share: 0.5, load_case: {temperature_degc: -5}}}' 'demands: {reserve_soc: 0.1, distance_km: 900}'
    truck=$root/vehicles/trucks/days/tractor-4x2-central-day.yaml
    timeout -s INT --preserve-status 0.8 "$EVENER" drive "$truck" day.yaml --json >day.json || [ $? -ne 0 ]
    jq -c '.status, .seasons[].demands' day.json
    jq -e '.status == "interrupted" and ([.seasons[].demands[].met] | length == 4 and all(. == null))' day.json
    jq -e '[.seasons[] | .reserve_soc, .reserve_kwh] | all(. == null)' day.json
    timeout -s INT --preserve-status 0.8 "$EVENER" drive "$truck" day.yaml >told 2>err || [ $? -ne 0 ]
    cat told
    [ "$(grep -cE '^ +(one|two) +50 +- +- +- +- +interrupted$' told)" -eq 2 ]
}

@test "a battery that ends in a stop is told with the minutes of the stop" {
    printf '%s\n' 'name: Flat' 'invented: true' 'length_m: 2000' 'speed: {place_m: [0], limit_km_h: [40]}' >flat.yaml
    day '  - leg: {name: out, cycle: {use: flat.yaml}}' '  - stop: {name: tip, duration_min: 12, takeoff_kw: 30, takeoff_s: 600}'
    run --separate-stderr -1 "$EVENER" drive "$root/tests/trucks/take-off.yaml" day.yaml --set battery.capacity_ah=8
    echo "$stderr"
    [[ $stderr == *"error: stop 'tip': the usable charge of "*" ends after "?.?" min of the stop, at a state of charge of "*" %; expected enough for its 12.0 min; "* ]]
}

@test "the page tells what the year takes from the grid as the report does" {
    "$EVENER" drive none.yaml none.yaml --page probe.html 2>&1 | grep -q 'built without pages' && skip "built without pages"
    day "  - $leg" '  - stop: {name: noon, duration_min: 6, charging: {connector_kw: 50, efficiency: 0.9}}' 'working_days_per_year: 200'
    told=$("$EVENER" drive "$truck" day.yaml --page day.html | tr -s ' \n' ' ')
    kwh=$(sed -E 's/.*The year .* kWh, which take ([0-9]+) kWh from the grid with.*/\1/' <<<"$told")
    [ "$kwh" -gt 900 ]
    sed 's/&#160;/ /g' day.html | grep -E "<p>The year.* kWh, which take $kwh kWh from the grid with the losses of the charger"
}
