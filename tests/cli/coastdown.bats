#!/usr/bin/env bats
# evener coastdown: the invented log gives its road load back, in every medium; bad runs and bad logs are refused with reasons.
# shellcheck disable=SC2154 # run sets stderr

bats_require_minimum_version 1.5.0

setup() {
    [ -x "$EVENER" ]
    root=$(cd "${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}" && pwd)
    log=$root/cycles/logs/coasting.csv
    cd "$BATS_TEST_TMPDIR"
}

coastdown() { "$EVENER" coastdown "$@" --mass-kg 36000 --tyres 18; }

# refused TEXT ARGUMENT...: exit 2, nothing told, a finding that holds the text.
refused() {
    run --separate-stderr "$EVENER" coastdown "${@:2}"
    echo "$stderr"
    [ "$status" -eq 2 ] && [ -z "$output" ] && [[ $stderr == *"$1"* ]]
}

@test "the invented log is what tools/coasting makes" {
    "$root/tools/coasting" --check
}

@test "rolling coefficient and drag area of the invented truck lie within the intervals of both ways" {
    coastdown "$log" --json >found.json 2>/dev/null
    for way in fit regression; do
        jq -e ".$way.rolling_coefficient | .low_95 < 0.0058 and .high_95 > 0.0058" found.json
        jq -e ".$way.drag_area_m2 | .low_95 < 5.6 and .high_95 > 5.6" found.json
    done
    jq -e '.fit.headwind_m_s | .low_95 < 1.4 and .high_95 > 1.4' found.json
    jq -e '.agree and .intervals == "scatter_between_pairs" and .wind == "found"' found.json
    jq -e '.schema == "evener.coastdown/1" and .status == "finished" and .runs_used == 6 and .pairs == 3' found.json
}

@test "dynamometer coefficients: A the intercept, B nothing, C the slope in the air of reference" {
    coastdown "$log" --json 2>/dev/null >found.json
    jq -e '.dynamometer.b_n_s_m == 0' found.json
    jq -e '(.dynamometer.a_n - .regression.rolling_n.value) | fabs < 1e-9' found.json
    jq -e '(.dynamometer.c_n_s2_m2 / (.regression.drag_area_m2.value / 2 * 98210 / 287.05287 / 293.15) - 1) | fabs < 1e-9' found.json
}

@test "the run in which the brake is touched is left out, with its line and why, and its pair with it" {
    run --separate-stderr coastdown "$log"
    [ "$status" -eq 0 ]
    [[ ${stderr_lines[0]} == *"coasting.csv:2153:1: warning: run 6 is left out: at 44 km/h it is slowed by"* ]]
    [[ $output == *"Run 6 is left out"* && $output == *"Run 7 is left out: no run the other way"* ]]
    run coastdown "$log" --strict
    [ "$status" -eq 2 ]
}

@test "words, picture, CSV and page tell the same" {
    coastdown "$log" --plot --csv bands.csv --page page.html >told 2>/dev/null
    grep -q "Force of bands of speed less that of the fit" told
    [ "$(head -1 bands.csv)" = run,pair,direction,speed_km_h,force_n,fitted_n,residual_n ]
    [ "$(wc -l <bands.csv)" -gt 50 ]
    if [ -s page.html ]; then
        grep -q "Residuals: force of each band" page.html
        grep -q "</html>" page.html
    fi
}

@test "directions by number where the log has none" {
    sed 's/,heading_deg//; /^[0-9]/s/^\([^,]*,[^,]*\),[^,]*/\1/' "$log" >plain.csv
    refused "where this coast-down goes to is not known" plain.csv --mass-kg 36000
    "$EVENER" coastdown plain.csv --mass-kg 36000 --tyres 18 --back 2,4,6,8 --json 2>/dev/null >by-number.json
    coastdown "$log" --json 2>/dev/null >by-heading.json
    [ "$(jq .fit.drag_area_m2.value by-number.json)" = "$(jq .fit.drag_area_m2.value by-heading.json)" ]
    refused "numbers of runs from 1 with commas" "$log" --mass-kg 36000 --back 2,x
    refused "run 99 is to go back" "$log" --mass-kg 36000 --back 99
}

@test "a measured wind is taken instead of a found one, and too much of it refuses" {
    awk -F, -v OFS=, '/^#/ { print; next } /^time/ { print $0, "wind_speed_m_s", "wind_from_deg"; next } { print $0, 1.4, 72 }' "$log" >wind.csv
    coastdown wind.csv --json 2>/dev/null >found.json
    jq -e '.wind == "measured_or_given" and .fit.headwind_m_s.value == null' found.json
    jq -e '.fit.drag_area_m2 | .low_95 < 5.6 and .high_95 > 5.6' found.json
    sed 's/,1\.4,72$/,9,72/' wind.csv >storm.csv
    refused "no two are left that go opposite ways" storm.csv --mass-kg 36000
    [[ $stderr == *"wind of 9.0 m/s"* ]]
}

@test "logs that are none, empty, cut or without speed are refused with their place" {
    : >empty.csv
    refused "empty.csv" empty.csv --mass-kg 36000
    printf 'time_s,altitude_m\n0,1\n1,1\n' >no-speed.csv
    refused "speed" no-speed.csv --mass-kg 36000
    head -60 "$log" >short.csv
    refused "0 coast-downs were found" short.csv --mass-kg 36000
    run --separate-stderr "$EVENER" coastdown nowhere.csv --mass-kg 36000
    [ "$status" -eq 4 ]
    refused "no mass is given; --mass-kg KG was expected" "$log"
}

@test "what no vehicle has is refused, and so is a log that is there twice" {
    # A grade of another unit: 0.2 % as if it were 20.
    awk -F, -v OFS=, '/^#/ { print; next } /^time/ { print $0, "grade [%]"; next } { print $0, ($3 > 180) ? -9 : 9 }' "$log" >steep.csv
    refused "nothing comes of these runs" steep.csv --mass-kg 36000
    cp "$log" copy.csv
    refused "has the times and speeds of run 1" "$log" copy.csv --mass-kg 36000
    [[ $stderr == *"copy.csv:"* && $stderr == *"coasting.csv:"* ]]
}

@test "wind by the speed of the air is that of a wind over ground, and too much of it across refuses" {
    awk -F, -v OFS=, '/^#/ { print; next } /^time/ { print $0, "wind_speed_m_s", "wind_from_deg"; next } { print $0, 1.4, 72 }' "$log" >ground.csv
    awk -F, -v OFS=, -v rad=0.017453292519943 '/^#/ { print; next } /^time/ { for (k = 1; k <= NF; k++) at[$k] = k; print $0, "air_speed_m_s"; next }
        { print $0, sprintf("%.6f", $at["speed_km_h"] / 3.6 + 1.4 * cos(rad * ($at["heading_deg"] - 72))) }' "$log" >air.csv
    coastdown ground.csv --json 2>/dev/null >ground.json
    coastdown air.csv --json 2>/dev/null >air.json
    jq -e --slurpfile ground ground.json '.wind == "measured_or_given" and (.fit.drag_area_m2.value - $ground[0].fit.drag_area_m2.value | fabs) < 0.02 and .fit.rms_km_h < 1.1 * $ground[0].fit.rms_km_h' air.json
    sed 's/,1\.4,72$/,3,162/' ground.csv >across.csv
    refused "no two are left that go opposite ways" across.csv --mass-kg 36000
    [[ $stderr == *"across 3.0"* ]]
}

@test "one way alone is refused" {
    head -440 "$log" >one.csv
    refused "no two are left that go opposite ways" one.csv --mass-kg 36000
}

@test "a failure is a whole document too" {
    printf 'time_s,speed_km_h\n0,1\n1,1\n' >none.csv
    run --separate-stderr "$EVENER" coastdown none.csv --mass-kg 36000 --json
    [ "$status" -eq 2 ]
    jq -e '.status == "failed" and .findings[0].fault == "no_coasting"' <<<"$output"
}
