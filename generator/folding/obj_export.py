"""The folded box as a mesh in the Wavefront OBJ format (mm), one object a piece and one group a panel."""
from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely import Polygon

from generator.folding.records import BentSurface, FoldedPiece, FoldedPlan, placed_points
from generator.geometry.arrays import FloatArray


def obj_text(folded: FoldedPlan) -> str:
    """Every placed panel of every piece (with holes: triangles), and each smooth bent surface."""
    lines = ["# lengths in millimetres"]
    count = 0
    for piece in folded.pieces:
        lines.append(f"o {piece.name}")
        for panel, rings in _panel_rings(piece):
            lines.append(f"g {piece.name}_{panel + 1}")
            for corners in rings:
                lines += _vertices(corners)
                lines.append("f " + " ".join(str(count + k + 1) for k in range(len(corners))))
                count += len(corners)
        if piece.surface is not None:
            lines += _surface_lines(piece.name, piece.surface, count)
            count += len(piece.surface.points)
    return "\n".join(lines) + "\n"


def _vertices(points: FloatArray) -> list[str]:
    return ["v " + " ".join(f"{x + 0.0:.6f}" for x in point) for point in np.round(points, 6) + 0.0]


def _surface_lines(name: str, surface: BentSurface, count: int) -> Iterator[str]:
    yield from _vertices(surface.points)
    for patch in np.unique(surface.patch):
        yield f"g {name}_bent_{patch + 1}"
        yield from ("f " + " ".join(str(count + v + 1) for v in triangle)
                    for triangle in surface.triangles[surface.patch == patch].tolist())


def _panel_rings(piece: FoldedPiece) -> Iterator[tuple[int, list[FloatArray]]]:
    for panel in piece.flat.panels:
        if not piece.placed[panel.id] or panel.soft or (piece.surface is not None
                                                        and panel.id in piece.surface.panel):
            continue
        parts = [panel.polygon]
        if panel.polygon.interiors:
            parts = [part for part in shapely.constrained_delaunay_triangles(panel.polygon).geoms
                     if isinstance(part, Polygon)]
        flat = [np.asarray(shapely.orient_polygons(p).exterior.coords)[:-1] for p in parts]
        yield panel.id, [placed_points(piece.frames[panel.id], xy) for xy in flat]
