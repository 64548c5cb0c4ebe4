#!/usr/bin/python3
"""Looks for terms of before in what the program says: terms.py KIND FILE...

KIND is what a file is: c (its string literals), titles (of a test: the names of its cases, which the table of published
checks tells, and the literals that are told beside them), js (its literals and template texts; also inline comments are no words of
the program), prose (all of it). Terms are the phrases below and the names of before in src/core/renamed.c, but for those
that keys of files bear still (EVENER_KEYS, a file of what evener keys --paths prints). Whole words, whatever their case,
also over line breaks. Each is told with its place; 1 where there is one.
"""
import os
import re
import sys

PHRASES = [
    "behind the plan",
    "behind plan",
    "behind its plan",
    "below the plan",
    "longer than plan",
    "the plan",
    "its plan",
    "to plan",
    "given back",
    "gave back",
    "drawn",
    "held back",
    "held it back",
    "held_by",
    "ledger",
    "ledgers",
    "closure",
    "pack",
    "packs",
    "charge left",
    "over the way",
    "what they can pull",
    "how warm",
    "how far to trust",
    "where it goes",
    "where the energy went",
    "own mass",
    "wheel formula",
    "wheel-end losses",
]

# A picture is drawn, and so is a lot: not energy.
ALLOWED = [
    r"(charts?|pictures?|curves?|lines?|grades?|lots?|forces?|stretch(es)?|trucks?|maps?)\s+((is|are|be|was|were)\s+)?(\w+\s+)?drawn",
    r"drawn\s+(by|as|in|into|over|at|until|to)\b",
]

# The one place that says what was called how before: from this heading to the next.
CHANGES = "Names that changed"

ROOT = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..")


def names_of_before():
    with open(os.path.join(ROOT, "src", "core", "renamed.c"), encoding="utf-8") as file:
        names = re.findall(r'^\s*X\("([^"]+)", "', file.read(), re.M)
    assert len(names) > 40, names
    with open(os.environ["EVENER_KEYS"], encoding="utf-8") as file:
        still = {line.strip().rsplit(".", 1)[-1] for line in file}
    assert "name" in still, still
    return [name for name in names if name not in still]


def patterns():
    """(term, pattern): a plain word that was a key counts only where it stands as one."""
    for phrase in PHRASES:
        yield phrase, r"(?<![\w-])" + r"\s+".join(map(re.escape, phrase.split())) + r"(?![\w-])"
    for name in names_of_before():
        if name in PHRASES:
            continue
        if name.endswith("."):
            yield name, r"(?<![\w.-])" + re.escape(name) + r"(?=\w)"
        elif re.fullmatch("[a-z]+", name):
            yield name, r"(?:\"|\.)" + name + r"(?:\"|\b(?=[,\s]*$))"
        else:
            yield name, r"(?<![\w-])" + re.escape(name) + r"(?!\w)"


# Each with its first word: where that stands nowhere the pattern, which is slower, need not be made and looked for.
TERMS = [(term, term.split()[0].casefold(), pattern) for term, pattern in patterns()]
NO_TERMS = [re.compile(pattern, re.I) for pattern in ALLOWED]

ESCAPES = {"n": "\n", "t": "\t", "r": "", "0": ""}


def skip_comment(text, at):
    """Where a comment ends that begins here; here, where none does."""
    if text.startswith("/*", at):
        return text.index("*/", at + 2) + 2
    if text.startswith("//", at):
        end = text.find("\n", at)
        return len(text) if end < 0 else end
    return at


def read_quoted(text, at):
    """The text of a literal in the quotes that begin here, and where it ends."""
    quote, out, at = text[at], [], at + 1
    while text[at] != quote:
        if text[at] == "\\":
            at += 1
            out.append(ESCAPES.get(text[at], text[at]))
        else:
            out.append(text[at])
        at += 1
    return "".join(out), at + 1


def c_texts(text):
    """(offset, text) of string literals; neighbours are one, as for the compiler."""
    text = re.sub(r"^[ \t]*#[ \t]*include.*$", lambda found: " " * len(found.group()), text, flags=re.M)
    at, begin, joined = 0, None, ""
    while at < len(text):
        end = skip_comment(text, at)
        if end > at or text[at].isspace() or text[at] == "\\":
            at = max(end, at + 1)
        elif text[at] == '"':
            begin = at if begin is None else begin
            more, at = read_quoted(text, at)
            joined += more
        else:
            if begin is not None:
                yield begin, joined
                begin, joined = None, ""
            at = read_quoted(text, at)[1] if text[at] == "'" else at + 1
    if begin is not None:
        yield begin, joined


def begins_regex(text, at):
    before = text[:at].rstrip()
    return text[at] == "/" and (before == "" or before[-1] in "(,=:[!&|?{};>" or before.endswith("return"))


def skip_regex(text, at):
    inside, at = False, at + 1
    while inside or text[at] != "/":
        at += 1 if text[at] == "\\" else 0
        inside = (inside or text[at] == "[") and text[at] != "]"
        at += 1
    return at + 1


def js_texts(text):
    """(offset, text) of literals; of a template its text, and the literals within what it inserts."""
    out = []

    def code(at, until):
        depth = 0
        while at < len(text) and (depth > 0 or text[at] != until):
            end = skip_comment(text, at)
            if end > at:
                at = end
            elif begins_regex(text, at):
                at = skip_regex(text, at)
            elif text[at] in "'\"":
                begin = at
                told, at = read_quoted(text, at)
                out.append((begin, told))
            elif text[at] == "`":
                at = template(at)
            else:
                depth += (text[at] == "{") - (text[at] == "}")
                at += 1
        return at

    def template(at):
        begin, told, at = at, [], at + 1
        while text[at] != "`":
            if text.startswith("${", at):
                told.append("\u2026")
                at = code(at + 2, "}") + 1
            else:
                at += 1 if text[at] == "\\" else 0
                told.append(text[at])
                at += 1
        out.append((begin, "".join(told)))
        return at + 1

    code(0, "\0")
    return out


def without_changes(text):
    """The same without the section of what changed: of a README or of a manual page."""
    heading = re.compile(r'^(#+ |\.S[HS] "?)' + re.escape(CHANGES) + r'"?\n.*?(?=^(#|\.S[HS])|\Z)', re.M | re.S | re.I)
    return heading.sub(lambda found: re.sub(r"[^\n]", " ", found.group()), text)


def prose_texts(text):
    """A manual page without its marks, so that phrases over its breaks are found."""
    text = re.sub(r"\\f[BIRP]|\\&", "", without_changes(text)).replace("\\-", "-").replace("\\(aq", "'")
    yield 0, re.sub(r"^\.(PP|br|TP|IP|nf|fi|RS|RE)\b.*$", "", text, flags=re.M)


def title_texts(text):
    """Names of test cases in words, and what a check is told to be of: the literals of check_value."""
    for case in re.finditer(r"START_TEST\((\w+)\)", text):
        yield case.start(), case.group(1).replace("_", " ")
    for call in re.finditer(r"check_value\([^;]*;", text):
        for offset, told in c_texts(call.group()):
            yield call.start() + offset, told


KINDS = {"c": c_texts, "titles": title_texts, "js": js_texts, "prose": prose_texts}


def hits(text):
    folded = text.casefold()
    here = [(term, pattern) for term, word, pattern in TERMS if word in folded]
    allowed = [found.span() for pattern in NO_TERMS for found in pattern.finditer(text)] if here else []
    for term, pattern in here:
        for found in re.finditer(pattern, text, re.I | re.M):
            if not any(low <= found.start() and found.end() <= high for low, high in allowed):
                yield term, found.start()


def main():
    kind, paths = sys.argv[1], sys.argv[2:]
    assert paths, "no files"
    found = texts = 0
    for path in paths:
        with open(path, encoding="utf-8") as file:
            whole = file.read()
        for begin, text in KINDS[kind](whole):
            texts += 1
            for term, at in hits(text):
                found += 1
                line = whole.count("\n", 0, begin) + 1 + (text.count("\n", 0, at) if kind == "prose" else 0)
                print(f"{os.path.relpath(path, ROOT)}:{line}: '{term}': {' '.join(text[max(0, at - 40) : at + 60].split())}")
    print(f"{texts} texts of {len(paths)} files: {found} terms of before")
    return 1 if found else 0


sys.exit(main())
