#!/usr/bin/env bats
# What README.md shows is what the program prints.

# The counts of published checks are held in verify.bats, which runs them all anyway.
@test "every console block of README.md prints what stands there" {
    run "$EVENER_SOURCE/tools/readme" --program "$EVENER" --without tools/verify
    echo "$output"
    [ "$status" -eq 0 ]
}

@test "a figure changed in README.md is noticed" {
    copy=$BATS_TEST_TMPDIR/tree
    mkdir -p "$copy/tools"
    cp "$EVENER_SOURCE/tools/readme" "$copy/tools/"
    cp -r "$EVENER_SOURCE/cycles" "$EVENER_SOURCE/vehicles" "$copy/"
    # Its first command only: what the others print was held above.
    sed -E '0,/^\$ /!s/^\$ .*//; s/finished$/finished 13.000 km in 12 min/' "$EVENER_SOURCE/README.md" >"$copy/README.md"
    run "$copy/tools/readme" --program "$EVENER"
    [ "$status" -eq 1 ]
    [[ $output == *"stands there:"*"13.000 km in 12 min"*"is printed:"* ]]
}

@test "a figure changed in a sentence of README.md is noticed" {
    copy=$BATS_TEST_TMPDIR/tree
    mkdir -p "$copy/tools"
    cp -r "$EVENER_SOURCE/tools/readme" "$EVENER_SOURCE/tools/lib" "$copy/tools/"
    cp -r "$EVENER_SOURCE/cycles" "$EVENER_SOURCE/vehicles" "$copy/"
    sed -E '/^```console$/,/^```$/d' "$EVENER_SOURCE/README.md" >"$copy/README.md"
    sed -i 's/take off 4\.5 %/take off 4.6 %/' "$copy/README.md"
    run "$copy/tools/readme" --program "$EVENER"
    echo "$output"
    [ "$status" -eq 1 ]
    # This one alone: without it the paper would hold.
    [ "${#lines[@]}" -eq 4 ]
    [[ $output == *"is printed, and stands nowhere:"*"take off 4.5 %"* ]]
}

# The block of C of a README, as it stands there.
lines_of_c() {
    sed -n '/^```c$/,/^```$/p' "$1" | sed '1d;$d'
}

@test "the lines of C in README.md stand in the example, word for word" {
    example=$(<"$EVENER_SOURCE/tests/example/drive_and_compare.c")
    block=$(lines_of_c "$EVENER_SOURCE/README.md")
    [ "$(wc -l <<<"$block")" -ge 15 ]
    [[ $example == *"$block"* ]]
    sed 's/evn_rig_prepare/evn_rig_make/' "$EVENER_SOURCE/README.md" >"$BATS_TEST_TMPDIR/README.md"
    [[ $example != *"$(lines_of_c "$BATS_TEST_TMPDIR/README.md")"* ]]
}
