"""The folded box as a mesh in the Wavefront OBJ format (mm), one object a piece and one group a panel."""
from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from generator.folding.records import Folded, FoldedPiece, placed_points


def obj_text(folded: Folded) -> str:
    """Every placed panel of every piece; panels with holes in them are cut into triangles."""
    lines = ["# lengths in millimetres"]
    count = 0
    for piece in folded.pieces:
        lines.append(f"o {piece.name}")
        for panel, rings in _rings(piece):
            lines.append(f"g {piece.name}_{panel + 1}")
            for corners in rings:
                lines += ["v " + " ".join(f"{x + 0.0:.6f}" for x in point) for point in np.round(corners, 6) + 0.0]
                lines.append("f " + " ".join(str(count + k + 1) for k in range(len(corners))))
                count += len(corners)
    return "\n".join(lines) + "\n"


def _rings(piece: FoldedPiece) -> Iterator[tuple[int, list[np.ndarray]]]:
    for panel in piece.flat.panels:
        if not piece.placed[panel.id] or panel.soft:
            continue
        parts = [panel.polygon]
        if panel.polygon.interiors:
            parts = list(shapely.constrained_delaunay_triangles(panel.polygon).geoms)
        flat = [np.asarray(shapely.orient_polygons(p).exterior.coords)[:-1] for p in parts]
        yield panel.id, [placed_points(piece.frames[panel.id], xy) for xy in flat]
