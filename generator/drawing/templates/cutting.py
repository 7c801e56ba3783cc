"""How a machine makes the scores: to the edge or short of it, in one stroke or as a dashed cut.

One drawing for a cutting machine: pieces beside each other, each line once, sorted by process in working
order.

Scores come first, while the paper is still one piece; then what is cut
within; the outlines last, since nothing holds a piece after that.
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate
from typing import NamedTuple

from generator.dataclass import dataclass, replace
from generator.drawing.pen import Path, Pen
from generator.drawing.picture_geometry import Box, View, united_box
from generator.drawing.process_table import INNER_EDGES, OUTER_EDGE, WORKING_ORDER, Process
from generator.drawing.recording import Recording, RecordingPen
from generator.drawing.templates.processes import ProcessedPiece
from generator.geometry import Circle, Stroke, parameter_at
from generator.paper.records import Orientation

MIN_SCORE_LENGTH = 0.5     # mm; a score is never made shorter than this


@dataclass(frozen=True, slots=True)
class Scoring:
    """How scores are made: ``short`` mm before an edge they end, in cuts and gaps of ``dash`` mm, 0 for none.

    A score that runs into the edge tears there when a machine drags its tool
    off the paper (common practice, no source). A machine without a scoring
    tool can cut dashes instead.
    """

    short: float = 0.0
    dash: float = 0.0

    def scored(self, scores: Sequence[Stroke], edges: Sequence[Stroke]) -> tuple[Stroke, ...]:
        """The scores as the machine makes them; ``edges`` is what they must stay short of."""
        return tuple(part for score in scores for part in self._dashed(self._shortened(score, edges)))

    def _shortened(self, score: Stroke, edges: Sequence[Stroke]) -> Stroke:
        size = float(score.length())
        first, last = (self.short / size if self.short
                       and any(parameter_at(edge, score.at(end)) is not None for edge in edges)
                       else 0.0 for end in (0, 1))
        if (1 - first - last) * size < MIN_SCORE_LENGTH:
            return score
        return score.part(first, 1 - last) if first or last else score

    def _dashed(self, score: Stroke) -> Iterator[Stroke]:
        """Dashes and gaps of equal length, as near to ``dash`` as fits, with a dash at both ends."""
        size = float(score.length())
        if not self.dash or size < 3 * self.dash:
            yield score
            return
        count = round((size / self.dash - 1) / 2) + 1
        yield from dashes(score, count, 1.0)


def dashes(stroke: Stroke, count: int, gap: float) -> Iterator[Stroke]:
    """``count`` dashes of one length along a stroke, one at each end; ``gap`` is in lengths of a dash."""
    whole = count + (count - 1) * gap
    yield from (stroke.part(k * (1 + gap) / whole, (k * (1 + gap) + 1) / whole) for k in range(count))


PIECE_GAP = 3      # mm between two pieces: no knife swings wider at a corner (common practice, no source)


class CutPlace(NamedTuple):
    """Where the lower left corner of a piece lies, mm; ``turned`` by a quarter or not."""

    x: float
    y: float
    turned: bool = False


def cutting_lines(pieces: Sequence[ProcessedPiece], scoring: Scoring = Scoring(),
                  places: Sequence[CutPlace] = ()) -> Recording:
    """Pieces at their ``places``, without those in a row, :data:`PIECE_GAP` apart; one group a process.

    The lower left corner of all is the origin. The groups come in working order; ``scoring`` says how
    scores are made. Edges are whole paths, every other line is a path of its own.
    """
    boxes = [_outline_box(piece, View()) for piece in pieces]
    lefts = accumulate((box.width + PIECE_GAP for box in boxes), initial=0.0)
    given = places or [CutPlace(x, 0.0) for x, _ in zip(lefts, boxes, strict=False)]
    placed = [(piece, _view_at(piece, place)) for piece, place in zip(pieces, given, strict=True)]
    whole = united_box(_outline_box(piece, view) for piece, view in placed)
    pen = RecordingPen()
    for process in WORKING_ORDER:
        pen.begin(process.key)
        for piece, view in placed:
            at = replace(view, dx=view.dx - whole.x0, dy=view.dy - whole.y0)
            for path in _paths(piece, process, scoring):
                _draw(pen, process, at.path(path))
        pen.end()
    return pen.recording(whole.width, whole.height)


def _outline_box(piece: ProcessedPiece, view: View) -> Box:
    return united_box(Box(*map(float, stroke.bounds())) for stroke in view.path(piece.outline))


def _view_at(piece: ProcessedPiece, place: CutPlace) -> View:
    view = View(Orientation(int(place.turned)))
    box = _outline_box(piece, view)
    return replace(view, dx=place.x - box.x0, dy=place.y - box.y0)


def _paths(piece: ProcessedPiece, process: Process, scoring: Scoring) -> Iterator[Path]:
    yield from {INNER_EDGES: piece.holes, OUTER_EDGE: (piece.outline,)}.get(process.key, ())
    found = piece.of(process.key)
    scored = (scoring.scored(found, (*piece.edge, *piece.of(INNER_EDGES))) if process.creased
            else _cut_and_tied(found, process.dash))
    yield from ((stroke,) for stroke in scored)


def _draw(pen: Pen, process: Process, path: Path) -> None:
    if process.is_hole and isinstance(path[0], Circle):
        pen.hole(path[0], False)
    else:
        pen.stroke(path, process.line, False)


def _cut_and_tied(strokes: Sequence[Stroke], dash: tuple[float, float] | None) -> Iterator[Stroke]:
    """Lines that a machine cuts in dashes, mm of cut and of tie; even a short line has a tie."""
    for stroke in strokes:
        if dash is None:
            yield stroke
        else:
            cut, tie = dash
            count = round((float(stroke.length()) - cut) / (cut + tie)) + 1
            yield from dashes(stroke, max(2, count), tie / cut)
