"""Turn a shape of the source into strokes of the piece's own frame."""
from __future__ import annotations

from dataclasses import dataclass

from generator.geometry import Point, ShapeError, Stroke, Transform
from generator.paper.job import Job
from generator.paper.marking import Drawn
from generator.paper.places import bind, point, reader_axis, spot_point, spot_positions
from generator.paper.records import PieceState
from generator.paper.values import Shape, Spot
from generator.units import Quantity


@dataclass(frozen=True, slots=True)
class Binder:
    """What a shape is handed when it is drawn: how points and lines of the source lie in the own frame."""

    job: Job
    state: PieceState
    parameter: str | None = None    # where the shape stands in the source, for findings

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
        return point(*spot_point(self.job, self.state, spot))

    def line(self, place: object) -> tuple[str, object]:
        """Own axis and coordinate of a mirror line; ``middle`` is the upright one."""
        bound = bind(self.job, self.state, reader_axis(self.state, place), place)
        return bound.axis, bound.at.value


def draw(job: Job, state: PieceState, shape: Shape, parameter: str | None) -> tuple[Stroke, ...]:
    """The strokes of a shape. Raises Trouble when it cannot be drawn."""
    try:
        return shape.draw(Binder(job, state, parameter))
    except ShapeError as error:
        job.refuse("shape-wrong", str(error), "change its points or its size", at=parameter)


def drawn_shape(job: Job, state: PieceState, shape: Shape, parameter: str | None) -> Drawn:
    """A shape ready to be made as a mark, with every distance that the reader sets for it."""
    strokes = draw(job, state, shape, parameter)
    positions = dict.fromkeys(p for spot in shape.spots for p in spot_positions(job, state, spot))
    return Drawn(strokes, None, tuple(positions), shape.sizes, parameter=parameter, length=_length(strokes, positions, shape))


def _length(strokes: tuple[Stroke, ...], positions: dict, shape: Shape) -> Quantity:
    names = frozenset().union(*(q.names for q in (*(p for p, _ in positions), *shape.sizes)))
    return Quantity(sum(stroke.length() for stroke in strokes), 1, names)
