"""What is said of front matter that is wrong: all of it at once, each thing at its place."""
from __future__ import annotations

import pytest

from generator.findings import Severity
from generator.language.front_matter import read_front_matter
from generator.language.source.front_matter_models import USES
from tests.language.parsing_helpers import front, source, told

HEAD = "title: x\ndrawn_in: mm\n"     # lines 2 and 3 of the file; what a test adds begins at line 4


def wrong(text: str, reserved: frozenset[str] = frozenset()):
    """What is wrong with front matter that begins well."""
    return front(HEAD + text, reserved)[1]


@pytest.mark.parametrize(("text", "code", "line", "column", "hint"), [
    ("sumary: x", "front-key", 4, 1, "did you mean summary?"),
    ("colour: x", "front-key", 4, 1, "the keys here are title"),
    ("credit: {autor: x}", "front-key", 4, 10, "did you mean author?"),
    ("papers: {card: {wieght: 200 gsm}}", "front-key", 4, 17, "did you mean weight?"),
    ("tools: {hole: {mm: 3 mm, in: 1/8 in, cm: 3}}", "front-key", 4, 38, "mm, in"),
    ("hand: {mm: 0.5 mm, in: 1/32 in, cm: 3}", "front-key", 4, 33, "mm, in"),
    ("editions: {inch: {}}", "front-key", 4, 12, "did you mean in?"),
    ("counts: {Sides: 8}", "front-key", 4, 10, "begin with a letter: sides"),
    ("counts: {2sides: 8}", "front-key", 4, 10, "sides"),
    ("counts: {sides:8}", "front-key", 4, 10, "space behind the colon"),
    ("counts: {sides: 8.5}", "front-value", 4, 17, "whole number|without a point"),
    ("counts: {sides: 0}", "front-value", 4, 17, "1 to 1000"),
    ("counts: {sides: 1001}", "front-value", 4, 17, "1 to 1000"),
    ("counts: {sides: 99999999999999999999999}", "front-value", 4, 17, "without a point"),
    ("counts: {sides: true}", "front-value", 4, 17, "without a point"),
    ("counts: {sides: .inf}", "front-value", 4, 17, "without a point"),
    ("counts: 8", "front-value", 4, 9, "{name: value}"),
    ("counts:", "front-value", 4, 1, "write one"),
    ("summary: 12", "front-value", 4, 10, 'put quotes around it: "12"'),
    ("summary: yes", "front-value", 4, 10, 'put quotes around it: "yes"'),
    ("summary: [x]", "front-value", 4, 10, "words"),
    ('summary: ""', "front-value", 4, 10, "write some"),
    ('summary: "{{ panel }}"', "front-value", 4, 10, "in a step"),
    ("level: simple", "front-value", 4, 8, "easy, medium, hard"),
    ("level: Medium", "front-value", 4, 8, "did you mean medium?"),
    ("time: 40", "front-value", 4, 7, "40 min"),
    ("time: a while", "front-value", 4, 7, "40 min"),
    ("uses: [hot glue]", "front-value", 4, 8, "did you mean hot_glue?"),
    ("uses: blade", "front-value", 4, 7, "[one, another]"),
    ("sheets: [lettre]", "front-value", 4, 10, "did you mean letter?"),
    ("sheets: [a4, 12x12]", "length-wrong", 4, 14, "12 in"),
    ("sheets: [9x9 m]", "front-value", 4, 10, "unit"),
    ("sheets: [40 m square]", "front-value", 4, 10, "unit"),
    ("sheets: [5]", "front-value", 4, 10, "30.5 cm square, or two sides"),
    ("sheets: [[a4]]", "front-value", 4, 10, "write one of"),
    ("sheets: [{size: a44}]", "front-value", 4, 17, "did you mean a4?"),
    ("sheets: [{size: a4, trm: 3 mm}]", "front-key", 4, 21, "did you mean trim?"),
    ("sheets: [{size: a4, trim: 3}]", "length-wrong", 4, 27, "write 3 mm"),
    ("sheets: [{size: a4, trim: 21 cm}]", "front-value", 4, 10, "how much of one long edge"),
    ("sheets: [{trim: 3 mm}]", "front-value", 4, 10, "{size: 12x12 in, trim: 1/2 in}"),
    ("papers: {card: {weight: 80 lb}}", "front-value", 4, 25, "200 gsm"),
    ("papers: {card: {thickness: 0.26}}", "length-wrong", 4, 28, "write 0.26 mm"),
    ("papers: {card: {grain: acros}}", "front-value", 4, 24, "did you mean across?"),
    ("papers: {card: {one_way: 1}}", "front-value", 4, 26, "true or false"),
    ("tools: {hole: {mm: 3 mm}}", "front-value", 4, 9, "{mm: 3 mm, in: 1/8 in}"),
    ("tools: {hole: {mm: 1/8 in, in: 1/8 in}}", "length-wrong", 4, 20, "millimetres"),
    ("lengths: {a: 30}\neditions: {in: {a: 1 in}}", "length-wrong", 4, 14, "write 30 mm"),
    ("lengths: {a: 3 ells}\neditions: {in: {a: 1 in}}", "length-wrong", 4, 14, "mm, cm, m or in"),
    ("lengths: {a: 0 mm}\neditions: {in: {a: 1 in}}", "length-wrong", 4, 14, "above nothing"),
    ("lengths: {a: 1 in}\neditions: {in: {a: 1 in}}", "length-wrong", 4, 14, "millimetres"),
    ("lengths: {a: 3 mm}\neditions: {in: {a: 3 cm}}", "length-wrong", 5, 20, "inches"),
    ("lengths: {a: }\neditions: {in: {a: 1 in}}", "length-wrong", 4, 11, "32 mm"),
    ("lengths: {a: 3 mm, b: 4 mm}", "edition-missing", 4, 1, "in: {a: …, b: …}"),
    ("lengths: {a: 3 mm, b: 4 mm}\neditions: {in: {b: 1 in}}", "edition-missing", 5, 12, "{a: …}"),
    ("lengths: {wall: 3 mm}\neditions: {in: {wall: 1 in, wal: 1 in}}", "edition-extra", 5, 29,
     "did you mean wall?"),
    ("counts: {n: 3}\neditions: {in: {n: 1 in}}", "edition-extra", 5, 17, "take it out"),
    ("lengths: {a: 3 mm}\neditions: {in: {a: 1 in}, mm: {a: 3 mm}}", "edition-extra", 5, 27, "keep in"),
    ("counts: {n: 3}\npapers: {n: {weight: 200 gsm}}", "name-twice", 5, 10, "another name"),
    ("counts: {n: 3, n: 4}", "name-twice", 4, 16, "keep one"),
    ("level: easy\nlevel: hard", "name-twice", 5, 1, "keep one"),
    ("counts: {and: 3}", "name-twice", 4, 10, "and_1"),
    ("counts: {in: 3}", "name-twice", 4, 10, "another name"),
    ("credit: {source: a book}", "credit-permission", 4, 18, "licence:"),
    ("guides: {stilus: 0.5 mm}", "front-key", 4, 10, "did you mean stylus?"),
    ("guides: {stylus: 0.5}", "length-wrong", 4, 18, "write 0.5 mm"),
    ("guides: {stylus: 20 mm}", "front-value", 4, 18, "5 mm at most"),
    ("guides: {stylus: {mm: 0.5 mm}}", "front-value", 4, 10, "{mm: 3 mm, in: 1/8 in}"),
    ("guides: {stylus: {mm: 0.5 mm, in: 0.5 mm, cm: 1 cm}}", "front-key", 4, 43, "mm, in"),
    ("guides: {stylus: {mm: 1/32 in, in: 1/64 in}}", "length-wrong", 4, 23, "millimetres"),
    ("guides: {edge: insid}", "front-value", 4, 16, "did you mean inside?"),
    ("guides: {ovals: [150x100]}", "length-wrong", 4, 18, "150 x 100 mm"),
    ("guides: {ovals: [6x4 in, 3 mm]}", "front-value", 4, 26, "6 x 4 in"),
    ("guides: {ovals: 5}", "front-value", 4, 17, "[one, another]"),
    ("guides: {circles: [120 mm, 3 m]}", "front-value", 4, 28, "unit"),
    ("guides: x", "front-value", 4, 9, "key: value"),
    ("guids: {}", "front-key", 4, 1, "did you mean guides?"),
    ('supplies: ["a {{ bead"]', "braces-open", 4, 15, "}}"),
    ("supplies: [5]", "front-value", 4, 12, '"5"'),
])
def test_wrong_keys_and_values(text, code, line, column, hint):
    """One finding for each mistake, at its key or value, with what would mend it."""
    found = wrong(text)
    assert told(found) == [(code, line, column)]
    assert any(h in found[0].hint for h in hint.split("|")), found[0].hint


@pytest.mark.parametrize(("text", "line", "column", "hint"), [
    ("summary: a: b", 4, 11, "quotes"),
    ("counts: {n: 3", 4, 9, "close it with }"),
    ("sheets: [a4", 4, 9, "close it with ]"),
    ('summary: "x', 4, 10, "second quote"),
    ("summary: @x", 4, 10, "quotes"),
    ("\tsummary: x", 4, 1, "spaces"),
    ("summary", 4, 1, "key: value"),
    (" level: easy", 4, 7, "begin in one column"),
    ("supplies: [{{ n }} beads]", 4, 11, "quotes around text that holds {{"),
    ("summary: {{ n }}", 4, 10, "quotes around the whole text"),
    ("counts: &a {n: 3}", 4, 9, "value itself"),
    ("counts: *a", 4, 9, "value itself"),
    ("summary: !!python/name:os.system x", 4, 10, "value itself"),
    ("summary: \x07", 4, 10, "delete it"),
    ("? [a]\n: b", 4, 3, "quotes"),
    ("--- x", 4, 1, "---"),
])
def test_broken_yaml(text, line, column, hint):
    """What the YAML reader cannot read, and what is not read on purpose, is said in plain words."""
    found = [f for f in wrong(text) if f.code == "front-broken"]
    assert told(found) == [("front-broken", line, column)]
    assert hint in found[0].hint
    assert front(HEAD + text)[0] is None


@pytest.mark.parametrize("text", ["- a", "x", "3"])
def test_front_matter_without_keys(text):
    """A list or a word is no front matter."""
    assert told(front(text)[1]) == [("front-broken", 2, 1)]


def test_reserved_words():
    """Words of the language cannot be named again; which they are is said by the caller."""
    found = wrong("counts: {plain: 3}", frozenset({"plain"}))
    assert told(found) == [("name-twice", 4, 10)]
    assert wrong("counts: {plain: 3}") == []


def test_what_must_be_there():
    """A title and the system in which the design was drawn."""
    for text in ("", "# nothing", "level: easy"):
        read, found = front(text)
        assert [f.code for f in found] == ["front-value", "front-value"]
        assert "no title" in found[0].message and "no drawn_in" in found[1].message


def test_all_problems_in_one_run():
    """YAML's, the models', those between keys and those of the credit, together."""
    found = front("titel: x\ndrawn_in: cm\nlevel: simple\nlevel: easy\ncounts: {n: 0, N: 1}\n"
                  "lengths: {a: 3}\n"
                  "sheets: [b9]\ncredit: {source: a book}")[1]
    assert sorted(f.code for f in found) == ["credit-permission", "front-key", "front-key", "front-value",
                                             "front-value",
                                             "front-value", "front-value", "length-wrong", "name-twice"]


def test_a_wrong_length_is_not_missed_elsewhere():
    """A length that cannot be read is not said to be missing from, or too much in, the editions."""
    assert [f.code
            for f in wrong("lengths: {a: 3, b: 4 mm}\n"
                           "editions: {in: {a: 1 in, b: 1}}")] == ["length-wrong"] * 2


def test_what_names_nothing_does_not_stop_the_geometry():
    """With a wrong level or a missing licence the named values are handed on with the findings."""
    read, found = front(HEAD + "level: simple\ncounts: {n: 3}\ncredit: {source: a book}")
    assert read.counts == {"n": 3} and read.level is None
    assert [f.severity for f in found] == [Severity.ERROR] * 2


@pytest.mark.parametrize("text",
                         ["counts: {n: 0}", "length: {a: 3 mm}", "counts: {plain: 3}", "lengths: {a: 3 mm}"])
def test_a_wrong_name_stops_the_geometry(text):
    """It would only be reported again for every statement that uses it."""
    assert front(HEAD + text, frozenset({"plain"}))[0] is None


@pytest.mark.parametrize("credit", ["{author: our own}", "{source: a book, licence: CC BY 4.0}",
                                    "{source: a friend, permission: may be taught and published}",
                                    "{title: x}"])
def test_credit_that_is_enough(credit):
    """Our own design needs nothing; another's needs its licence or a permission."""
    assert wrong(f"credit: {credit}") == []


def test_all_uses():
    """Every use that cautions are known for can be named."""
    assert wrong(f"uses: [{', '.join(USES)}]") == []


@pytest.mark.parametrize("text", ["[" * 40_000, "{" * 40_000, "- " * 20_000, "a: " * 10_000, "&a " * 10_000,
                                  "? " * 20_000,
                                  "a: [" * 10_000, "x" * 60_000, "'" * 40_000, "a: &a [*a, *a]\n",
                                  "!" * 40_000,
                                  "%YAML 9.9", "lengths: {" + "a: 3, " * 8_000 + "}"])
def test_front_matter_that_would_work_for_ever(text):
    """Deep nesting, aliases and sheer size are findings, and no error gets out."""
    read, found = read_front_matter(source(text))
    assert read is None
    assert 1 <= len(found) < 100


@pytest.mark.parametrize("text", ["summary: \ud800", "summary: \x85x", "sum\u2028mary: x", "summary: 😀 {{",
                                  "summary: \r x"])
def test_strange_signs(text):
    """Signs from outside the everyday ones give findings at the right line or none, and never an error."""
    for found in wrong(text):
        assert found.line == 4
