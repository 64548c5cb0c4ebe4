#!/usr/bin/env bats
# evener import and evener matrix: logs and maps as people send them, what is written and what is refused.

bats_require_minimum_version 1.5.0

setup() {
    root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    export EVENER_PATH=$root
    cd "$BATS_TEST_TMPDIR"
    log=$root/cycles/logs/pass-drive.csv
    speed='speed=v_gps [km/h]'
}

@test "the log and the matrices in the tree are what tools/logs makes" {
    run "$root/tools/logs" --check
    echo "$output"
    [ "$status" -eq 0 ]
}

@test "a log becomes a cycle that drives as long and as far" {
    "$EVENER" import "$log" pass.yaml --column "$speed" --json >told.json
    [ "$(jq -r .status told.json)" = done ]
    jq -e '.repairs == {last_line_cut: false, longest_step_s: 10, rows_of_time_as_before: 0, rows_back_in_time: 0,
        rows_without_time: 0, empty_cells: 0, gaps_bridged: 1, gaps_at_rest: 0, speeds_off: 0, altitudes_off: 1,
        altitude_gaps: 1}' told.json
    jq -e '.log.columns | map(.quantity) == ["time", "speed", "altitude", "latitude", "longitude", "charge"]' told.json
    "$EVENER" drive tractor-4x2-eaxle pass.yaml --json >drive.json 2>/dev/null
    jq -e '.status == "finished"' drive.json
    jq -e -n --slurpfile a told.json --slurpfile b drive.json \
        '($a[0].answer.distance_m / 1000 / $b[0].distance_km - 1) | fabs < 0.001'
}

@test "over place it becomes limits and stops, with their caution" {
    "$EVENER" import "$log" pass.yaml --column "$speed" --over place >told.txt
    grep -q 'no sign at' told.txt
    grep -q '^# .*what was driven' pass.yaml
    head -n 1 pass-speed.csv | grep -qx place_m,limit_km_h
    awk -F, 'NR > 1 && $2 % 5 != 0 { exit 1 }' pass-speed.csv
    "$EVENER" drive tractor-4x2-eaxle pass.yaml --json 2>/dev/null | jq -e '.status == "finished"'
}

@test "a mapping says what options say" {
    printf 'columns:\n  speed: {name: v_gps, unit: km/h}\n' >logger.yaml
    "$EVENER" import "$log" a.yaml --mapping logger.yaml >/dev/null
    "$EVENER" import "$log" b.yaml --column "$speed" >/dev/null
    cmp a-speed.csv b-speed.csv
    cmp a-grade.csv b-grade.csv
    printf 'columns:\n  sped: {name: v_gps, unit: km/h}\n' >wrong.yaml
    run -2 "$EVENER" import "$log" c.yaml --mapping wrong.yaml
    [[ $output == *"wrong.yaml:2:"*"sped is no quantity of logs"*"nearest is 'speed'"* ]]
    [ ! -e c.yaml ]
}

@test "GPX becomes a cycle by positions alone" {
    {
        echo '<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>'
        awk 'BEGIN { for (t = 0; t < 600; t++) {
            v = t < 20 || t > 560 ? 0 : t < 60 ? (t - 20) / 2 : t > 520 ? (560 - t) / 2 : 20; s += v
            printf "<trkpt lat=\"%.7f\" lon=\"8\"><ele>%.1f</ele><time>2026-05-04T08:%02d:%02dZ</time></trkpt>\n",
                47 + s / 111180, 400 + s / 50, t / 60, t % 60 } }'
        echo '</trkseg></trk></gpx>'
    } >drive.gpx
    "$EVENER" import drive.gpx drive.yaml --json >told.json
    jq -e '.log.form == "GPX" and .log.speed_from == "latitude and longitude" and .log.grade_from == "altitude"' told.json
    jq -e '.answer.distance_m / 9980 - 1 | fabs < 0.005' told.json
    jq -e '.answer.climb_m / 199.6 - 1 | fabs < 0.01' told.json
    "$EVENER" drive tractor-4x2-eaxle drive.yaml --json 2>/dev/null | jq -e '.status == "finished"'
}

@test "bad logs are refused with their place, and nothing is written" {
    refused() {
        run -2 "$EVENER" import bad.csv bad-cycle.yaml "${@:2}"
        echo "$output"
        [[ $output == *"$1"* ]]
        [ -z "$(ls bad-cycle* 2>/dev/null)" ]
    }
    : >bad.csv
    refused 'bad.csv:1:1: error: a log without lines'
    printf 'time_s,speed_km_h\n0,10\n1,11\n2,1' >bad.csv
    refused 'moved'
    printf 'time_s,speed_km_h\n0,10\n1,11\n5,12,3\n' >bad.csv
    refused 'bad.csv:4:1: error: a row of 3 cells; expected 2'
    printf 'time_s,speed_km_h\n8,10\n9,11\n1,12\n2,13\n3,13\n' >bad.csv
    refused 'bad.csv:4:1: error: time goes back here'
    awk 'BEGIN { print "time_s,speed_m_s,place_m"; for (t = 0; t < 300; t++) printf "%d,%.1f,%.1f\n", t, 36, t * 10 }' >bad.csv
    refused 'is its unit km/h?'
    awk 'BEGIN { print "time_s,speed_m_s"; for (t = 0; t < 300; t++) if (t < 100 || t > 190) print t ",15" }' >bad.csv
    refused 'bad.csv:102:1: error: a gap of 92 s before this row'
    "$EVENER" import bad.csv bridged.yaml --bridge-s 100 --json | jq -e '.repairs.gaps_bridged == 1'
    awk 'BEGIN { print "time_s,speed_km_h"; for (t = 0; t < 300; t++) print t "," (t < 150 ? 80 : 0) }' >bad.csv
    refused 'braking below 8 m/s2' --speed-width-s 0.5
    cp "$log" bad.csv
    refused 'no row with a time in the part that is taken' --column "$speed" --from-s 5000
    printf '\x50\x4b\x03\x04' >bad.csv
    refused 'bad.csv:1:3: error: the control character'
}

@test "files that are there are left alone unless --force says so" {
    echo mine >pass-grade.csv
    run -2 "$EVENER" import "$log" pass.yaml --column "$speed"
    [[ $output == *"'pass-grade.csv' is there already"* ]]
    [ "$(cat pass-grade.csv)" = mine ]
    [ ! -e pass.yaml ]
    "$EVENER" import "$log" pass.yaml --column "$speed" --force >/dev/null
    head -n 1 pass-grade.csv | grep -qx place_m,grade_percent
    run -2 "$EVENER" import "$log" pass
    [[ $output == *"a name that ends in .yaml was expected"* ]]
}

@test "matrices become the table of a map, and the truck loses as they say" {
    "$EVENER" matrix "$root/vehicles/maps/motor-600.csv" one.csv --values 'efficiency [%]' --json >told.json
    jq -e '.cells == 118 and .cells_without_value == 38 and .sheet_column == null' told.json || jq . told.json
    "$EVENER" matrix "$root/vehicles/maps/motor-600.csv" two.csv --values 'efficiency [%]' --at 600 \
        --with "750=$root/vehicles/maps/motor-750.csv" >/dev/null
    head -n 1 two.csv | grep -qx voltage_v,speed_rpm,torque_nm,efficiency
    grep -qx 600,3000,640,0.908 two.csv || grep '^600,3000,640' two.csv
    "$EVENER" drive tractor-4x2-eaxle hill --set drive_units.rear.motors.a.map.table=two.csv \
        --set drive_units.rear.motors.b.map.table=two.csv --json 2>/dev/null | jq -e '.status == "finished"'
}

@test "the same losses by efficiency, by power and the other way up are the same table" {
    printf 'x,1000,2000\n100,80,90\n200,85,95\n' >a.csv
    printf 'x;100;200\n1000;0,80;0,85\n2000;0,9;0,95\n' >b.csv
    "$EVENER" matrix a.csv ta.csv --values 'efficiency [%]' >/dev/null
    "$EVENER" matrix b.csv tb.csv --values 'efficiency [1]' --across 'torque [Nm]' --down 'speed [1/min]' >/dev/null
    cmp ta.csv tb.csv
    printf 'x,-1000,1000,2000\n-100,5,1,2\n100,5,3,4\n' >c.csv
    "$EVENER" matrix c.csv tc.csv --values 'loss [kW]' --json | jq -e '.cells_of_reverse_speed == 2 and .value_most == 4000'
    printf 'speed_rpm,torque_nm,loss_w\n1000,-100,1000\n1000,100,3000\n2000,-100,2000\n2000,100,4000\n' | cmp - tc.csv
}

@test "matrices that do not fit what is said of them are refused with their place" {
    printf 'x,1000,2000\n100,80,90\n200,85,95\n' >a.csv
    run -2 "$EVENER" matrix a.csv t.csv --values 'efficiency [1]'
    [[ $output == *"a.csv:2:5: error: an efficiency of 80; expected at most 1"* ]]
    printf 'x,1000,2000\n100,0.80,0.90\n200,0.85,0.95\n' >b.csv
    run -2 "$EVENER" matrix b.csv t.csv --values 'efficiency [%]'
    [[ $output == *"b.csv:1:1: error: no efficiency above 0.95 %"* ]]
    printf 'x,1000,1000\n100,1,2\n' >c.csv
    run -2 "$EVENER" matrix c.csv t.csv --values 'loss [W]'
    [[ $output == *"c.csv:1:8: error: 1000 twice on one axis"* ]]
    printf 'x,1000,2000\n100,1\n' >d.csv
    run -2 "$EVENER" matrix d.csv t.csv --values 'loss [W]' --separator comma
    [[ $output == *"d.csv:2:1: error: a row of 2 cells; expected 3"* ]]
    run -2 "$EVENER" matrix a.csv t.csv --values 'efficiency [%]' --at 600 --with 750=a.csv
    [[ $output == *"the matrices of 600 and 750 hold the same values"* ]]
    printf 'Nm \\ 1/min,1000,2000\n100,80,90\n200,85,95\n' >e.csv
    run -2 "$EVENER" matrix e.csv t.csv --values 'efficiency [%]' --across 'torque [Nm]' --down 'speed [rpm]'
    [[ $output == *"e.csv:1:1: error: 'Nm "*"in the corner, which says speed across; expected torque"* ]]
    "$EVENER" matrix e.csv right.csv --values 'efficiency [%]' >/dev/null
    run -0 "$EVENER" matrix e.csv doubted.csv --values 'loss [kW]'
    [[ $output == *"losses above the power of the shaft at 4 of 4 points"* ]]
    printf 'x,1000,2000\n100,2,3\n200,4,5\n' >f.csv
    run -0 "$EVENER" matrix f.csv low.csv --values 'efficiency [%]'
    [[ $output == *"a best efficiency of 5 %"* ]]
    printf 'x,1000,2000\n0.1,80,90\n0.2,85,95\n' >k.csv
    "$EVENER" matrix k.csv k-map.csv --values 'efficiency [%]' --down 'torque [kNm]' >/dev/null
    "$EVENER" matrix a.csv a-map.csv --values 'efficiency [%]' >/dev/null
    cmp k-map.csv a-map.csv
    run -2 "$EVENER" matrix a.csv t.csv --values 'loss [furlong]'
    [[ $output == *"expected efficiency [%], efficiency [1], loss [W]"* ]]
    run -2 "$EVENER" matrix a.csv t.csv
    [[ $output == *"no --values"* ]]
    [ ! -e t.csv ]
}

# A table by the law of parts: efficiency 0.96, drag 20 Nm + 0.05 Nm per rpm on the wheel side, twice that at 40 degC.
by_law() {
    awk -v side="$1" 'BEGIN { print "oil_degc,speed_rpm,torque_nm,loss_nm"
        for (k = 0; k < 2; k++) for (n = 50; n <= 450; n += 100) for (t = -4000; t <= 12000; t += 2000) {
            f = k ? 1 : 2; d = (20 + 0.05 * n) * f; load = t + d
            loss = d + (load > 0 ? load * (1 / 0.96 - 1) : -load * (1 - 0.96))
            if (side == "wheel") printf "%g,%g,%g,%.9g\n", k ? 90 : 40, n, t, loss
            else if (t >= 0) printf "%g,%g,%.9g,%.9g\n", k ? 90 : 40, n * 4, (t + loss) / 4, loss / 4 }}'
}

@test "losses by the law of parts come back as its coefficients, on either side" {
    by_law wheel >wheel.csv
    "$EVENER" losses wheel.csv wheel.yaml --ratio 4 --json >told.json
    jq -e '(.efficiency - 0.96 | fabs < 1e-6) and .off.rms_of_mean_loss < 1e-6 and .points_fitted == 70' told.json
    jq -e '.drag.torque_nm as $d | .drag.speed_rpm | to_entries | all(($d[.key] - 20 - 0.05 * .value) | fabs < 1e-3)' told.json
    jq -e '(.oil.drag_factor[0] - 2 | fabs < 1e-4) and .oil.drag_factor[1] == 1' told.json
    jq -e ".off.pushing_rms_of_mean_loss < 1e-6" told.json
    by_law motor >motor.csv
    "$EVENER" losses motor.csv motor.yaml --ratio 4 --side motor_side --json >told.json
    jq -e '(.efficiency - 0.96 | fabs < 1e-6) and .off.rms_of_mean_loss < 1e-6' told.json
    "$EVENER" drive tractor-4x2-central hill --set 'drive_units.rear.path[4].final_drive={use: wheel.yaml}' --json 2>err.txt |
        jq -e '.status == "finished"' || { cat err.txt; false; }
    "$EVENER" losses wheel.csv wheel.yaml --ratio 4 --force | grep -q 'Off the table by'
}

@test "losses that follow no such law are told to be off it, and tables that do not fit are refused" {
    by_law wheel | awk -F, 'NR == 1 { print; next } { printf "%s,%s,%s,%.6g\n", $1, $2, $3, $4 * (1 + $2 / 500) }' >bent.csv
    "$EVENER" losses bent.csv bent.yaml --ratio 4 --json | jq -e '.off.rms_of_mean_loss > 0.05'
    awk -F, 'NR == 1 { print; next } { printf "%s,%s,%s,%.6g\n", $1, $2, $3, NR % 2 ? 3 * $4 : $4 / 3 }' bent.csv >far.csv
    run -2 "$EVENER" losses far.csv far.yaml --ratio 4
    [[ $output == *"far.csv:1:1: error: losses that the fitted part is off by"* ]]
    [ ! -e far.yaml ]
    printf 'speed_rpm,torque_nm,lost_nm\n1,2,3\n' >a.csv
    run -2 "$EVENER" losses a.csv part.yaml --ratio 4
    [[ $output == *"a.csv:1:1: error: column 'lost_nm' in a table of losses"*"nearest is 'loss_nm'"* ]]
    printf 'speed_rpm,torque_nm,loss_nm\n100,200,30\n100,300,-1\n' >a.csv
    run -2 "$EVENER" losses a.csv part.yaml --ratio 4
    [[ $output == *"a.csv:3:1: error: a loss below 0"* ]]
    printf 'speed_rpm,torque_nm,loss_nm\n100,200,30\n' >a.csv
    run -2 "$EVENER" losses a.csv part.yaml --ratio 4
    [[ $output == *"1 points of torque 0 or more"* ]]
    run -2 "$EVENER" losses a.csv part.yaml
    [[ $output == *"no --ratio"* ]]
    [ ! -e part.yaml ]
}

@test "what smoothing does can go into what errs of a comparison" {
    "$EVENER" import "$log" pass.yaml --column "$speed" --json >told.json
    jq -e '.smoothing.grade_factor_half_width > 0.01 and .smoothing.grade_factor_half_width < 0.2' told.json
    climb() { "$EVENER" cycle info pass.yaml "$@" --json | jq '[.. | objects | .climb_m? // empty][0]'; }
    awk -v a="$(climb)" -v b="$(climb --set road.grade_factor=1.1)" 'BEGIN { exit !(b > 1.09 * a && b < 1.101 * a) }'
    cat >own.yaml <<TEXT
name: own road
invented: true
cycle: {use: pass.yaml}
$(sed -n 's/^# \(uncertain: .*\)/\1/p' pass.yaml)
trucks:
  central: {use: $root/vehicles/trucks/tractor-4x2-central.yaml}
  again: {use: $root/vehicles/trucks/tractor-4x2-central.yaml}
TEXT
    "$EVENER" show own.yaml --uncertain 2>/dev/null | grep -q grade_factor || grep -q 'uncertain: {smoothing' own.yaml
    "$EVENER" compare own.yaml --uncertainty off >/dev/null 2>err.txt || { cat err.txt; false; }
}
