#!/usr/bin/env bats
# evener compare. EVENER is the program; EVENER_SOURCE the folder of the sources.

bats_require_minimum_version 1.5.0

# How sure the trucks of demo.yaml differ is what costs most here: driven once for the tests that read it.
setup_file() {
    "$EVENER" compare "${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}/tests/vehicles/lineups/demo.yaml" \
        >"$BATS_FILE_TMPDIR/demo.txt" 2>"$BATS_FILE_TMPDIR/demo-said.txt"
}

setup() {
    root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    demo=$root/tests/vehicles/lineups/demo.yaml
    central=$root/tests/vehicles/trucks/tractor-4x2-central.yaml
    eaxle=$root/tests/vehicles/trucks/tractor-4x2-eaxle.yaml
    hill=$root/cycles/scenarios/hill.yaml
    only_compare
    mkdir "$BATS_TEST_TMPDIR/here" # bats keeps files of its own one folder up
    cd "$BATS_TEST_TMPDIR/here" || return 1
}

# How sure a comparison is, is for sure.bats to ask: it would be most of the time here.
only_compare() {
    asked_how_sure=$EVENER
    printf '#!/bin/sh\nif [ "$1" = compare ]; then shift; exec "%s" compare --uncertainty off "$@"; fi\nexec "%s" "$@"\n' \
        "$EVENER" "$EVENER" >"$BATS_TEST_TMPDIR/evener"
    chmod +x "$BATS_TEST_TMPDIR/evener"
    EVENER=$BATS_TEST_TMPDIR/evener
}

# lineup FILE LINE...: a lineup on the hill with these lines below `trucks:`.
lineup() {
    local file=$1
    shift
    printf 'name: a test\ninvented: true\ncycle: {use: %s}\ntrucks:\n' "$hill" >"$file"
    printf '  %s\n' "$@" >>"$file"
}

# The build says itself whether it has a page.
has_pages() { ! "$EVENER" drive none.yaml none.yaml --page probe.html 2>&1 | grep -q 'built without pages'; }

# The text with line breaks as blanks: sentences are broken where the page is.
flat() { tr -s ' \n' ' ' <<<"$1"; }

@test "exit 0: sentences that answer, trucks in columns, energy balance on both bases, accuracy and validity" {
    output=$(<"$BATS_FILE_TMPDIR/demo.txt") stderr=$(<"$BATS_FILE_TMPDIR/demo-said.txt")
    [ "$(grep -c . <<<"$stderr")" -eq 1 ]
    [[ $stderr == "evener: warning: electric_axle: whether the winding of drive unit rear derates is not decided: "* ]]
    page=$(flat "$output")
    for part in "2 trucks over" "At the common speed, not like for like, the lowest energy consumption is that of electric axle: 1." "% less than central drive (90 % interval -" \
        "% by first order; probability that it is lower " "; at own speeds too, " "How sure: energy consumption against central drive" "What to measure next: " \
        " At own speeds motor power kept central drive (" " below the target speed longest. " "Ranking, not like for like: energy consumption at the common speed, % against central drive kWh/km % 90 % interval is lower electric axle 1." \
        "Not like for like with central drive: electric axle in peak wheel power (458 against 358 kW, +27.8 %), " \
        "; the percentages hold that too, and are not the layouts' doing alone." "What is not alike with central drive (4x2)" \
        "What would change it The datum to know better first: " "Side by side" "at the common speed, kWh/km" \
        "Brakes and heat, each at its own speeds" "central drive: Motors took " "Hottest friction brakes of drive: " \
        "over the range of its time constants" "Energy balance, all at the common speed" "Energy balance, each at its own speeds" "net battery energy" \
        "Accuracy and validity" "invented" "the travel times of the 2 trucks lie within" "what the model leaves out is not" "not a type approval" "licensed practice"; do
        [[ $page == *"$part"* ]]
    done
    [[ $output != *$'\033'* ]]
    run --separate-stderr "$asked_how_sure" compare "$root/tests/vehicles/lineups/tipper-out.yaml"
    [[ $(flat "$output") == *"What is not alike with central drive (8x4) electric axle in peak wheel power ("*", driven axles (1 against 2), hub drag at 80 km/h ("*" two electric axles in peak wheel power ("*" Beside that: gross masses from "* ]]
}

@test "told in one order: ranking, answer, conditions, what is not alike, loads beyond what is permitted, demands, rows, why" {
    run --separate-stderr "$EVENER" compare "$demo" --payload-kg 30000
    page=$(flat "$output")
    [[ $page == *"Ranking, not like for like: "*" At the common speed, "*" Conditions: payload 30000 kg"*"What is not alike with central drive (4x2) "*"What is loaded beyond what is permitted central drive: gross mass "*" of 42000 kg; axle drive "*" of 11500 kg; "*" electric axle: gross mass "*"licensed practice to decide. What is demanded Demanded, "*"Side by side at their own speeds; "*" Why electric axle against central drive "* ]]
    run --separate-stderr "$EVENER" compare "$demo" --payload-kg 10000
    [[ $output != *"beyond what is permitted"* ]]
}

@test "where nobody asked why, one sentence tells in which line most of the difference lies, on terminal, page and in JSON" {
    "$EVENER" compare "$demo" --json --page page.html >out.json
    jq -r '.answer.why | length == 1, .[0]' out.json | { read -r one && [ "$one" = true ] && read -r sentence && echo "$sentence" >why.txt; }
    jq -r '.trucks[1].common.difference.energy_balance | ([.[]] | add) as $all | to_entries | map(select(.value * $all > 0)) |
        max_by(.value | fabs) | "\(.key) \(.value) \($all)"' out.json >largest.txt
    jq -r '.trucks[1].common.difference.energy_balance | ([.[]] | add) as $all | to_entries | map(select(.value * $all < 0)) |
        max_by(.value | fabs) | "\(.key) \(.value)"' out.json >against.txt
    read -r key line all <largest.txt
    read -r other gap <against.txt
    "$EVENER" keys --results --json >keys.json
    label=$(jq -r --arg key "energy_balance.$key" '.results[] | select(.key == $key).label' keys.json)
    against=$(jq -r --arg key "energy_balance.$other" '.results[] | select(.key == $key).label' keys.json)
    much=$(jq -nr --argjson line "$line" --argjson all "$all" 'if $line / $all <= 1 then "mostly" else "most of all" end')
    [ "$(<why.txt)" = "electric axle against central drive at the common speed: $much less energy in $label, $(printf '%.2f' "$line") kWh, and most against that more in $against, $(printf '%+.2f' "$gap") kWh; all lines of the energy balance together $(printf '%.2f' "$all") kWh." ]
    run -0 --separate-stderr "$EVENER" compare "$demo"
    [[ $(flat "$output") == *" Why $(<why.txt) "* ]]
    [ "$(grep -c ' less energy in' <<<"$(flat "$output" | sed 's/ less energy in/\n&/g')")" -eq 1 ]
    ! has_pages || [[ $(sed 's/−/-/g; s/\xc2\xa0/ /g' page.html) == *"<p>$(<why.txt)</p>"* ]]
    run -0 --separate-stderr "$EVENER" compare "$demo" --why
    [[ $output != *" less energy in "* ]]
}

@test "trucks that give energy back over the whole route are told by what they give" {
    run -0 --separate-stderr "$EVENER" compare "$root/vehicles/trucks/tipper-8x4-central.yaml" "$root/vehicles/trucks/tipper-8x4-two-eaxles.yaml" \
        --cycle "$root/cycles/scenarios/quarry-descent.yaml"
    [[ $(flat "$output") == *"the lowest energy consumption is that of two electric axles: -"*" kWh/km, "*" % more into the battery than central drive; at own speeds too, "*" % more into the battery than central drive."* ]]
    [[ $output != *"% less"* ]]
}

@test "the page fits into 80 columns where the width is not known" {
    lineup six.yaml "a: {use: $central}" "b_with_a_very_long_name_of_its_own: {use: $eaxle}" "c: {use: $central}" \
        "d: {use: $eaxle, payload: {mass_kg: 5000}}" "e: {use: $central, body: {drag_area_m2: 4.9}}" "f: {use: $eaxle}"
    LC_ALL=C "$EVENER" compare six.yaml >page.txt
    [ "$(awk '{ if (length > most) most = length } END { print most }' page.txt)" -le 79 ]
    grep -q 'electric .._its_own)' page.txt
    run cat page.txt
    [[ $(flat "$output") == *"Not like for like with central drive (a): the others in peak wheel power (3 of 5), "*" and "*" more"* ]]
    [[ $(flat "$output") == *"What is not alike with central drive (a) (4x2) electric axle (b_with_a_very_long_name_of_its_own) in "* ]]
    [[ $(flat "$output") == *". electric axle (d) in "*", payload (5000 against "*". central drive (e) in drag area (4.90 against 5.40 m2, -9.3 %). electric axle (f) in "*" Beside that: gross masses from "* ]]
}

@test "json: a document with both bases of each truck, differences, and how the common speed was kept" {
    "$EVENER" compare "$demo" --json >out.json
    [ "$(jq -r .schema out.json)" = evener.compare/4 ]
    [ "$(jq -r .status out.json)" = finished ]
    [ "$(jq -c '[.trucks[].name]' out.json)" = '["central","electric_axle"]' ]
    [ "$(jq -c '[.trucks[].short_name]' out.json)" = '["central drive","electric axle"]' ]
    [ "$(jq -r '.trucks[1].axle_configuration' out.json)" = 4x2 ]
    jq -e '.trucks[1] | (.own.battery_kwh - .own.difference.battery_kwh) as $first | $first > 22 and $first < 25' out.json
    jq -e '[.trucks[0] | .own, .common | .difference, .percent | .. | numbers] | length > 200 and all(. == 0)' out.json
    jq -e '.common.trucks == 2 and .common.duration_spread < 1e-4' out.json
    jq -e '[.trucks[].common.duration_s] | (max - min) / min < 1e-4' out.json
    jq -e '.trucks[0].own.limited_by[0].limit == "motor_power" and ([.findings[].fault] == ["not_decided"])' out.json
}

@test "terminal, JSON document, page and CSV file tell the same rows, in the same order, by the same numbers" {
    # A cycle over time: the tolerance of its speed is judged, so that no row is left out.
    COLUMNS=200 "$EVENER" compare "$central" "$eaxle" --cycle "$root/cycles/reference/ece-15.yaml" --json --csv r.csv >out.json
    COLUMNS=200 "$EVENER" compare "$central" "$eaxle" --cycle "$root/cycles/reference/ece-15.yaml" --all-rows >page.txt
    COLUMNS=200 "$EVENER" compare "$central" "$eaxle" --cycle "$root/cycles/reference/ece-15.yaml" >ten.txt
    COLUMNS=200 "$EVENER" compare "$central" "$eaxle" --cycle "$root/cycles/reference/ece-15.yaml" --all-rows --digits >digits.txt
    if has_pages; then
        "$EVENER" compare "$central" "$eaxle" --cycle "$root/cycles/reference/ece-15.yaml" --page page.html >/dev/null
    fi
    /usr/bin/python3 - <<'PYTHON'
import csv, json, os, re

document = json.load(open("out.json"))
rows, trucks = document["rows"], document["trucks"]

# What the list says, by itself: key, decimals, change, label, short label.
LIST = """
common.kwh_per_km                          2 percent    | energy consumption at the common speed     | at the common speed
common.kwh_per_t_km                        3 percent    | energy consumption per tonne of payload at the common speed | per tonne, common speed
own.kwh_per_km                             2 percent    | energy consumption                         | energy consumption
own.duration_s                             1 difference | travel time                                | travel time
own.limited_by.0.label                     0 none       | limited by                                 | limited by
own.final_soc                              1 difference | final state of charge                      | final state of charge
masses.payload_kg                          0 difference | payload                                    | payload
masses.kerb_kg                             0 difference | kerb mass                                  | kerb mass
limits.startability.value                  2 none       | startability                               | startability
limits.speed_on_3_percent.value            1 none       | highest speed on 3 %                       | highest speed on 3 %
own.mean_speed_km_h                        1 percent    | mean speed                                 | mean speed
own.delay_s                                1 difference | delay                                      | delay
own.time_below_target_s                    1 difference | time more than 3.2 km/h below target speed | time > 3.2 km/h below target
own.limited_by.0.duration_s                1 none       | limited for, by however little             | limited, by however little
own.kwh_per_t_km                           3 percent    | energy consumption per tonne of payload    | per tonne of payload
own.battery_kwh                            1 percent    | net battery energy                         | net battery energy
own.discharged_kwh                         1 percent    | discharged                                 | discharged
own.regenerated_kwh                        1 percent    | regenerated                                | regenerated
own.regenerative_braking_kwh               1 percent    | regenerative braking work                  | regenerative braking
own.energy_balance.friction_brakes_kwh     1 percent    | friction braking                           | friction braking
own.motor_braking_share                    1 difference | motors' share of braking work              | braking by motors
own.peak_winding_temperature_degc          0 difference | peak winding temperature                   | peak winding temp.
own.peak_brake_temperature_degc            0 difference | peak brake temperature                     | peak brake temp.
own.gear_changes                           0 difference | gear changes                               | gear changes
own.gear_changes_per_100_km                0 percent    | gear changes per 100 km                    | gear changes per 100 km
own.speed_tolerance_met                    0 none       | within speed tolerance                     | within speed tolerance
masses.gross_kg                            0 difference | gross mass                                 | gross mass
axle_configuration                         0 none       | axle configuration                         | axle configuration
alike                                      0 none       | like for like                              | like for like
likeness.peak_wheel_power_kw.value         0 percent    | peak wheel power                           | peak wheel power
likeness.continuous_wheel_power_kw.value   0 percent    | continuous wheel power                     | continuous wheel power
likeness.installed_motor_power_kw.value    0 percent    | installed motor power                      | installed motor power
limits.startability.limited_by_label       0 none       | startability: limited by                   | startability: limited by
limits.speed_on_3_percent.limited_by_label 0 none       | highest speed on 3 %: limited by           | highest speed on 3 %: limited by
limits.descent_held.value                  2 none       | descent at 30 km/h                         | descent at 30 km/h
limits.descent_held.limited_by_label       0 none       | descent held: limited by                   | descent held: limited by
"""
wanted = [line.split(None, 3) for line in LIST.strip().splitlines()]
wanted = [(key, int(digits), change.replace("none", ""), *[word.strip() for word in labels.strip("| ").split("|")])
          for key, digits, change, labels in wanted]
said = [(row["key"], row["digits"], row["change"] or "", row["label"], row["short_label"]) for row in rows]
assert [row["key"] for row in rows if row["main"]] == [key for key, *_ in wanted][:10], rows
assert said == wanted, [pair for pair in zip(said, wanted) if pair[0] != pair[1]]

def at(truck, key):
    for part in key.split("."):
        truck = truck[int(part)] if isinstance(truck, list) else truck.get(part)
        if truck is None:
            return None
    return truck

def unit(row):
    return "%" if row["kind"] == "share" else row["unit"]

def shown(row, value, digits):
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str) or value is None:
        return value or "-"
    value *= 100 if row["kind"] == "share" else 1
    if row["kind"] == "whole":
        return "%d" % value
    return "%.12g" % value if digits is None else "%.*f" % (digits, value)

# The table: its first column, and the first truck's cell.
def table(path):
    lines = open(path).read().split("Side by side")[1].split("\nWhy\n")[0].splitlines()[2:]
    head, lines = lines[0], [line for line in lines[1:] if line.strip()]
    assert head.split("  ")[-2:] != [""], head
    return [re.split(r"\s{2,}", line.strip()) for line in lines]

heads = [row["short_label"] + ("" if unit(row) in ("", "s") else ", " + unit(row)) for row in rows]
assert len(rows) >= 22 and "speed_tolerance_met" in [row["key"].split(".")[-1] for row in rows], rows
told = table("page.txt")
assert [line[0] for line in told] == heads, ([line[0] for line in told], heads)
times = 0
for row, line in zip(rows, told):
    for index, truck in enumerate(trucks):
        value = at(truck, row["key"])
        if row["unit"] == "s": # minutes and seconds; with all digits below
            times += 1
        else:
            assert (line[1], line[-1])[index] == shown(row, value, row["digits"]), (row, line, value)
assert times >= 6
# Unasked the ten that come first, as they stand there too.
assert table("ten.txt") == told[:10], table("ten.txt")

# With all digits, seconds too.
digits = table("digits.txt")
assert [line[0] for line in digits] == [row["short_label"] + (", " + unit(row) if unit(row) else "") for row in rows], digits
for row, line in zip(rows, digits):
    for index, truck in enumerate(trucks):
        assert (line[1], line[-1])[index] == shown(row, at(truck, row["key"]), None), (row, line)

# Differences against the first truck: worked out here from the values, in the unit in which they are told.
def change_of(row):
    first, value = (at(truck, row["key"]) for truck in trucks)
    if row["change"] == "percent":
        return 100 * (value - first) / abs(first) if abs(first) >= 10 * 10 ** -row["digits"] else None
    return value - first if row["change"] else None

told_changes = 0
for row, line, every in zip(rows, told, digits):
    change, scale = change_of(row), 100 if row["kind"] == "share" else 1
    basis, key = row["key"].split(".", 1) if row["key"].split(".")[0] in ("own", "common") else ("own", row["key"])
    if row["change"]:
        value = [at(truck, row["key"]) for truck in trucks]
        own = change if change is not None else 100 * (value[1] - value[0]) / abs(value[0])
        exact = own if key.startswith("likeness.") else at(trucks[1][basis][row["change"]], key)
        assert abs(exact - own) <= 1e-7 * max(1, abs(own)), (row, exact, own)
        assert row["percent_from"] == (10 ** (1 - row["digits"]) if row["change"] == "percent" else None), row
    if change is None:
        assert len(line) == 3 and len(every) == 3, (line, every)
        continue
    told_changes += 1
    tail = " %" if row["change"] == "percent" else ""
    assert every[2].endswith(tail) and abs(float(every[2].removesuffix(tail)) - scale * change) <= 1e-7 * max(1, abs(scale * change)), (row, every, change)
    if row["unit"] != "s":
        cell = "%+.*f" % (1 if tail else row["digits"], scale * change)
        assert line[2] == (cell if float(cell) else cell[1:]) + tail, (row, line, cell)
assert told_changes == 23, told_changes
assert abs(change_of(rows[wanted.index(next(row for row in wanted if row[0] == "own.final_soc"))])) > 1e-6

# What the energy balances add up to is told as the row of that result is.
energy = next(row for row in rows if row["key"] == "own.battery_kwh")
sums = re.findall(r"^  net battery energy +(\S+) +(\S+)$", open("page.txt").read(), re.M)
values = [[truck[basis]["battery_kwh"] for truck in trucks] for basis in ("common", "own")]
assert sums == [("%.*f" % (energy["digits"], first), "%+.*f" % (energy["digits"], value - first)) for first, value in values], (sums, values)

# The columns of the CSV file; the row of the common speed is a line there.
names = {"limited_by.0.label": "limited_by", "limited_by.0.duration_s": "limited_for_s", "masses.gross_kg": "gross_mass_kg",
         "masses.payload_kg": "payload_kg"}
for can in ("startability", "speed_on_3_percent", "descent_held"):
    names["limits.%s.value" % can] = can
    names["limits.%s.limited_by_label" % can] = can + "_limited_by"
ORDER = ["own.duration_s", "own.mean_speed_km_h", "own.delay_s", "own.time_below_target_s", "own.limited_by.0.label",
         "own.limited_by.0.duration_s", "own.kwh_per_km", "own.kwh_per_t_km", "own.battery_kwh", "own.discharged_kwh", "own.regenerated_kwh",
         "own.regenerative_braking_kwh", "own.energy_balance.friction_brakes_kwh", "own.motor_braking_share", "own.final_soc"]
LATER = ["masses.gross_kg", "masses.kerb_kg", "masses.payload_kg", "axle_configuration", "alike"]
CAN = ["limits.%s.%s" % (name, what) for name in ("startability", "speed_on_3_percent", "descent_held") for what in ("value", "limited_by_label")]
place = {row["key"]: 100 + index for index, row in enumerate(rows)}
place |= {key: index for index, key in enumerate(ORDER)} | {key: 200 + index for index, key in enumerate(LATER)} | {key: 400 + index for index, key in enumerate(CAN)}
own = sorted((row for row in rows if not row["key"].startswith("common.")), key=lambda row: place[row["key"]])
keys = [row["key"].removeprefix("own.") for row in own]
# Of likeness every row has a column, also those in which all are alike.
likeness = ["likeness.%s.value" % row["key"] for row in document["likeness"]["rows"]
            if row["key"] not in ("speed_on_3_percent_km_h", "payload_kg", "gross_mass_kg")]
names |= {key: key.split(".")[1] for key in likeness}
keys = [key for key in keys if key not in likeness]
place = keys.index("alike") + 1
keys[place:place] = likeness + ["equal.torque_scale"]
names["equal.torque_scale"] = "torque_scale"
columns = [names.get(key, key).replace(".", "_") for key in keys]
lines = list(csv.reader(open("r.csv")))
assert lines[0][:4] == ["truck", "short_name", "basis", "status"], lines[0]
assert lines[0][4:4 + len(columns)] == columns, (lines[0], columns)
for index, truck in enumerate(trucks):
    line = lines[1 + 2 * index]
    assert line[:4] == [truck["name"], truck["short_name"], "own", "finished"], line
    for key, cell in zip(keys, line[4:]):
        # identifiers stay in CSV
        row = key if at(truck, key) is not None or key.split(".")[0] in truck else "own." + key
        value = at(truck, row.replace(".limited_by_label", ".limited_by").replace(".label", ".limit"))
        if value is None:
            assert cell == "", (row, cell)
        elif isinstance(value, str):
            assert cell == value, (row, cell)
        else:
            assert abs(float(cell) - float(value)) <= 1e-11 * abs(value), (row, cell, value)
    common = lines[2 + 2 * index]
    assert common[2] == "common"
    for line, basis in ((lines[1 + 2 * index], "own"), (common, "common")):
        longest = (truck[basis]["limited_by"] or [None])[0]
        by, seconds = (line[lines[0].index(key)] for key in ("limited_by", "limited_for_s"))
        if longest:
            assert by == longest["limit"] and abs(float(seconds) - longest["duration_s"]) < 1e-9, (by, seconds, longest)
        else:
            assert by == "" and seconds == "", (by, seconds)
    assert abs(float(common[lines[0].index("kwh_per_km")]) - truck["common"]["kwh_per_km"]) < 1e-11, common

# The page takes its rows from the same list.
if os.path.exists("page.html"):
    data = re.search(r'id="page-data"[^>]*>(.*?)</script>', open("page.html").read(), re.S).group(1)
    assert json.loads(data)["result"]["rows"] == rows
PYTHON
}

@test "trucks with one short name are told apart by their identifiers, one without has its identifier with blanks" {
    lineup named.yaml "a: {use: $central}" "b_2: {use: $central, payload: {mass_kg: 9000}}" "axle: {use: $eaxle}" \
        "four_speeds: {use: $root/tests/trucks/four-speed.yaml}"
    COLUMNS=200 run --separate-stderr "$EVENER" compare named.yaml --trace-dir traces --trace-interval-s 60 --csv r.csv
    [ "$status" -eq 0 ]
    page=$(flat "$output")
    [[ $page == *"differences against central drive (a) "* ]]
    [[ $page == *" central drive (a) central drive (b_2) electric axle four speeds at the common speed, kWh/km "* ]]
    [[ $page == *" motor power kept central drive (a) ("*"), central drive (b_2) ("*" below the target speed longest; "* ]]
    [[ $page == *" longest; winding temperature kept four speeds ("*") below it too."* ]]
    [[ $page != *b_2\ * && $page != *four_speeds* ]]
    [ "$(cut -d, -f1-2 r.csv | uniq | paste -sd'|')" = \
        'truck,short_name|a,central drive (a)|b_2,central drive (b_2)|axle,electric axle|four_speeds,four speeds' ]
    [ "$(cd traces && echo *-own.csv)" = "a-own.csv axle-own.csv b_2-own.csv four_speeds-own.csv" ]
    "$EVENER" compare named.yaml --json >out.json
    [ "$(jq -c '[.trucks[] | .name, .short_name]' out.json)" = \
        '["a","central drive (a)","b_2","central drive (b_2)","axle","electric axle","four_speeds","four speeds"]' ]
    run --separate-stderr "$EVENER" compare named.yaml --plot
    [[ $output == *"speed of central drive (b_2), km/h"* && $output == *"speed of four speeds, km/h"* ]]
    run --separate-stderr "$EVENER" compare "$central" "$root/tests/trucks/four-speed.yaml" --cycle "$hill"
    [[ $(flat "$output") == *" differences against central drive central drive four-speed at the common speed, kWh/km "* ]]
}

@test "--digits: the sentences tell twelve digits where they tell two decimals by default, of the same numbers" {
    "$EVENER" compare "$demo" --json >out.json
    for how in "" --digits; do
        if [ -z "$how" ]; then
            output=$(<"$BATS_FILE_TMPDIR/demo.txt")
        else
            run --separate-stderr "$asked_how_sure" compare "$demo" "$how"
        fi
        format=$([ -z "$how" ] && echo '%.2f' || echo '%.12g')
        share=$([ -z "$how" ] && echo '%.1f' || echo '%.12g')
        for basis in own common; do
            [ "$(jq -r ".trucks[1].$basis.kwh_per_km < .trucks[0].$basis.kwh_per_km" out.json)" = true ]
            kwh=$(jq -r ".trucks[1].$basis.kwh_per_km" out.json)
            less=$(jq -r "-.trucks[1].$basis.percent.kwh_per_km" out.json)
            # shellcheck disable=SC2059 # the format is what is looked at
            if [ "$basis" = common ]; then
                [[ $(flat "$output") == *" the lowest energy consumption is that of electric axle: $(printf "$format" "$kwh") kWh/km, $(printf "$share" "$less") % less than central drive (90 % interval -"* ]]
            else
                [[ $(flat "$output") == *"; at own speeds too, $(printf "$share" "$less") % less than central drive."* ]]
            fi
        done
    done
}

@test "the same bytes at any number of threads" {
    "$EVENER" compare "$demo" --json --threads 1 >one.json
    "$EVENER" compare "$demo" --json --threads 2 >two.json
    "$EVENER" compare "$demo" --json --threads 16 >many.json
    cmp one.json two.json
    cmp one.json many.json
    "$EVENER" compare "$demo" --threads 1 --trace-dir one --csv one.csv >one.txt
    "$EVENER" compare "$demo" --threads 3 --trace-dir three --csv three.csv >three.txt
    cmp one.txt three.txt
    cmp one.csv three.csv
    diff -r one three
}

@test "trucks on the command line are named by their files and give what a lineup of them gives" {
    lineup pair.yaml "tractor-4x2-central: {use: $central}" "tractor-4x2-eaxle: {use: $eaxle}"
    "$EVENER" compare "$central" "$eaxle" --cycle "$hill" --json | jq .trucks >files.json
    "$EVENER" compare pair.yaml --json | jq .trucks >lineup.json
    cmp files.json lineup.json
    run --separate-stderr "$EVENER" compare "$central" "$central" --cycle "$hill" --json
    [ "$(jq -c '[.trucks[].name]' <<<"$output")" = '["tractor-4x2-central","tractor-4x2-central-2"]' ]
    jq -e '[.trucks[1] | .own, .common | .percent | .. | numbers] | all(. == 0)' <<<"$output"
}

@test "own results are those of evener drive, with what the lineup asks" {
    lineup asked.yaml "a: {use: $central}" "b: {use: $eaxle}"
    sed -i 's/^trucks:/driving: {driver: exact}\nload_case: {payload_kg: 9000, air_density_kg_m3: 1.1, headwind_m_s: 2}\n&/' asked.yaml
    "$EVENER" drive "$eaxle" "$hill" --driver exact --payload-kg 9000 --air-density-kg-m3 1.1 --headwind-m-s 2 --json |
        jq '.battery_kwh, .duration_s, .energy_balance' >alone.json
    "$EVENER" compare asked.yaml --json | jq '.trucks[1].own | .battery_kwh, .duration_s, .energy_balance' >beside.json
    cmp alone.json beside.json
    "$EVENER" drive "$eaxle" "$hill" --payload-kg 100 --air-density-kg-m3 1.1 --headwind-m-s 2 --json |
        jq .battery_kwh >alone.json
    "$EVENER" compare asked.yaml --driver human --payload-kg 100 --json | jq '.trucks[1].own.battery_kwh' >beside.json
    cmp alone.json beside.json
}

@test "a lineup may name the integrator" {
    lineup asked.yaml "a: {use: $central}" "b: {use: $eaxle}"
    sed -i 's/^trucks:/driving: {driver: exact, integrator: arkode, accuracy: 1e-05}\n&/' asked.yaml
    "$EVENER" drive "$eaxle" "$hill" --driver exact --integrator arkode --accuracy 1e-5 --json | jq .battery_kwh >alone.json
    "$EVENER" compare asked.yaml --json | jq '.trucks[1].own.battery_kwh' >beside.json
    cmp alone.json beside.json
    "$EVENER" compare asked.yaml --integrator cvode --json | jq '.trucks[1].own.battery_kwh' >beside.json
    run ! cmp -s alone.json beside.json
}

@test "values set: of one truck, of the cycle, of the lineup, and of all trucks on the command line" {
    run --separate-stderr "$EVENER" compare "$demo" --json --set trucks.central.body.mass_kg=5200 \
        --set cycle.name=Other --set load_case.payload_kg=1000
    jq -e '[.cycle, .trucks[0].own.payload_kg, .trucks[0].masses.kerb_kg] == ["Other", 1000, 18025]' <<<"$output"
    run --separate-stderr "$EVENER" compare "$central" "$eaxle" --cycle "$hill" --json --set body.mass_kg=5000 \
        --set trucks.tractor-4x2-eaxle.body.mass_kg=5100
    jq -e '[.trucks[].masses.kerb_kg] == [17825, 17798]' <<<"$output"
    run --separate-stderr "$EVENER" compare "$demo" --set trucks.centrl.body.mass_kg=5200
    [ "$status" -eq 2 ]
    [[ $stderr == *"--set 1:8: error: no 'centrl'"*"nearest is 'central'"* ]]
    run --separate-stderr "$EVENER" compare "$central" "$eaxle" --cycle "$hill" --set trucks.centrl.body.mass_kg=5200
    [ "$status" -eq 2 ]
    [[ $stderr == *"for no truck here"* ]]
}

@test "exit 2: errors are located in the lineup and in the files that it uses" {
    lineup wrong.yaml "a: {use: $central}" "b: {use: broken.yaml}"
    echo 'drivin: {driver: human}' >>wrong.yaml
    sed 's/drag_area_m2: 5.4/drag_area_m2: wide/' "$central" >broken.yaml
    sed -i "s|\.\./parts|$root/tests/vehicles/parts|" broken.yaml
    run --separate-stderr "$EVENER" compare wrong.yaml
    [ "$status" -eq 2 ]
    [ -z "$output" ]
    [[ $stderr == *"wrong.yaml:7:1: error: no key 'drivin' in lineup"*"nearest is 'driving'"* ]]
    [[ $stderr == *"broken.yaml:"*": error: drag_area_m2 is 'wide'"*"used from wrong.yaml:6:"* ]]
    run --separate-stderr "$EVENER" compare wrong.yaml --json
    [ "$status" -eq 2 ]
    [ "$(jq -c '[.status, (.findings | length), .trucks]' <<<"$output")" = '["failed",2,null]' ]
}

@test "exit 2: too few or too many trucks, files without a cycle, a number of threads that is none" {
    lineup alone.yaml "a: {use: $central}"
    for wrong in "alone.yaml" "$central --cycle $hill" "$central $eaxle" "$demo --threads -1" "$demo --threads 1.5" \
        "$demo --driver racing" "$demo --csv $demo"; do
        # shellcheck disable=SC2086 # words of a command line
        run --separate-stderr "$EVENER" compare $wrong
        [ "$status" -eq 2 ]
        [ -z "$output" ]
        [[ $stderr == *"error: "* ]]
    done
    # shellcheck disable=SC2046
    run --separate-stderr "$EVENER" compare $(for _ in {1..13}; do echo "$central"; done) --cycle "$hill"
    [ "$status" -eq 2 ]
}

@test "exit 1: a truck that stalls is told, the others are compared" {
    lineup some.yaml "a: {use: $central}" "stuck: {use: $central, adhesion: {driving: 0.2}}" "b: {use: $eaxle}"
    COLUMNS=120 run --separate-stderr "$EVENER" compare some.yaml
    [ "$status" -eq 1 ]
    [[ $stderr == *"error: stuck: "*"cannot move off"* ]]
    page=$(flat "$output")
    [[ $page == *" 2 of 3 trucks finished (central drive (stuck) did not); at own speeds motor power kept central drive (a) ("* && $page == *" the lowest energy consumption is that of electric axle: "*"; at own speeds too, "* ]]
    [[ $page == *" central drive (stuck) did not finish: stalled at 5.23 of 12.00 km; "*" cannot move off at 5.229 km "* ]]
    # Of the run that stalled nothing is told that others would be held against.
    [[ $page == *" status finished stalled finished distance covered, km 12.00 5.23 12.00 at the common speed, kWh/km "*" energy consumption, kWh/km 1."*" - -"*" travel time 12 min"*" - -"* && $page != *"central drive (stuck): Motors took"* ]]
    run --separate-stderr "$EVENER" compare some.yaml --json --csv some.csv
    [ "$status" -eq 1 ]
    jq -e '[.reached[] | .name, .finished, .of_km] == ["a", true, 12, "stuck", false, 12, "b", true, 12] and (.reached[1] | .distance_km > 5.2 and .distance_km < 5.3 and (.reason | contains("cannot move off")))' <<<"$output"
    jq -e '.answer.sentences | length == 3 and (.[2] | startswith("2 of 3 trucks finished (central drive (stuck) did not); "))' <<<"$output"
    [ "$(jq -c '[.status, (.trucks[] | .own.status, .common.status)]' <<<"$output")" = \
        '["incomplete","finished","finished","stalled","left_out","finished","finished"]' ]
    [ "$(cut -d, -f1,3,4 some.csv | sed -n '2,5p' | paste -sd' ')" = \
        'a,own,finished a,common,finished stuck,own,stalled stuck,common,left_out' ]
}

@test "csv: one row a truck and basis, keys with underscores, as wide as the heading" {
    "$EVENER" compare "$demo" --csv r.csv >page.txt
    [ "$(wc -l <r.csv)" -eq 5 ]
    [[ $(head -n 1 r.csv) == truck,short_name,basis,status,duration_s,*,axle_configuration,alike,peak_wheel_power_kw,*,torque_scale,startability,startability_limited_by,*,descent_held_limited_by,distance_km,*,energy_balance_rolling_resistance_kwh,* ]]
    [ "$(awk -F, '{ print NF }' r.csv | sort -u | wc -l)" -eq 1 ]
    [ "$(awk -F, 'NR == 1 { for (i = 1; i <= NF; i++) if ($i == "kwh_per_km") k = i } NR == 4 { printf "%.4f", $k }' r.csv)" = \
        "$("$EVENER" compare "$demo" --json | jq '.trucks[1].own.kwh_per_km' | xargs printf %.4f)" ]
}

@test "traces: one file a truck and basis, in a folder that is made, none above the other at the common speed" {
    "$EVENER" compare "$demo" --trace-dir traces --trace-interval-s 5 >page.txt
    [ "$(cd traces && echo *)" = \
        "central-common.csv central-own.csv electric_axle-common.csv electric_axle-own.csv" ]
    "$EVENER" drive "$eaxle" "$hill" --trace alone.csv --trace-interval-s 5 >page.txt
    cmp alone.csv traces/electric_axle-own.csv
    # Speed at 6.5 km, on the climb, where each alone has another one.
    at() { awk -F, 'NR > 1 && $2 >= 6500 { printf "%.1f", $3; exit }' "$1"; }
    [ "$(at traces/central-own.csv)" != "$(at traces/electric_axle-own.csv)" ]
    ends() { tail -n 1 "$1" | cut -d, -f1; }
    awk -v one="$(ends traces/central-common.csv)" -v other="$(ends traces/electric_axle-common.csv)" \
        'BEGIN { exit !(one - other < 0.05 && other - one < 0.05) }'
}

@test "exit 4: files that cannot be written, before anything is driven" {
    touch file
    for wrong in "--csv none/r.csv" "--trace-dir none/traces" "--trace-dir file" "--csv /proc/r.csv"; do
        # shellcheck disable=SC2086
        run --separate-stderr "$EVENER" compare "$demo" $wrong
        [ "$status" -eq 4 ]
        [ -z "$output" ]
        [[ $stderr == *"cannot write"* ]]
    done
    run --separate-stderr "$EVENER" compare "$demo" --trace-dir file --json
    [ "$status" -eq 4 ]
    [ "$(jq -r .status <<<"$output")" = failed ]
}

@test "exit 4: traces that cannot be written leave nothing, and a pipe or a device is none of them" {
    mkdir folder pipes
    run --separate-stderr bash -c 'ulimit -f 64; exec "$0" compare "$1" --trace-dir folder --trace-interval-s 0.1 --json' \
        "$EVENER" "$demo"
    [ "$status" -eq 4 ]
    [ -z "$(ls -A folder)" ]
    [ "$(jq -r '.status' <<<"$output")" = failed ]
    [[ $stderr == *"cannot write 'folder/central-own.csv'"*"nothing was left behind"* ]]
    mkfifo pipes/central-common.csv
    exec 5<>pipes/central-common.csv
    run --separate-stderr "$EVENER" compare "$demo" --trace-dir pipes 5<&-
    exec 5<&-
    [ "$status" -eq 4 ]
    [ -z "$output" ]
    [[ $stderr == *"cannot write 'pipes/central-common.csv': it is a pipe or a device; "* ]]
    [ "$(ls -A pipes)" = central-common.csv ]
}

@test "exit 2: files that are read, or two outputs into one file" {
    truck=$(realpath --relative-to . "${demo%/lineups/*}/trucks/tractor-4x2-central.yaml")
    cp "$truck" before.yaml
    run --separate-stderr "$EVENER" compare "$demo" --csv "$truck"
    [ "$status" -eq 2 ]
    [[ $stderr == *"--csv would overwrite the input"* ]]
    cmp before.yaml "$truck"
    run --separate-stderr "$EVENER" compare "$demo" --csv one --page ./one
    [ "$status" -eq 2 ]
    [[ $stderr == *"--csv and --page both write"* ]]
    run --separate-stderr "$EVENER" compare "$demo" --csv traces/central-own.csv --trace-dir traces
    [ "$status" -eq 2 ]
    [[ $stderr == *"--csv and --trace-dir both write"* ]]
    [ -z "$(ls -A traces)" ]
}

@test "exit 3: an interrupt ends the runs, says so, tells what there is and writes no file" {
    # The signal waits from before the program begins: it is seen at the first look.
    run --separate-stderr env --block-signal=TERM bash -c \
        'kill -TERM $$; exec "$0" compare "$1" --csv r.csv --trace-dir traces --json' "$EVENER" "$demo"
    [ "$status" -eq 3 ]
    [[ $stderr == *"interrupted; no truck had finished by then"* ]]
    [ "$(jq -c '[.status, (.trucks[] | .own.status, .common.status)] | unique' <<<"$output")" = '["interrupted"]' ]
    [ ! -e r.csv ]
    [ -z "$(ls -A traces)" ]
    run --separate-stderr env --block-signal=TERM bash -c 'kill -TERM $$; exec "$0" compare "$1"' "$EVENER" "$demo"
    [ "$status" -eq 3 ]
    [[ $(flat "$output") == *" 0 of 2 trucks finished. "* && $output != *"the lowest energy"* ]]
}

@test "a new lineup compares as it is written, and one like the shipped gives the same" {
    "$EVENER" new lineup mine.yaml
    run --separate-stderr "$EVENER" compare mine.yaml --strict
    [ "$status" -eq 0 ]
    (cd "$root" && "$EVENER" new lineup "$BATS_TEST_TMPDIR/here/like.yaml" --like "$demo")
    "$EVENER" compare "$demo" --json | jq .trucks >demo.json
    "$EVENER" compare like.yaml --json | jq .trucks >like.json
    cmp demo.json like.json
}

@test "a key that stands one map too high is told where it belongs, in a lineup and anywhere" {
    sed 's/^load_case: {payload_kg: 22800}/payload_kg: 22800/; s/^driving: {driver: human}/driver: human/' \
        "$root/tests/vehicles/lineups/demo.yaml" | sed "s|\.\./\.\./\.\./|$root/|; s|\.\./|$root/tests/vehicles/|" >old.yaml
    run --separate-stderr "$EVENER" compare old.yaml
    [ "$status" -eq 2 ]
    [ "${stderr_lines[0]}" = "old.yaml:5:1: error: no key 'driver' in lineup; expected it within driving" ]
    [ "${stderr_lines[1]}" = "old.yaml:6:1: error: no key 'payload_kg' in lineup; expected it within load_case" ]
    [ "${#stderr_lines[@]}" -eq 2 ]
    sed 's/^payload_kg.*/conditions: {temperature_degc: 5}/; /^driver/d' old.yaml >older.yaml
    run --separate-stderr "$EVENER" compare older.yaml
    [ "$status" -eq 2 ]
    [[ $stderr == "older.yaml:"*": error: no key 'conditions' in lineup any more; expected 'load_case', its name now" ]]
    run --separate-stderr "$EVENER" show "$root/tests/vehicles/trucks/tractor-4x2-central.yaml" --set capacity_ah=500
    [ "$status" -eq 2 ]
    [[ $stderr == *"no key 'capacity_ah' in truck; expected it within battery" ]]
    run --separate-stderr "$EVENER" keys lineup.payload_kg
    [[ $stderr == *"no key 'payload_kg' in lineup; expected it within load_case" ]]
}

@test "lineups are listed, and their keys told" {
    cd "$root" || return 1
    run "$EVENER" list lineups
    [ "$status" -eq 0 ]
    [[ $output == *"Lineups"*"vehicles/lineups/"*"  demo "* ]]
    run "$EVENER" keys lineup.load_case.headwind_m_s
    [ "$status" -eq 0 ]
    [[ $output == *"m/s"* ]]
    run "$EVENER" keys lineup --json
    [ "$status" -eq 0 ]
    jq -e '.definitions | has("lineup") and has("truck") and has("cycle")' <<<"$output"
}

# ------------------------------------------------------------------------------------------------ demands

@test "who uses least but cannot do what is demanded is not told without that, and who can is told beside it" {
    run --separate-stderr "$EVENER" compare "$demo" --start-grade-percent 17 --digits
    [ "$status" -eq 1 ]
    [[ $stderr == *"error: electric_axle: starting on 17 %: it starts on 16.41 %; limited by motor torque"* ]]
    page=$(flat "$output")
    [[ $page == *"Demanded, starting on 17 %: central drive yes, 18.9"*" % (adhesion); electric axle no, 16.4"*" % (motor torque)."* ]]
    [[ $page == *"At the common speed, not like for like, the lowest energy consumption is that of electric axle (does not meet the demands): "*"; of those that meet the demands the lowest is that of central drive ("*")."* ]]
    [[ $page == *" The demands are not met by electric axle; at own speeds "* ]]
    # Nowhere is it the lowest without that.
    [[ $page != *"that of electric axle:"* ]]
}

@test "what is demanded and met is told, and nothing stands beside who uses least" {
    run --separate-stderr "$EVENER" compare "$demo"
    [ "$status" -eq 0 ]
    page=$(flat "$output")
    [[ $page == *"Demanded, starting on 12 %: central drive yes, "*"Demanded, 60 km/h up 3 %: central drive yes, "*"Demanded, holding 6 % down at 30 km/h: central drive yes, "* ]]
    [[ $page != *"does not meet"* && $page != *" meet the demands"* && $page != *"None of them"* ]]
}

@test "where none meets all demands that is said first" {
    run --separate-stderr "$EVENER" compare "$demo" --descent-grade-percent 20
    [ "$status" -eq 1 ]
    page=$(flat "$output")
    [[ $page == *"None of them meets all demands; at the common speed, not like for like, the lowest energy consumption is that of electric axle (does not meet the demands): "* ]]
    [[ $page != *"of those that meet"* ]]
}

@test "without demands nothing of them is told but what each truck can" {
    COLUMNS=120 run --separate-stderr "$EVENER" compare "$central" "$eaxle" --cycle "$hill" --all-rows
    [ "$status" -eq 0 ]
    page=$(flat "$output")
    [[ $page != *"emand"* && $page != *" meet"* ]]
    [[ $page == *" startability, % "*" highest speed on 3 %, km/h "*" startability: limited by adhesion motor torque "*"descent at 30 km/h, % "* ]]
    "$EVENER" compare "$central" "$eaxle" --cycle "$hill" --json >out.json
    jq -e '[.trucks[] | .demands == [] and .meets_demands == null] | all' out.json
    jq -e '.answer.decides == "kwh_per_km"' out.json
    jq -e '.answer.own == {"lowest_kwh_per_km": "tractor-4x2-eaxle", "lowest": "tractor-4x2-eaxle", "leading": ["tractor-4x2-eaxle"], "meets_demands": null, "lowest_that_meets_demands": null, "leading_that_meet_demands": null}' out.json
    jq -e '.demands.start_grade_percent == null and .demands.start_surface == "as_stated" and .demands.change_up == false' out.json
}

@test "json: each demand with its value and limits, the answer with who meets them, the figures on the ground demanded" {
    run --separate-stderr "$EVENER" compare "$demo" --start-grade-percent 17 --start-surface wet --change-up --descent-soc 0.9 --json
    [ "$status" -eq 1 ]
    echo "$output" >out.json
    [ "$(jq -r .status out.json)" = finished ]
    jq -e '.demands | .start_grade_percent == 17 and .start_surface == "wet" and .change_up == true and .descent_soc == 0.9 and .climb_speed_km_h == 60' out.json
    jq -e '[.trucks[].demands | map(.demand) == ["start", "change_up", "climb", "descent"]] | all' out.json
    jq -e '[.trucks[].demands[] | .met == (.value != null and .value >= .demanded)] | all' out.json
    jq -e '.trucks[0].demands[0] | .label == "starting on 17 %, wet" and .unit == "%" and .limited_by == "adhesion" and (.next | has("value"))' out.json
    jq -e '[.trucks[] | .meets_demands == ([.demands[].met] | all)] | all' out.json
    jq -e '[.trucks[] | .limits.startability.value == .demands[0].value and .limits.descent_held.value == .demands[3].value] | all' out.json
    jq -e '.trucks[0].limits.startability.label == "startability, wet" and .trucks[0].limits.descent_held.label == "descent at 30 km/h, 90 % charge"' out.json
    jq -e '.answer.own.lowest_kwh_per_km == "electric_axle" and .answer.own.meets_demands == false' out.json
    [ "$(jq '[.findings[] | select(.fault == "demand_not_met")] | length' out.json)" = "$(jq '[.trucks[].demands[] | select(.met | not)] | length' out.json)" ]
}

@test "csv: what each truck can, on both lines of a truck, and what limits it by its name" {
    "$EVENER" compare "$demo" --csv r.csv >/dev/null
    "$EVENER" compare "$demo" --json >out.json
    /usr/bin/python3 - <<'PYTHON'
import csv, json
trucks = json.load(open("out.json"))["trucks"]
lines = list(csv.DictReader(open("r.csv")))
assert len(lines) == 4
for k, line in enumerate(lines):
    for name, can in trucks[k // 2]["limits"].items():
        assert abs(float(line[name]) - can["value"]) <= 1e-11 * can["value"] and line[name + "_limited_by"] == can["limited_by"], (line, can)
PYTHON
}

@test "a demand without its other half is refused, in file, --set and option, and nothing is driven" {
    lineup half.yaml "central: {use: $central}" "electric_axle: {use: $eaxle}"
    printf 'demands:\n  climb_grade_percent: 3\n' >>half.yaml
    run --separate-stderr "$EVENER" compare half.yaml
    [ "$status" -eq 2 ] && [ -z "$output" ]
    [[ $stderr == *"half.yaml:8:"*"error: climb_grade_percent is given, and no climb_speed_km_h; expected the speed to hold on that grade, in km/h"* ]]
    run --separate-stderr "$EVENER" compare "$central" "$eaxle" --cycle "$hill" --climb-speed-km-h 50
    [ "$status" -eq 2 ] && [ -z "$output" ]
    [[ $stderr == *"error: climb_speed_km_h is given, and no climb_grade_percent; expected the grade"* ]]
    run --separate-stderr "$EVENER" compare "$demo" --set demands.climb_speed_kmh=50
    [ "$status" -eq 2 ]
    [[ $stderr == *"climb_speed_km_h"* ]]
    run --separate-stderr "$EVENER" compare "$demo" --start-surface sand
    [ "$status" -eq 2 ]
    [[ $stderr == *"--start-surface is 'sand'; one of these was expected: as_stated, dry, wet, gravel, soil, snow"* ]]
}

@test "the page says the same of demands as the terminal" {
    has_pages || skip "built without pages"
    run --separate-stderr "$EVENER" compare "$demo" --start-grade-percent 17 --page page.html
    [ "$status" -eq 1 ]
    grep -q '<th scope="row">starting on 17.\{1,2\}%</th><td class="words"><strong>yes</strong>.*adhesion.*<td class="words"><strong>no</strong><small class="words">.*motor torque' page.html
    grep -q 'electric axle (does not meet the demands)' page.html
}

@test "a truck that cannot do what is demanded has driven: its column and its files are whole" {
    run --separate-stderr "$EVENER" compare "$demo" --start-grade-percent 17 --csv r.csv
    [ "$status" -eq 1 ]
    [ "$(cut -d, -f4 r.csv | sort -u | tr '\n' ' ')" = "finished status " ]
    [[ $output != *"  status "* ]]
}

@test "likeness: named before any percentage, each row in the document with its tolerance, verdicts of each truck" {
    run --separate-stderr "$EVENER" compare "$demo"
    page=$(flat "$output")
    [[ ${page%%% less than*} == *"At the common speed, not like for like, the lowest energy consumption is that of electric axle: "* ]]
    [[ $page == *"layouts' doing alone. At own speeds "*"What is not alike with central drive (4x2) electric axle in peak wheel power ("* ]]
    "$EVENER" compare "$demo" --json >out.json
    jq -e '.equal == "payload" and .likeness.alike == false and [.trucks[].alike] == [true, false]' out.json
    jq -e '[.likeness.rows[].key] as $keys | ($keys | length) == 19 and ([.trucks[].likeness | keys_unsorted] | all(. == $keys))' out.json
    jq -e '.trucks as [$first, $own] | all(.likeness.rows[];
        (.key as $k | $own.likeness[$k].value - $first.likeness[$k].value | fabs) as $gap |
        (.tolerance * (if .tolerance_of == "first" then $first.likeness[.key].value else 1 end)) as $most |
        $own.likeness[.key].alike == ((.judged | not) or $gap <= $most))' out.json
    jq -e '[.likeness.rows[] | select(.judged | not).key] == ["gross_mass_kg"]' out.json
    jq -e '.trucks[1].likeness | .peak_wheel_power_kw.at_km_h > 80 and .drag_area_m2 == {"value": 5.4, "alike": true}' out.json
}

@test "likeness: trucks that are alike are told so, and only then percentages are the layouts' doing" {
    lineup dragged.yaml "a: {use: $central}" "b: {use: $central, body: {drag_area_m2: 5.5}}"
    run --separate-stderr "$EVENER" compare "$central" "$central" --cycle "$hill"
    page=$(flat "$output")
    [[ $page == *"Like for like: all are alike in power at the wheels, tyres, body, battery and payload. "* ]]
    [[ $page == *" Nothing that is judged; gross mass 39"* ]]
    [[ $page != *"Not like for like"* && $page != *"doing"* && $page != *" like for like yes"* ]]
    COLUMNS=200 run --separate-stderr "$EVENER" compare dragged.yaml --all-rows
    page=$(flat "$output")
    [[ $page == *"Not like for like with central drive (a): central drive (b) in drag area (5.50 against 5.40 m2, +1.9 %); the percentages hold that too, and are not the layouts' doing alone."* ]]
    [[ $page == *" like for like yes no drag area, m2 5.40 +1.9 % 5.50 "* ]]
    # A layout's own: gears, within every tolerance.
    lineup own.yaml "a: {use: $central}" "b: {use: $central, drive_units: {rear: {gearbox: {efficiencies: [0.97, 0.97, 0.97, 0.97]}}}}"
    run --separate-stderr "$EVENER" compare own.yaml
    page=$(flat "$output")
    [[ $page == *"Like for like: all are alike in "*" payload, and the percentages between central drive (a) and central drive (b) are the layouts' doing."* ]]
}

@test "--equal: gross gives payloads and lets energy per tonne decide, power scales motors; both say so" {
    run --separate-stderr "$asked_how_sure" compare "$demo" --equal gross
    [ "$status" -eq 0 ]
    page=$(flat "$output")
    [[ $page == *"Made equal in gross mass, 39775 kg; payload of electric axle 22927 kg. Energy per tonne of payload decides."* ]]
    [[ $page == *"At the common speed, not like for like, the lowest energy consumption per tonne of payload is that of electric axle: 0."*" kWh/(t km), "*" % less than central drive (90 % interval -"* ]]
    "$EVENER" compare "$demo" --equal gross --json >out.json
    jq -e '.equal == "gross" and .answer.decides == "kwh_per_t_km" and .trucks[1].equal == {"payload_kg": 22927, "torque_scale": 1}' out.json
    jq -e '.trucks[1].masses.gross_kg == .trucks[0].masses.gross_kg and ([.likeness.rows[] | select(.judged | not).key] == ["payload_kg"])' out.json
    run --separate-stderr "$EVENER" compare "$demo" --equal power --all-rows
    [ "$status" -eq 0 ]
    page=$(flat "$output")
    [[ $page == *"Made equal in peak wheel power, 358 kW; motors of electric axle scaled by 0.781 in torque (their active length)."* ]]
    [[ $page == *" motors scaled by 1.000 0.781 "* ]]
    "$EVENER" compare "$demo" --equal power --json >out.json
    jq -e '.trucks | (.[1].likeness.peak_wheel_power_kw.value / .[0].likeness.peak_wheel_power_kw.value - 1 | fabs) < 1e-7' out.json
    jq -e '.equal == "power" and .trucks[1].likeness.peak_wheel_power_kw.alike' out.json
}

@test "equal: a lineup says it too, an option goes before it, and what cannot be is refused with exit 2" {
    sed 's/^trucks:/equal: gross\n&/' "$demo" | sed "s|use: \.\./\.\./\.\./|use: $root/|; s|use: \.\./trucks|use: $root/tests/vehicles/trucks|" >equal.yaml
    "$EVENER" compare equal.yaml --json >out.json
    [ "$(jq -r .equal out.json)" = gross ]
    "$EVENER" compare equal.yaml --equal payload --json | jq .trucks >payload.json
    "$EVENER" compare "$demo" --json | jq .trucks >as-is.json
    cmp payload.json as-is.json
    run --separate-stderr "$EVENER" compare "$demo" --equal power --set trucks.electric_axle.battery.discharge_limit_kw=200 --json
    [ "$status" -eq 2 ]
    [ "$(jq -r '.status + " " + .findings[0].fault' <<<"$output")" = "failed cannot_be_equal" ]
    run --separate-stderr "$EVENER" compare "$demo" --equal gross --set trucks.electric_axle.body.mass_kg=30000
    [ "$status" -eq 2 ]
    [[ $stderr == *"electric_axle weighs "*" kg without payload, more than the first truck with it: 39775 kg; "* ]]
    run --separate-stderr "$EVENER" compare "$demo" --equal weight
    [ "$status" -eq 2 ]
    [[ $stderr == *"payload, gross, power"* || $stderr == *"payload|gross|power"* ]]
    run --separate-stderr "$EVENER" keep kept.yaml --lineup equal.yaml
    [ "$status" -eq 2 ]
    [[ $stderr == *"makes its trucks equal"* ]]
}

# A lineup with other data, its trucks in another order: the electric axle loses more in its gears.
worse_gears() {
    printf 'name: Worse gears\ninvented: true\ncycle: {use: %s}\ntrucks:\n  central: {use: %s}\n  eaxle: {use: %s, drive_units: {rear: {gearbox: {efficiencies: [0.9, 0.9]}}}}\n' \
        "$hill" "$central" "$eaxle" >worse.yaml
    lineup plain.yaml "central: {use: $central}" "eaxle: {use: $eaxle}"
}

@test "--beside: another lineup is driven too; the answer says that the verdict turns and which line turned it" {
    worse_gears
    run --separate-stderr "$EVENER" compare plain.yaml --beside worse.yaml --csv r.csv
    [ "$status" -eq 0 ]
    page=$(flat "$output")
    [[ $page == *"Beside Worse gears: another truck is lowest at the common speed. Here electric axle is "*" points below central drive; there central drive is "*" points below electric axle. Which is lowest hangs on what differs between the two lineups. Against central drive electric axle uses "*" % less here, "*" % more there. What moved most of electric axle against central drive: gearbox losses, from "*" kWh/km."* ]]
    [[ $page == *"Beside Worse gears, at the common speed central drive electric axle here, kWh/km "*" there, kWh/km "*"electric axle against central drive, what moved most: kWh/km here there moved gearbox losses "* ]]
    "$EVENER" compare plain.yaml --beside worse.yaml --json >out.json
    "$EVENER" compare worse.yaml --json >alone.json
    jq -e '.beside | .lineup == "Worse gears" and .answer == "other" and .here.lowest == "eaxle" and .there.lowest == "central"
        and (.here.close or .there.close | not) and .trucks[1].against_first == "other"' out.json
    jq -e '.beside.trucks[1].lines[0] | .key == "energy_balance.gearbox_losses_kwh" and .moved_kwh_km > 0' out.json
    jq -e --slurpfile alone alone.json '[.beside.trucks[].use.there] == [$alone[0].trucks[].common.kwh_per_km]
        and ([.beside.trucks[].percent.here] == [.trucks[].common.percent.kwh_per_km | . // 0])' out.json
    [ "$(head -1 r.csv | grep -o 'beside.*')" = beside_use,beside_percent ]
    [ "$(grep '^eaxle,.*,common,' r.csv | cut -d, -f3 | wc -l)" -eq 1 ]
    jq -e '.beside == null' alone.json
}

@test "a figure that is not known is said to be that of the truck it is not known of" {
    lineup plain.yaml "central: {use: $central}" "bare: {use: $root/tests/trucks/single-speed.yaml, short_name: bare}"
    "$EVENER" compare plain.yaml >out.txt
    [[ $(flat "$(<out.txt)") == *"continuous wheel power (not known of bare)"* ]]
    lineup turned.yaml "bare: {use: $root/tests/trucks/single-speed.yaml, short_name: bare}" "central: {use: $central}"
    "$EVENER" compare turned.yaml >out.txt
    [[ $(flat "$(<out.txt)") == *"continuous wheel power (not known of bare)"* ]]
}

@test "--beside: which trucks are not like for like there is told, since nothing else tells it" {
    lineup plain.yaml "central: {use: $central}" "other: {use: $central, short_name: other, body: {drag_area_m2: 5.38}}"
    lineup broad.yaml "central: {use: $central}" "other: {use: $central, short_name: other, body: {drag_area_m2: 7}}"
    "$EVENER" compare plain.yaml --beside broad.yaml >out.txt
    page=$(flat "$(<out.txt)")
    [[ $page == *"Beside "*" There they are not like for like with the first: other. "* ]]
    "$EVENER" compare plain.yaml --beside broad.yaml --json >out.json
    jq -e '[.beside.trucks[].alike] == [{here: true, there: true}, {here: true, there: false}]' out.json
    "$EVENER" compare plain.yaml --beside plain.yaml >out.txt
    [[ $(flat "$(<out.txt)") != *"There they are not"* ]]
}

@test "--beside: what else is other there than losses is told, and what is alike; there too what was made equal" {
    lineup plain.yaml "central: {use: $central}" "eaxle: {use: $eaxle}"
    lineup frugal.yaml "central: {use: $central, auxiliaries: {power_kw: 1.92}}" "eaxle: {use: $eaxle, auxiliaries: {power_kw: 1.92}}"
    "$EVENER" compare plain.yaml --beside frugal.yaml --equal power >out.txt
    page=$(flat "$(<out.txt)")
    [[ $page == *"Other there than here, beside what parts lose: auxiliaries of central drive (5.0 kW here, 1.9 kW there); alike: peak wheel power, "*", drag area, work of the power take-off, usable battery energy, "*", payload. Made equal there: motors of electric axle scaled by 0."*" in torque (their active length)."* ]]
    "$EVENER" compare plain.yaml --beside frugal.yaml --equal power --json >out.json
    jq -e '.beside | (.data | map(select(.alike | not)) == [{key: "auxiliaries_kw", truck: "central", value: {here: 5, there: 1.92}, alike: false}])
        and (.trucks[1].equal_there.torque_scale > 0.5)' out.json
    jq -e --slurpfile out out.json '.trucks[1].equal.torque_scale as $there | $out[0].beside.trucks[1].equal_there.torque_scale == $there' \
        <("$EVENER" compare frugal.yaml --equal power --json)
    "$EVENER" compare plain.yaml --beside plain.yaml >out.txt
    [[ $(flat "$(<out.txt)") != *"Other there"* ]]
}

@test "--equal power: motors that need no scaling to speak of are not told" {
    lineup twins.yaml "one: {use: $central}" "two: {use: $central, short_name: two}"
    "$EVENER" compare twins.yaml --equal power >out.txt
    [[ $(flat "$(<out.txt)") == *"Made equal in peak wheel power, "*" kW; no motors had to be scaled to speak of. "* ]]
}

@test "--beside itself: the same verdict; what is set is so of the first lineup only" {
    worse_gears
    run --separate-stderr "$EVENER" compare plain.yaml --beside plain.yaml
    [ "$status" -eq 0 ]
    [[ $(flat "$output") == *"Beside a test: the same truck is lowest at the common speed. Here electric axle is "* ]]
    "$EVENER" compare plain.yaml --beside plain.yaml --set trucks.eaxle.body.drag_area_m2=6 --json >out.json
    jq -e '.beside.trucks[1] | .kwh_per_km.here > .kwh_per_km.there and .lines[0].key == "energy_balance.air_drag_kwh"' out.json
    "$EVENER" compare plain.yaml --beside plain.yaml --payload-kg 12000 --json >out.json
    jq -e '.beside.answer == "same" and ([.beside.trucks[].lines[].moved_kwh_km] | all(. == 0))' out.json
}

@test "--beside: other roads, loads and trucks are refused with exit 2; one that does not finish leaves no verdict, exit 1" {
    worse_gears
    sed 's/^trucks:/load_case: {payload_kg: 20000}\n&/' plain.yaml >light.yaml
    sed "s|$hill|$root/cycles/scenarios/haulage-round.yaml|" plain.yaml >far.yaml
    sed 's/eaxle:/other:/' plain.yaml >names.yaml
    for case in "light.yaml|payload_kg of a test is not that of a test; expected the same load case and driving" \
        "far.yaml|expected the same cycle" "names.yaml|no truck named 'eaxle' in a test"; do
        run --separate-stderr "$EVENER" compare plain.yaml --beside "${case%%|*}" --json
        [ "$status" -eq 2 ]
        [[ $stderr == *"${case#*|}"* ]]
        [ "$(jq -r .status <<<"$output")" = failed ]
    done
    run -2 --separate-stderr "$EVENER" compare "$central" "$eaxle" --cycle "$hill" --beside plain.yaml
    [[ $stderr == *"--beside with --cycle; another lineup stands beside a lineup"* ]]
    sed 's/efficiencies: \[0.9, 0.9\]}}}/&, battery: {usable_from_soc: 0.89}/' worse.yaml >empty.yaml
    run --separate-stderr "$EVENER" compare plain.yaml --beside empty.yaml --json
    [ "$status" -eq 1 ]
    [ "$(jq -c '[.status, .beside.answer, .beside.there]' <<<"$output")" = '["incomplete",null,null]' ]
    run --separate-stderr "$EVENER" compare plain.yaml --beside empty.yaml
    [[ $(flat "$output") == *"Beside Worse gears: no verdict of both at the common speed, since not all of them finished."* ]]
}

@test "a truck named twice is told as that, and not as one too few" {
    printf '%s\n' 'name: twice' 'invented: true' 'cycle: {name: c, source: invented, length_m: 100, speed: {place_m: [0], limit_km_h: [30]}}' 'trucks:' \
        "  a: {use: $root/vehicles/trucks/tractor-4x2-central.yaml}" "  a: {use: $root/vehicles/trucks/tractor-4x2-eaxle.yaml}" >twice.yaml
    run --separate-stderr "$EVENER" compare twice.yaml
    [ "$status" -eq 2 ]
    [[ $stderr == *"the key 'a' a second time"* ]]
    [[ $stderr != *"expected 2 to 12"* ]]
    sed '6d' twice.yaml >one.yaml
    run --separate-stderr "$EVENER" compare one.yaml
    [ "$status" -eq 2 ]
    [[ $stderr == *"trucks holds 1 name; expected 2 to 12"* ]]
}
