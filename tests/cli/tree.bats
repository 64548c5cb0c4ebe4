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

# C files of src/ and test files that no list of the build names.
unlisted() {
    local file folder tests src
    local -A of=() # the list beside a file, by its folder
    src=$(<"$1/src/meson.build")$(<"$1/meson.build")
    tests=$(<"$1/tests/meson.build")
    while read -r file; do
        folder=${file%/*}
        if [ -z "${of[$folder]+read}" ]; then
            of[$folder]=
            [ ! -f "$1/src/$folder/meson.build" ] || of[$folder]=$(<"$1/src/$folder/meson.build")
        fi
        [[ $src == *"'$file'"* || $src == *"'src/$file'"* || ${of[$folder]} == *"'${file##*/}'"* ]] || echo "src/$file"
    done < <(cd "$1/src" && find . -name '*.c' -printf '%P\n')
    while read -r file; do
        [[ $tests == *"'${file%.c}'"* ]] || echo "tests/$file"
    done < <(cd "$1/tests" && find . -name 'test_*.c' -printf '%P\n')
    while read -r file; do
        [[ $tests == *"'${file%.bats}'"* ]] || echo "tests/cli/$file"
    done < <(cd "$1/tests/cli" && find . -name '*.bats' -printf '%P\n')
}

@test "the build knows every C file and every test" {
    run unlisted "$source_root"
    echo "$output"
    [ "$status" -eq 0 ]
    [ -z "$output" ]
}

@test "a planted file that the build does not know is found" {
    mkdir "$BATS_TEST_TMPDIR/tree"
    cp -r "$source_root"/{src,tests,meson.build} "$BATS_TEST_TMPDIR/tree"
    touch "$BATS_TEST_TMPDIR/tree/src/core/planted.c" "$BATS_TEST_TMPDIR/tree/tests/unit/test_planted.c" \
        "$BATS_TEST_TMPDIR/tree/tests/cli/planted.bats"
    run unlisted "$BATS_TEST_TMPDIR/tree"
    [ "${#lines[@]}" -eq 3 ]
}
