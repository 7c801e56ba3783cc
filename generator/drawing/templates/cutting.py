"""How a machine makes the scores: to the edge or short of it, in one stroke or as a dashed cut.

One drawing for a cutting machine: all pieces side by side, each line once, sorted by process in working
order.

Scores come first, while the paper is still one piece; then what is cut
within; the outlines last, since nothing holds a piece after that.
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from generator.drawing.pen import Path, Pen
from generator.drawing.picture_geometry import Box, View, united_box
from generator.drawing.process_table import INNER_EDGES, OUTER_EDGE, WORKING_ORDER, Process
from generator.drawing.recording import Recording, RecordingPen
from generator.drawing.templates.processes import ProcessedPiece
from generator.geometry import Circle, Stroke, parameter_at

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


PIECE_GAP = 10.0      # mm between two pieces


def cutting_lines(pieces: Sequence[ProcessedPiece], scoring: Scoring = Scoring()) -> Recording:
    """All pieces in a row, :data:`PIECE_GAP` apart, lower left corner at the origin; one group a process.

    The groups come in working order; ``scoring`` says how scores are made. Edges are whole paths, every
    other line is a path of its own.
    """
    placed: list[tuple[ProcessedPiece, View]] = []
    x = height = 0.0
    for piece in pieces:
        box = united_box(Box(*map(float, stroke.bounds())) for stroke in piece.outline)
        placed.append((piece, View(dx=x - box.x0, dy=-box.y0)))
        x, height = x + box.width + PIECE_GAP, max(height, box.height)
    pen = RecordingPen()
    for process in WORKING_ORDER:
        pen.begin(process.key)
        for piece, view in placed:
            for path in _paths(piece, process, scoring):
                _draw(pen, process, view.path(path))
        pen.end()
    return pen.recording(x - PIECE_GAP, height)


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
