"""What front matter that is right gives."""
from __future__ import annotations

from fractions import Fraction

import pytest

from generator.findings import Span
from generator.language.front_matter import Credit, read_front_matter
from generator.language.source.document import read_document
from generator.language.source.front_matter_values import read_sheet
from generator.language.source.records import InlineExpression, MarkdownText
from generator.paper.records import Paper
from generator.paper.sheet_layouts import STOCK_SHEETS
from generator.units import INCH, ZERO, length
from tests.language.parsing_helpers import CADDY, front


@pytest.fixture(scope="module")
def caddy():
    """The front matter of the first tutorial."""
    read, findings = read_front_matter(read_document("caddy.md", CADDY), frozenset({"plain", "top"}))
    assert findings == ()
    return read


def test_plain_fields(caddy):
    """Title, counts, level, time and uses come through as they are."""
    assert caddy.title == "Eight-sided tea caddy with a gathered dome"
    assert (caddy.drawn_in, caddy.other, caddy.level, caddy.minutes) == ("mm", "in", "easy", 80)
    assert caddy.counts == {"sides": 8}
    assert caddy.uses == ("blade", "ribbon", "food")
    assert caddy.credit == Credit("The market stall's caddy", "our own")


def test_lengths_of_both_editions(caddy):
    """Each named length depends on itself, in the edition as drawn and in the other; sizes of tools too."""
    assert caddy.lengths["mm"]["panel"] == length(30, "panel")
    assert caddy.lengths["in"]["panel"] == length(Fraction(5, 4) * INCH.mm, "panel")
    assert caddy.lengths["in"]["panel"].form == {"panel": 1}
    assert (caddy.lengths["mm"]["hole"], caddy.lengths["in"]["hole"]) == (length(3, "hole"),
                                                                           length(INCH.mm / 8, "hole"))
    assert caddy.tools == {"hole"}
    assert list(caddy.lengths["mm"]) == list(caddy.lengths["in"]) == ["panel", "wall", "foot", "crown", "tab",
                                                                      "bulge",
                                                                      "hole"]


def test_papers(caddy):
    """A thickness depends on no name."""
    assert caddy.papers == {"card": Paper("card", 200, length(Fraction(26, 100)), "across", False, True)}


def test_places(caddy):
    """Each name, and each of its values, is found where it stands in the file."""
    rows = CADDY.split("\n")

    def at(span: Span) -> str:
        return rows[span.line - 1][span.column - 1:span.column - 1 + span.length]
    assert all(at(span) == name for name, span in caddy.spans.items())
    assert list(caddy.spans) == ["sides", "panel", "wall", "foot", "crown", "tab", "bulge", "hole", "card"]
    assert [at(caddy.edition_spans[s]["wall"]) for s in ("mm", "in")] == ["60 mm", "2 3/8 in"]
    assert [at(caddy.edition_spans[s]["hole"]) for s in ("mm", "in")] == ["3 mm", "1/8 in"]


def test_supplies_are_prose(caddy):
    """Expressions in them know where they stand."""
    column = CADDY.split("\n")[14].index("words(sides)") + 1
    assert caddy.supplies[0].parts == (InlineExpression("words(sides)", Span("caddy.md", 15, column, 12)),
                                       MarkdownText(" beads", 15, column + 15))
    assert caddy.supplies[1].parts[0].text == "a ribbon as wide as a bead"


@pytest.mark.parametrize(("supply", "place"),
                         [('"two\\t{{ a }}"', (5, 14)), (">\n    two\n    {{ a }}\n", (7, 8)),
                                               ("'it''s {{ a }}'", (5, 15)),
                          ("two\n    and {{ a }}", (6, 12))])
def test_supplies_that_yaml_changes(supply, place):
    """In a text that is folded or escaped, expressions are found where they stand."""
    read, findings = front(f"title: x\ndrawn_in: mm\nsupplies:\n  - {supply}")
    assert findings == []
    found = [p for p in read.supplies[0].parts if isinstance(p, InlineExpression)]
    assert [(p.text, p.span.line, p.span.column) for p in found] == [("a", *place)]


@pytest.mark.parametrize("supply", ['"{{ a +\\t b }}"', "two {{ a +\n      b }}"])
def test_an_expression_that_yaml_changes(supply):
    """It has no place in the file that a finding could name, so it must be written in one line."""
    read, findings = front(f"title: x\ndrawn_in: mm\nsupplies:\n  - {supply}")
    assert [(f.code, f.line, f.column) for f in findings] == [("front-value", 5, 5)]


def test_a_design_drawn_in_inches():
    """Then it is the metric edition that needs values of its own."""
    read, findings = front("title: x\ndrawn_in: in\nlengths: {a: 1-1/4 in}\neditions: {mm: {a: 3.2 cm}}")
    assert findings == []
    assert (read.lengths["in"]["a"].value, read.lengths["mm"]["a"].value) == (Fraction(127, 4), 32)


def test_the_least_that_front_matter_can_say():
    """A title and a system are enough; what is not said is empty."""
    read, findings = front("title: x\ndrawn_in: mm")
    assert findings == []
    assert (read.lengths, read.papers, read.sheets, read.level,
            read.minutes) == ({"mm": {}, "in": {}}, {}, (), None, None)
    assert (read.summary, read.supplies, read.uses, read.credit) == ("", (), (), Credit())


@pytest.mark.parametrize(("time", "minutes"),
                         [("40 min", 40), ("1 h 20 min", 80), ("2 h", 120), ("1h20min", 80)])
def test_time(time, minutes):
    """Hours, minutes or both."""
    assert front(f"title: x\ndrawn_in: mm\ntime: {time}")[0].minutes == minutes


@pytest.mark.parametrize("key", ["yes", "no", "on", "null", "y", "1"])
def test_keys_are_always_text(key):
    """Words which YAML takes for truth values can be names like any others."""
    read, findings = front(f"title: x\ndrawn_in: mm\ncounts: {{{key}: 3}}")
    assert (read.counts
            if key != "1" else [f.code for f in findings]) == ({key: 3} if key != "1" else ["front-key"])


# --- sheets

@pytest.mark.parametrize(("name", "points"), [("a4", (595.27559, 841.88976)), ("letter", (612, 792)),
                                              ("tabloid", (792, 1224)), ("a3", (841.88976, 1190.55118)),
                                              ("a5", (419.52756, 595.27559)), ("legal", (612, 1008))])
def test_stock_sheets(name, points):
    """A sizes after ISO 216, letter and tabloid after ANSI/ASME Y14.1, in points of 1/72 in.

    Legal is from memory.
    """
    sheet = read_sheet(name.upper())
    assert (float(sheet.width.value / INCH.mm * 72), float(sheet.height.value / INCH.mm * 72)) == \
        pytest.approx(points, abs=1e-4)


@pytest.mark.parametrize(("name", "side"), [("12x12 in", 12 * INCH.mm), ("8x8 in", 8 * INCH.mm),
                                            ("6x6 in", 6 * INCH.mm), ("30.5 cm square", 305)])
def test_stock_squares(name, side):
    """The squares that patterned paper is sold in: common practice, no source."""
    sheet = read_sheet(name)
    assert sheet is STOCK_SHEETS[name]
    assert (sheet.width.value, sheet.height.value, sheet.trim) == (side, side, ZERO)


@pytest.mark.parametrize(("text", "name", "width", "height"), [
    ("12x12 in", "12 × 12 in", 12 * INCH.mm, 12 * INCH.mm),
    ("30.5 × 30.5 cm", "30.5 × 30.5 cm", 305, 305),
    ("8 1/2 in x 11 in", "8 1/2 × 11 in", Fraction(17, 2) * INCH.mm, 11 * INCH.mm),
    ("500 mm x 1 m", "500 mm × 1 m", 500, 1000),
    ("5 in square", "5 in square", 5 * INCH.mm, 5 * INCH.mm),
])
def test_other_sheets(text, name, width, height):
    """The unit may be said once."""
    sheet = read_sheet(text)
    assert (sheet.name, sheet.width.value, sheet.height.value) == (name, width, height)
    assert sheet.width.names == frozenset()


def test_a_sheet_with_a_selvedge():
    """What is trimmed off one long edge stands beside the size; sheets without it are named alone."""
    read, findings = front("title: x\ndrawn_in: mm\nsheets: [a4, {size: 9x12 in, trim: 1/2 in}, {size: a4}]")
    assert findings == []
    assert [(sheet.name, sheet.trim) for sheet in read.sheets] == [("a4", ZERO),
                                                                   ("9 × 12 in", length(INCH.mm / 2))]
    assert read.sheets[1].usable == (Fraction(17, 2) * INCH.mm, 12 * INCH.mm)
