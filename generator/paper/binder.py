"""Turn a shape of the source into strokes of the piece's own frame."""
from __future__ import annotations

from dataclasses import dataclass, field

from generator.geometry import Point, ShapeError, Stroke, Transform
from generator.paper.job import Job
from generator.paper.marking import Drawn
from generator.paper.places import Bound, bind, bind_spot, point, positions_of, reader_axis
from generator.paper.records import PieceState, Side
from generator.paper.values import Shape, Spot
from generator.units import Quantity


@dataclass(frozen=True, slots=True)
class Binder:
    """What a shape is handed when it is drawn: how points and lines of the source lie in the own frame."""

    job: Job
    state: PieceState
    parameter: str | None = None    # where the shape stands in the source, for findings
    bound: dict[int, tuple[Bound, Bound]] = field(default_factory=dict)     # by id of a spot, which the shape holds

    @property
    def mirrors(self) -> bool:
        """True on a piece turned over: what bulges left there bulges right in the own frame."""
        return self.state.lie.over

    @property
    def into_own(self) -> Transform:
        """The turn from the reader's directions into those of the own frame."""
        back = Transform.quarter(self.state.lie.quarters)
        return Transform.mirror_x().then(back) if self.mirrors else back

    @property
    def quartered(self) -> bool:
        """True where the reader's across is the own frame's up."""
        return self.state.lie.quarters % 2 == 1

    def spot(self, spot: Spot) -> Point:
        """The point of the own frame, in mm."""
        across, up = self._both(spot)
        return point(across.at, up.at) if across.axis == "x" else point(up.at, across.at)

    def positions(self, spot: Spot) -> tuple[tuple[Quantity, Side], ...]:
        """The distances a reader sets to find a point."""
        return positions_of(self.state, self._both(spot))

    def _both(self, spot: Spot) -> tuple[Bound, Bound]:
        if id(spot) not in self.bound:
            self.bound[id(spot)] = bind_spot(self.job, self.state, spot)
        return self.bound[id(spot)]

    def line(self, place: object) -> tuple[str, object]:
        """Own axis and coordinate of a mirror line; ``middle`` is the upright one."""
        bound = bind(self.job, self.state, reader_axis(self.state, place), place)
        return bound.axis, bound.at.value


def draw(job: Job, state: PieceState, shape: Shape, parameter: str | None) -> tuple[Stroke, ...]:
    """The strokes of a shape. Raises Trouble when it cannot be drawn."""
    return _drawn(Binder(job, state, parameter), shape)


def _drawn(binder: Binder, shape: Shape) -> tuple[Stroke, ...]:
    try:
        return shape.draw(binder)
    except ShapeError as error:
        binder.job.refuse("shape-wrong", str(error), "change its points or its size", at=binder.parameter)


def drawn_shape(job: Job, state: PieceState, shape: Shape, parameter: str | None) -> Drawn:
    """A shape ready to be made as a mark, with every distance that the reader sets for it."""
    binder = Binder(job, state, parameter)
    strokes = _drawn(binder, shape)
    positions = dict.fromkeys(p for spot in shape.spots for p in binder.positions(spot))
    return Drawn(strokes, None, tuple(positions), shape.sizes, parameter=parameter, length=_length(strokes, positions, shape))


def _length(strokes: tuple[Stroke, ...], positions: dict, shape: Shape) -> Quantity:
    names = frozenset().union(*(q.names for q in (*(p for p, _ in positions), *shape.sizes)))
    return Quantity(sum(stroke.length() for stroke in strokes), 1, names)
