"""Does the other edition still fit, and what would mend it: told at every build, from the same search as
regauge.
"""
from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.tutorial import suggested_lengths as module
from tests.regauge.sample_boxes import CADDY, INCH, SMALL
from tests.tutorial.small_source import FENCE, FRONT, front, load, source

EDITION = "{panel: 1 1/4 in, wall: 2 1/2 in, tab: 3/8 in}"
EASE = """---
title: A lid
drawn_in: mm
lengths: {{panel: 30 mm, {0}: {1}}}
editions: {{in: {{panel: 1 1/4 in, {0}: {2}}}}}
papers: {{card: {{thickness: 0.3 mm}}}}
---
"""


def found(text: str, code: str):
    """The findings of a source with this code."""
    return [f for f in load(text).findings if f.code == code]


def mend(text: str) -> str:
    """The source with the values that its findings name put into its edition."""
    hint = next(h for f in load(text).findings for h in f.hint.split("; ") if "edition fits with" in h)
    for name, value in re.findall(r"(\w+): ([\d/ ]+ (?:in|mm))", hint.split("fits with ")[1]):
        head, tail = text.split("editions:", 1)
        new = re.sub(rf"\b{name}: [^,}}\n]+", f"{name}: {value}", tail, count=1)
        added = tail.replace("{in: {", f"{{in: {{{name}: {value}, ", 1)
        text = f"{head}editions:{new if new != tail else added}"
    return text


def test_a_changed_dimension_is_told_with_what_would_fit():
    """Drawn 40 mm in place of 30, the inch panel is left behind: how far, what is the most, what fits, and
    the way to keep it.
    """
    stale, = found(source(front=front("panel: 30 mm", "panel: 40 mm")), "edition-stale")
    assert (stale.severity.value == "error"
            and "'panel' is 1 1/4 in, and it is drawn 40 mm: 20.6 % apart" in stale.message)
    assert "within: 21 %" in stale.hint and "the inch edition fits with panel: 1 5/8 in" in stale.hint
    assert (stale.line, stale.column) == (6, FRONT.split("\n")[5].index("1 1/4 in") + 1)


def test_nothing_goes_out_until_it_fits_again():
    """The build stops; with the value that was named it goes on."""
    text = source(front=front("panel: 30 mm", "panel: 40 mm"))
    assert load(text).tutorial is None
    mended = mend(text)
    assert "{panel: 1 5/8 in, wall: 2 1/2 in, tab: 3/8 in}" in mended and load(mended).tutorial is not None


def test_a_wide_window_that_the_author_allows_is_no_finding():
    """Given `within: 21 %`, the same edition builds; with 20 % it does not."""
    text = source(front=front("panel: 30 mm", "panel: 40 mm"))
    assert found(text.replace("editions: {", "editions: {within: 21 %, "), "edition-stale") == []
    assert len(found(text.replace("editions: {", "editions: {within: 20 %, "), "edition-stale")) == 1


@pytest.mark.parametrize(("tab", "inches", "stale"),
                         [("3 mm", "3/16 in", True), ("3 mm", "1/8 in", False), ("3 mm", "1/16 in", False),
                                                      ("1.6 mm", "1/8 in", False),
                                                      ("20 mm", "11/16 in", True)])
def test_one_step_of_the_tool_is_always_allowed(tab, inches, stale):
    """The window is 8 % or one mark of the finest tool, whichever is wider: 1/16 in for what the trimmer
    cuts.
    """
    text = source(front=front("tab: 10 mm", f"tab: {tab}").replace("tab: 3/8 in", f"tab: {inches}"))
    assert bool(found(text, "edition-stale")) is stale


def test_a_missing_edition_is_told_with_values():
    """Without its other edition, and without one of its lengths: what would fit stands in the hint."""
    whole = source(front=FRONT.replace(f"editions: {{in: {EDITION}}}\n", ""))
    missing, = found(whole, "edition-missing")
    assert "the inch edition fits with panel: 1 1/8 in, wall: 2 3/8 in, tab: 3/8 in" in missing.hint
    one, = found(source(front=front("wall: 2 1/2 in, ", "")), "edition-missing")
    assert one.hint.endswith("the inch edition fits with wall: 2 3/8 in")       # the others stay as they are


def test_a_misread_edition_is_told_with_values():
    """A length in the wrong unit, or none at all, is as good as missing."""
    wrong, = found(source(front=front("wall: 2 1/2 in", "wall: 60 mm")), "length-wrong")
    assert wrong.hint.endswith("the inch edition fits with wall: 2 3/8 in")


def test_a_mark_off_its_tool_is_told_with_values():
    """Only the length that makes the mark is changed."""
    off, = (f for f in found(source(front=front("panel: 1 1/4 in", "panel: 1 3/16 in")), "off-grid")
            if "inch" in f.message)
    assert "nearest marks are 1 1/8 in and 1 1/4 in" in off.hint and off.hint.endswith(
        "the inch edition fits with panel: 1 1/8 in")


def test_a_requirement_that_fails_in_one_edition_is_told_with_values():
    """The lengths of the requirement are chosen anew, and with them it holds."""
    text = source(fence=FENCE + "\nexpect(wall >= 2*panel)").replace("panel: 1 1/4 in, wall: 2 1/2 in",
                                                                     "panel: 1 1/4 in, wall: 2 3/8 in")
    fails, = found(text, "expect-fails")
    assert fails.edition == "in" and "edition fits with" in fails.hint
    assert found(mend(text), "expect-fails") == [] and load(mend(text)).tutorial is not None


def test_where_nothing_fits_that_is_said():
    """Half-way ticks on the metric board want panels of 10 mm; about 25.4 mm there are none within 8 %."""
    text = ("---\ntitle: A sleeve\ndrawn_in: in\nlengths: {panel: 1 in, wall: 2 in}\neditions: {mm: {panel: "
            "25 mm, wall: 50 mm}}\n---\n"
            "\n## Cut\n\n```geometry\nstrip = sheet(width=4*panel, height=wall)\npanels = score(strip, "
            "x=every(panel, 3))\n"
            "peaks = tick(strip, x=midway(panels), edge=top)\n```\n")
    off = next(f for f in found(text, "off-grid") if "metric" in f.message)
    assert ("no values of the metric edition near the drawn ones fit" in off.hint
            and "foldgauge regauge" in off.hint)


def test_a_sound_source_is_not_searched(monkeypatch):
    """The search runs only where something is wrong: a build of sound sources costs nothing more."""
    def never(*given):
        raise AssertionError("searched")
    monkeypatch.setattr(module, "mending_values", never)
    assert load(source()).tutorial is not None
    with pytest.raises(AssertionError, match="searched"):
        load(source(front=front("panel: 30 mm", "panel: 41 mm")))


def test_an_unsound_design_gets_no_advice_on_its_edition():
    """While the drawn side has errors of its own, nothing is proposed for the other one."""
    loaded = load(source(fence=FENCE + "\nu = score(strip, x=9*panel)",
                         front=front("panel: 30 mm", "panel: 40 mm")))
    assert len(loaded.findings) > 1 and not any("edition fits" in f.hint for f in loaded.findings)


@settings(deadline=None, max_examples=15)
@given(st.integers(24, 60), st.integers(40, 90), st.integers(6, 16))
def test_what_is_named_does_mend(panel, wall, tab):
    """Whatever dimension is changed: either nothing near fits, or the source builds with the values that are
    named.
    """
    text = source(front=front("{panel: 30 mm, wall: 60 mm, tab: 10 mm}",
                              f"{{panel: {panel} mm, wall: {wall} mm, tab: {tab} mm}}"))
    loaded = load(text)
    if loaded.tutorial is None:
        assert load(mend(text)).tutorial is not None, loaded.findings


# -- clearances: limits are rounded inward (ANSI/IEEE 268) -------------------------


def lid(name: str, drawn: str, inches: str, needs: str) -> str:
    """A lid with a clearance and a requirement on it."""
    return source(front=EASE.format(name, drawn, inches), prose="Cut {{ size(strip) }}.",
                  fence=f"strip = sheet(width=2*panel + {name}, height=panel, paper=card)\n"
                        f"expect({needs}, clearance)")


@pytest.mark.parametrize(("drawn", "inches", "needs", "wrong"), [
    ("2 mm", "1/16 in", "ease >= 4*card.thickness", True),
    ("2 mm", "1/8 in", "ease >= 4*card.thickness", False),
    ("2 mm", "1/16 in", "4*card.thickness <= ease", True),
    ("2 mm", "1/16 in", "ease > 4*card.thickness and panel > ease", True),
    ("1.5 mm", "1/16 in", "ease <= 20*card.thickness", True),
    ("2 mm", "1/16 in", "ease <= 20*card.thickness", False),
    ("2 mm", "1/16 in", "4*card.thickness <= ease <= 20*card.thickness", False),
    ("2 mm", "1/8 in", "20*card.thickness >= ease", True)])
def test_a_clearance_is_rounded_away_from_its_limit(drawn, inches, needs, wrong):
    """What must be at least something is rounded up, what must be at most something down; what has limits on
    both sides is free.
    """
    warned = found(lid("ease", drawn, inches, needs), "clearance-rounded")
    assert bool(warned) is wrong
    if warned:
        assert warned[0].severity.value == "warning" and "a limit is rounded inward" in warned[0].message


@pytest.mark.parametrize("needs", ["2*ease >= card.thickness", "panel >= ease", "panel > 2*ease",
                                   "ease != panel"])
def test_a_clearance_is_one_length_beside_what_stays(needs):
    """Of anything else it cannot be told which length is one, or which way it may go; it is said at its
    place. Without the word each of them is a requirement that holds, and nothing is rounded inward.
    """
    text = lid("ease", "2 mm", "1/16 in", needs)
    unclear, = found(text, "clearance-unclear")
    assert text.split("\n")[unclear.line - 1][unclear.column - 1:].startswith(needs)
    plain = text.replace(", clearance)", ")")
    assert not found(plain, "clearance-unclear") and not found(plain, "clearance-rounded")


def test_a_length_may_be_called_clearance():
    """The word is not taken from authors: a box with such a length loads as before."""
    assert not [each for each in load(lid("clearance", "2 mm", "1/8 in", "clearance > 0*panel").replace(
        ", clearance)", ")")).findings if each.severity.value == "error"]


def test_the_warning_names_the_next_mark():
    """2 mm of ease for four layers of card may only grow, and 1/8 in is the next mark."""
    warned, = found(lid("ease", "2 mm", "1/16 in", "ease >= 4*card.thickness"), "clearance-rounded")
    assert "rounded down, from 2 mm to 1/16 in" in warned.message
    assert ("it may only grow: 1/8 in is the next mark" in warned.hint
            and "the inch edition fits with ease: 1/8 in" in warned.hint)


# -- the tutorials of the house --------------------------------------------------------


@pytest.mark.parametrize("path", [CADDY, *SMALL], ids=lambda path: path.parent.name if path == CADDY
                         else path.stem)
def test_every_length_that_is_left_behind_is_found(path):
    """Each named length in turn, drawn a third larger: the build says which one no longer fits."""
    text = path.read_text(encoding="utf-8")
    drawn_in = re.search(r"^drawn_in: (\w+)", text, re.M)[1]
    start = text.index("lengths:")
    end = text.index("\neditions:")
    for match in re.finditer(r"(\w+): +([\d/ ]+?) (mm|in)\b", text[start:end]):
        value = sum(map(Fraction, match[2].split())) * (INCH if drawn_in == "in" else 1) * Fraction(3, 2)
        number = f"{float(value):g} mm" if drawn_in == "mm" else f"{value / INCH} in".replace("/1 ", " ")
        changed = text[:start] + text[start:end].replace(match[0], f"{match[1]}: {number}", 1) + text[end:]
        if Fraction(3, 2) * value / 3 > 6:      # smaller ones may move by a mark of their tool
            assert any(f.code == "edition-stale" and f"'{match[1]}'" in f.message
                       for f in load(changed).findings), match[1]


TOOL = """---
title: A tag
drawn_in: mm
lengths: {{panel: 30 mm}}
editions: {{in: {{panel: 1 1/4 in}}}}
tools: {{hole: {{mm: 4 mm, in: {hole}}}}}
papers: {{card: {{weight: {weight}, thickness: 0.26 mm}}}}
---

## Cut and punch

```geometry
tag = sheet(width=2*panel, height=panel, paper=card)
eye = punch(tag, x=panel, y=panel/2, diameter=hole)
```

It is {{{{ panel }}}} high.
"""


@pytest.mark.parametrize(("hole", "unlike"), (("3/16 in", False), ("1/8 in", False), ("1/4 in", False),
                                              ("5/16 in", True), ("1/16 in", True)))
def test_a_tool_is_of_one_size_in_both_editions(hole, unlike):
    """Punches of 4 mm and 1/4 in may pass for one tool; 5/16 in is twice as wide (common practice)."""
    assert [f.line for f in found(TOOL.format(hole=hole, weight="200 gsm"), "edition-stale")] == [6] * unlike


@pytest.mark.parametrize(("weight", "codes"), (("200 gsm", []), ("60 gsm", []), ("400 gsm", []),
                                               ("20 gsm", [7]), ("2000 gsm", [7])))
def test_the_thickness_of_a_paper_fits_its_weight(weight, codes):
    """200 gsm of 0.26 mm are 0.77 g/cm³; ten times as much or as little is a slip of the pen."""
    assert [f.line for f in found(TOOL.format(hole="3/16 in", weight=weight), "front-value")] == codes
