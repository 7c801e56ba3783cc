"""What is known of a piece of paper and of the work done on it: frozen records.

A piece's own frame never moves: origin at the lower left corner of the blank as it first lay, x to the right,
y upward, in mm, seen from the side that was up at first. How it lies *now* is its :class:`Orientation`.
"""
from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from generator.dataclass import dataclass, field
from generator.findings import Span
from generator.geometry import Stroke
from generator.paper.work_kinds import ACT_KINDS, MARK_KINDS, ActKind, Effect, MarkKind
from generator.units import FrozenRecord, Quantity


class Side(StrEnum):
    """An edge of a piece as it lies before the reader."""

    LEFT = "left"
    RIGHT = "right"
    TOP = "top"
    BOTTOM = "bottom"


class FoldDirection(StrEnum):
    """How a score folds, told from the printed side: a mountain's ridge stands on that side."""

    MOUNTAIN = "mountain"
    VALLEY = "valley"


@dataclass(frozen=True, slots=True)
class Paper:
    """A kind of paper: ``weight`` in g/m², ``thickness`` a length, ``grain`` "along", "across" or "any".

    ``printed`` and ``plain`` are the colours of its sides, "#rrggbb" or "".
    """

    name: str
    weight: int | None = None
    thickness: Quantity | None = None
    grain: str = "any"
    one_way: bool = False
    two_sided: bool = False
    printed: str = ""
    plain: str = ""


@dataclass(frozen=True, slots=True)
class Orientation:
    """How a piece lies: ``quarters`` turns clockwise (0 to 3) since the start, then ``over`` if turned over.

    ``over`` turns the piece about its upright middle line, as one turns a page.
    """

    quarters: int = 0
    over: bool = False


@dataclass(frozen=True, slots=True)
class Mark:
    """One line, tick or hole worked on a piece.

    ``axis`` is "x" or "y" where the mark is one position along that axis of the piece's *own* frame, or None.
    ``place`` is that coordinate in the own frame; ``position`` is what the reader sets: the distance from the
    edge ``measured_from`` of the piece as it lay. ``whole`` is the line as made, ``runs`` what is left of it
    after later cuts. For a punched hole ``whole`` is one circle, ``position`` the distances (across, up) of
    its centre.
    """

    id: int
    verb: str                       # "score", "tick", "cut", "slit", "notch" or "punch"
    name: str | None                # as the source calls its group
    index: int                      # place in its group, from 1
    count: int                      # how many the group has
    piece: int
    axis: str | None
    place: Quantity | None
    position: Quantity | None
    measured_from: Side | None
    tool: str                       # "board", "trimmer", "rule", "template" or "punch"
    whole: tuple[Stroke, ...]
    runs: tuple[Stroke, ...]
    step: int                       # from 1
    act: int
    span: Span
    positions: tuple[tuple[Quantity, Side], ...] = ()   # every distance the reader must set for it
    sizes: tuple[Quantity, ...] = ()                    # what else the reader sets: a bulge, a radius, a hole
    length: Quantity | None = None                      # of the line as made; None for a hole
    box: tuple[float, float, float, float] | None = None    # left, bottom, right, top of ``whole``
    stays_flat: bool = False        # a score that is there to be seen or to give, never folded

    @property
    def kind(self) -> MarkKind:
        """What its verb does to paper and tools."""
        return MARK_KINDS[self.verb]

    @property
    def extent(self) -> tuple[Stroke, ...]:
        """Where it is on the finished paper: what is left of a line, the whole of a hole."""
        return self.whole if self.kind.is_hole else self.runs


@dataclass(frozen=True, slots=True)
class Fold:
    """A score folded along ``runs``, ``direction`` as told from the printed side, ``angle`` in degrees."""

    mark: int
    direction: FoldDirection
    runs: tuple[Stroke, ...]
    angle: float | None
    step: int
    act: int
    span: Span


@dataclass(frozen=True, slots=True)
class OutlineStroke:
    """One stroke of an outline, with the statement that made it (None for the edge of the sheet)."""

    stroke: Stroke
    act: int
    step: int
    span: Span


@dataclass(frozen=True, slots=True)
class Face:
    """A named area of a piece, bounded by ``outline`` (closed, counter-clockwise, own frame).

    For a panel attached to another one ``outline[0]`` is the edge it hangs on.
    ``lengths`` are those of its edges and ``size`` its width and height in the
    own frame, where they are known better than the outline tells: with the
    names they depend on.
    """

    id: int
    name: str | None
    index: int
    count: int
    piece: int
    outline: tuple[Stroke, ...]
    step: int
    act: int
    span: Span
    joined: frozenset[int] = frozenset()    # edges (from 0) that a score joins to another face
    lengths: tuple[Quantity, ...] = ()
    size: tuple[Quantity, Quantity] | None = None


@dataclass(frozen=True, slots=True)
class PieceState:
    """A piece after one act. ``outline`` runs counter-clockwise, each of ``holes`` clockwise."""

    piece: int
    outline: tuple[OutlineStroke, ...]
    width: Quantity                 # of the bounding rectangle, own frame
    height: Quantity
    holes: tuple[tuple[OutlineStroke, ...], ...] = ()
    marks: tuple[Mark, ...] = ()
    folds: tuple[Fold, ...] = ()
    faces: tuple[Face, ...] = ()
    orientation: Orientation = Orientation()
    # lower left corner of the bounding rectangle, if not 0, 0
    origin: tuple[Quantity, Quantity] | None = None


@dataclass(frozen=True, slots=True)
class PieceInfo:
    """What never changes about a piece; ``up`` is the side up at first, it serves so many ``boxes``."""

    id: int
    name: str
    paper: Paper | None
    up: str
    kind: str                       # "sheet", "panel", "liner", "ribbon" …
    span: Span
    act: int
    step: int
    out_of: str | None = None       # what it is cut from, where it is no blank of its own: a scrap, an offcut
    boxes: int = 1

    @property
    def is_ribbon(self) -> bool:
        """It is no paper."""
        return ACT_KINDS[self.kind].effect is Effect.RIBBON

    @property
    def is_cut_by_size(self) -> bool:
        """It is a rectangle whose width and height are set at the marks of a tool."""
        return ACT_KINDS[self.kind].by_size


@dataclass(frozen=True, slots=True)
class Glue:
    """``faces`` are stuck under (or on, ``over``) ``target``; without one on each other in ``order``."""

    faces: tuple[Face, ...]
    target: tuple[Face, ...] = ()
    over: bool = False
    order: tuple[int, ...] = ()     # places in ``faces``, from 1, first glued first

    @property
    def ordered_faces(self) -> tuple[Face, ...]:
        """The faces, the one that is glued first first."""
        return tuple(self.faces[k - 1] for k in self.order) or self.faces


@dataclass(frozen=True, slots=True)
class Seam:
    """Edges that meet when the box is closed: pairs of (face id, edge from 0)."""

    pairs: tuple[tuple[tuple[int, int], tuple[int, int]], ...]


@dataclass(frozen=True, slots=True)
class Thread:
    """``ribbon`` (a length or None) goes through the holes ``marks``, in this order."""

    marks: tuple[int, ...]
    ribbon: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Removal:
    """What is set, with ``tool``, for what is taken away: for all of it, and for each area by its outline."""

    tool: str
    positions: tuple[tuple[Quantity, Side], ...] = ()
    sizes: tuple[Quantity, ...] = ()
    outline: tuple[Stroke, ...] = ()
    areas: tuple[Removal, ...] = ()


@dataclass(frozen=True, slots=True)
class Decoration:
    """The faces that are stamped or embossed, or kept clear for it."""

    faces: tuple[Face, ...]


@dataclass(frozen=True, slots=True)
class Band:
    """A strip once round ``faces``, in their order, and ``lap`` more, along their ``axis``, "x" or "y"."""

    faces: tuple[Face, ...]
    lap: Quantity
    axis: str


ActDetail = tuple[Fold, ...] | Glue | Seam | Thread | Removal | Decoration | Band


@dataclass(frozen=True, slots=True)
class Closure:
    """What the design says closes: each of ``faces`` comes to lie over (or ``behind``) its target.

    ``target`` holds one face for each, or one for all.
    """

    faces: tuple[Face, ...]
    target: tuple[Face, ...]
    behind: bool
    step: int
    span: Span


@dataclass(frozen=True, slots=True)
class Insertion:
    """Pieces that stand upright in a box, by number, and those that ``crossing`` them go slot into slot."""

    pieces: tuple[int, ...]
    crossing: tuple[int, ...]
    into: int
    span: Span


@dataclass(frozen=True, slots=True)
class Tie:
    """A ribbon tied round pieces, by number, half-way up their sides, or ``crosswise`` over the top."""

    ribbon: int
    pieces: tuple[int, ...]
    crosswise: bool
    span: Span


@dataclass(frozen=True, slots=True)
class Act:
    """One statement that worked on paper. ``detail`` is a Fold tuple, Glue, Seam, Thread, Removal or None."""

    number: int
    verb: str
    step: int
    span: Span
    name: str | None
    pieces: tuple[int, ...]
    marks: tuple[int, ...] = ()
    faces: tuple[int, ...] = ()
    detail: ActDetail | None = None
    text: str = ""

    @property
    def kind(self) -> ActKind:
        """What its verb does."""
        return ACT_KINDS[self.verb]

    @property
    def effect(self) -> Effect:
        """What it does to the paper."""
        return ACT_KINDS[self.verb].effect


@dataclass(frozen=True, slots=True)
class Plan(FrozenRecord):
    """Everything the fences of one tutorial make, in one edition.

    ``states[piece]`` are the states after each act that changed the piece, as (act number, state), in order.
    """

    system: str                                             # "mm" or "in"
    pieces: tuple[PieceInfo, ...] = ()
    acts: tuple[Act, ...] = ()
    states: Mapping[int, tuple[tuple[int, PieceState], ...]] = field(default_factory=dict)
    finish: Mapping[str, Quantity] = field(default_factory=dict)
    finish_at: Mapping[str, Span] = field(default_factory=dict)     # where each side of it is stated
    closures: tuple[Closure, ...] = ()
    insertions: tuple[Insertion, ...] = ()
    ties: tuple[Tie, ...] = ()

    def acts_of(self, step: int) -> tuple[Act, ...]:
        """The acts of one step, in order."""
        return tuple(a for a in self.acts if a.step == step)

    def final_state(self, piece: int) -> PieceState:
        """A piece once all work is done."""
        return self.states[piece][-1][1]

    def state(self, piece: int, before_step: int | None = None,
              after_step: int | None = None) -> PieceState | None:
        """The last state of a piece before (or after) a step; at the end without either.

        None when it is not made yet.
        """
        steps = {a.number: a.step for a in self.acts}
        return next((state for act, state in reversed(self.states.get(piece, ()))
                     if (before_step is None or steps[act] < before_step)
                     and (after_step is None or steps[act] <= after_step)), None)
