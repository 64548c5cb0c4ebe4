#!/usr/bin/env bats
# The top level of the tree holds the agreed names and nothing else.

setup() {
    source_root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
}

# Names at the top of a tree: what git tracks, or in a tree without git all but Meson's build folders.
names_at_top() {
    if git -C "$1" rev-parse --is-inside-work-tree >/dev/null 2>&1; then
        git -C "$1" ls-files | cut -d/ -f1 | sort -u
    else
        for path in "$1"/* "$1"/.[!.]*; do
            [ -e "$path" ] && [ ! -d "$path/meson-private" ] && basename "$path"
        done
        true
    fi
}

unexpected_names() {
    names_at_top "$1" |
        grep -vxE 'README\.md|DEVELOPERS\.md|LICENSE|meson\.build|src|include|cycles|vehicles|tests|tools|\..*' || true
}

@test "the top level holds only the agreed names" {
    run unexpected_names "$source_root"
    echo "$output"
    [ "$status" -eq 0 ]
    [ -z "$output" ]
}

@test "every agreed name is there" {
    for name in README.md DEVELOPERS.md LICENSE meson.build src include cycles vehicles tests tools; do
        [ -e "$source_root/$name" ]
    done
}

@test "a planted file at the top level is found" {
    mkdir "$BATS_TEST_TMPDIR/tree"
    touch "$BATS_TEST_TMPDIR/tree/"{README.md,meson.build,planted.txt,.hidden}
    run unexpected_names "$BATS_TEST_TMPDIR/tree"
    [ "$output" = planted.txt ]
}

@test "the licence is the Apache License 2.0" {
    head -n 3 "$source_root/LICENSE" | grep -q "Apache License"
    head -n 3 "$source_root/LICENSE" | grep -q "Version 2.0, January 2004"
    grep -q "END OF TERMS AND CONDITIONS" "$source_root/LICENSE"
}
