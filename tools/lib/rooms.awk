# Watches the layers: which room of src/ may include which headers. Files are named relative to src/.
# Rooms:   core < truck, cycle; truck < pull < trip < runs < limits < duty < lineup < uncertainty < causes; uncertainty < money, vary; duty < site; money, site < assess; runs < judge; pull, cycle < chart; read knows core only; log knows read, cycle and core; log, truck < coastdown; coastdown, log, runs < match; api joins them
#          behind the public headers, which are the room "evener";
#          show and cli know the public headers and their own, cli also show.
# Media:   the folders of show. What they share stands beside them in show itself and knows none of them; no medium knows another.
# Outside: YAML only in read, XML and the ellipsoid only in log, the integrator only in trip, SQLite and NLopt only in vary, terminal tables and JSON only in show and cli.

BEGIN {
    knows["core"] = " core evener "
    knows["truck"] = " truck core evener "
    knows["cycle"] = " cycle core evener "
    knows["pull"] = " pull truck core evener "
    knows["trip"] = " trip pull truck cycle core evener "
    knows["runs"] = " runs trip pull truck cycle core evener "
    knows["limits"] = " limits runs trip pull truck cycle core evener "
    knows["duty"] = " duty limits runs trip pull truck cycle core evener "
    knows["site"] = " site duty runs trip pull truck cycle core evener "
    knows["lineup"] = " lineup duty limits runs trip pull truck cycle core evener "
    knows["uncertainty"] = " uncertainty lineup duty limits runs trip pull truck cycle core evener "
    knows["causes"] = " causes uncertainty lineup duty limits runs trip pull truck cycle core evener "
    knows["money"] = " money uncertainty lineup duty limits runs trip pull truck cycle core evener "
    knows["assess"] = " assess money site uncertainty lineup duty limits runs trip pull truck cycle core evener "
    knows["vary"] = " vary uncertainty lineup duty limits runs trip pull truck cycle core evener "
    knows["chart"] = " chart pull truck cycle core evener "
    knows["judge"] = " judge runs trip pull truck cycle core evener "
    knows["read"] = " read core evener "
    knows["log"] = " log read cycle core evener "
    knows["coastdown"] = " coastdown log truck core evener "
    knows["match"] = " match coastdown log runs trip pull truck cycle core evener "
    knows["api"] = " api vary match coastdown log read judge assess money causes uncertainty lineup site duty limits runs chart trip pull truck cycle core evener "
    knows["show"] = " show evener "
    knows["cli"] = " cli show evener "

    media = " report json csv ci page plot yaml "

    only["yaml.h"] = " read "
    only["cminpack.h"] = " coastdown "
    only["expat.h"] = only["geodesic.h"] = " log "
    only["cvode"] = only["arkode"] = only["nvector"] = only["sundials"] = only["sunlinsol"] = only["sunmatrix"] = " trip "
    only["sunnonlinsol"] = only["mpi.h"] = " trip "
    only["sqlite3.h"] = only["nlopt.h"] = " vary "
    only["jansson.h"] = only["libsmartcols"] = " show cli "
}

# Of "show/report/table.h" report; of "show/text.h", which all media share, nothing.
function medium_of(path,    part) {
    return split(path, part, "/") > 2 && part[1] == "show" ? part[2] : ""
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
        medium = medium_of(FILENAME)
        if (!(room in knows)) complain("a file outside the known rooms; new rooms are added to tools/lib/rooms.awk")
        if (medium != "" && index(media, " " medium " ") == 0)
            complain("a file outside the known media of show; new ones are added to tools/lib/rooms.awk")
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
        else if (room == "show" && medium_of(target) != "" && medium_of(target) != medium)
            complain((medium == "" ? "what the media of show share" : "medium " medium " of show") " must not know " medium_of(target) " (\"" target "\")")
    } else {
        if (first in knows || first == "evener")
            complain("<" target ">: our own headers are included in quotes")
        else if ((first in only) && index(only[first], " " room " ") == 0)
            complain("room " room " must not use <" target ">, only" only[first] "does")
    }
}

END { exit bad > 0 }
