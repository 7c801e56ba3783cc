"""What stands in a box fits in it, and dividers that cross go slot into slot."""
from __future__ import annotations

import pytest

from tests.folding.checks.sources import TRAY, found
from tests.folding.sample_boxes import changed

# inside it is 60 by 40 mm less twice the paper, 0.3 mm each, and 25 mm less one
LONG = "long = sheet(width=front - ease, height=dust - ease)"
SHORT = "short = sheet(width=side - ease, height=dust - ease)"
LONG_SLOT = "remove(long, x=offset(middle, -ease/2)..offset(middle, ease/2), y=top - dust/2..top)"
SHORT_SLOT = "remove(short, x=offset(middle, -ease/2)..offset(middle, ease/2), y=bottom..dust/2)"
INSERT = "insert(long, into=base, crossing=short)"
CROSSED = "\n".join([TRAY.strip(), LONG, SHORT, LONG_SLOT, SHORT_SLOT, INSERT])
LONE = "\n".join([TRAY.strip(), LONG, "insert(long, into=base)"])


def test_dividers_that_cross_in_a_tray():
    """Halves of 12.5 mm in pieces 24 mm high, 1 mm wide, half a millimetre of air to each wall."""
    assert found(CROSSED) == []


@pytest.mark.parametrize(("old", "new"), [
    (LONG_SLOT, LONG_SLOT.replace("dust/2", "lap/2")),      # 5 + 12.5 mm is less than 24 mm
    (SHORT_SLOT, SHORT_SLOT.replace("..dust/2", "..lap/2")),
    (SHORT_SLOT, SHORT_SLOT.replace("bottom..dust/2", "top - dust/2..top")),    # both open above
    (SHORT_SLOT, SHORT_SLOT.replace("ease/2", "ease/20")),      # 0.1 mm for 0.3 mm of paper
    (LONG_SLOT, LONG_SLOT.replace("ease/2", "ease/20")),
    (SHORT_SLOT, "")])
def test_slots_that_keep_dividers_apart(old, new):
    """Too shallow together, open at the same edge, narrower than the paper, or not there."""
    assert found(CROSSED, (old, new)) == [("slots-apart", new or INSERT)]


@pytest.mark.parametrize(("old", "new"), [
    (LONG_SLOT, LONG_SLOT.replace("dust/2", "dust/2 - more")),      # together 17.5 + 12.5 mm in 24 mm
    (LONG_SLOT, LONG_SLOT.replace("ease/2", "hole"))])
def test_slots_in_which_dividers_wobble(old, new):
    """6 mm too deep, or 8 mm wide: more than the play of a lid that falls off."""
    assert found(CROSSED, (old, new)) == [("insert-loose", new)]


@pytest.mark.parametrize(("old", "new"), [
    (LONG, "long = sheet(width=front + ease, height=dust - ease)"),
    (LONG, "long = sheet(width=front - ease, height=dust + ease)"),
    (SHORT, "short = sheet(width=side + ease, height=dust - ease)")])
def test_dividers_too_large_for_the_tray(old, new):
    """Two of them longer than the room between the walls, one higher than its rim."""
    deeper = [(LONG_SLOT, LONG_SLOT.replace("dust/2", "dust/2 - ease"))]
    assert found(CROSSED, (old, new), *deeper) == [("insert-large", new)]


@pytest.mark.parametrize(("width", "codes"), [
    ("front - ease", []), ("side - ease", []), ("front + ease", ["insert-large"]),
    ("side + more", ["insert-loose"]), ("front - more", ["insert-loose"])])
def test_a_lone_divider_is_held_by_the_walls(width, codes):
    """It goes in along the tray or across it, with a little air; with 14 mm of air it falls over."""
    made = LONG.replace("front - ease", width)
    assert found(LONE, (LONG, made)) == [(code, made) for code in codes]


@pytest.mark.parametrize(("shift", "codes"), [("0*ease", []), ("hole", ["slots-apart"])])
def test_slots_of_parallel_dividers_face_each_other(shift, codes):
    """What crosses both stands square only where their slots have the same distances."""
    text = TRAY.strip()
    for name in ("one", "two"):
        text += f"\n{name} = sheet(width=front - ease, height=dust - ease)"
    for name, off in (("one", "0*ease"), ("two", shift)):
        far = f"front - lap - {off}"
        text += f"\nremove({name}, x=group(lap..lap + ease, {far}..{far} + ease), y=top - dust/2..top)"
    for name in ("left_", "right_"):
        text += (f"\n{name} = sheet(width=side - ease, height=dust - ease)\n"
                 f"remove({name}, x=group(lap..lap + ease, side - lap - ease..side - lap), y=bottom..dust/2)")
    text += "\ninsert(group(one, two), into=base, crossing=group(left_, right_))"
    assert [code for code, _ in found(text)] == codes


def test_a_slit_takes_thin_paper():
    """A cut without width holds card of 0.3 mm."""
    slits = [(LONG_SLOT, "cut(long, x=middle, y=dust/2 - ease..top)"),
             (SHORT_SLOT, "cut(short, x=middle, y=bottom..dust/2)")]
    assert found(CROSSED, *slits) == []
    assert found(CROSSED, (LONG_SLOT, "cut(long, x=middle, y=dust - more..top)"), slits[1]) == [
        ("slots-apart", "cut(long, x=middle, y=dust - more..top)")]


@pytest.mark.parametrize(("wide", "tall", "codes"), [
    ("front - 2*ease", "dust - 2*ease", []), ("front + ease", "dust - 2*ease", ["insert-large"]),
    ("front - 2*ease", "dust + ease", ["insert-large"])])
def test_a_folded_insert(wide, tall, codes):
    """A tray in the tray: its folds lie within the walls, its rim is no higher than theirs."""
    inner = (f"inner = panel(rectangle(width={wide}, height=side - 2*ease))\n"
             f"sides_ = attach(inner.edges, rectangle(height={tall}))\n"
             "seam(sides_.edges.each[4], rotated(sides_.edges.each[2]))\n"
             "fold(sides_.hinge, mountain, by=90 deg)\ninsert(inner, into=base)")
    assert [code for code, _ in found(TRAY.strip() + "\n" + inner)] == codes


def test_a_box_of_which_nothing_is_known_inside():
    """Four walls without a floor: nobody can tell what goes in."""
    text = changed(LONE, ("walls = attach(base.edges, ", "walls = attach(group(base.edges[1]), "),
                   ("seam(walls.edges.each[4], rotated(walls.edges.each[2]))\n", ""))
    assert [code for code, _ in found(text)] == ["fold-unknown"]
