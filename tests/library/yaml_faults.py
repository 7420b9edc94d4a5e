"""Faults in the YAML of notes, each with the place and the remedy that must be reported."""

from library.small_library import NOTES, changed, in_notes

YAML_FAULTS = [
    in_notes(
        "an unknown key", "notes-unknown-key", (16, 1), "`crossings`", NOTES + "crosings: []\n"
    ),
    in_notes(
        "an unknown key of a leg",
        "notes-unknown-key",
        (16, 5),
        "`surface`",
        NOTES + "    surfase: rough\n",
        says="under `legs`",
    ),
    in_notes(
        "an unknown direction under hours",
        "notes-unknown-key",
        (12, 35),
        "`outbound`",
        changed(
            "kind: back street",
            'hours: {"Mo-Fr 08:00-18:00": {outbund: on foot, outbound: on foot, '
            "return: on foot}, otherwise: back street}",
        ),
        says="`outbund`",
    ),
    in_notes(
        "a key like nothing known",
        "notes-unknown-key",
        (16, 1),
        "Known here: legs, crossings",
        NOTES + "zzz: 1\n",
    ),
    in_notes(
        "a key that looks like pydantic's own mark",
        "notes-unknown-key",
        (16, 1),
        "Known here",
        NOTES + '"[key]": 1\n',
    ),
    in_notes(
        "coordinates without quotes in braces",
        "notes-unknown-key",
        (16, 19),
        "quotes",
        NOTES + "skip: [{at: 50.0, -19.99, what: a path}]\n",
        says="`-19.99`",
    ),
    in_notes(
        "a key twice",
        "yaml-duplicate",
        (16, 1),
        "Keep one",
        NOTES + "title: Again\n",
        says="line 1, column 1",
    ),
    in_notes(
        "a key twice in a leg",
        "yaml-duplicate",
        (16, 5),
        "Keep one",
        NOTES + "    street: Again\n",
        says="line 14, column 5",
    ),
    in_notes(
        "an anchor", "yaml-refused", (3, 8), "Write it out", changed("start: Mill", "start: &a M")
    ),
    in_notes("an alias", "yaml-refused", (16, 9), "Write it out", NOTES + "thanks: *a\n"),
    in_notes("an anchor on a key", "yaml-refused", (16, 1), "Write it", NOTES + "&a thanks: x\n"),
    in_notes("a merge key", "yaml-refused", (16, 1), "Write it out", NOTES + "<<: {thanks: x}\n"),
    in_notes("a tag", "yaml-refused", (16, 9), "in quotes", NOTES + "thanks: !wow x\n"),
    in_notes("a standard tag", "yaml-refused", (16, 9), "in quotes", NOTES + "thanks: !!str x\n"),
    in_notes(
        "a Python tag",
        "yaml-refused",
        (16, 9),
        "in quotes",
        NOTES + 'thanks: !!python/object/apply:os.getcwd ""\n',
    ),
    in_notes(
        "a second document", "yaml-refused", (16, 1), "three hyphens", NOTES + "---\ntitle: x\n"
    ),
    in_notes(
        "nesting", "yaml-too-big", (16, 21), "brackets", NOTES + f"thanks: {'[' * 13}{']' * 13}\n"
    ),
    in_notes(
        "deep nesting", "yaml-too-big", (16, 1008), "brackets", NOTES + f"thanks: {'[' * 200_000}\n"
    ),
    in_notes(
        "a file over 256 KiB",
        "yaml-too-big",
        (0, 0),
        "story.md",
        NOTES + "#" * (256 * 1024 + 1 - len(NOTES)),
        says="262,144",
    ),
    in_notes(
        "a # in a value",
        "yaml-hash",
        (5, 30),
        '"quotes"',
        changed("along the water.", "by gate #2."),
        says="A level way by gate #2.",
    ),
    in_notes("a # at the start", "yaml-hash", (16, 9), '"quotes"', NOTES + "thanks: #1 reader\n"),
    in_notes(
        "a # after two spaces",
        "yaml-hash",
        (5, 31),
        '"quotes"',
        changed("along the", "by gate  #2"),
    ),
    in_notes("a # in brackets", "yaml-hash", (16, 17), '"quotes"', NOTES + "avoids: [Dock D #2]\n"),
    in_notes(
        "a tab", "yaml-syntax", (16, 1), "spaces", NOTES + "\tcue: Straight on.\n", says="tab"
    ),
    in_notes(
        "a colon in a text",
        "yaml-syntax",
        (5, 21),
        "quote a text that holds a colon",
        changed("A level way along", "A level way: along"),
    ),
    in_notes("an open bracket", "yaml-syntax", (17, 1), "Check", NOTES + "avoids: [Dock\n"),
    in_notes("a key that is a list", "yaml-syntax", (16, 1), "in quotes", NOTES + "[a]: b\n"),
    in_notes(
        "a text that is not UTF-8",
        "file-unreadable",
        (3, 15),
        "UTF-8",
        changed("Mill Lane\nf", "Mé Laneé\nf").encode("latin-1").replace(b"M\xe9", b"M\xc3\xa9"),
        says="0xe9",
    ),
    in_notes("UTF-16", "file-unreadable", (1, 1), "UTF-8", NOTES.encode("utf-16"), says="0xff"),
    in_notes(
        "a control character",
        "file-unreadable",
        (3, 9),
        "Delete",
        changed("Mill Lane\nf", "é\a Lane\nf"),
        says="U+0007",
    ),
    in_notes(
        "a control character by an escape",
        "yaml-refused",
        (16, 9),
        "Leave it out",
        NOTES + 'thanks: "a\\e[31m"\n',
        says="U+001B",
    ),
    in_notes(
        "a lone surrogate by an escape",
        "yaml-syntax",
        (16, 12),
        "Check",
        NOTES + 'thanks: "\\ud800"\n',
    ),
    in_notes(
        "a control character in a key", "yaml-refused", (16, 1), "Leave it", NOTES + '"a\\0": 1\n'
    ),
    in_notes("no mapping", "notes-value", (1, 1), "title", "- a\n- b\n", says="found a list"),
    in_notes("nothing", "notes-value", (1, 1), "title", "# nothing yet\n", says="found nothing"),
    in_notes("plain text", "notes-value", (2, 1), "title", "\nA level way\n", says="A level way"),
]
