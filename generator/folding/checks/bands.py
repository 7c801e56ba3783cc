"""A band goes once round the box: its faces follow each other all round, and its lap holds."""
from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from generator.findings import Finding, Severity, finding
from generator.folding.closings import face_polygon
from generator.folding.piece_context import PieceContext
from generator.folding.records import placed_points
from generator.geometry.arrays import FloatArray
from generator.geometry.tolerances import MIN_TAB_WIDTH
from generator.paper.records import Band

MAX_CORNER = 8.0        # mm from one face to the next: the gap of a lid, the thickness of a hinge


def band_findings(contexts: Sequence[PieceContext]) -> Iterator[Finding]:
    """One finding for each band that leaves out a face, and one for each whose lap is hardly there."""
    if not contexts:
        return
    for act in contexts[0].plan.acts:
        if not isinstance(act.detail, Band):
            continue
        lap = float(act.detail.lap.value)
        if lap < MIN_TAB_WIDTH:
            given, least = contexts[0].length_texts(lap, MIN_TAB_WIDTH)
            yield finding("tab-narrow", act.span, f"the lap of this band is {given} wide, and holds badly",
                          f"give it {least} or more", Severity.WARNING)
        if (far := _gap_in_ring(contexts, act.detail)) is not None:
            yield finding("band-short", act.span,
                          "these faces do not go all round: from one to the next are "
                          f"{contexts[0].length_text(far)}",
                          "name every face that the band lies on, in the order round the box")


def _gap_in_ring(contexts: Sequence[PieceContext], band: Band) -> float | None:
    """The widest gap between two faces that follow each other round the box, in mm; None without a gap."""
    places = {context.info.id: context for context in contexts}
    if len(band.faces) < 2 or any(face.piece not in places or not places[face.piece].closes()
                                  for face in band.faces):
        return None
    shapes = [_placed(places[face.piece], face_polygon(face), places[face.piece].locator.panel(face))
              for face in band.faces]
    gaps = [_distance(one, other) for one, other in zip(shapes, (*shapes[1:], shapes[0]), strict=True)]
    return max(gaps) if max(gaps) > MAX_CORNER else None


def _placed(context: PieceContext, shape: shapely.Geometry, panel: int) -> FloatArray:
    return placed_points(context.folded.frames[panel], shapely.get_coordinates(shape))


def _distance(one: FloatArray, other: FloatArray) -> float:
    """From the nearest edge of one face to the other, in mm: the least distance of middles of edges."""
    middles = [(shape + np.roll(shape, 1, axis=0)) / 2 for shape in (one, other)]
    return float(np.linalg.norm(middles[0][:, None] - middles[1][None], axis=2).min())
