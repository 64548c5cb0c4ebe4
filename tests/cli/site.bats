#!/usr/bin/env bats
# evener site. EVENER is the program; EVENER_SOURCE the folder of the sources.
# shellcheck disable=SC2154 # run sets stderr

bats_require_minimum_version 1.5.0

setup() {
    root=$(realpath "${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}")
    central=$root/vehicles/trucks/tipper-8x4-central.yaml
    eaxle=$root/vehicles/trucks/tipper-8x2-eaxle.yaml
    silent=$root/tests/trucks/plain/tractor-4x2-central.yaml
    mkdir "$BATS_TEST_TMPDIR/here" # bats keeps files of its own one folder up
    cd "$BATS_TEST_TMPDIR/here" || return 1
}

# The text with line breaks as blanks: sentences are broken where the page is.
flat() { tr -s ' \n' ' ' <<<"$1"; }

# The build says itself whether it has a page.
has_pages() { ! "$EVENER" drive none.yaml none.yaml --page probe.html 2>&1 | grep -q 'built without pages'; }

@test "exit 0: of one truck each figure with its limit, margin and what decides, and the caution" {
    run --separate-stderr "$EVENER" site "$central" --all
    [ "$status" -eq 0 ] && [ -z "$stderr" ]
    page=$(flat "$output")
    for part in "Brakkel 32 t tipper, central drive, four gears, two driven axles (invented)" "Ground clearance" \
        "limit margin what decides" "body of axle leading" "propeller shaft to axle leading" "front overhang" \
        "Source: ISO 612, from memory" "Room for batteries" "bay between rails modules 0" \
        "lost to drive units 9" "local regulation, approved testing and licensed practice to decide"; do
        [[ $page == *"$part"* ]] || { echo "not told: $part" && false; }
    done
}

@test "several trucks stand side by side, what decides below each figure" {
    run --separate-stderr "$EVENER" site "$central" "$eaxle" --group clearance
    [ "$status" -eq 0 ]
    page=$(flat "$output")
    [[ $page == *"central drive electric axle, 8x2"* ]]
    [[ $page == *"housing of the electric axle at axle leading"* ]]
    [[ $output != *"Room for batteries"* ]]
}

@test "no line is wider than 80 columns" {
    run --separate-stderr env COLUMNS=80 "$EVENER" site "$central" "$eaxle" --rut-mm 120 --crown-mm 60
    [ "$status" -eq 0 ]
    [ "$(awk '{ if (length > most) most = length } END { print most }' <<<"$output")" -le 80 ]
}

@test "a lineup stands for its trucks" {
    run --separate-stderr "$EVENER" site "$root/vehicles/lineups/tipper-out.yaml" --group packaging --json
    [ "$status" -eq 0 ]
    [ "$(jq -r '[.trucks[].name] | join(" ")' <<<"$output")" = "central two_electric_axles electric_axle" ]
}

@test "json: answer first, each figure with value, unit, limit, margin and why; csv has the same numbers" {
    run --separate-stderr "$EVENER" site "$eaxle" --json --csv site.csv
    [ "$status" -eq 0 ]
    jq -e '.schema == "evener.site/1" and .status == "finished" and .answer[0].keeps_all_that_is_demanded' <<<"$output"
    jq -e '.trucks[0].figures.clearance.leading.laden_mm | .limit == 260 and (.margin - (.value - 260) | fabs) < 1e-6
        and .demanded == false and .why == "housing of the electric axle at axle leading"' <<<"$output"
    value=$(jq '.trucks[0].figures.clearance.leading.laden_mm.value' <<<"$output")
    grep -q "^tipper-8x2-eaxle,.*,clearance.leading.laden_mm,.*,mm,$value,260," site.csv
    [ "$(wc -l <site.csv)" -eq $((1 + $(jq '.rows | length' <<<"$output"))) ]
}

@test "exit 1 where less is left than is demanded, with who and what" {
    run --separate-stderr "$EVENER" site "$central" --clearance-mm 300
    [ "$status" -eq 1 ]
    [[ $(flat "$output") == *"central drive: axle leading, laden 281 mm, demanded 300 mm (-19 mm; body of axle leading)"* ]]
    [[ $(flat "$output") == *"on the frame, laden 263 mm, demanded 300 mm (-37 mm; battery box left)"* ]]
    [ "$(grep -c 'not met' <<<"$output")" -ge 4 ]
}

@test "the answer's figures are those of the groups, in the document and in words" {
    three=("$central" "$eaxle" "$root/vehicles/trucks/tipper-8x4-two-eaxles.yaml")
    run --separate-stderr "$EVENER" site "${three[@]}" --rules "$root/vehicles/rules/eu-96-53.yaml" --rut-mm 40 --json
    [ "$status" -eq 1 ]
    jq -e '[.answer[].decides | length] == [15, 16, 16]' <<<"$output"
    jq -e '. as $all | [range(3) as $i | .answer[$i].decides[]
        | . as $told | $all.trucks[$i].figures | getpath($told.figure | split("."))
        | .value == $told.value and .limit == $told.limit and .margin == $told.margin] | length == 47 and all' <<<"$output"
    # the picks by a second way: heaviest driven axle, axle nearest its limit, height nearest its own
    jq -e '[range(3) as $i | .trucks[$i].figures as $f | .answer[$i].decides as $d
        | $d.unsprung_kg.value == ([$f.ride[] | select(.drive_kg.value > 0) | .unsprung_kg.value] | max)
        and $d.axle_load_kg.margin == ([$f.axle_loads | to_entries[] | select(.key | startswith("axle_")) | .value.laden_kg.margin] | min)
        and $d.under_drive_mm.margin == ([$f.clearance[].laden_mm.margin | numbers] | min)] | all' <<<"$output"
    jq -e '[.answer[] | .against | contains("nothing asked is missed")] == [true, false, true]' <<<"$output"
    jq -e '.answer[1].against | contains("18236 kg, demanded 18000 kg (-236 kg; 96/53/EC Annex I 3.5.3)")
        and (contains("motor_tandem") | not)' <<<"$output"
    jq -e '.differences | contains("least with electric axle, 8x2 (14086 kg)") and contains("within 1 % of it") and
        contains("most with electric axle, 8x2 (660 kWh, with which it does not keep the rules)")' <<<"$output"
    jq -e '[.answer[].decides.battery_kwh.where] | .[0] == null and .[2] == null and (.[1] | test("does not keep the rules: motor_tandem_1_3_to_1_8_m"))' <<<"$output"
    payload=$(jq -r '.answer[1].decides.payload_kg.value | round' <<<"$output")
    run --separate-stderr "$EVENER" site "${three[@]}" --rules "$root/vehicles/rules/eu-96-53.yaml" --rut-mm 40
    [[ $(flat "$output") == *"What decides"*"payload, placed"*"$payload kg (-2714 kg)"*"not met"*"Ground clearance"* ]]
}

@test "three trucks are told in less than 120 lines of 80 columns; --all tells every figure of the document" {
    three=("$central" "$eaxle" "$root/vehicles/trucks/tipper-8x4-two-eaxles.yaml")
    run --separate-stderr env COLUMNS=80 "$EVENER" site "${three[@]}"
    [ "$status" -eq 0 ] && [ "$(wc -l <<<"$output")" -lt 120 ]
    [ "$(awk '{ if (length > most) most = length } END { print most }' <<<"$output")" -le 80 ]
    [[ $output != *"not air"* && $output != *"as asked "*"as asked "* ]]
    run --separate-stderr "$EVENER" site "$central" --all
    [ "$(grep -c '^    [a-z]' <<<"$output")" -ge "$("$EVENER" site "$central" --json | jq '.rows | length')" ]
}

@test "the centre of a shipped battery is that of its boxes within 5 mm" {
    for truck in "$root"/vehicles/trucks/*.yaml; do
        "$EVENER" site "$truck" --group axle_loads --json >loads.json
        jq -e '.trucks[0].figures.axle_loads | (.battery_place.front_kg.why // "") as $why
            | [$why | scan("[0-9]+[.][0-9]+") | tonumber] | length == 0 or ((.[0] - .[1]) | fabs) < 0.0051' loads.json ||
            { echo "$truck" && false; }
    done
}

@test "what a file does not state is told with its key, and the rest still comes" {
    run --separate-stderr "$EVENER" site "$silent" --json
    [ "$status" -eq 0 ]
    jq -e '.trucks[0].figures | .clearance.front.laden_mm.value == null
        and .clearance.front.laden_mm.why == "not known: axles.front.tyre.free_radius_m is not stated"
        and .packaging.now.payload_kg.value > 20000' <<<"$output"
}

@test "range by a stated use, or by a cycle that is driven; not by both" {
    use=$("$EVENER" drive "$central" "$root/cycles/scenarios/hill.yaml" --json | jq .kwh_per_km)
    "$EVENER" site "$central" --group packaging --over "$root/cycles/scenarios/hill.yaml" --json >driven.json
    jq -e --argjson use "$use" '.trucks[0].figures.packaging.now | (.range_km.value - .usable_kwh.value / $use | fabs) < 1e-6' driven.json
    run --separate-stderr "$EVENER" site "$central" --over "$root/cycles/scenarios/hill.yaml" --kwh-per-km 1
    [ "$status" -eq 2 ] && [[ $stderr == *"--over and --kwh-per-km both say the energy use"* ]]
}

@test "a run that does not get to its end gives no range: exit 1, its status, and why" {
    over=$root/cycles/scenarios/hill.yaml
    run --separate-stderr "$EVENER" site "$central" --group packaging --over "$over" --json --set battery.capacity_ah=20
    [ "$status" -eq 1 ]
    jq -e '.status == "battery_empty" and (.answer[0].keeps_all_that_is_demanded | not)
        and .trucks[0].kwh_per_km == null and .trucks[0].figures.packaging.now.range_km.value == null
        and (.trucks[0].figures.packaging.now.range_km.why | endswith("was not driven to its end: battery empty"))' <<<"$output"
}

@test "a range says the use that it stands on, and largest batteries whose limits they keep" {
    "$EVENER" site "$central" --kwh-per-km 1.25 --rules "$root/vehicles/rules/eu-96-53.yaml" --json >given.json || true
    jq -e '.trucks[0] | .kwh_per_km == 1.25 and .figures.packaging.now.range_km.why == "at 1.250 kWh/km"
        and (.figures.packaging.largest.modules.why | endswith("; limits of the file alone"))' given.json
    run --separate-stderr "$EVENER" site "$central" --kwh-per-km 99
    [ "$status" -eq 2 ] && [[ $stderr == *"kwh_per_km is 99 kWh/km; expected 0.05 to 20 kWh/km"* ]]
}

@test "options that are for nothing without another, or beside it, are refused" {
    refused() {
        words=$1
        run --separate-stderr "$EVENER" site "$central" "${@:2}"
        [ "$status" -eq 2 ] && [[ $stderr == *"$words"* ]] || { echo "${*:2}: $stderr" && false; }
    }
    refused "--rules was expected" --group rules
    refused "--rules was expected" --intermodal
    refused "--over-time was expected" --seed 3
    refused "one of them was expected" --unevenness D --unevenness-m3 1e-4
    refused "a route or one track" --cycle "$root/cycles/scenarios/hill.yaml" --unevenness D
    refused "a route or one track" --cycle "$root/cycles/scenarios/hill.yaml" --unevenness-m3 1e-4
    refused "a route or one track" --cycle "$root/cycles/scenarios/hill.yaml" --speed-km-h 20
}

@test "what is not asked of the track is not called asked" {
    "$EVENER" site "$central" --group ride --unevenness D --json >track.json
    jq -e '.trucks[0].figures.ride.road | .roughest_cm3.why == "as asked" and (.speed_km_h.why | startswith("not asked, no route: 40 km/h"))' track.json
}

@test "linear rides are marked where the travel to expect passes the bump stop" {
    "$EVENER" site "$central" --group ride --json --set axles.front.suspension.bump_travel_m=0.02 >short.json
    jq -e '.trucks[0].figures.ride | .front.travel_peak_mm.margin < 0 and (.front.body_m_s2.why | test("bump stops"))
        and .second.body_m_s2.why == null' short.json
}

@test "help names every group" {
    names=$("$EVENER" site "$central" --group none 2>&1 | sed -n 's/.*one of \(.*\) was expected.*/\1/p')
    [ -n "$names" ]
    help=$(flat "$("$EVENER" help site)")
    for name in ${names//,/}; do
        [[ ${help#*--group} == *"$name"* ]] && [[ $help == *"($name)"* ]] || { echo "$name is not told" && false; }
    done
}

@test "bad input: exit 2, with what was expected" {
    run --separate-stderr "$EVENER" site "$central" --rut-mm 5000
    [ "$status" -eq 2 ] && [[ $stderr == *"rut_mm is 5000 mm; expected 0 to 1000 mm"* ]]
    run --separate-stderr "$EVENER" site "$central" --group clearence
    [ "$status" -eq 2 ] && [[ $stderr == *"did you mean 'clearance'?"* ]]
    run --separate-stderr "$EVENER" site "$central" --set drive_units.rear.housings.motor.on_axle=5
    [ "$status" -eq 2 ] && [[ $stderr == *"housing motor is on axle 5; expected 1 to 4"* ]]
    run --separate-stderr "$EVENER" site "$central" --set axles.front.track_m=99
    [ "$status" -eq 2 ] && [[ $stderr == *"track_m"* ]]
    run --separate-stderr "$EVENER" site "$root/vehicles/lineups/tipper-out.yaml" "$central"
    [ "$status" -eq 2 ] && [[ $stderr == *"a lineup beside another file"* ]]
    run --separate-stderr "$EVENER" site "$central" --csv missing/site.csv
    [ "$status" -ge 2 ]
}

@test "a page has each truck's frame as a drawing without scripts, named from the file, and all figures" {
    has_pages || skip "built without pages"
    run --separate-stderr "$EVENER" site "$central" "$eaxle" --page site.html
    [ "$status" -eq 0 ]
    [ "$(grep -o '<svg class="frame"' site.html | wc -l)" -eq 2 ]
    grep -q '<h2 id="decides-title">What decides</h2>' site.html
    grep -q '<li>propeller shaft to axle leading</li>' site.html
    grep -q '<li>motor a of drive unit leading</li>' site.html
    grep -q 'Room for batteries' site.html
    "$EVENER" site "$central" "$eaxle" --group clearance --json >site.json
    for value in $(jq '.trucks[].figures.clearance | to_entries[] | select(.key != "angles") | .value[].value | round' site.json); do
        grep -q "<td>$value&#160;mm" site.html || { echo "$value is not told" && false; }
    done
    [ "$(sed -n '/<svg class="frame"/,/<\/svg>/p' site.html | grep -c '<script')" -eq 0 ]
}

@test "a lifted axle has its tyres in the drawing from the side" {
    has_pages || skip "built without pages"
    lifts=$root/vehicles/trucks/rigid-6x2-eaxle.yaml
    "$EVENER" site "$lifts" --set 'axles.tag.lifts={request: up}' --payload-kg 0 --page up.html >up.txt
    "$EVENER" site "$lifts" --payload-kg 0 --page down.html >down.txt
    tyres() { grep -o '<\(path\|circle\) class="tyre"[^>]*>' "$1"; }
    [ "$(tyres up.html | wc -l)" -eq "$(tyres down.html | wc -l)" ]
    [ "$(tyres up.html | grep -c circle)" -eq 2 ] # whole ones: an arc to where it begins is drawn as nothing
    run ! grep -q 'circle class="tyre"' down.html
}

@test "a truck that does not say what it looks like is not drawn, and the page says why" {
    has_pages || skip "built without pages"
    "$EVENER" site "$silent" --page site.html
    grep -q 'No drawing: frame is not stated' site.html
    [ "$(grep -c '<svg class="frame"' site.html)" -eq 0 ]
}

@test "the height usual under a drive on the axle is told with whom it holds for, and how low an axle without one stands" {
    run --separate-stderr "$EVENER" site "$central" "$eaxle" --group clearance --rut-mm 140 --json
    jq -e '[.trucks[].figures.clearance.leading.laden_mm] | .[0].limit == null and .[0].value < 260 and .[1].limit == 260 and .[1].margin < 0' <<<"$output"
    low=$(jq '[.trucks[0].figures.clearance | to_entries[] | select(.key | IN("frame", "truck", "shafts", "angles") | not) | .value.laden_mm.value] | min | round' <<<"$output")
    jq -e --arg low "$low" '.answer[1].against | contains("usual under a drive on the axle; central drive, without one, is at \($low) mm, axle leading, held to no limit")' <<<"$output"
}

@test "a box that its modules cannot fit into by volume is warned of, where a module says how large it is" {
    run --separate-stderr "$EVENER" site "$central" --group packaging --set battery.boxes.left.width_m=0.3
    [ "$status" -eq 0 ]
    [[ $stderr == *"warning: "*" in battery box left of 0.384 m3; expected no more than fit by volume"* ]]
    run --separate-stderr "$EVENER" site "$central" --group packaging
    [[ $stderr != *"by volume"* ]]
}
