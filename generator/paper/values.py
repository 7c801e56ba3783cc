"""What the calls of the language take and give, besides quantities and records."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Generic, NoReturn, Protocol, TypeVar

from generator.dataclass import dataclass
from generator.geometry import Point, Real, Stroke, Transform
from generator.paper.records import Mark
from generator.units import Quantity

Member = TypeVar("Member", covariant=True)


@dataclass(frozen=True, slots=True)
class VocabularyWord:
    """A word of the trade that the language knows: ``top``, ``mountain``, ``plain`` and the like."""

    value: str


@dataclass(frozen=True, slots=True)
class ProseWords:
    """Plain words for prose, as ``words(sides)`` gives them; ``number`` where they are those of a number."""

    value: str
    number: int | None = None


@dataclass(frozen=True, slots=True)
class Size:
    """Width by height, as ``size(piece)`` gives them to prose."""

    width: Quantity
    height: Quantity


@dataclass(frozen=True, slots=True)
class SolidSize:
    """The size of what stands upright: a box has three sides, a tin no ``deep``, a ball ``across`` alone."""

    across: Quantity
    deep: Quantity | None = None
    high: Quantity | None = None


@dataclass(frozen=True, slots=True)
class LargestContents:
    """The largest things that go into a box upright."""

    tin: SolidSize
    box: SolidSize
    ball: SolidSize


@dataclass(frozen=True, slots=True)
class Group(Generic[Member]):
    """Things of one kind in order, counted from 1. Groups zip with groups of equal size."""

    items: tuple[Member, ...]

    def __iter__(self) -> Iterator[Member]:
        return iter(self.items)

    def __len__(self) -> int:
        return len(self.items)


@dataclass(frozen=True, slots=True)
class Piece:
    """A handle on a piece; what it looks like is in the plan builder's state of it."""

    id: int


@dataclass(frozen=True, slots=True)
class PiecePlace:
    """A line parallel to an edge: ``axis`` and coordinate ``at`` in the own frame of ``piece``."""

    piece: int
    axis: str
    at: Quantity


@dataclass(frozen=True, slots=True)
class ShiftedPlace:
    """A place not yet bound to a piece: a side (or a place) and how far right or up of it."""

    base: VocabularyWord | PiecePlace | Mark
    by: Quantity


@dataclass(frozen=True, slots=True)
class ReflectedPlace:
    """A place on the other side of a line: ``base`` mirrored about ``about``."""

    base: PlaceValue
    about: PlaceValue


# where a line lies, before it is bound to a piece; a Quantity is a distance from an edge
PlaceValue = Quantity | Mark | PiecePlace | ShiftedPlace | ReflectedPlace | VocabularyWord


@dataclass(frozen=True, slots=True)
class PlaceSpan:
    """A span ``a..b`` between two parallel lines, edges or marks."""

    first: PlaceValue | Group[PlaceValue]
    last: PlaceValue | Group[PlaceValue]


@dataclass(frozen=True, slots=True)
class Bay:
    """The span between two neighbouring marks, own frame: ``low`` and ``high`` along ``axis``."""

    piece: int
    axis: str
    low: Quantity
    high: Quantity


@dataclass(frozen=True, slots=True)
class UnboundPoint:
    """A point, as two places of the piece as it lies: across and up. Bound when a verb uses it."""

    x: PlaceValue
    y: PlaceValue


@dataclass(frozen=True, slots=True)
class Edge:
    """One edge of a face of a net; ``index`` from 0, ``length`` in mm."""

    piece: int
    face: int
    index: int
    length: Quantity


class ShapeFrame(Protocol):
    """The frame in which a shape is drawn: how the points and lines of the source lie on one piece."""

    @property
    def mirrors(self) -> bool:
        """True on a piece turned over."""

    @property
    def axes_swapped(self) -> bool:
        """True where the reader's across is the own frame's up."""

    @property
    def to_piece_frame(self) -> Transform:
        """The turn from the reader's directions into those of the own frame."""

    def spot(self, spot: UnboundPoint) -> Point:
        """The point of the own frame, in mm."""

    def line(self, place: PlaceValue) -> tuple[str, Real]:
        """Own axis and coordinate, in mm, of a mirror line."""

    def refuse(self, code: str, message: str, hint: str) -> NoReturn:
        """End the call with a finding at the shape. Raises Trouble."""


@dataclass(frozen=True, slots=True)
class Shape:
    """A shape that is drawn when a verb binds it to a piece.

    ``draw(frame)`` gives its strokes in the own frame of the piece. ``closed`` shapes bound an area.
    ``names``
    is what the shape depends on besides its spots, ``spots`` its fixed points.
    """

    phrase: str
    spots: tuple[UnboundPoint, ...]
    draw: Callable[[ShapeFrame], tuple[Stroke, ...]]
    closed: bool = False
    sizes: tuple[Quantity, ...] = ()    # bulges, radii …: what else the reader sets for it


@dataclass(frozen=True, slots=True)
class Outline:
    """A free-standing closed shape for the net way: ``draw(edge)`` gives its strokes.

    Counter-clockwise from the lower left corner, first edge along +x; ``edge``
    is the length of the edge it is attached to, or None where there is none.
    """

    phrase: str
    draw: Callable[[Quantity | None], tuple[Stroke, ...]]
    sizes: tuple[Quantity, ...] = ()
    # of its edges, where they are named
    lengths: Callable[[Quantity | None], tuple[Quantity, ...]] | None = None


@dataclass(frozen=True, slots=True)
class JointHandle:
    """A handle on what was glued, seamed, threaded or gathered: the number of its act."""

    act: int


@dataclass(frozen=True, slots=True)
class Scrap:
    """What was cut away from ``piece``, from which something small may be cut.

    ``areas`` are closed loops in the own frame of the piece, in mm.
    """

    piece: int
    name: str
    areas: tuple[tuple[Stroke, ...], ...]


@dataclass(frozen=True, slots=True)
class ComparisonResult:
    """What a comparison gives: ``holds``, the two sides of the link that decides, and its sign."""

    holds: bool
    left: object = None
    sign: str = ""
    right: object = None


@dataclass(frozen=True, slots=True)
class PartResults:
    """What a part gives: its results by their names."""

    part: str
    results: tuple[tuple[str, object], ...]

    @property
    def names(self) -> tuple[str, ...]:
        """The names of the results, in order."""
        return tuple(name for name, _ in self.results)

    def __getitem__(self, name: str) -> object:
        return next(value for each, value in self.results if each == name)
