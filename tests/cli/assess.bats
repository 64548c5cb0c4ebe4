#!/usr/bin/env bats
# evener assess: one verdict per demand, told in words, as a document, as CSV and as tests; which truck that advises, what
# would turn it; and that comparisons and costs tell it beside who leads.

bats_require_minimum_version 1.5.0

setup() {
    root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    mkdir "$BATS_TEST_TMPDIR/here" # bats keeps files of its own one folder up
    cd "$BATS_TEST_TMPDIR/here" || return 1
    export EVENER_PATH=$root
    printf '%s\n' 'name: Flat' 'invented: true' 'length_m: 3000' 'speed: {place_m: [0], limit_km_h: [40]}' >flat.yaml
    printf '%s\n' 'name: A day' 'invented: true' 'day:' \
        '  - leg: {name: out, cycle: {use: flat.yaml}, payload_kg: 8000}' \
        '  - stop: {name: tip, duration_min: 3, payload_kg: 0}' \
        '  - leg: {name: home, cycle: {use: flat.yaml}, direction: back}' \
        'working_days_per_year: 200' \
        'demands:' \
        '  reserve_soc: 0.1' \
        '  abilities: {start_grade_percent: 10}' \
        '  rules: {name: own, invented: true, clauses: {gross: {limits: mass, most_kg: 18000, status: own, source: invented}}}' >day.yaml
    cat >pair.yaml <<TEXT
name: Pair
invented: true
duty: {use: day.yaml}
trucks:
  plain: {use: $root/tests/trucks/ideal.yaml, battery: {resistance_ohm: 0.1}}
  heavy: {use: $root/tests/trucks/ideal.yaml, body: {mass_kg: 7000, drag_area_m2: 3}, battery: {resistance_ohm: 0.1}}
TEXT
}

# Of trucks that state no masses of their gears.
own_prices() { sed 's/, per_kg: [0-9]*//; /^  gears:/d' "$root/vehicles/prices/fleet.yaml" >prices.yaml; }

# Words on one line.
told() {
    tr -s ' \n' ' ' <<<"$output"
}

refused() {
    local text=$1
    shift
    run --separate-stderr "$EVENER" assess "$@"
    echo "$output$stderr"
    [ "$status" -eq 2 ] && [[ $stderr == *"$text"* ]]
}

@test "words tell which truck is advised, the table, what decided and what would turn it" {
    run --separate-stderr "$EVENER" assess pair.yaml
    echo "$output$stderr"
    [ "$status" -eq 0 ]
    [[ $(told) == *"Advised is plain, as no other passes all that is demanded."* ]]
    [[ $(told) == *"rules on loads, kg "* && $output == *"fail -1000 kg"* ]]
    [[ $(told) == *"heavy: fail, not all that is demanded is kept. Failed: rules on loads: 19000 kg, at most 18000 kg (-1000 kg"*"gross"* ]]
    [[ $(told) != *"rules on loads: 19000 kg, at most 18000 kg"*"), rules on loads"* ]] # its reason is not its label again
    [[ $(told) == *"heavy, rules on loads: payload of the day "*" kg instead of 8000 kg."* ]]
    [[ $(told) == *"Local regulation, approved testing and licensed practice decide on braking, loads and stability."* ]]
}

@test "where no truck passes the exit code is 1 and none is advised" {
    run --separate-stderr "$EVENER" assess pair.yaml --set duty.demands.takeoff_kw=20 --only-standing
    echo "$output$stderr"
    [ "$status" -eq 1 ]
    [[ $(told) == *"No truck passes all that is demanded, and none is advised. Failed by each, so that no layout decides: power take-off."* ]]
    [[ $stderr == *"none of the trucks passes all that is demanded"* ]]
}

@test "the document has each verdict with formula, inputs and where they stand" {
    "$EVENER" assess pair.yaml --json >out.json
    jq -e '.schema == "evener.assess/1" and .status == "finished" and .advice.advised == "plain" and .advice.next == null' out.json
    jq -e '.trucks | map(.verdict) == ["pass", "fail"] and all(.verdicts | length == 4)' out.json
    jq -e '[.trucks[].verdicts[]] | all(.margin as $m | [.inputs[] | {(.key): .value}] | add
        | (.value - .demanded | fabs) - ($m | fabs) | fabs < 1e-9)' out.json
    jq -e '[.trucks[].verdicts[] | select(.demand == "start") | .inputs[] | select(.key == "demanded") | .from] | all(endswith("day.yaml:10"))' out.json
    jq -e '.turns | map(select(.truck == "heavy" and .demand == "rules" and .unit == "kg")) | length == 1' out.json
}

@test "CSV has a line for each truck and demand, and tests of build servers count fails as failures" {
    run --separate-stderr "$EVENER" assess pair.yaml --csv out.csv --junit out.xml
    [ "$status" -eq 0 ]
    [ "$(wc -l <out.csv)" -eq 9 ]
    grep -q '^heavy,rules,rules on loads,fail,kg,18000,19000,-1000,' out.csv
    grep -q 'margin -1000 kg, sure to ' out.xml
    python3 - <<'TEXT'
import xml.etree.ElementTree as tree
suite = tree.parse("out.xml").getroot()
cases = suite.findall("testcase")
assert len(cases) == 8 and suite.get("tests") == "8", suite.attrib
failed = [(c.get("classname"), c.get("name")) for c in cases if c.find("failure") is not None]
assert failed == [("heavy", "rules")] and suite.get("failures") == "1", failed
TEXT
}

@test "inputs are told with where each stands" {
    run "$EVENER" assess pair.yaml --only-standing --inputs
    echo "$output"
    [[ $(told) == *"start, ground as stated: pass; margin = {value} - {demanded}"* ]]
    [[ $(told) == *"demanded = 10 % (day.yaml:10)"* || $(told) == *"demanded = 10 % ("*"day.yaml:10)"* ]]
    [[ $(told) == *"payload_kg = 8000 kg (heaviest payload of the day)"* ]]
}

@test "a comparison and costs say beside who leads what of the duty's demands it fails" {
    run --separate-stderr "$EVENER" compare pair.yaml --uncertainty off
    echo "$output"
    [[ $(told) == *"failed by heavy (rules on loads)."* ]]
    run --separate-stderr "$EVENER" compare pair.yaml --uncertainty off --set duty.demands.takeoff_kw=20
    [[ $(told) == *"failed by plain (power take-off), heavy (rules on loads; power take-off)."* ]] # labels have commas
    run --separate-stderr "$EVENER" compare pair.yaml --uncertainty off
    [[ $(told) != *"heavy "*"lowest"* || $(told) == *"does not meet the demands"* ]]
    "$EVENER" compare pair.yaml --uncertainty off --json >out.json 2>/dev/null || true
    jq -e '.trucks | map(.meets_demands) == [true, false] and map(.standing_verdict) == ["pass", "fail"]' out.json
    own_prices
    run "$EVENER" payback pair.yaml --prices prices.yaml --own-batteries --annual-km 30000
    echo "$output"
    [[ $(told) == *"km a year heavy costs "*"It fails what the duty demands: rules on loads."* ]]
    # with another battery it is another truck: whose verdict that is is said, in words and in the document
    run "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 30000
    echo "$output"
    [[ $(told) == *"km a year heavy costs "*"It fails what the duty demands, with the battery of its file: rules on loads."* ]]
    "$EVENER" payback pair.yaml --prices prices.yaml --annual-km 30000 --json >out.json 2>/dev/null || true
    jq -e '[.bases[].trucks[].standing_battery] | length == 4 and all(. == "as_lineup")' out.json
}

@test "costs say of what they leave out for a demand that its verdict is marginal where it is" {
    sed -i 's/^  plain: {/&drive_units: {rear: {motors: {a: {peak_torque_nm: 2000}}}}, uncertain: {mass: {of: [body.mass_kg], half_width: 2000, source: of the test}}, /' pair.yaml
    can=$("$EVENER" assess pair.yaml --only-standing --json | jq '.trucks[0].verdicts[] | select(.demand == "start").value')
    sed -i "s/start_grade_percent: 10/start_grade_percent: $(jq -n "$can + 0.1")/" day.yaml
    own_prices
    run "$EVENER" payback pair.yaml --prices prices.yaml --own-batteries --annual-km 30000
    echo "$can $output"
    [[ $(told) == *"plain cannot be bought for this duty: start on the ground demanded "*"'evener assess' has it as marginal, not as a fail."* ]]
    [[ $(told) != *"heavy cannot be bought for this duty: start"*"as marginal"* ]]
}

@test "a duty that demands nothing new is told as before" {
    sed -i '/rules:/d' day.yaml
    "$EVENER" compare pair.yaml --uncertainty off --json >out.json 2>/dev/null || true
    jq -e '.trucks | all(.standing_verdict == null)' out.json
    run "$EVENER" compare pair.yaml --uncertainty off
    [[ $output != *"as it stands"* ]]
}

@test "what drive, compare and payback judge of the day holds what a truck must be able to do, too" {
    sed -i 's/start_grade_percent: 10/start_grade_percent: 80, start_surface: snow/' day.yaml
    run --separate-stderr "$EVENER" drive "$root/tests/trucks/ideal.yaml" day.yaml
    echo "$stderr"
    [ "$status" -eq 1 ]
    [[ $stderr == *"start on the ground demanded: "*"; expected at least 80.00 %"* ]]
}

@test "demands that do not fit are refused with their place" {
    sed -i 's/^  reserve_soc: 0.1/  ground: {rut_mm: 50}/' day.yaml
    refused "day.yaml:9:20: error: ruts or a crown, and no clearance_mm" pair.yaml
    sed -i 's/^  ground: .*/  ground: {speed_km_h: 20}/' day.yaml
    refused "expected unevenness" pair.yaml
    sed -i 's/^  ground: .*/  ground: {unevenness: D, shaken_m_s2: 5}/' day.yaml
    refused "no speed_km_h" pair.yaml
    sed -i 's/^  ground: .*/  ground: {unevenness: Q}/' day.yaml
    refused "unevenness" pair.yaml
    sed -i 's/^  ground: .*/  steepest_start_percent: 5/' day.yaml
    refused "which is the same" pair.yaml
    sed -i 's/^  steepest_start_percent: .*/  payback_yeers: 5/' day.yaml
    refused "payback_years" pair.yaml
    refused "drives a cycle" motorway
    refused "energy-percent" pair.yaml --energy-percent 51
}

@test "a duty that demands nothing to judge is refused with its place, and so is what no leg carries" {
    sed -i '/^  reserve_soc\|^  abilities\|^  rules/d; s/^demands:/demands: {spare_percent: 20}/' day.yaml
    refused "day.yaml:8:10: error: the duty 'A day' demands nothing that could be judged; expected demands" pair.yaml
    sed -i 's/^demands: .*/demands: {reserve_soc: 0.1}/' day.yaml
    refused "day.yaml:8:10: error: the duty 'A day' demands nothing that could be judged without days, which --only-standing leaves out" pair.yaml --only-standing
    refused "a payload of 5 kg is asked for, and no leg of the day carries it: leg 'out' states 8000 kg" pair.yaml --payload-kg 5
}

# The whole of it once: which truck, and a figure of each kind worked out of its inputs.
@test "on the motorway one electric axle is advised, and payback follows from its inputs" {
    "$EVENER" assess motorway-assess --prices fleet --json >out.json
    jq -e '.advice | .advised == "electric_axle" and .next == "central" and .by == "cost_per_km" and .apart
        and .next_value - .value > .uncertainty' out.json
    jq -e '[.trucks[].verdicts[] | select(.verdict == "not_known")] == []' out.json
    jq -e '[.trucks[].verdicts[] | select(.demand == "payback_years" and .value_formula != null)
        | [.inputs[] | {(.key): .value}] | add
        | (.["first.yearly"] - .yearly - .replaced_in_year + .left_in_year - .saved_in_year | fabs < 1e-6)
        and (.full_years + .not_yet_back / .saved_in_year - .value | fabs < 1e-9)] | length > 0 and all' out.json
    # the price that would turn which is advised is held against what the advised costs more now: it is the first's next
    jq -e '.turns[] | select(.truck == null and .datum == "price of the advised more than of the next") | .from as $is | [$is, .to]' out.json
    jq -e '(.turns[] | select(.truck == null and .datum == "price of the advised more than of the next") | .from) as $is
        | [.trucks[] | select(.name == "electric_axle") | .verdicts[] | select(.demand == "payback_years") | .inputs[]
        | select(.key == "extra_invested") | .value - $is | fabs] == [0]' out.json
    # in 41 % of draws is not surely: no whole years make the third pass
    jq -e '[.turns[] | select(.truck == null and .demand == "payback_years")] == []' out.json
    # no truck drives more than a year has hours for
    jq -e '[.turns[] | select(.datum == "annual distance")] | length > 0 and all(.to == null and .reach < 400000)' out.json
}

@test "years beyond those that are counted are not known" {
    sed -i 's/^  reserve_soc: 0.1/  payback_years: 5/' day.yaml
    own_prices
    sed -i 's/^base_price: .*/&\nbase_prices: {heavy: 99000}/' prices.yaml
    "$EVENER" assess pair.yaml --prices prices.yaml --years 2 --json >out.json 2>/dev/null || [ $? -eq 1 ]
    jq -e '.trucks[1].verdicts[] | select(.demand == "payback_years")
        | .verdict == "not_known" and (.missing | startswith("costs of more than 2 years")) and .probability == null' out.json
}

# The second takes less energy and is dearer.
dear_second() {
    sed -i 's/^  reserve_soc: 0.1/  payback_years: 5/; /rules:/d' day.yaml
    own_prices
    sed -i "s/^base_price: .*/base_price: 99000\nbase_prices: {heavy: $1}/" prices.yaml
}

@test "the price that turns a payback makes it just that long when it is put in" {
    dear_second 130000
    "$EVENER" assess pair.yaml --prices prices.yaml --annual-km 30000 --json >out.json 2>/dev/null || [ $? -eq 1 ]
    jq -c '.trucks[1].verdicts[] | select(.demand == "payback_years") | [.verdict, .value]' out.json
    jq -e '[.turns[] | select(.datum == "price of energy, factor")] | all(.to <= 5)' out.json
    less=$(jq -e '.turns[] | select(.datum == "price more than the first") | .from - .to' out.json)
    jq -e -n "$less > 1000"
    sed -i "s/{heavy: 130000}/{heavy: $(jq -n "130000 - $less")}/" prices.yaml
    "$EVENER" assess pair.yaml --prices prices.yaml --annual-km 30000 --json >out.json 2>/dev/null || [ $? -eq 1 ]
    jq -e '.trucks[1].verdicts[] | select(.demand == "payback_years") | .value - 5 | fabs < 0.02' out.json
}

@test "what costs no more has paid back within any years, also beyond those that are counted" {
    dear_second 99000
    "$EVENER" assess pair.yaml --prices prices.yaml --annual-km 30000 --years 2 --json >out.json 2>/dev/null
    jq -e '.trucks[1].verdicts[] | select(.demand == "payback_years") | .verdict == "pass" and .probability == 1' out.json
}

@test "only those that pass are said to be alike" {
    printf '  again: {use: %s, battery: {resistance_ohm: 0.1}}\n  weak: {use: %s, battery: {resistance_ohm: 0.1}, drive_units: {rear: {motors: {a: {peak_torque_nm: 600}}}}}\n' \
        "$root/tests/trucks/ideal.yaml" "$root/tests/trucks/ideal.yaml" >>pair.yaml
    "$EVENER" assess pair.yaml --json >out.json
    jq -e '.trucks | map(.verdict) == ["pass", "fail", "pass", "fail"]' out.json
    jq -e '.advice | .apart == false and (.sentence | contains("more than one: plain and again cannot be told apart"))' out.json
}

@test "with prices a payback that is not known has its reason in the day that stops" {
    sed -i 's/^  reserve_soc: 0.1/  payback_years: 5/' day.yaml
    sed -i '/^  plain: /s/resistance_ohm: 0.1/resistance_ohm: 0.1, capacity_ah: 1/' pair.yaml
    own_prices
    run --separate-stderr "$EVENER" assess pair.yaml --prices prices.yaml
    echo "$output"
    [ "$status" -eq 1 ]
    [[ $(told) == *"years to payback (costs of plain, the first truck: battery empty after "* ]]
    [[ $(told) != *"without prices"* ]]
}

@test "any name of a truck fits sentences and XML" {
    sed -i 's/^  heavy: {/&short_name: "two <heavy> \& \x27others\x27", /' pair.yaml
    run --separate-stderr "$EVENER" assess pair.yaml --only-standing --junit out.xml
    echo "$output$stderr"
    [[ $(told) == *"two <heavy> & 'others': fail, not all that is demanded is kept. Failed: rules on loads"* ]]
    python3 -c 'import xml.etree.ElementTree as t; assert len(t.parse("out.xml").findall("testcase")) == 4'
}

@test "five shipped lineups have demands that all their trucks can be held against" {
    for name in tipper haulage deliveries mountain; do
        "$EVENER" assess $name-assess --only-standing --junit $name.xml --json >$name.json 2>/dev/null || [ $? -eq 1 ]
        jq -e '[.trucks[].verdicts[] | select(.verdict == "not_known")] == []' $name.json
    done
    # by frequency the machine is shaken with the root of the unevenness: at both ends of a class by that of two
    jq -e '[.trucks[].verdicts[] | select(.demand == "shaken_m_s2") | .value as $v | .left_out
        | capture("(?<low>[0-9.]+) to (?<high>[0-9.]+) m/s2") | map_values(tonumber)
        | (.low * (2 | sqrt) - $v | fabs < 0.008) and (.high / (2 | sqrt) - $v | fabs < 0.004)] | length == 3 and all' tipper.json
    jq -e '.trucks[] | select(.name == "electric_axle") | [.verdicts[] | select(.verdict == "fail") | .demand]
        | index("rules") and index("shaken_m_s2")' tipper.json
    jq -e '.trucks[] | select(.name == "central") | [.verdicts[] | select(.verdict == "fail")] == []' tipper.json
    # the width of a class is told where a verdict is a pass, too, in words and to build servers
    jq -e '.advice.nearest == "central" and (.trucks[0].sentence | contains("Passed, as the class is taken: speed on the track"))' tipper.json
    grep -q '<testcase classname="central" name="shaken_m_s2"><system-out>how wide class D is, is left out: ' tipper.xml
    grep -q '<failure>.*sure to less than 0.01 m/s2.*how wide class D is' tipper.xml
}
