"""The kinds of things a call can be given, in the trade's words.

Verbs annotate their parameters with these; the registry of the language reads
them. ``many`` parameters take a group whole and pair it off themselves; all
others are zipped by the language.
"""
from __future__ import annotations

from typing import Annotated

from generator.dataclass import dataclass
from generator.paper.records import Face, Fold, Mark, Paper
from generator.paper.values import (
    Bay,
    ComparisonResult,
    Edge,
    Group,
    JointHandle,
    LargestContents,
    Outline,
    PartResults,
    Piece,
    PiecePlace,
    PlaceSpan,
    PlaceValue,
    ProseWords,
    Scrap,
    Shape,
    ShiftedPlace,
    Size,
    SolidSize,
    UnboundPoint,
    VocabularyWord,
)
from generator.units import TOOL_KINDS, Angle, Quantity


@dataclass(frozen=True, slots=True)
class ParameterKind:
    """``phrase`` for messages ("a length"); ``types`` taken; ``powers`` of a Quantity; ``words`` of a Word.

    ``whole`` kinds want their group as one thing: nothing beside them is paired off with its members.
    """

    phrase: str
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
        if self.words is not None and isinstance(value, VocabularyWord):
            return value.value in self.words
        return True


SIDES = ("left", "right", "top", "bottom")
TOOLS = tuple(kind.word for kind in TOOL_KINDS.values() if kind.chosen)
LINE_WORDS = (*SIDES, "middle")
_LINES = (Quantity, Mark, PiecePlace, ShiftedPlace, VocabularyWord)

Length = Annotated[Quantity, ParameterKind("a length", (Quantity,), powers=(1,))]
Lengths = Annotated[Quantity | Group[Quantity],
                    ParameterKind("a length", (Quantity,), powers=(1,), many=True)]
Number = Annotated[Quantity, ParameterKind("a number", (Quantity,), powers=(0,))]
Numbers = Annotated[Quantity | Group[Quantity],
                    ParameterKind("a number", (Quantity,), powers=(0,), many=True)]
AnyQuantity = Annotated[Quantity, ParameterKind("a number or a measure", (Quantity,))]
Quantities = Annotated[Quantity | Group[Quantity],
                       ParameterKind("a number or a measure", (Quantity,), many=True, deep=True, whole=True)]
AngleArg = Annotated[Angle, ParameterKind("an angle such as 60 deg", (Angle,))]
Angles = Annotated[Angle | Group[Angle], ParameterKind("an angle such as 60 deg", (Angle,), many=True)]
PieceArg = Annotated[Piece, ParameterKind("a piece", (Piece,))]
Pieces = Annotated[Piece | Group[Piece],
                   ParameterKind("a piece or a group of pieces", (Piece,), many=True)]
PaperArg = Annotated[Paper, ParameterKind("a paper of the front matter", (Paper,))]
SideArg = Annotated[VocabularyWord,
                    ParameterKind("one of left, right, top, bottom", (VocabularyWord,), words=SIDES)]
ToolArg = Annotated[VocabularyWord,
                    ParameterKind(f"one of {', '.join(TOOLS)}", (VocabularyWord,), words=TOOLS)]
UpArg = Annotated[VocabularyWord,
                  ParameterKind("plain or printed", (VocabularyWord,), words=("plain", "printed"))]
Directions = Annotated[VocabularyWord | Group[VocabularyWord],
                       ParameterKind("mountain or valley", (VocabularyWord,),
                                             words=("mountain", "valley"), many=True)]
WayArg = Annotated[VocabularyWord,
                   ParameterKind("the word crosswise", (VocabularyWord,), words=("crosswise",))]
KeepArg = Annotated[VocabularyWord, ParameterKind("the word flat", (VocabularyWord,), words=("flat",))]
LimitArg = Annotated[VocabularyWord,
                     ParameterKind("the word clearance", (VocabularyWord,), words=("clearance",))]
OrderArg = Annotated[VocabularyWord,
                     ParameterKind("opposite or in_turn", (VocabularyWord,), words=("opposite", "in_turn"))]
TurnArg = Annotated[VocabularyWord, ParameterKind("quarter, half or quarter_back", (VocabularyWord,),
                                          words=("quarter", "half", "quarter_back"))]
Places = Annotated[PlaceValue | Group[PlaceValue],
                   ParameterKind("a distance, a mark or an edge, or a group of them", _LINES, powers=(1,),
                                words=LINE_WORDS, many=True)]
Lines = Annotated[PlaceValue | PlaceSpan | Bay | Group[PlaceValue | PlaceSpan | Bay],
                  ParameterKind("a place, a group of places, or a span of the other axis",
                               (*_LINES, PlaceSpan, Bay), powers=(1,), words=LINE_WORDS, many=True)]
PlaceArg = Annotated[PlaceValue,
                     ParameterKind("a distance, a mark or an edge", _LINES, powers=(1,), words=LINE_WORDS)]
Spans = Annotated[PlaceSpan | Bay | Group[PlaceSpan | Bay],
                  ParameterKind("a span such as bottom..foot_line, or a bay", (PlaceSpan, Bay), many=True)]
Extent = Annotated[PlaceSpan | Bay, ParameterKind("a span such as bottom..foot_line", (PlaceSpan, Bay))]
SpotArg = Annotated[UnboundPoint, ParameterKind("a point such as at(x, y)", (UnboundPoint,))]
ShapeArg = Annotated[Shape | Group[Shape],
                     ParameterKind("a line, an arc or another shape", (Shape,), many=True, deep=True)]
ShapesOrMarks = Annotated[Shape | Mark | PiecePlace | Group[Shape | Mark | PiecePlace],
                          ParameterKind("shapes, marks or places", (Shape, Mark, PiecePlace),
                                                many=True, deep=True)]
OutlineArg = Annotated[Outline, ParameterKind("a shape such as ngon(…) or rectangle(…)", (Outline,))]
Outlines = Annotated[Outline | Group[Outline],
                     ParameterKind("a shape such as ngon(…) or rectangle(…)", (Outline,), many=True)]
Marks = Annotated[Mark | Group[Mark], ParameterKind("marks", (Mark,), many=True)]
Holes = Annotated[Mark | Group[Mark], ParameterKind("punched holes or slits", (Mark,), many=True, whole=True)]
Edges = Annotated[Edge | Group[Edge], ParameterKind("edges of a net", (Edge,), many=True)]
Faces = Annotated[Face | Group[Face], ParameterKind("faces", (Face,), many=True)]
ScrapArg = Annotated[Scrap | VocabularyWord,
                     ParameterKind("a scrap that remove(…) gave, or offcut", (Scrap, VocabularyWord),
                                           words=("offcut",))]
FaceArg = Annotated[Face, ParameterKind("a face", (Face,))]
FaceOrPiece = Annotated[Face | Piece, ParameterKind("a face or a piece", (Face, Piece))]
Anything = Annotated[object | Group[object],
                     ParameterKind("anything", (object,), many=True, deep=True, whole=True)]
GroupArg = Annotated[object | Group[object],
                     ParameterKind("a group", (object,), many=True, deep=True, whole=True)]
Condition = Annotated[ComparisonResult | Group[ComparisonResult],
                      ParameterKind("a comparison such as crown >= apothem", (ComparisonResult,),
                                            many=True, deep=True, whole=True)]
TextArg = Annotated[str, ParameterKind("words between double quotes", (str,))]
Folds = Annotated[Fold | Group[Fold], ParameterKind("folds", (Fold,), many=True)]

KIND_NAMES: tuple[tuple[type, str], ...] = (
    (Angle, "an angle"), (VocabularyWord, "a word of the trade"), (ProseWords, "words"), (Size, "a size"),
    (str, "words between quotes"),
    (SolidSize, "a size"), (LargestContents, "what goes in"), (Piece, "a piece"), (Mark, "a mark"),
    (PiecePlace, "a place"), (ShiftedPlace, "a place"), (PlaceSpan, "a span"),
    (Bay, "a bay"), (UnboundPoint, "a point"), (Shape, "a shape"), (Outline, "a shape"),
    (Edge, "an edge of a net"),
    (Face, "a face"), (Fold, "a fold"), (Paper, "a paper"), (ComparisonResult, "a comparison"),
    (JointHandle, "a joint"),
    (PartResults, "what a part gives"), (Scrap, "a scrap"),
)


def kind_of(value: object) -> str:
    """What a value is, in words: "a length", "a group of 8"."""
    if isinstance(value, Quantity):
        return value.kind
    if isinstance(value, Group):
        return f"a group of {len(value)}"
    for cls, words in KIND_NAMES:
        if isinstance(value, cls):
            return _named_kind(value, words)
    return "nothing that can be used here"


def _named_kind(value: object, words: str) -> str:
    if isinstance(value, VocabularyWord):
        return f"the word '{value.value}'"
    return f"what the part '{value.part}' gives" if isinstance(value, PartResults) else words
