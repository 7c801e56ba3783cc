"""What stands in the way of words: every line of a picture as straight pieces."""
from __future__ import annotations

from collections.abc import Iterator

from generator.drawing.boxes import XY
from generator.drawing.figures import symbol_figure
from generator.drawing.notes import Desk
from generator.drawing.pen import Dimension, Path
from generator.drawing.recording import Recording

FLAT = 0.25     # mm: how far the pieces may leave a curve


def lines_of(dimension: Dimension) -> Iterator[tuple[XY, XY]]:
    """A dimension line and its extension lines."""
    yield dimension.origin, dimension.stops[-1]
    for line in dimension.extensions:
        yield from zip(line, line[1:], strict=False)


def stand_in_the_way(recording: Recording, desk: Desk) -> None:
    """Put all lines drawn so far on the desk: quiet ones as soft, those of this step and all signs as hard."""
    for item in recording.of("stroke"):
        path, _, fresh = item.given
        (desk.hard if fresh else desk.soft).extend(pieces(path))
    for item in recording.of("hole"):
        desk.hard.extend(pieces((item.given[0],)))
    for item in recording.of("symbol"):
        for path in symbol_figure(item.given[0]).lines:
            desk.hard.extend(pieces(path))


def pieces(path: Path) -> Iterator[tuple[XY, XY]]:
    """A path as straight pieces."""
    for stroke in path:
        points = stroke.flattened(FLAT)
        yield from zip(points, points[1:], strict=False)
