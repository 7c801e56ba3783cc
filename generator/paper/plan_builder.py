"""The work in progress on one edition: pieces, their states, and what was done, in order."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NoReturn, TypedDict, Unpack

from shapely.geometry.base import BaseGeometry

from generator.dataclass import dataclass, field, replace
from generator.findings import Finding, FindingError, Span, finding, finding_error
from generator.geometry import Region
from generator.paper.records import (
    Act,
    ActDetail,
    Closure,
    Face,
    Fold,
    Insertion,
    Mark,
    Orientation,
    OutlineStroke,
    Paper,
    PieceInfo,
    PieceState,
    Plan,
    Tie,
)
from generator.paper.values import Piece
from generator.units import Quantity, as_text, display_measure, distinct_texts

LARGEST_PIECE = 5000    # mm; a blank beyond it is a slip of the pen
MAX_PIECES = 60        # each has pictures and templates of its own; a box with all its parts has ten
MAX_MARKS = 1500       # in one edition
MAX_WORK = 40_000      # operations of some ten microseconds in one edition; a caddy needs one in a hundred


class StateChanges(TypedDict, total=False):
    """The fields of a :class:`PieceState` that an act may change."""

    outline: tuple[OutlineStroke, ...]
    width: Quantity
    height: Quantity
    holes: tuple[tuple[OutlineStroke, ...], ...]
    marks: tuple[Mark, ...]
    folds: tuple[Fold, ...]
    faces: tuple[Face, ...]
    orientation: Orientation
    origin: tuple[Quantity, Quantity]


@dataclass(frozen=True, slots=True)
class Area:
    """The region of a piece, its polygon, and the same grown by what a curve is forgiven."""

    region: Region
    polygon: BaseGeometry
    widened_polygon: BaseGeometry


@dataclass(slots=True)
class WorkAllowance:
    """How many small operations were done, by all calls that share it; at most :data:`MAX_WORK`."""

    used: int = 0

    @property
    def is_spent(self) -> bool:
        """Nothing more is worked out."""
        return self.used > MAX_WORK


@dataclass(slots=True)
class CallContext:
    """What every call is handed: the plan as far as it goes, and the place in the source that messages name.

    ``span``, ``step``, ``name`` and ``text`` are of the statement at work.
    """

    system: str
    span: Span = Span("")
    step: int = 1
    name: str | None = None
    text: str = ""
    # parameter ("shapes 0", …) → where its value stands
    places: Mapping[str, Span] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)
    pieces: Sequence[PieceInfo] = ()
    acts: Sequence[Act] = ()
    states: Mapping[int, Sequence[tuple[int, PieceState]]] = field(default_factory=dict)
    allowance: WorkAllowance = field(default_factory=WorkAllowance)

    def span_of_parameter(self, parameter: str | None = None) -> Span:
        """The place of a parameter's value in the source, else of the whole call."""
        return self.places.get(parameter, self.span) if parameter else self.span

    def report(self, code: str, message: str, hint: str = "", at: str | None = None) -> None:
        """Report a problem and go on."""
        self.findings.append(finding(code, self.span_of_parameter(at), message, hint))

    def refusal(self, code: str, message: str, hint: str = "", at: str | None = None) -> FindingError:
        """The exception that ends this call with one finding, to be raised."""
        return finding_error(code, self.span_of_parameter(at), message, hint)

    def refuse(self, code: str, message: str, hint: str = "", at: str | None = None) -> NoReturn:
        """Report a problem and end this call. Raises Trouble."""
        raise self.refusal(code, message, hint, at)

    def format_length(self, length: Quantity) -> str:
        """A measure in this edition's own words, for messages."""
        return as_text(display_measure(length, self.system))

    def format_lengths(self, *lengths: Quantity) -> tuple[str, ...]:
        """Lengths that are compared, in words that differ where they do."""
        return distinct_texts(lengths, self.system)

    def count_work(self, amount: int = 1) -> None:
        """Count small operations.

        Raises Trouble beyond :data:`MAX_WORK`, so that no source works for ever.
        """
        self.allowance.used += amount
        if self.allowance.is_spent:
            self.refuse("too-much", "this asks for more work than a box can need",
                        "use smaller counts or fewer statements")

    def info(self, piece: Piece | int) -> PieceInfo:
        """What never changes about a piece."""
        return self.pieces[piece if isinstance(piece, int) else piece.id]

    def state(self, piece: Piece | int) -> PieceState:
        """How a piece is now."""
        return self.states[piece if isinstance(piece, int) else piece.id][-1][1]


@dataclass(slots=True)
class PlanBuilder(CallContext):
    """The work in progress, which becomes a :class:`Plan`."""

    pieces: list[PieceInfo] = field(default_factory=list)
    acts: list[Act] = field(default_factory=list)
    states: dict[int, list[tuple[int, PieceState]]] = field(default_factory=dict)
    finish: dict[str, Quantity] = field(default_factory=dict)
    finish_at: dict[str, Span] = field(default_factory=dict)
    closures: list[Closure] = field(default_factory=list)
    insertions: list[Insertion] = field(default_factory=list)
    ties: list[Tie] = field(default_factory=list)
    marks_made: int = 0
    faces_made: int = 0
    # by id of an outline
    areas: dict[int, tuple[tuple[OutlineStroke, ...], Area]] = field(default_factory=dict)

    @property
    def act(self) -> int:
        """The number that the act at work will have."""
        return len(self.acts)

    def new_piece(self, kind: str, paper: Paper | None, up: str, state: PieceState,
                  out_of: str | None = None, boxes: int = 1) -> Piece:
        """Lay a new piece on the table; ``state.piece`` must be :attr:`next_piece`."""
        ident = len(self.pieces)
        if ident >= MAX_PIECES:
            self.refuse("too-much", f"this makes more than {MAX_PIECES} pieces", "make tutorials of them")
        name = self._own_name(self.name or f"{kind} {ident + 1}")
        self.pieces.append(PieceInfo(ident, name, paper, up, kind, self.span, self.act, self.step, out_of,
                                     boxes))
        self.states[ident] = []
        self.set_state(state)
        return Piece(ident)

    def _own_name(self, name: str) -> str:
        """A name that no other piece has; the pieces that one statement makes are counted."""
        taken = {info.name for info in self.pieces}
        return next(n for k in range(1, len(taken) + 2)
                    if (n := name if k == 1 else f"{name} {k}") not in taken)

    @property
    def next_piece(self) -> int:
        """The number that the next piece gets."""
        return len(self.pieces)

    def set_state(self, state: PieceState) -> None:
        """Note the state of a piece after the act at work."""
        history = self.states[state.piece]
        if history and history[-1][0] == self.act:
            history[-1] = (self.act, state)
        else:
            history.append((self.act, state))

    def change(self, piece: Piece | int, **fields: Unpack[StateChanges]) -> PieceState:
        """Replace some fields of a piece's state and note it."""
        state = replace(self.state(piece), **fields)
        self.set_state(state)
        return state

    def record(self, verb: str, *pieces: Piece | int, marks: tuple[int, ...] = (),
               faces: tuple[int, ...] = (),
               detail: ActDetail | None = None) -> Act:
        """End the act at work."""
        ids = tuple(p if isinstance(p, int) else p.id for p in pieces)
        act = Act(self.act, verb, self.step, self.span, self.name, ids, marks, faces, detail, self.text)
        self.acts.append(act)
        return act

    def mark_ids(self, count: int) -> range:
        """Fresh ids for marks. Raises Trouble when a plan grows beyond all sense."""
        first = self.marks_made
        self.marks_made += count
        if self.marks_made > MAX_MARKS:
            self.refuse("too-much", f"this makes more than {MAX_MARKS} marks", "use fewer, larger panels")
        return range(first, first + count)

    def face_id(self) -> int:
        """A new number for a face."""
        self.faces_made += 1
        return self.faces_made - 1

    def plan(self) -> Plan:
        """What was made, frozen."""
        return Plan(self.system, tuple(self.pieces), tuple(self.acts),
                    {piece: tuple(history) for piece, history in self.states.items()}, self.finish,
                    self.finish_at, tuple(self.closures), tuple(self.insertions), tuple(self.ties))
