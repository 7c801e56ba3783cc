"""The kinds of things a call can be given, in the trade's words.

Verbs annotate their parameters with these; the registry of the language reads
them. ``many`` parameters take a group whole and pair it off themselves; all
others are zipped by the language.
"""
from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from generator.paper.records import Face, Fold, Mark, Paper
from generator.paper.values import (
    Bay,
    Between,
    Bulk,
    Edge,
    Group,
    Holds,
    Joint,
    Made,
    Outline,
    Piece,
    Place,
    Scrap,
    Shape,
    Shifted,
    Size,
    Spot,
    Truth,
    Word,
    Wordage,
)
from generator.units import Angle, Quantity


@dataclass(frozen=True, slots=True)
class Kind:
    """``says`` for messages ("a length"); ``types`` accepted; ``powers`` of a Quantity; ``words`` of a Word.

    ``whole`` kinds want their group as one thing: nothing beside them is paired off with its members.
    """

    says: str
    types: tuple[type, ...]
    powers: tuple[int, ...] | None = None
    words: tuple[str, ...] | None = None
    many: bool = False
    deep: bool = False      # groups within groups are welcome
    whole: bool = False

    def fits(self, value: object) -> bool:
        """Whether one value (or, for ``many``, each of a group) is of this kind."""
        if self.many and isinstance(value, Group):
            return all(self.fits(item) for item in value.items)
        if not isinstance(value, self.types):
            return False
        if self.powers is not None and isinstance(value, Quantity):
            return value.power in self.powers
        if self.words is not None and isinstance(value, Word):
            return value.value in self.words
        return True


SIDES = ("left", "right", "top", "bottom")
TOOLS = ("board", "trimmer", "rule", "template")
LINE_WORDS = (*SIDES, "middle")
_LINES = (Quantity, Mark, Place, Shifted, Word)

Length = Annotated[object, Kind("a length", (Quantity,), powers=(1,))]
Lengths = Annotated[object, Kind("a length", (Quantity,), powers=(1,), many=True)]
Number = Annotated[object, Kind("a number", (Quantity,), powers=(0,))]
Numbers = Annotated[object, Kind("a number", (Quantity,), powers=(0,), many=True)]
AnyQuantity = Annotated[object, Kind("a number or a measure", (Quantity,))]
Quantities = Annotated[object, Kind("a number or a measure", (Quantity,), many=True, deep=True, whole=True)]
AngleArg = Annotated[object, Kind("an angle such as 60 deg", (Angle,))]
Angles = Annotated[object, Kind("an angle such as 60 deg", (Angle,), many=True)]
PieceArg = Annotated[object, Kind("a piece", (Piece,))]
PaperArg = Annotated[object, Kind("a paper of the front matter", (Paper,))]
SideArg = Annotated[object, Kind("one of left, right, top, bottom", (Word,), words=SIDES)]
ToolArg = Annotated[object, Kind("one of board, trimmer, rule, template", (Word,), words=TOOLS)]
UpArg = Annotated[object, Kind("plain or printed", (Word,), words=("plain", "printed"))]
Directions = Annotated[object, Kind("mountain or valley", (Word,), words=("mountain", "valley"), many=True)]
KeepArg = Annotated[object, Kind("the word flat", (Word,), words=("flat",))]
OrderArg = Annotated[object, Kind("opposite or in_turn", (Word,), words=("opposite", "in_turn"))]
TurnArg = Annotated[object, Kind("quarter, half or quarter_back", (Word,), words=("quarter", "half", "quarter_back"))]
Places = Annotated[object, Kind("a distance, a mark or an edge, or a group of them", _LINES, powers=(1,),
                                words=LINE_WORDS, many=True)]
Lines = Annotated[object, Kind("a place, a group of places, or a span of the other axis",
                               (*_LINES, Between, Bay), powers=(1,), words=LINE_WORDS, many=True)]
PlaceArg = Annotated[object, Kind("a distance, a mark or an edge", _LINES, powers=(1,), words=LINE_WORDS)]
Spans = Annotated[object, Kind("a span such as bottom..foot_line, or a bay", (Between, Bay), many=True)]
Extent = Annotated[object, Kind("a span such as bottom..foot_line", (Between, Bay))]
SpotArg = Annotated[object, Kind("a point such as at(x, y)", (Spot,))]
ShapeArg = Annotated[object, Kind("a line, an arc or another shape", (Shape,), many=True, deep=True)]
ShapesOrMarks = Annotated[object, Kind("shapes, marks or places", (Shape, Mark, Place), many=True, deep=True)]
OutlineArg = Annotated[object, Kind("a shape such as ngon(…) or rectangle(…)", (Outline,))]
Outlines = Annotated[object, Kind("a shape such as ngon(…) or rectangle(…)", (Outline,), many=True)]
Marks = Annotated[object, Kind("marks", (Mark,), many=True)]
Holes = Annotated[object, Kind("punched holes or slits", (Mark,), many=True, whole=True)]
Edges = Annotated[object, Kind("edges of a net", (Edge,), many=True)]
Faces = Annotated[object, Kind("faces", (Face,), many=True)]
ScrapArg = Annotated[object, Kind("a scrap that remove(…) gave, or offcut", (Scrap, Word), words=("offcut",))]
FaceArg = Annotated[object, Kind("a face", (Face,))]
FaceOrPiece = Annotated[object, Kind("a face or a piece", (Face, Piece))]
Anything = Annotated[object, Kind("anything", (object,), many=True, deep=True, whole=True)]
GroupArg = Annotated[object, Kind("a group", (object,), many=True, deep=True, whole=True)]
Condition = Annotated[object, Kind("a comparison such as crown >= apothem", (Truth,), many=True, deep=True, whole=True)]
TextArg = Annotated[object, Kind("words between double quotes", (str,))]
Folds = Annotated[object, Kind("folds", (Fold,), many=True)]

KIND_NAMES: tuple[tuple[type, str], ...] = (
    (Angle, "an angle"), (Word, "a word of the trade"), (Wordage, "words"), (Size, "a size"), (str, "words between quotes"),
    (Bulk, "a size"), (Holds, "what goes in"), (Piece, "a piece"), (Mark, "a mark"), (Place, "a place"), (Shifted, "a place"), (Between, "a span"),
    (Bay, "a bay"), (Spot, "a point"), (Shape, "a shape"), (Outline, "a shape"), (Edge, "an edge of a net"),
    (Face, "a face"), (Fold, "a fold"), (Paper, "a paper"), (Truth, "a comparison"), (Joint, "a joint"),
    (Made, "what a part gives"), (Scrap, "a scrap"),
)


def kind_of(value: object) -> str:
    """What a value is, in words: "a length", "a group of 8"."""
    if isinstance(value, Quantity):
        return value.kind
    if isinstance(value, Group):
        return f"a group of {len(value)}"
    for cls, words in KIND_NAMES:
        if isinstance(value, cls):
            return _with_its_name(value, words)
    return "nothing that can be used here"


def _with_its_name(value: object, words: str) -> str:
    if isinstance(value, Word):
        return f"the word '{value.value}'"
    return f"what the part '{value.part}' gives" if isinstance(value, Made) else words
