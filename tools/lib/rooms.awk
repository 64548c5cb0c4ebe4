# Watches the layers: which room of src/ may include which headers. Files are named relative to src/.
# Rooms:   core < truck, cycle < trip < runs < lineup, judge; core < truck, cycle < chart; read knows core only; api joins them behind
#          the public header;
#          show and cli know the public header and their own, cli also show.
# Outside: YAML only in read, the integrator only in trip, terminal tables and JSON only in show and cli.

BEGIN {
    knows["core"] = " core evener "
    knows["truck"] = " truck core evener "
    knows["cycle"] = " cycle core evener "
    knows["trip"] = " trip truck cycle core evener "
    knows["runs"] = " runs trip truck cycle core evener "
    knows["lineup"] = " lineup runs trip truck cycle core evener "
    knows["chart"] = " chart truck cycle core evener "
    knows["judge"] = " judge runs trip truck cycle core evener "
    knows["read"] = " read core evener "
    knows["api"] = " api read judge lineup runs chart trip truck cycle core evener "
    knows["show"] = " show evener "
    knows["cli"] = " cli show evener "

    only["yaml.h"] = " read "
    only["cvode"] = only["arkode"] = only["nvector"] = only["sundials"] = only["sunlinsol"] = only["sunmatrix"] = " trip "
    only["sunnonlinsol"] = only["mpi.h"] = " trip "
    only["jansson.h"] = only["libsmartcols"] = " show cli "
}

function complain(text) {
    printf "%s:%d: %s\n", FILENAME, FNR, text
    bad++
}

{
    sub(/\r$/, "")
    if (FNR == 1) {
        room = FILENAME
        if (sub(/\/.*/, "", room) == 0) room = ""
        if (!(room in knows)) complain("a file outside the known rooms; new rooms are added to tools/lib/rooms.awk")
    }
}

/^[ \t]*#[ \t]*include/ {
    target = $0
    sub(/^[ \t]*#[ \t]*include[ \t]*/, "", target)
    quoted = (substr(target, 1, 1) == "\"")
    target = substr(target, 2)
    sub(/[">].*/, "", target)
    first = target
    nested = sub(/\/.*/, "", first)
    if (quoted) {
        if (!nested || first == ".." || first == ".")
            complain("\"" target "\": includes are written from src/, as in \"core/field.h\"")
        else if ((room in knows) && index(knows[room], " " first " ") == 0)
            complain("room " room " must not know " first " (\"" target "\")")
    } else {
        if (first in knows || first == "evener")
            complain("<" target ">: our own headers are included in quotes")
        else if ((first in only) && index(only[first], " " room " ") == 0)
            complain("room " room " must not use <" target ">, only" only[first] "does")
    }
}

END { exit bad > 0 }
