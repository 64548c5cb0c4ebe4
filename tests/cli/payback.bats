#!/usr/bin/env bats
# evener payback: what trucks cost, told in words, as a document whose figures can be worked out again, and what is refused.

bats_require_minimum_version 1.5.0

setup() {
    root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    mkdir "$BATS_TEST_TMPDIR/here" # bats keeps files of its own one folder up
    cd "$BATS_TEST_TMPDIR/here" || return 1
    printf '%s\n' 'name: Flat' 'invented: true' 'length_m: 3000' 'speed: {place_m: [0], limit_km_h: [40]}' >flat.yaml
    printf '%s\n' 'name: A day' 'invented: true' 'day:' \
        '  - leg: {name: out, cycle: {use: flat.yaml}, payload_kg: 8000}' \
        '  - stop: {name: rest, duration_min: 3, charging: {connector_kw: 40}}' \
        '  - leg: {name: home, cycle: {use: flat.yaml}, direction: back}' \
        'working_days_per_year: 200' \
        'seasons: {winter: {share: 0.4, load_case: {temperature_degc: -15}}, rest: {share: 0.6}}' \
        'demands: {reserve_soc: 0.1}' >day.yaml
    cat >pair.yaml <<TEXT
name: Pair
invented: true
duty: {use: day.yaml}
trucks:
  plain: {use: $root/tests/trucks/ideal.yaml, battery: {resistance_ohm: 0.1, mass_kg: 2000}}
  slippery: {use: $root/tests/trucks/ideal.yaml, body: {drag_area_m2: 4}, battery: {resistance_ohm: 0.1, mass_kg: 2000}}
TEXT
    cat >prices.yaml <<'TEXT'
name: Prices of the test
invented: true
currency: EUR
interest_percent: 5
years: 5
base_price: 50000
base_prices: {slippery: 51500}
parts: {motor: {each: 5000, maintenance_per_km: 0.01}, inverter: {each: 900}, final_drive: {each: 2000}, axle: {per_kg: 4}, battery: {per_kwh: 200}}
energy:
  depot: {tariff: {from_h: [6, 22], price_per_kwh: [0.3, 0.2]}, charging_from_h: 20, charging_to_h: 4, charger_efficiency: 0.9, connector_kw: 50, demand_charge_per_kw_year: 40}
  stops: {price_per_kwh: 0.4, charger_efficiency: 0.92}
tyres: {steered: {each: 400, life_km: 120000}, driven: {each: 400, life_km: 90000}}
battery_ageing: {calendar_factor: 2, cycle_factor: 3, end_share: 0.85, replacement_per_kwh: 150}
residual: {truck_loss_percent: 20, battery_loss_percent: 30}
running: {maintenance_per_km: 0.05, insurance_percent: 1, vehicle_tax_per_year: 300, driver_per_h: 25}
payload: {per_t_km: 0.05, limited_share: 0.5}
subsidy: {percent: 10, most: 9000}
TEXT
}

# Words on one line.
told() {
    tr -s ' \n' ' ' <<<"$output"
}

refused() {
    local text=$1
    shift
    run --separate-stderr "$EVENER" payback "$@"
    echo "$output$stderr"
    [ "$status" -eq 2 ] && [[ $stderr == *"$text"* ]]
}

@test "words begin with which to buy at four distances, and at which extra price that turns" {
    run --separate-stderr "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 90000
    echo "$output$stderr"
    [ "$status" -eq 0 ]
    [[ $(told) == "Pair over A day, at 90000 km a year for 5 years, with prices of Prices of the test (invented)."* ]]
    for km in 60000 90000 120000; do
        [ "$(grep -c "At $km km a year [a-z]* costs least" <<<"$output")" -eq 2 ]
    done
    [[ $(told) == *"It is bought for 1500 EUR more than plain; the answer turns to that where it is "*" EUR more."* ]]
    [[ $(told) == *"Charging stops are as the duty states them, with any battery: rest 3 min with 40 kW. None is made longer for a smaller one: --longer-stops and --stop-powers try that."* ]]
    [[ $(told) == *"What is not counted"*"wear of tyres by torque"*"room that a layout frees for a larger battery"* ]]
    [[ $(told) == *"Each with its own battery"*"Each with the smallest battery that does the day"*"Accuracy and validity"* ]]
}

@test "the answer turns at an extra price against the next, not the first: there and no sooner another costs least" {
    sed -n 's/^  slippery: \(.*\)drag_area_m2: 4/  smooth: \1drag_area_m2: 3/p' pair.yaml >more && cat more >>pair.yaml
    sed -i 's/slippery: 51500/slippery: 45000, smooth: 46000/' prices.yaml
    ask() { "$EVENER" payback pair.yaml --prices "$1" --annual-km 90000 --own-batteries --json 2>/dev/null | jq -c '.bases[0].advice[1]'; }
    ask prices.yaml >as_is.json
    jq -e '.best == "smooth" and .next == "slippery" and .extra_price == 1000 and .turns_at_extra_price > 1010' as_is.json
    at() { sed "s/smooth: 46000/smooth: $(jq "45000 + .turns_at_extra_price + $1" as_is.json)/" prices.yaml >moved.yaml; ask moved.yaml; }
    at -200 | jq -e '.best == "smooth" and .next == "slippery"'
    at 200 | jq -e '.best == "slippery"'
    run --separate-stderr "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 90000 --own-batteries
    [[ $(told) == *"It is bought for 1000 EUR more than slippery; the answer turns to that where it is $(jq '.turns_at_extra_price | round' as_is.json) EUR more."* ]]
}

@test "two trucks of the same data and price cost alike: none is best by nothing, and nothing turns" {
    sed -i 's/body: {drag_area_m2: 4}, //' pair.yaml
    sed -i 's/slippery: 51500/slippery: 50000/; $a uncertain: {base: {of: [base_price], relative: 0.1, source: invented}}' prices.yaml
    run --separate-stderr "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 90000 --own-batteries
    echo "$output$stderr"
    [ "$status" -eq 0 ]
    [[ $(told) == *"At 90000 km a year plain and slippery cost alike: "*" EUR/km, with no difference that these digits bear out."* && $output != *"costs least"* ]]
    [[ $(told) == *"distances a year at which it turns, km none"* && $(told) == *"simple payback, a none"* ]]
    "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 90000 --own-batteries --json >out.json 2>/dev/null
    jq -e '.bases[0] | (.advice | all(.others_alike == 1)) and (.field | (.alike | flatten | all) and (.takes_over | flatten == []))' out.json
}

@test "a year that has more hours on the road and charging than it has is not advised: how many trucks it takes is told" {
    "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 90000 --own-batteries --json >out.json 2>/dev/null
    of() { jq ".bases[0].advice[1] as \$a | .bases[0].trucks[] | select(.name == \$a.best) | .figures[] | select(.key == \"$1\") | .value" out.json; }
    jq -e ".bases[0].advice | (.[1].hours_a_day * 365 - $(of year.hours) | fabs < 1e-6) and (map(.trucks_needed) == [1, 1, 1, 2]) and .[3].hours_a_day > 24" out.json
    jq -en "$(of year.hours) > $(of days) * $(of day.h)" # the depot's power is stated
    run --separate-stderr "$EVENER" payback pair.yaml --prices prices.yaml --own-batteries
    hours=$(printf %.2f "$(jq .bases[0].advice[3].hours_a_day out.json)")
    [[ $(told) == *"250000 km a year take 2 trucks, or cannot be done by one truck: $hours h a day on the road, at stops and charging, with "*". No truck is advised."* ]]
    [[ $output != *"At 250000 km a year"* ]]
}

@test "where the cheapest cannot do a year alone, the next that can is advised, in the field too" {
    sed -i 's/^base_price: 50000/base_price: 20000/' prices.yaml
    "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 120000 --own-batteries --json >out.json 2>/dev/null
    jq -e '.bases[0].advice | map(select(.annual_km == 120000)) | .[0] | .best == "plain" and .next == "slippery"' out.json
    # half between the distances at which each of them has its 24 hours
    most() { jq "120000 * 8760 / (.bases[0].trucks[$1].figures[] | select(.key == \"year.hours\") | .value)" out.json; }
    km=$(jq -n "($(most 0) + $(most 1)) / 2 | floor")
    "$EVENER" payback pair.yaml --prices prices.yaml --annual-km "$km" --own-batteries --json >far.json 2>/dev/null
    jq -e ".bases[0].advice[] | select(.annual_km == $km) | .best == \"slippery\" and .next == null and .trucks_needed == 1 and .hours_a_day < 24" far.json
    jq -e ".bases[0].trucks[0].figures[] | select(.key == \"year.hours\") | .value > 8760" far.json
    run --separate-stderr "$EVENER" payback pair.yaml --prices prices.yaml --annual-km "$km" --own-batteries
    [[ $(told) == *"At $km km a year slippery costs "*"; no other does such a year alone and with the battery that was found."* ]]
}

@test "unlike batteries, turns by a jump and rates of return of a truck that is bought for less are told in words" {
    sed -i '/slippery/s/battery: {/battery: {capacity_ah: 1200, /; ' pair.yaml
    sed 's/slippery: 51500/slippery: 30000/' prices.yaml >less.yaml
    run --separate-stderr "$EVENER" payback pair.yaml --prices less.yaml --annual-km 90000 --own-batteries
    echo "$output$stderr"
    [[ $(told) == *"Batteries are not alike: plain 700 kWh, slippery 840 kWh. What a truck saves by its battery its layout does not."* ]]
    "$EVENER" payback pair.yaml --prices less.yaml --annual-km 90000 --own-batteries --json >out.json 2>/dev/null
    of() { jq ".bases[0].trucks[1].figures | map(select(.key | test(\"$1\"))) | $2" out.json; }
    jumps=$(of '^extra.turns_at_km.[0-9]' 'map(select(.from | contains("jumps"))) | length')
    [ "$jumps" -gt 0 ] && [[ $(told) == *"slippery turns by a jump, where a battery is replaced once more, at "*" km a year."* ]]
    sed -i 's/capacity_ah: 1200, //' pair.yaml
    run --separate-stderr "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 90000 --own-batteries
    [[ $output != *"Batteries are not alike"* && $output != *"Less is laid out"* ]]
    sed -i 's/drag_area_m2: 4/drag_area_m2: 12/' pair.yaml
    run --separate-stderr "$EVENER" payback pair.yaml --prices less.yaml --annual-km 90000 --own-batteries
    [[ $(told) == *"Less is laid out for slippery than for the first: its rates of return"* ]]
}

@test "at another distance a least battery is kept, and none is advised that comes to less there than it was sized for" {
    write_long_day
    sed -i 's/cycle_factor: 3, end_share: 0.85/cycle_factor: 1, end_share: 0.3/' prices.yaml
    "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 20000 --json >out.json 2>/dev/null
    jq -e '.bases[1].advice | map(.battery_suffices) == [true, false, false, false] and all(.battery_found_at_km == 20000)' out.json
    jq -e '.bases[1].advice[1].sentence | startswith("At 60000 km a year no battery that was found for 20000 km suffices") and contains("--annual-km 60000")' out.json
    jq -e '.bases[0].advice | all(.battery_suffices and .battery_found_at_km == null)' out.json
    # in the field likewise, at each price of energy: 20000 and 60000 km
    jq -e '.bases[1].field | (.annual_km[0] == 20000 and .annual_km[2] == 60000) and (.battery_suffices | (.[0] | all) and (.[2] | any | not))' out.json
    jq -e '[.bases[0].field.battery_suffices | flatten | length, all] == [120, true]' out.json
    run --separate-stderr "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 20000
    [[ $(told) == *"Energy price at which it turns"*"60000 km a year, no battery suffices"* && $(told) != *" 20000 km a year, no battery"* ]]
}

@test "a truck of whose battery no size does the day has costs with its own alone, and says so" {
    write_long_day
    sed -i 's/reserve_soc: 0.1/reserve_soc: 0.4/' day.yaml
    sed -i '/plain/s/mass_kg: 2000/mass_kg: 9000, capacity_ah: 50/' pair.yaml # 9 t for 35 kWh
    run --separate-stderr "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 20000
    echo "$output$stderr"
    [ "$status" -eq 1 ]
    [[ $stderr == *"plain has no battery of another size that does the day: no_battery; there are no costs of it"* ]]
    [[ $(told) == *"Each with the smallest battery"*"plain: no costs, since no size of its battery does the day."*"Nothing is held against plain, the first, since it has no costs"* ]]
    least=${output##*Each with the smallest battery that does the day}
    [[ $least == *"price, EUR "* ]] && run ! grep -Eq '^ +plain( |$)|^Against' <<<"$least" # no column of it
    "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 20000 --json >out.json 2>/dev/null || true
    jq -e '.bases[0].trucks | all(.status == "finished")' out.json
    jq -e '.bases[1] | (.trucks | map(.status) == ["no_battery", "finished"] and .[0].figures == []) and .field == null and .advice == []' out.json
}

@test "the saying of 150000 km a year is told with its source and the extra price with which it would hold: there it does" {
    sed -i '/^battery_ageing/d' prices.yaml
    "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 150000 --own-batteries --json >out.json 2>/dev/null
    jq -e '.bases[0].trucks | .[0].saying == null and (.[1].saying | .source == "common practice, no source" and .annual_km == 150000 and .extra_price == 1500)' out.json
    jq -e '.bases[0].trucks[1] | .saying.extra_price_for_2_years - (.figures[] | select(.key == "extra.price_for_2") | .value) | fabs < 1e-6' out.json
    sed "s/slippery: 51500/slippery: $(jq '50000 + .bases[0].trucks[1].saying.extra_price_for_2_years' out.json)/" prices.yaml >held.yaml
    "$EVENER" payback pair.yaml --prices held.yaml --annual-km 150000 --own-batteries --json 2>/dev/null |
        jq -e '.bases[0].trucks[1].figures[] | select(.key == "extra.payback") | .value - 2 | fabs < 1e-6'
    run --separate-stderr "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 90000 --own-batteries
    echo "$output$stderr"
    [[ $(told) == *"Common practice, no source: a fleet of 150000 km a year or more recovers an electric axle's extra price in one to two years."*"of slippery against plain of "*" EUR in two years, of "*" EUR in one; it is 1500 EUR."* ]]
}

@test "each figure of the document and of the CSV file follows from what stands there: formulas are worked out again, down to what was driven and the prices" {
    "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 90000 --csv out.csv --json >out.json 2>/dev/null
    jq -e '.charging_stops == [{name: "rest", times: 1, duration_min: 3, connector_kw: 40, until_soc: null}] and (.not_counted | length > 4)' out.json
    jq -e '.schema == "evener.payback/1" and .status == "finished" and (.bases | length) == 2' out.json
    cat >audit.py <<'TEXT'
import json, re
document, formulas = json.load(open("out.json")), 0

def audit(values, of, figures): # of: the trucks that "first." and "next." stand for, and its own name
    global formulas
    for figure in figures:
        if figure["formula"] is None:
            assert figure["from"], figure
            continue
        inputs = figure["inputs"]
        for key, value in inputs.items(): # the inputs are the figures of the same names
            begin = key.split(".")[0]
            name, rest = (of[begin], key.split(".", 1)[1]) if begin in ("first", "next") else (of["own"], key)
            assert values[name][rest] == value, (figure, key)
        def many(match):
            fits = re.escape(match[1]).replace(r"\*", "[^.]*")
            return "(" + "+".join(repr(v) for k, v in inputs.items() if re.fullmatch(fits, k)) + ")"
        text = re.sub(r"sum\{([^}]*)\}", many, figure["formula"])
        text = re.sub(r"\{([^}]*)\}", lambda match: "(" + repr(inputs[match[1]]) + ")", text).replace("^", "**")
        assert re.fullmatch(r"[-+*/(). 0-9e]*", text), text
        found = eval(text)
        assert abs(found - figure["value"]) <= 1e-8 * max(1, abs(found)), (figure, found)
        formulas += 1


for basis in document["bases"]:
    values = {t["name"]: {f["key"]: f["value"] for f in t["figures"]} for t in basis["trucks"]}
    first = basis["trucks"][0]["name"]
    here = next(a for a in basis["advice"] if a["annual_km"] == document["annual_km"])
    for truck in basis["trucks"]:
        audit(values, {"own": truck["name"], "first": first, "next": here["next"]}, truck["figures"])
    for truck in basis["trucks"]:
        of = values[truck["name"]]
        parts = sum(v for k, v in of.items() if k.startswith("per_km."))
        assert abs(parts - of["cost.per_km"]) < 1e-9, (parts, of["cost.per_km"])
        parts = [v for k, v in of.items() if k.startswith("per_t_km.")]
        assert len(parts) == 11 and abs(sum(parts) - of["cost.per_t_km"]) < 1e-10, (parts, of["cost.per_t_km"])
        assert of["battery.replacements"] > 0 # so that these are looked at too
    for advice in basis["advice"]: # at its own distance: what is other there above what is as here
        there = {t["truck"]: {f["key"]: f["value"] for f in t["figures"]} for t in advice["other_figures"]}
        assert (advice is here) == all(len(f) == 0 for f in there.values())
        all_of = {name: values[name] | there[name] for name in values}
        assert all(all_of[name]["annual_km"] == advice["annual_km"] for name in values)
        for truck in advice["other_figures"]:
            audit(all_of, {"own": truck["truck"], "first": first, "next": advice["next"]}, truck["figures"])
        best, near = all_of[advice["best"]], lambda a, b: abs(a - b) <= 1e-9 * max(1, abs(b))
        assert near(advice["per_km"], best["cost.per_km"]) and near(advice["next_per_km"], all_of[advice["next"]]["cost.per_km"])
        assert near(advice["extra_price"], best["advice.extra_price"])
        assert near(advice["turns_at_extra_price"], best["advice.turns_at_extra_price"])
        assert near(advice["hours_a_day"], best["advice.hours_a_day"]) and advice["trucks_needed"] == best["advice.trucks"]
        less = [v for k, v in best.items() if k.startswith("advice.less.")]
        assert len(less) == 11 and near(sum(less), best["advice.less_per_km"])
        assert sorted(less) == sorted(r["per_km"] for r in advice["reasons"])
        for turn in advice["against_first"]:
            of = all_of[turn["truck"]]
            assert near(turn["per_km"], of["cost.per_km"]) and near(turn["extra_price"], of["extra.price"])
            assert near(turn["turns_at_extra_price"], of["extra.turns_at_price"])
            assert near(turn["energy_price"], of["energy.depot.price"])
            assert near(turn["turns_at_energy_price"], of["extra.turns_at_energy_price"])
assert formulas > 1000, formulas
TEXT
    python3 audit.py
    # the CSV file has a line for each of them
    [ "$(($(wc -l <out.csv) - 1))" -eq "$(jq '[.bases[].trucks[].figures[]] | length' out.json)" ]
    head -1 out.csv | grep -qx 'basis,truck,key,label,unit,value,formula,from'
    # where the subsidy meets its most on the way to the price that pays back in two years
    most=$(jq '.bases[0].trucks[1].figures[] | select(.key == "price.total") | .value / 10 + 1' out.json)
    sed "s/most: 9000/most: $most/; s/slippery: 51500/slippery: 45000/" prices.yaml >met.yaml
    "$EVENER" payback pair.yaml --prices met.yaml --annual-km 90000 --json >out.json 2>/dev/null
    grep -q '"formula": "{extra.price} + {extra.price_to_most} + ({extra.sum.2} - ' out.json
    python3 audit.py
}

@test "what was driven is what drive tells of the same day" {
    "$EVENER" payback pair.yaml --prices prices.yaml --own-batteries --json >out.json 2>/dev/null
    "$EVENER" drive "$root/tests/trucks/ideal.yaml" day.yaml --set battery.resistance_ohm=0.1 --set battery.mass_kg=2000 --json >day.json 2>/dev/null
    of() { jq ".bases[0].trucks[0].figures[] | select(.key == \"$1\") | .value" out.json; }
    mean() { jq "[.seasons[] | .share * .day.$1] | add" day.json; }
    for pair in day.battery_kwh:battery_kwh day.km:distance_km day.stored_kwh:charged_stored_kwh; do
        jq -en "(($(of "${pair%:*}")) - ($(mean "${pair#*:}"))) | fabs < 1e-6"
    done
    jq -en "$(of annual_km) == 1200" # 200 days of 6 km
    jq -e '.bases[1].trucks | all(.status == "not_asked")' out.json
}

@test "a lineup over a cycle is held at its own batteries alone, and says why" {
    sed -i 's/^duty: .*/cycle: {use: flat.yaml}/' pair.yaml
    run --separate-stderr "$EVENER" payback pair.yaml --prices prices.yaml
    echo "$output$stderr"
    [ "$status" -eq 0 ]
    [[ $(told) == *"at 750 km a year"* && $(told) == *"no costs, since the lineup drives a cycle"* ]]
}

@test "a truck that does not do its day has no costs, the others have, and the exit code is 1" {
    sed -i 's/slippery: {/slippery: {/; s/body: {drag_area_m2: 4}, battery: {resistance_ohm: 0.1/body: {drag_area_m2: 4}, battery: {capacity_ah: 3, resistance_ohm: 0.1/' pair.yaml
    run --separate-stderr "$EVENER" payback pair.yaml --prices prices.yaml --own-batteries
    echo "$output$stderr"
    [ "$status" -eq 1 ]
    [[ $(told) == *"slippery: no costs, since its battery runs empty before the day ends."* ]]
    [[ $stderr == *"slippery does not come to the end of its day"* ]]
    [[ $(told) == *"What each costs"* && $output != *"Its costs are told"* ]]
    # the first in its place: nothing is held against it, and no draws are
    { sed '/^trucks:/q' pair.yaml && grep '^  slippery:' pair.yaml && grep '^  plain:' pair.yaml; } >turned.yaml
    run --separate-stderr "$EVENER" payback turned.yaml --prices prices.yaml --annual-km 90000 --own-batteries --draws 16
    echo "$output$stderr"
    [[ $(told) == *"Nothing is held against slippery, the first, since it has no costs: no payback, no net present value, and not how sure they are."* ]]
}

@test "a truck that does not do what the duty demands has costs, and is out of what to buy" {
    sed -i 's/reserve_soc: 0.1/reserve_soc: 0.1, steepest_start_percent: 30/' day.yaml
    sed -i 's/body: {drag_area_m2: 4}/body: {drag_area_m2: 1}, drive_units: {rear: {motors: {a: {peak_torque_nm: 1500}}}}/' pair.yaml
    run --separate-stderr "$EVENER" payback pair.yaml --prices prices.yaml --own-batteries
    echo "$output$stderr"
    [ "$status" -eq 1 ]
    [[ $(told) == *"slippery cannot be bought for this duty: steepest start "*" %, of which it demands 30"* ]]
    [[ $(told) == *"plain costs "*"no other does what the duty demands."* && $output == *"What each costs"* ]]
    "$EVENER" payback pair.yaml --prices prices.yaml --own-batteries --json >out.json 2>/dev/null || true
    jq -e '.bases[0].trucks | map(.meets_demands) == [true, false] and all(.status == "finished")' out.json
    jq -e '.bases[0].advice | all(.best == "plain" and .next == null)' out.json
    jq -e '.bases[0].trucks[1].figures | map(select(.key == "demand.steepest_start_percent" and .value < 30)) | length == 1' out.json
}

@test "reasons of an answer are what the parts of the two costs differ by" {
    "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 90000 --own-batteries --json >out.json 2>/dev/null
    jq -e '.bases[0].advice | all((.reasons | map(.per_km) | add) - (.next_per_km - .per_km) | fabs < 1e-9)' out.json
    jq -e '.bases[0].advice[1] | .annual_km == 90000 and (.reasons[0].per_km | fabs) >= (.reasons[1].per_km | fabs)' out.json
    jq -e '[.bases[0].trucks[].figures[] | select(.key == "per_km.energy") | .value] as $e
        | .bases[0].advice[1] | (if .best == "plain" then 1 else -1 end) * (.reasons[] | select(.label == "energy") | .per_km)
        | . - ($e[1] - $e[0]) | fabs < 1e-9' out.json
}

@test "the price of energy at which an answer turns is told at each distance, and there it does turn" {
    sed -i 's/drag_area_m2: 4/drag_area_m2: 3/' pair.yaml
    "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 90000 --own-batteries --json >out.json 2>/dev/null
    jq -e '.bases[0].advice | length == 4 and all(.against_first[0] | .energy_price > 0 and .turns_at_energy_price != null)' out.json
    factor=$(jq '.bases[0].advice[1].against_first[0] | .turns_at_energy_price / .energy_price' out.json)
    awk -v f="$factor" '{ if (/tariff/) { sub(/\[0.3, 0.2\]/, "[" 0.3 * f ", " 0.2 * f "]") } if (/stops:/) { sub(/0.4/, 0.4 * f) } print }' OFMT=%.12g CONVFMT=%.12g prices.yaml >turned.yaml
    "$EVENER" payback pair.yaml --prices turned.yaml --annual-km 90000 --own-batteries --json >turned.json 2>/dev/null
    jq -e '.bases[0].trucks[1].figures[] | select(.key == "extra.present_value") | .value | fabs < 0.01' turned.json
}

@test "each cell of the field is what a run at that distance and with those prices of energy tells, and its line lies where the answer turns" {
    sed -i 's/drag_area_m2: 4/drag_area_m2: 3/' pair.yaml
    "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 120000 --own-batteries --json >out.json 2>/dev/null
    jq -e '.bases[0].field | (.annual_km | length) == 15 and (.energy_price | length) == 8 and .energy_price_unit == "EUR/kWh"
        and (.costs_least | length == 15 and all(length == 8)) and (.against_first | length == 1 and all(.net_present_value | length == 15 and all(length == 8)))' out.json
    jq -e '.bases[1].field == null' out.json # it was not asked for
    of() { jq ".bases[0].trucks[1].figures[] | select(.key == \"$2\") | .value" "$1"; }
    cell() { jq ".bases[0].field | [.annual_km, .energy_price] as [\$km, \$price] | .against_first[0].net_present_value[\$km | index(120000)][$1]" out.json; }
    jq -en "$(cell 3) - ($(of out.json extra.present_value)) | fabs < 1e-6"
    jq -e '.bases[0] as $b | $b.field.energy_price[3] - ($b.trucks[0].figures[] | select(.key == "energy.depot.price") | .value) | fabs < 1e-12' out.json
    sed 's/\[0.3, 0.2\]/[0.15, 0.1]/; s/price_per_kwh: 0.4/price_per_kwh: 0.2/' prices.yaml >half.yaml
    "$EVENER" payback pair.yaml --prices half.yaml --annual-km 120000 --own-batteries --json >half.json 2>/dev/null
    jq -en "$(cell 1) - ($(of half.json extra.present_value)) | fabs < 1e-6"
    # Either side of the line another truck costs less, as the values say.
    jq -e '.bases[0].field as $f | [range(15) as $d | range(8) as $p
        | (if $f.against_first[0].net_present_value[$d][$p] > 0 then "slippery" else "plain" end) == $f.costs_least[$d][$p]] | all' out.json
    jq -e '.bases[0].field as $f | [range(15) as $d | range(8) as $p | $f.against_first[0] | .turns_at_energy_price[$d] as $turns
        | select($turns != null) | (.net_present_value[$d][$p] > 0) == ((.net_present_value[$d][7] > .net_present_value[$d][0]) == ($f.energy_price[$p] > $turns))]
        | length > 40 and all' out.json
    jq -e '.bases[0].field.costs_least | flatten | unique == ["plain", "slippery"]' out.json # it does turn
    sed -i 's/\[0.3, 0.2\]/[0, 0]/' prices.yaml
    "$EVENER" payback pair.yaml --prices prices.yaml --own-batteries --json 2>/dev/null | jq -e '.bases[0].field == null' # no axis
}

@test "what a lineup makes equal counts as in comparisons" {
    sed -i 's/body: {drag_area_m2: 4}/body: {drag_area_m2: 4}, drive_units: {rear: {motors: {a: {peak_power_kw: 600}}}}/' pair.yaml
    sed 's/^duty/equal: power\nduty/' pair.yaml >equal.yaml
    run --separate-stderr "$EVENER" payback equal.yaml --prices prices.yaml --own-batteries
    [[ $(told) == *"Made equal in peak wheel power: torque of the motors of slippery times "* ]]
    "$EVENER" payback equal.yaml --prices prices.yaml --own-batteries --json >equal.json 2>/dev/null
    scale=$("$EVENER" compare equal.yaml --json 2>/dev/null | jq '.trucks[1].equal.torque_scale')
    of() { jq ".bases[0].trucks[1].figures[] | select(.key == \"$2\") | .value" "$1"; }
    [ "$(of equal.json equal.torque_scale)" = "$scale" ]
    jq -en "$scale > 1.5 and (($(of equal.json bought.motor.kw)) / 600 - $scale | fabs < 1e-9)" # and is bought so
    sed 's/^duty/equal: gross\nduty/' pair.yaml >gross.yaml
    refused "gross with a duty" gross.yaml --prices prices.yaml
    sed -i 's/^duty: .*/cycle: {use: flat.yaml}/' gross.yaml
    sed -i '/slippery/s/mass_kg: 2000}}$/mass_kg: 2100}}/' gross.yaml
    run --separate-stderr "$EVENER" payback gross.yaml --prices prices.yaml
    echo "$output$stderr"
    [[ $(told) == *"Made equal in gross mass: slippery carries 8900 kg."* ]]
}

@test "interrupted, what is whole is told and marked, with exit code 3 and no file" {
    export EVENER_PATH=$root
    "$EVENER" payback tipper-day --prices fleet --csv out.csv --json >out.json 2>err 3>&- &
    pid=$!
    for _ in $(seq 400); do [ -s out.json ] && break; sleep 0.01; done
    kill -TERM "$pid" || true
    code=0
    wait "$pid" || code=$?
    jq -e '.status == "interrupted"' out.json
    [ "$code" -eq 3 ] && [ ! -e out.csv ]
}

@test "other charging stops are tried for the smallest battery: the one of least cost per km is taken, and costs what a duty that states it does" {
    sed -i 's/length_m: 3000/length_m: 60000/' flat.yaml
    sed -i 's/connector_kw: 40}/connector_kw: 40, soc: [0.2, 0.9], power_kw: [40, 10]}/' day.yaml # of another power all along
    sed -i 's/driver_per_h: 25/driver_per_h: 0/; s/battery: {per_kwh: 200}/battery: {per_kwh: 2000}/' prices.yaml
    "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 20000 --longer-stops 20 --stop-powers 80 --json >tried.json 2>/dev/null
    jq -e '[.bases[1].trucks[] | (.stops_tried | length) == 4 and ([.stops_tried[] | select(.chosen)] == [.stops_tried | min_by(.per_km)])] | all' tried.json
    sed 's/duration_min: 3, charging: .*/duration_min: 23, charging: {connector_kw: 80, soc: [0.2, 0.9], power_kw: [80, 20]}}/' day.yaml >long.yaml
    sed 's/day.yaml/long.yaml/' pair.yaml >stated.yaml
    "$EVENER" payback stated.yaml --prices prices.yaml --annual-km 20000 --json >stated.json 2>/dev/null
    jq -se '[.[].bases[1].trucks | [.[] | .figures | map(select(.key == "cost.per_km" or .key == "battery.kwh" or .key == "year.driver").value)]] | .[0] == .[1]' tried.json stated.json
    # each can be worked out from the document: what is other there above what is as in the truck's own list, the payload
    # against the same, also of one that may carry more than any of those that were taken
    python3 - <<'TEXT'
import json, re
basis = json.load(open("tried.json"))["bases"][1]
of = {t["name"]: {f["key"]: f for f in t["figures"]} for t in basis["trucks"]}
values = lambda fs: {k: f["value"] for k, f in fs.items()}
near = lambda a, b: abs(a - b) <= 1e-9 * max(1, abs(b))
for truck in basis["trucks"]:
    for tried in truck["stops_tried"]:
        there = of[truck["name"]] | {f["key"]: f for f in tried["other_figures"]}
        assert tried["chosen"] == (tried["other_figures"] == []), tried
        v = values(there)
        assert near(v["cost.per_km"], tried["per_km"]) and near(v["battery.kwh"], tried["battery_kwh"]), tried
        assert near(sum(x for k, x in v.items() if k.startswith("per_km.")), tried["per_km"])
        assert v["masses.may_carry_most_t"] == max(values(of[n])["masses.may_carry_t"] for n in of)
        assert near(v["payload.lost_t"], v["masses.may_carry_most_t"] - v["masses.may_carry_t"])
        for f in tried["other_figures"]: # each input is the figure of its name
            for k, x in (f["inputs"] if f["formula"] else {}).items():
                assert x == (values(of["plain"])[k[6:]] if k.startswith("first.") else v[k]) or k.startswith("next."), (f, k)
TEXT
    # its own list tells the same, and the battery as the lineup has it stays with the duty's stops
    jq -e '.bases[1].trucks[0] | (.stops_tried[] | select(.chosen)) as $is | [.figures[] | select(.key == "cost.per_km" or .key == "stops.longer_min" or .key == "stops.connector_kw").value] | sort == ([$is.per_km, 20, 80] | sort)' tried.json
    jq -e '.bases[0].trucks[0] | .stops_tried == null and ([.figures[] | select(.key | startswith("stops."))] == [])' tried.json
    # a dear driver turns it
    sed -i 's/driver_per_h: 0/driver_per_h: 900/' prices.yaml
    run --separate-stderr "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 20000 --longer-stops 20
    [[ $(told) == *"The duty states its charging stops: rest 3 min with 40 kW. Others are tried for the smallest battery. plain: stops as the duty states cost least of the 2 that were tried, "*" Stops 20 min longer: "* ]]
}

@test "other charging stops are refused where none is looked for, or none charges" {
    refused "--longer-stops with --own-batteries" pair.yaml --prices prices.yaml --longer-stops 5 --own-batteries
    refused "--stop-powers is '80,x'; one to 4 numbers from 1 to 10000 with commas between were expected" pair.yaml --prices prices.yaml --stop-powers 80,x
    refused "--longer-stops is '1,2,3,4,5'" pair.yaml --prices prices.yaml --longer-stops 1,2,3,4,5
    refused "--longer-stops is '5,7,5.0', with 5 more than once; once was expected" pair.yaml --prices prices.yaml --longer-stops 5,7,5.0
    sed -i '/stop: /d' day.yaml
    refused "'A day' has no stop that charges; expected a duty with one" pair.yaml --prices prices.yaml --longer-stops 5
}

@test "a year that one truck cannot do is marked in the field where a run at that distance says so too" {
    "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 260000 --own-batteries --json >out.json 2>/dev/null
    jq -e '.bases[0] | ([.advice[] | select(.annual_km == 260000).trucks_needed] == [2]) and .field.trucks_needed[12][3] == 2 and .field.trucks_needed[5][3] == 1' out.json
}

@test "a label that a spreadsheet would take for a formula is text in the CSV file" {
    sed -i 's/^currency: EUR/currency: "=1+1"/' prices.yaml
    "$EVENER" payback pair.yaml --prices prices.yaml --own-batteries --csv out.csv >/dev/null 2>&1
    grep -q "^as_lineup,plain,cost.per_km,cost per km,'=1+1/km," out.csv
    run ! grep -q ',=' out.csv
}

@test "where nothing is held against the first the physics is not driven, and says so" {
    sed -i 's/  plain: {\(.*\)battery: {resistance_ohm/  plain: {\1battery: {capacity_ah: 3, resistance_ohm/' pair.yaml
    run --separate-stderr "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 90000 --own-batteries --draws 16 --physics --json
    echo "$stderr"
    [ "$status" -eq 1 ]
    [[ $stderr == *"how far energies may be off was not looked for, and none of its runs driven: nothing is held against plain, the first, which has no costs"* ]]
    jq -e '.physics == null' <<<"$output"
}

@test "over a shipped day no least battery comes to less than it was sized for" {
    EVENER_PATH=$root run --separate-stderr "$EVENER" payback motorway-day --prices fleet --csv out.csv
    echo "$stderr"
    [ "$status" -eq 0 ]
    [[ $(told) == *"Cost per tonne-kilometre by what it is for"*"together, EUR/(t km)"* ]]
    python3 - <<'TEXT'
import csv
of = {(r["basis"], r["truck"], r["key"]): float(r["value"]) for r in csv.DictReader(open("out.csv"))
      if r["key"] in ("battery.sized_at_capacity", "battery.capacity_lowest")}
trucks = [t for b, t, k in of if k == "battery.sized_at_capacity"]
assert len(trucks) == 3, of
for t in trucks:
    more = of["least_battery", t, "battery.capacity_lowest"] - of["least_battery", t, "battery.sized_at_capacity"]
    assert 0 <= more <= 0.002, (t, more)
TEXT
}

@test "prices that are missing, negative, in an unknown currency or of no such truck are refused where they stand" {
    refused "--prices with a file of prices was expected" pair.yaml
    sed 's/inverter: {each: 900}, //' prices.yaml >less.yaml
    refused "less.yaml:8:8: error: no price of drive_units.rear.motors.a.inverter of truck plain; expected parts.inverter" pair.yaml --prices less.yaml
    # named by uncertain too it is the missing price that is told, and where no truck misses it what names it
    { cat less.yaml && echo 'uncertain: {power: {of: [parts.inverter.each], relative: 0.1, source: invented}}'; } >named.yaml
    refused "named.yaml:8:8: error: no price of drive_units.rear.motors.a.inverter of truck plain; expected parts.inverter" pair.yaml --prices named.yaml
    [[ $stderr != *"a step below"* ]]
    sed 's/parts.inverter/parts.propeller_shaft/' named.yaml | sed 's/each: 5000/each: 5000}, inverter: {each: 900/' >idle.yaml
    refused "idle.yaml:18:20: error: a step below 'parts.propeller_shaft', which is not there; expected a path to a value that is" pair.yaml --prices idle.yaml
    sed 's/each: 5000/each: -5000/' prices.yaml >minus.yaml
    refused "minus.yaml:8:23: error: each is -5000" pair.yaml --prices minus.yaml
    sed 's/axle: {per_kg: 4}/axle: {per_kg: -4}/' prices.yaml >kg.yaml
    refused "per_kg is -4 1/kg; expected 0 to 1000000000 1/kg" pair.yaml --prices kg.yaml
    sed 's/per_t_km: 0.05/per_t_km: -1/; s/driver_per_h: 25/driver_per_h: -1/' prices.yaml >more.yaml
    refused "per_t_km is -1 1/(t km)" pair.yaml --prices more.yaml
    sed 's/driver_per_h: 25/driver_per_h: -1/; s/demand_charge_per_kw_year: 40/demand_charge_per_kw_year: -1/' prices.yaml >more.yaml
    refused "driver_per_h is -1 1/h" pair.yaml --prices more.yaml
    sed 's/per_kwh: 200/per_kwh: 200, currency: SEK/' prices.yaml >mixed.yaml
    refused "an amount in SEK, of which no rate is stated" pair.yaml --prices mixed.yaml
    sed 's/slippery: 51500/slipery: 51500/' prices.yaml >name.yaml
    refused "name.yaml:7:24: error: base price of 'slipery', which is no truck of the lineup; expected the name of one, nearest is slippery" pair.yaml --prices name.yaml
    sed 's/^interest_percent: 5/interest_percent: -100/' prices.yaml >rate.yaml
    refused "rate.yaml:4:19: error: interest_percent is -100" pair.yaml --prices rate.yaml
    sed '/^  stops/d' prices.yaml >stops.yaml
    refused "expected energy.stops" pair.yaml --prices stops.yaml
    sed 's/, driven: {each: 400, life_km: 90000}//' prices.yaml >tyres.yaml
    refused "no price of the driven tyres of truck plain; expected tyres.driven" pair.yaml --prices tyres.yaml
    refused "0" pair.yaml --prices prices.yaml --annual-km 0
    refused "this is a lineup; a file of prices was expected" pair.yaml --prices pair.yaml
    sed 's/tariff: {from_h: \[6, 22\], price_per_kwh: \[0.3, 0.2\]}, //' prices.yaml >free.yaml
    refused "energy without a price; expected price_per_kwh or tariff" pair.yaml --prices free.yaml
    sed '/^parts:/d' prices.yaml >parts.yaml
    refused "parts" pair.yaml --prices parts.yaml
}

@test "prices are listed, new writes some that can be read, and the shipped ones price every shipped lineup" {
    export EVENER_PATH=$root
    run "$EVENER" list prices --names
    [[ $output == *fleet* ]]
    "$EVENER" new prices mine.yaml
    refused "expected parts" "$root/vehicles/lineups/days/tipper-day.yaml" --prices mine.yaml
    for lineup in "$root"/vehicles/lineups/demo.yaml "$root"/vehicles/lineups/tipper-out.yaml; do
        run --separate-stderr "$EVENER" payback "$lineup" --prices "$root/vehicles/prices/fleet.yaml" --annual-km 80000 --own-batteries
        echo "$output$stderr"
        [ "$status" -eq 0 ]
    done
}

@test "draws of one price tell what a straight line says, and the same seed the same" {
    # 250 kg of axle more, at 4 per kg and 4 more or less: 1000 more or less between the trucks
    sed -i 's/body: {drag_area_m2: 4}/body: {drag_area_m2: 4}, axles: {rear: {mass_kg: 1350}}/' pair.yaml
    echo 'uncertain: {axles: {of: [parts.axle.per_kg], half_width: 4, source: invented}}' >>prices.yaml
    ask=(payback pair.yaml --prices prices.yaml --annual-km 90000 --own-batteries --draws 4096 --json)
    "$EVENER" "${ask[@]}" >out.json 2>/dev/null
    slope=$(jq '.bases[0].trucks[1].figures[] | select(.key == "extra.value_per_price") | .value' out.json)
    jq -e ".bases[0].trucks[1].sure | (.net_present_value | (.high - .low) / (1800 * $slope) - 1 | fabs < 0.003)" out.json
    nominal=$(jq '.bases[0].trucks[1].figures[] | select(.key == "extra.present_value") | .value' out.json)
    jq -e ".bases[0].trucks[1].sure | .net_present_value.median - ($nominal) | fabs < 3" out.json
    jq -e '.bases[0].trucks[1].sure | .causes[0].label == "axles" and .causes[0].share == 1 and (.causes | length == 1) and .draws == 4096' out.json
    jq -e '.bases[0].trucks[1].sure.probability_paid_back_by_year | . == sort and length == 6' out.json
    jq -e '.bases[0].trucks[0].sure == null' out.json
    # the band by year: that of the last is the net present value, at the beginning the price alone (subsidy at its most)
    jq -e '.bases[0].trucks[1].sure | (.discounted_saving_by_year | length == 6 and all(.low < .median and .median < .high))
        and ([.discounted_saving_by_year[5] | .low, .median, .high] as $l | [.net_present_value | .low, .median, .high] as $v
            | [range(3)] | all(($l[.] - $v[.]) | fabs < 1e-6))' out.json
    jq -e '.bases[0].trucks[1].sure.discounted_saving_by_year[0] | (.high - .low) / 1800 - 1 | fabs < 0.003' out.json
    "$EVENER" "${ask[@]}" --csv out.csv >csv.json 2>/dev/null
    grep -q '^as_lineup,slippery,sure.discounted.5.low,"saved by the end of year 5, discounted, 5 % of draws below",EUR,' out.csv
    [ "$(grep -c ',slippery,sure[.]' out.csv)" -eq $((3 + 1 + 6 + 3 * 6)) ]
    "$EVENER" "${ask[@]}" 2>/dev/null | cmp - out.json
    run ! cmp -s <("$EVENER" "${ask[@]}" --seed 2 2>/dev/null) out.json
    "$EVENER" "${ask[@]}" --energy-percent 4 >energy.json 2>/dev/null
    jq -e '.bases[0].trucks[1].sure.causes | map(.label) | sort == ["axles", "energy use"]' energy.json
    jq -e '.bases[0].trucks[1].sure.causes | map(.share) | add - 1 | fabs < 1e-9' energy.json
    refused "--draws was expected beside it" pair.yaml --prices prices.yaml --energy-percent 4
    refused "a multiple of 4" pair.yaml --prices prices.yaml --draws 17
}

@test "with the physics the runs are told beforehand, and a datum moves what days driven with it by hand do" {
    printf '%s\n' 'name: Air' 'invented: true' 'uncertain: {air: {of: [trucks.slippery.body.drag_area_m2], half_width: 0.5}}' >air.yaml
    # a straight line in the energy: no battery that is replaced, no demand charge, no driver
    sed -i '/^battery_ageing/d; s/, demand_charge_per_kw_year: 40//; s/, driver_per_h: 25//' prices.yaml
    ask=(payback pair.yaml --prices prices.yaml --annual-km 90000 --own-batteries --draws 64 --json)
    "$EVENER" "${ask[@]}" --uncertain air.yaml >out.json 2>err
    grep -q "takes $(jq .physics.runs out.json) runs over the distinct legs and stops of the day" err
    jq -e '.physics | .method == "first_order" and .season == "winter" and .runs_lost == 0' out.json
    jq -e '.bases[0].trucks[1].sure.energy_difference_percent | .low < .mean and .mean < .high' out.json
    day() { "$EVENER" drive "$root/tests/trucks/ideal.yaml" day.yaml --set battery.resistance_ohm=0.1 --set battery.mass_kg=2000 --set "body.drag_area_m2=$1" --json 2>/dev/null | jq '.seasons[0].day.battery_kwh'; }
    by=$(jq -n '0.5 / (3 | sqrt)')
    up=$(day "$(jq -n "4 + $by")") down=$(day "$(jq -n "4 - $by")")
    "$EVENER" "${ask[@]}" --energy-percent 2 >energy.json 2>/dev/null # one standard uncertainty: 1 % of its own energy
    kwh=$(jq '.bases[0].trucks[1].figures[] | select(.key == "day.battery_kwh") | .value' energy.json)
    cause() { jq ".bases[0].trucks[1].sure.causes[] | select(.label | startswith(\"$2\")) | .net_present_value" "$1"; }
    jq -en "($(cause energy.json 'energy use')) / ($kwh / 100) * ($up - $down) / 2 / ($(cause out.json air)) - 1 | fabs < 1e-3"
    jq -e '.physics == null and .bases[0].trucks[1].sure.energy_difference_percent == null' energy.json
    "$EVENER" "${ask[@]}" --physics --threads 1 2>/dev/null >one.json
    "$EVENER" "${ask[@]}" --physics --threads 3 2>/dev/null | cmp - one.json
    refused "--physics is for draws alone; --draws was expected beside it" pair.yaml --prices prices.yaml --physics
    refused "--energy-percent with --physics, which finds how far energies may be off" pair.yaml --prices prices.yaml --draws 64 --physics --energy-percent 2
}

# Depot and stop energy of the day in the only season, from the grid at the depot's and the prices' efficiencies.
by_hand() {
    "$EVENER" drive "$root/tests/trucks/ideal.yaml" filled.yaml --set battery.resistance_ohm=0.1 --set battery.mass_kg=2000 --set "body.drag_area_m2=$1" --json 2>/dev/null >hand.json
    jq '.seasons[0] | {depot: (.day.battery_kwh - .day.charged_stored_kwh),
        stops: ([.phases[] | select(.name == "fill") | .charged_kwh / 0.93] + [.phases[] | select(.name == "rest") | .charged_kwh / 0.92] | add)}' hand.json
}

write_filled_day() {
    printf '%s\n' 'name: A filled day' 'invented: true' 'day:' '  - rounds:' '      times: 2' '      each:' \
        '        - leg: {name: out, cycle: {use: flat.yaml}, payload_kg: 8000}' \
        '        - stop: {name: rest, duration_min: 3, charging: {connector_kw: 10}}' \
        '        - leg: {name: home, cycle: {use: flat.yaml}, direction: back}' \
        '  - stop: {name: fill, duration_min: 10, charging: {connector_kw: 60, until_soc: 0.5, efficiency: 0.93}}' \
        '  - leg: {name: last, cycle: {use: flat.yaml}}' >filled.yaml
    sed 's/day.yaml/filled.yaml/' pair.yaml >filled-pair.yaml
}

@test "each stop that states its charger's efficiency keeps it beside one that states none" {
    write_filled_day
    "$EVENER" payback filled-pair.yaml --prices prices.yaml --annual-km 90000 --own-batteries --json 2>/dev/null >out.json
    told=$(jq '.bases[0].trucks[1].figures[] | select(.key == "energy.stops.day_kwh") | .value' out.json)
    jq -en "$told / ($(by_hand 4 | jq .stops)) - 1 | fabs < 1e-6"
    jq -e '.bases[0].trucks[1].figures | map({(.key): .value}) | add |
        .["day.charged_from_grid_kwh"] + .["day.charged_unstated_kwh"] / 0.92 - .["energy.stops.day_kwh"] | fabs < 1e-9' out.json
}

@test "with the physics energy is paid for where it is charged: two days driven by hand say the same at depot and stops" {
    write_filled_day
    printf '%s\n' 'name: Air' 'invented: true' 'uncertain: {air: {of: [trucks.slippery.body.drag_area_m2], half_width: 0.5}}' >air.yaml
    sed -i '/^battery_ageing/d; s/, demand_charge_per_kw_year: 40//; s/, driver_per_h: 25//' prices.yaml
    "$EVENER" payback filled-pair.yaml --prices prices.yaml --annual-km 90000 --own-batteries --draws 64 --json --uncertain air.yaml >out.json 2>/dev/null
    by=$(jq -n '0.5 / (3 | sqrt)')
    up=$(by_hand "$(jq -n "4 + $by")") down=$(by_hand "$(jq -n "4 - $by")")
    # what stops give back, of rounds before them, is most of what moves; what remains moves too
    jq -en "($up.stops - $down.stops) / 2 | . > 0.05" && jq -en "$up.depot - $down.depot > 0.01"
    jq -e --argjson up "$up" --argjson down "$down" '.bases[0].trucks[1] |
        (.figures | map({(.key): .value}) | add) as $f |
        ([range(1; 6) | pow(1.05; -.)] | add) as $years |
        ((($up.depot - $down.depot) / 2 / ($f["energy.pack_efficiency"] * 0.9) * $f["energy.depot.price"] +
            ($up.stops - $down.stops) / 2 * 0.4) * $f.days * $years) as $costs |
        (.sure.causes[] | select(.label | startswith("air")) | .net_present_value) / -$costs - 1 | fabs < 2e-3' out.json
}

# A day of 24 km; of the truck with the battery that payback found for it, `share` of the capacity left and its
# resistance `times` that of a new one, what drive tells.
write_long_day() {
    printf '%s\n' 'name: Long' 'invented: true' 'day:' '  - rounds:' '      times: 4' '      each:' \
        '        - leg: {name: out, cycle: {use: flat.yaml}, payload_kg: 8000}' \
        '        - leg: {name: home, cycle: {use: flat.yaml}, direction: back}' 'demands: {reserve_soc: 0.1}' >day.yaml
}

drive_found() {
    "$EVENER" drive "$root/tests/trucks/ideal.yaml" day.yaml --set "battery.capacity_ah=$(jq -n "$1 / 0.7 * $2")" \
        --set "battery.resistance_ohm=$(jq -n "0.1 * 700 / $1 * $3")" --set "battery.mass_kg=$(jq -n "2000 * $1 / 700")" --json 2>/dev/null >hand.json
}

figure() { jq ".bases[1].trucks[0].figures[] | select(.key == \"$1\") | .value" out.json; }

@test "the least battery keeps its reserve in the worst state to which it comes itself, which is at the end of the year in which it is replaced" {
    write_long_day
    # never replaced; replaced at the end of the year in which it ends; gone within a year
    for end in "0.7 1 1500" "0.9 1 1500" "0.85 3 20000"; do
        read -r end_share factor km <<<"$end"
        sed "s/cycle_factor: 3, end_share: 0.85/cycle_factor: $factor, end_share: $end_share/" prices.yaml >aged.yaml
        "$EVENER" payback pair.yaml --prices aged.yaml --annual-km "$km" --json 2>/dev/null >out.json
        kwh=$(figure battery.kwh) sized=$(figure battery.sized_at_capacity) is=$(figure battery.capacity_lowest)
        life=$(figure battery.years_to_replacement) after=$(figure battery.lowest_after)
        echo "$end: $kwh kWh, sized at $sized, lowest $is after $after of life $life"
        jq -en "$is >= $sized and $is <= $sized + 0.002"
        jq -en "$after == (if $life < 1 then $life else [5, ($life | ceil)] | min end)"
        drive_found "$kwh" "$is" 1
        # met on the way to the last stop, whose braking gives 0.3 kWh back
        jq -e '.seasons[0].reserve_soc - 0.1 | . > 0 and . < 0.012' hand.json
    done
}

@test "a battery whose file states its ageing is looked at in the year of its own list, beyond it by the prices' law with the list's highest resistance" {
    write_long_day
    for list in "0.5 10" "0.98 10"; do
        read -r last years <<<"$list"
        sed "s/battery: {resistance_ohm: 0.1/battery: {ageing: {years: [0, $years], capacity_factor: [1, $last], resistance_factor: [1, 1.4]}, resistance_ohm: 0.1/" pair.yaml >listed.yaml
        "$EVENER" payback listed.yaml --prices prices.yaml --annual-km 20000 --json 2>/dev/null >out.json
        kwh=$(figure battery.kwh) sized=$(figure battery.sized_at_capacity) at=$(figure battery.sized_at_years)
        echo "$list: $kwh kWh, sized at $sized, $at years"
        jq -en "$(figure battery.capacity_lowest) - $sized | . >= 0 and . <= 0.002"
        jq -en "if $last == 0.5 then ($at / 10 * 0.5 + $sized - 1 | fabs < 1e-6) else ($at / $(figure battery.lowest_after) - 1 | fabs < 0.01) end"
        drive_found "$kwh" "$(figure battery.capacity_lowest)" "$(jq -n "if $last == 0.5 then 1 + 0.4 * $at / 10 else 1.4 end")"
        jq -e '.seasons[0].reserve_soc - 0.1 | . > 0 and . < 0.012' hand.json
    done
}

@test "what stops charge beyond what the day takes is not paid back at the depot, and a warning says so" {
    sed -i 's/duration_min: 3, charging: {connector_kw: 40}/duration_min: 60, charging: {connector_kw: 40}/' day.yaml
    "$EVENER" payback pair.yaml --prices prices.yaml --own-batteries --annual-km 90000 --json 2>err >out.json
    grep -q "plain with its own battery: stops charge .* kWh a day more than it takes" err
    jq -e '.bases[0].trucks[0].figures | map({(.key): .value}) | add |
        .["energy.depot.day_kwh"] >= 0 and .["energy.depot.day_kwh"] < 1e-9 and (.["day.stored_kwh"] - .["day.battery_kwh"] - .["day.surplus_kwh"] | fabs < 1e-9)
        and .["day.surplus_kwh"] > 10' out.json
}
