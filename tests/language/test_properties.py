"""Every property that may stand after a dot, with the measure it must give.

As a piece lies, and as it lies turned.
"""
from __future__ import annotations

import pytest

from generator.language.evaluation.properties import GROUP_PROPERTIES, PROPERTIES, SINGLE_VALUE_PROPERTIES
from generator.paper.values import Group, PiecePlace, VocabularyWord
from generator.units import Quantity
from tests.paper.statement_evaluation import codes, made, numbers, state, text_of, value, wrong

SIZE = {"w": 120, "h": 80, "a": 30, "b": 20, "d": 6}
PLAIN = """
p = sheet(width=w, height=h)
k = score(p, x=every(a, 3))
low = score(p, y=b, measured_from=bottom)
slant = score(p, line(at(left, b), at(a, top)))
f = faces(p, x=k.bays, y=low..top)
g = fold(k, mountain)
net = panel(rectangle(width=a, height=b))
side = attach(net.edges, rectangle(height=d))
s = seam(side.edges.each[4], rotated(side.edges.each[2]))
j = glue(f, order=opposite)
"""
# the same look, made on a sheet that was cut upright and turned a quarter, then over
TURNED = PLAIN.replace("p = sheet(width=w, height=h)",
                       "p = sheet(width=h, height=w)\nturn(p, quarter)\nturn_over(p)")

# expression → what it must give; a place as its distance from left or bottom, a word as itself
GIVES: dict[str, object] = {
    "Mark.marks": ("k.marks", [30, 60, 90]), "Mark.marks of a slanted line": ("slant.marks", [20, 30]),
    "Mark.bays": ("low.bays.width", [20]), "Mark.length": ("k.first.length", [80]),
    "Mark.measured_from": ("low.measured_from", "bottom"),
    "Bay.left": ("k.bays[2].left", [30]), "Bay.right": ("k.bays[2].right", [60]),
    "Bay.middle": ("k.bays[2].middle", [45]),
    "Bay.width": ("k.bays.width", [30, 30, 30]), "Bay.bottom": ("low.bays.first.bottom", [0]),
    "Bay.top": ("low.bays.first.top", [20]),
    "Face.width": ("f.width", [30, 30, 30]), "Face.height": ("f.height", [60, 60, 60]),
    "Face.edges": ("side[2].edges.length", [20, 6, 20, 6]),
    "Face.hinge": ("side.hinge.length", [30, 20, 30, 20]),
    "Edge.length": ("net.edges.length", [30, 20, 30, 20]),
    "Piece.left": ("p.left", [0]), "Piece.right": ("p.right", [120]), "Piece.bottom": ("p.bottom", [0]),
    "Piece.top": ("p.top", [80]),
    "Piece.width": ("p.width", [120]), "Piece.height": ("p.height", [80]),
    "Piece.edges": ("net.edges.count", [4]),
    "Piece.faces": ("net.faces.count", [5]), "Piece.hinges": ("net.hinges.length", [30, 20, 30, 20]),
    "Paper.thickness": ("card.thickness*100", [26]), "Paper.weight": ("card.weight", [200]),
    "Fold.seen": ("g.first.seen", None), "JointHandle.order": ("j.order", [1, 3, 2]),
    "JointHandle.count": ("s.count", [4]),
    "Size.width": ("size(p).width", [120]), "Size.height": ("size(f.first).height", [60]),
    "group.first": ("k.first.marks", [30]), "group.last": ("k.last.marks", [90]),
    "group.odd": ("k.odd.marks", [30, 90]),
    "group.even": ("k.even.marks", [60]), "group.all": ("side.edges.all.count", [16]),
    "group.count": ("k.count", [3]),
    "group.each": ("side.edges.each[3].length", [30, 20, 30, 20]), "group.bays": ("k.bays.count", [3]),
    "one.first": ("low.first.marks", [20]), "one.last": ("low.last.marks", [20]),
    "one.all": ("low.all.marks", [20]),
    "one.count": ("low.count", [1]),
}


def told(done, found: object) -> object:
    """A value as bare numbers; a place as its distance from the reader's left or bottom edge."""
    if isinstance(found, VocabularyWord):
        return found.value
    if isinstance(found, PiecePlace):
        edges = (value(done, "p.left"), value(done, "p.bottom"))
        zero, = (edge for edge in edges if edge.axis == found.axis)
        return [abs(found.at.value - zero.at.value)]
    assert isinstance(found, Quantity | Group), found
    return numbers(found)


@pytest.mark.parametrize("source", [PLAIN, TURNED], ids=["as it was cut", "turned"])
@pytest.mark.parametrize("name", [n for n, (_, gives) in GIVES.items() if gives is not None])
def test_properties_give_what_the_reader_measures(name, source):
    """Sizes, places and sides are told as the piece lies; a sheet of the same look gives the same."""
    text, gives = GIVES[name]
    done = made(source, **SIZE)
    assert told(done, value(done, text)) == gives


@pytest.mark.parametrize(("source", "seen"), [(PLAIN, "valley"), (TURNED, "mountain")],
                         ids=["plain side up", "over"])
def test_folds_are_seen_from_the_side_that_is_up(source, seen):
    """From the plain side a mountain is a valley, from the printed side a mountain."""
    done = made(source, **SIZE)
    assert [word.value for word in value(done, "g.seen").items] == [seen] * 3 and text_of(done, "g") == seen
    assert told(done, value(done, GIVES["Fold.seen"][0])) == seen


def test_every_property_is_proved_above():
    """The table names each published property of each kind of thing, of groups and of single things."""
    published = {f"{cls.__name__}.{name}" for cls, names in PROPERTIES.items() for name in names}
    published |= {f"group.{name}" for name in GROUP_PROPERTIES} | {f"one.{name}"
                                                                   for name in SINGLE_VALUE_PROPERTIES}
    # values of prose alone: tests/tutorial/test_folded_values.py
    told_by_folding = {"SolidSize", "LargestContents"}
    assert {n for n in published
            if n.split(".")[0] not in told_by_folding} - {name.split(" of ")[0] for name in GIVES} == set()


def test_properties_of_a_group_are_those_of_its_members():
    """A property of a group is a group, level by level."""
    done = made(PLAIN, **SIZE)
    assert [len(inner) for inner in value(done, "side.edges.length").items] == [4] * 4
    assert numbers(value(done, "f.edges.each.first.length")) == [30, 30, 30]


def test_sizes_keep_what_they_depend_on():
    """Sizes of pieces and faces, facts of a paper and lengths of marks know their names."""
    done = made(PLAIN, **SIZE)
    assert value(done, "p.width").form == {"w": 1} and value(done, "f.first.height").form == {"h": 1, "b": -1}
    assert value(done, "card.thickness").form == {"card.thickness": 1}
    assert value(done, "k.first.length").form == {"h": 1}
    assert value(done, "card.weight").names == {"card.weight"}
    assert value(done, "slant.length").names <= {"a", "b", "h"}


@pytest.mark.parametrize(("text", "hint"), [
    ("p.widht", "did you mean 'width'?"), ("k.first.mark", "did you mean 'marks'?"),
    ("k.frist", "did you mean 'first'?"),
    ("low.bays.first.left", "bottom, top and middle"), ("k.bays.first.top", "left, right and middle"),
    ("p.edges", "begin the net with panel"),
    ("a.width", "it has no properties"), ("slant.measured_from", "use .marks"), ("s.order", "name what glue"),
    ("f.first.hinge", "were attached"),
    ("punch(p, x=a, y=h - d, diameter=d).length", "it has .marks")])
def test_properties_that_do_not_exist(text, hint):
    """The finding stands at the property and names the nearest, or all there are."""
    found = wrong(PLAIN + f"u = {text}", **SIZE)
    assert [f.code for f in found] == ["attribute-unknown"] and hint in found[0].hint, found
    assert found[0].span.column >= 5


def test_a_paper_that_says_nothing_of_its_thickness():
    """What the front matter leaves out cannot be counted on, and the hint says where to add it."""
    assert codes("u = card.thickness", **SIZE) == []
    assert state(made(PLAIN, **SIZE), "p").faces == ()
