"""One drawing for a cutting machine: all pieces side by side, each line once, sorted by process in working order.

Scores come first, while the paper is still one piece; then what is cut
within; the outlines last, since nothing holds a piece after that.
"""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.boxes import around
from generator.drawing.pen import Path
from generator.drawing.templates.processes import Worked
from generator.drawing.templates.scoring import Scoring
from generator.drawing.view import View
from generator.geometry import Stroke

GAP = 10.0      # mm between two pieces
# in working order
PROCESSES = ("score-mountain", "score-valley", "score", "tick", "punch", "cut", "outline")


@dataclass(frozen=True, slots=True)
class Sheaf:
    """``width`` × ``height`` mm, lower left corner at the origin; ``paths[process]`` are closed or open paths."""

    width: float
    height: float
    paths: dict[str, tuple[Path, ...]]

    @property
    def processes(self) -> tuple[str, ...]:
        """Those in use, in working order."""
        return tuple(name for name in PROCESSES if self.paths.get(name))


def side_by_side(pieces: Sequence[Worked], scoring: Scoring = Scoring()) -> Sheaf:
    """All pieces in a row, :data:`GAP` apart; ``scoring`` says how their scores are made."""
    paths: dict[str, list[Path]] = {name: [] for name in PROCESSES}
    x = height = 0.0
    for piece in pieces:
        box = around((b[k], b[k + 1]) for stroke in piece.outline for b in (stroke.bounds(),) for k in (0, 2))
        view = View(dx=x - box.x0, dy=-box.y0)
        for name, found in _sorted(piece, scoring):
            paths[name] += (view.path(path) for path in found)
        x, height = x + box.width + GAP, max(height, box.height)
    return Sheaf(x - GAP, height, {name: tuple(found) for name, found in paths.items()})


def _sorted(piece: Worked, scoring: Scoring) -> tuple[tuple[str, tuple[Path, ...]], ...]:
    edges = (*piece.outline, *(stroke for hole in piece.holes for stroke in hole), *piece.cuts)
    scores = tuple((name, _single(scoring.made(found, edges))) for name, found in (
        ("score-mountain", piece.mountains), ("score-valley", piece.valleys), ("score", piece.scores)))
    return (*scores, ("tick", _single(piece.ticks)), ("punch", _single(piece.punches)),
            ("cut", (*piece.holes, *_single(piece.cuts))), ("outline", (piece.outline,)))


def _single(strokes: Sequence[Stroke]) -> tuple[Path, ...]:
    return tuple((stroke,) for stroke in strokes)
