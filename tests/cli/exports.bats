#!/usr/bin/env bats
# The shared library exports the functions of the public header, all of them and nothing else.

setup() {
    source_root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    [ -n "$EVENER_LIBRARY" ]
    header="$source_root/include/evener/evener.h"
}

declared() {
    grep -v '^#' "$1" | tr '\n' ' ' | sed 's,/\*[^*]*\*/,,g' | grep -oE 'EVN_API [^;]*;' |
        sed -E 's/^[^(]*[ *](evn_[a-z0-9_]+)\(.*/\1/' | sort
}

exported() {
    nm -D --defined-only "$1" | awk '{ print $NF }' | sort
}

@test "the library exports exactly what the public header declares" {
    declared "$header" >"$BATS_TEST_TMPDIR/declared"
    exported "$EVENER_LIBRARY" >"$BATS_TEST_TMPDIR/exported"
    grep -qx evn_version "$BATS_TEST_TMPDIR/declared"
    diff "$BATS_TEST_TMPDIR/declared" "$BATS_TEST_TMPDIR/exported"
}

@test "every function of the public header is marked for export" {
    declared "$header" >"$BATS_TEST_TMPDIR/declared"
    cc -E -P "$header" | tr '\n' ' ' | grep -oE '\<evn_[a-z0-9_]+\(' | tr -d '(' | sort -u >"$BATS_TEST_TMPDIR/all"
    diff "$BATS_TEST_TMPDIR/declared" "$BATS_TEST_TMPDIR/all"
}

@test "an additional symbol in a library is found" {
    echo 'int evn_planted(void); int evn_planted(void) { return 1; }' |
        cc -shared -fPIC -x c -o "$BATS_TEST_TMPDIR/planted.so" -
    exported "$BATS_TEST_TMPDIR/planted.so" | grep -qx evn_planted
}
