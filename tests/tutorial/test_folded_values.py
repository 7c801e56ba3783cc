"""What folding and cutting tell to prose: sizes, insides, windows, ribbons, yields; and what nobody knows."""
from __future__ import annotations

import math
import re
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.tutorial import folded_values
from generator.tutorial.folded_sizes import (
    folded_length,
    folded_volume,
    limit_length,
    limit_window,
)
from generator.units import length
from tests.folding.sample_boxes import CROWN, TRAY
from tests.folding.sample_boxes import source as folding_source
from tests.paper.statement_evaluation import text_of
from tests.tutorial.folded_queries import FRONT, LACED, OPEN_BOX, asked, exact, refused
from tests.tutorial.small_source import FENCE, PROSE, load, source, tutorial
from tests.tutorial.small_source import FRONT as FRONT_TEXT

# what is printed exactly, and the steps to which a limit is rounded, in mm
PRINT_STEP = {"mm": 0.1, "in": 25.4 / 64}
RULE_STEP = {"mm": 1.0, "in": 25.4 / 16}
BOX = {"long": 120, "short": 80, "rise": 40}
RIBBON = {"panel": 30, "wall": 60, "tab": 12, "hole": 3, "lace_length": 600}
OUTSIDE = CROWN.replace("fold(lines, valley, y=brim..top)", "fold(lines, mountain, y=brim..top)").replace(
    "fold(slants, mountain)", "fold(slants, valley)")
GATHERED = CROWN.replace("gather(strip)", "dome = gather(strip)")


@pytest.fixture(scope="module")
def box():
    """An open box of 120 × 80 × 40 mm, of paper that does not say how thick it is."""
    return asked(OPEN_BOX, **BOX)


def test_an_open_box_is_measured(box):
    """Outside as drawn; inside less the usual 0.3 mm of paper a wall and at the floor; volume width × depth ×
    height.
    """
    assert [exact(box, f"box_.{side}") for side in ("across", "deep", "high")] == [120, 80, 40]
    assert [exact(box, f"box_.inside.{side}")
            for side in ("across", "deep", "high")] == pytest.approx([119.4, 79.4, 39.7], abs=1e-9)
    assert exact(box, "box_.volume") == 120 * 80 * 40
    assert text_of(box, "box_.finished") == "120 by 80 mm, 40 mm high" and text_of(
        box, "box_.volume") == "384 cm³"
    assert text_of(box, "box_.holds") == (
        "a tin up to 79 mm across and 39 mm high, a box up to 119 by 79 mm, 39 mm high, "
                                          "or a ball up to 39 mm across")


def test_a_tray_with_splayed_walls_has_the_volume_of_its_frustum():
    """h/6 · (lower + 4 · middle + upper area), the prismatoid formula of textbooks; measured on the slope it
    still stands 40 mm high.
    """
    tray = asked(TRAY, long=120, short=80, rise=40, splay=9)
    assert exact(tray, "tray.volume") == pytest.approx(40 / 6 * (120 * 80 + 4 * 129 * 89 + 138 * 98),
                                                       rel=1e-9)
    assert text_of(tray, "tray.finished") == "138 by 98 mm, 40 mm high"


def test_values_know_how_they_were_found(box):
    """why(…) says that it was folding, and names what was added to it; a yield comes from the sheet."""
    assert text_of(box, "why(box_.high)") == "worked out by folding"
    assert text_of(box, "why(box_.high + rise)") == "worked out by folding, from rise"
    assert text_of(box, 'why(per_sheet(box_, "a4"))') == "worked out by cutting up the sheet"


def test_in_inches_the_same_box_says_eighths_and_cubic_inches():
    """1 in = 25.4 mm exactly (NIST Handbook 44): 4 × 3 × 1 1/2 in is 18 cubic inches, on the nose."""
    inch = Fraction(127, 5)
    box = asked(OPEN_BOX, system="in", long=4 * inch, short=3 * inch, rise=inch * 3 / 2)
    assert text_of(box, "box_.finished") == "4 by 3 in, 1 1/2 in high"
    assert text_of(box, "box_.inside").startswith("about 4 by 3 in") and text_of(
        box, "box_.holds.tin").startswith("2 15/16 in across")
    assert float(text_of(box, "box_.volume").removeprefix("about ").removesuffix(" cu in")) == 18


@settings(deadline=None)
@given(mm=st.floats(0.5, 3000), system=st.sampled_from(("mm", "in")))
def test_limits_are_rounded_inward_and_measures_are_about_unless_they_are_round(mm, system):
    """ANSI/IEEE 268: a limit is rounded to the side on which it still holds, by less than a step."""
    limit = float(limit_length(mm, system).value)
    assert mm - RULE_STEP[system] - 1e-6 < limit <= mm + 1e-6
    found = folded_length(mm, system)
    assert abs(float(found.value)
               - mm) <= 1e-6 and found.exact == (abs(round(mm / PRINT_STEP[system])
                                                     * PRINT_STEP[system] - mm) <= 1e-6)
    low, high = limit_window(mm, mm * 1.1 + 2, system)
    assert mm - 1e-6 <= float(low.value) <= float(high.value) <= mm * 1.1 + 2 + 1e-6


def test_a_window_too_narrow_for_round_limits_keeps_its_limits():
    """Where no sixteenth lies between, the limits themselves are said."""
    assert [float(q.value) for q in limit_window(30.0, 30.1, "in")] == [30.0, 30.1]
    assert folded_volume(1234.5).value == 1234.5 and folded_volume(1200.0000000001).value == 1200


@pytest.mark.parametrize(("sides", "panel", "crown"), [(6, 40, 40), (8, 30, 39), (5, 40, 30)])
def test_a_gathered_top_tells_its_window(sides, panel, crown):
    """Apothem and circumradius (textbook, row 11), and peaks at √(h² − a²): row 27 of the check values is n =
    6, h = w.
    """
    top = asked(GATHERED, {"sides": sides}, panel=panel, wall=25, crown=crown, tab=10)
    a, r = panel / 2 / math.tan(math.pi / sides), panel / 2 / math.sin(math.pi / sides)
    assert [exact(top, f"dome.{n}") for n in ("lowest", "highest", "closed_height")] == pytest.approx(
        [a, r, math.sqrt(crown ** 2 - a ** 2)], abs=1e-9)
    if sides == 6:
        assert exact(top, "dome.closed_height") == pytest.approx(panel / 2, abs=1e-9)


def test_the_folded_caddy_is_as_high_as_its_formula_says():
    """Wall and √(crown² − apothem²), against what the solver folds of straight petals; the page says both
    alike.
    """
    text, count = re.subn(r"The caddy stands .*? wide\.",
                          "{{ height }}, {{ strip.high }}, {{ across }}, {{ strip.across }}.",
                          folding_source("straight"))
    assert count == 1
    said = [part.wordings for part in tutorial(text).steps[-1].prose if not isinstance(part, str)][-4:]
    for system in ("mm", "in"):
        height, high, across, wide = (each[system].text for each in said)
        assert height == high and across == wide


def test_with_the_gussets_outside_there_is_no_upper_bound():
    """The other branch: the same lower bound, and the question for an upper one says why there is none."""
    top = asked(OUTSIDE.replace("gather(strip)", "dome = gather(strip)"), {"sides": 8}, panel=30, wall=30,
                crown=45, tab=10)
    assert exact(top, "dome.lowest") == pytest.approx(15 / math.tan(math.pi / 8), abs=1e-9)
    code, message, _ = refused(top, "dome.highest")
    assert code == "fold-unknown" and "however high" in message


def test_a_ribbon_tells_its_way_and_what_it_needs():
    """Eight holes 30 mm apart, round to the first: 240 mm; a bow takes 300 mm more, or what the front matter
    says.
    """
    laced = asked(LACED, {"sides": 8}, **RIBBON)
    for name in ("lace", "tied"):
        assert text_of(laced, f"{name}.way") == "240 mm" and text_of(laced, f"{name}.needed") == "540 mm"
    short = asked(LACED, {"sides": 8}, front=replace(FRONT, bow={"mm": length(100), "in": length(100)}),
                  **RIBBON)
    assert text_of(short, "lace.needed") == "340 mm"
    assert refused(laced, "lace.high")[0] == "fold-unknown"


@pytest.mark.parametrize(("size", "count"), [(("120", "45"), "10"), (("150", "100"), "3")])
def test_a_blank_tells_how_often_it_comes_out_of_a_sheet(size, count):
    """A4 gives 10 of 120 × 45 mm and 3 of 150 × 100 mm (row 18 of the check values, by exhaustive
    recursion).
    """
    plain = asked("p = sheet(width=w, height=h)", w=size[0], h=size[1])
    assert text_of(plain, 'per_sheet(p, "a4")') == count and text_of(plain,
                                                                     'words(per_sheet(p, "A4"))') in (
                                                                         "ten", "three")
    assert refused(plain, 'per_sheet(p, "a44")')[0] == "call-kind"


def test_a_listed_sheet_is_taken_with_its_selvedge():
    """Of 120 × 60 mm A4 gives six (3 × 60 ≤ 210, 2 × 120 ≤ 297), without 40 mm of its long edge four (2 × 60
    ≤ 170).
    """
    text = source(front=FRONT_TEXT.replace("papers:", "sheets: [{size: a4, trim: 40 mm}]\npapers:"),
                  fence="strip = sheet(width=sides*panel, height=wall)\npanels = score(strip, x=every(panel, "
                        "sides - 1))\nmore = 2*tab + card.thickness",
                  prose='{{ per_sheet(strip, "a4") }} {{ per_sheet(strip, "210x297 mm") }} {{ panels.count '
                        '}} {{ more }}')
    said = [part.wordings["mm"].text for part in tutorial(text).steps[0].prose if not isinstance(part, str)]
    assert said[:2] == ["4", "6"]


@pytest.mark.parametrize(("sides", "words"), [
    ("width=a, depth=b, height=c", "60 by 40 mm, 30 mm high"),
    ("diameter=a, height=c", "60 mm across and 30 mm high"), ("diameter=c", "30 mm across")])
def test_what_fits_is_quoted_by_its_size(box, sides, words):
    """A box, a tin and a ball that go in word their own size."""
    assert text_of(asked(OPEN_BOX, a=60, b=40, c=30, **BOX), f"fits(box_, {sides})") == words


@pytest.mark.parametrize(("sides", "code"), [
    ("width=a, depth=b, height=c", "content-large"), ("diameter=a, height=c", "content-large"),
    ("diameter=b", "content-large"),
    ("width=a", "call-missing"), ("width=a, diameter=a", "call-missing"), ("", "call-missing")])
def test_what_does_not_fit_is_refused(sides, code):
    """39.8 mm is more than the 39.7 mm inside; sides that make no thing are asked for."""
    box = asked(OPEN_BOX, a=60, b=40, c=Fraction(398, 10), **BOX)
    assert refused(box, f"fits(box_{', ' * bool(sides)}{sides})")[0] == code


@pytest.mark.parametrize(("text", "expression", "says"), [
    ("p = sheet(width=long, height=short)", "p.high", "is not folded"),
    ("p = sheet(width=long, height=short)\nk = score(p, x=rise)\nfold(k, mountain)", "p.high",
     "nothing says how far"),
    ("p = sheet(width=long + rise, height=short)\nk = score(p, x=every(rise, 3))\nfold(k, mountain)\nf = "
     "faces(p, x=k.bays, y=bottom..top)\n"
     "glue(faces(p, x=k.last..right, y=bottom..top), under=f.first)", "p.inside", "no floor")])
def test_what_folding_does_not_know_is_refused_in_plain_words(text, expression, says):
    """Each once, with a hint; nothing crashes."""
    code, message, hint = refused(asked(text, **BOX), expression)
    assert code == "fold-unknown" and says in message and hint


def test_a_finding_stands_at_the_property_once_for_both_editions():
    """File, line and column of the property in the prose, and nothing twice."""
    text = source(prose=PROSE + "\nIt stands {{ strip.high }} high.")
    rows = text.split("\n")
    found = [(f.code, rows[f.line - 1][f.column - 1:f.column + 3]) for f in load(text).findings]
    assert found == [("fold-unknown", "high"), ("fold-loose", "fold")]


def test_a_fence_may_not_ask():
    """Geometry is worked out before anything is folded, and the finding says so."""
    found = [f for f in load(source(fence=FENCE + "\nu = strip.high\nexpect(u > panel)")).findings]
    assert [f.code for f in found] == ["call-place"] and "before anything is folded" in found[0].message


@pytest.mark.parametrize(("prose", "codes"),
                         [("{{ strip.high }}", []), ("{{ strip.hihg }}", ["attribute-unknown"])])
def test_where_geometry_is_wrong_prose_is_looked_at_for_its_names_alone(prose, codes):
    """A wrong score hides nothing of the prose's own, and what folding would have told is not missed."""
    found = load(source(fence=FENCE + "\nscore(strip, x=2*strip.width)", prose=PROSE + prose)).findings
    assert [f.code for f in found
            if f.code != "mark-off-piece"] == codes and found[-1].code == "mark-off-piece"


def test_wrong_prose_hides_nothing_that_folding_finds():
    """All problems in one run: a name that does not exist, and a floor that stays open."""
    text = source(prose=PROSE + " {{ nobody }}",
                  fence=FENCE.replace("fold(panels, mountain)", "fold(panels, mountain)\n"
                  "walls = faces(strip, x=panels.bays)\nglue(faces(strip, x=panels.last..right, "
                  "y=bottom..top), under=walls[2])"))
    codes = {f.code for f in load(text).findings}
    assert "name-unknown" in codes and len(codes) > 1


def test_nothing_is_worked_out_that_nobody_quotes(monkeypatch):
    """A yield takes a search; without a quotation none is made."""
    def never(*_):
        raise AssertionError("nobody asked")
    monkeypatch.setattr(folded_values, "most_of_blank", never)
    assert load(source()).tutorial is not None
