# Counts single test cases in Meson's testlog.txt: lines "NN%: Checks: N, Failures: N, Errors: N" of Check, and the
# TAP lines of bats. A program that failed without a failed case (it crashed, leaked, ran out of time) counts as one
# failed; so does one that succeeded without running a case.

function close_program() {
    if (program == "") return
    if (!clean && here_failed == 0) {
        print "failed as a whole, " result ": " program
        here_failed++
    } else if (here_passed + here_failed + here_skipped == 0) {
        print "ran no test: " program
        here_failed++
    }
    passed += here_passed; failed += here_failed; skipped += here_skipped
    program = ""
}

/^=+ [0-9]+\/[0-9]+ =+$/ { close_program(); here_passed = here_failed = here_skipped = 0; clean = 0; result = "" }
/^test: / && result == "" { program = $0; sub(/^test: +/, "", program) }
/^result: / && result == "" { result = $0; sub(/^result: +/, "", result); clean = (result == "exit status 0") }

/^[0-9]+%: Checks: [0-9]+, Failures: [0-9]+, Errors: [0-9]+$/ {
    gsub(/[^0-9 ]/, "")
    here_failed += $3 + $4
    here_passed += $2 - $3 - $4
}

/^ok [0-9]+ .*# skip/ { here_skipped++; next }
/^ok [0-9]+ / { here_passed++ }
/^not ok [0-9]+ / { here_failed++ }

END {
    close_program()
    printf "%d passed, %d failed, %d skipped\n", passed, failed, skipped
    exit failed > 0 || passed == 0
}
