"""The kinds that the parameters of a part may be of, by the words that its front matter says."""
from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, get_args

from generator.paper import kinds
from generator.paper.kinds import Kind
from generator.paper.records import Face, Mark
from generator.paper.values import Bay, Edge, Made

_SINGLE = {
    "mark": Kind("a mark", (Mark,)), "face": Kind("a face", (Face,)), "bay": Kind("a bay", (Bay,)),
    "edge": Kind("an edge of a net", (Edge,)), "results": Kind("what a part gives", (Made,)),
}
_SHARED: Mapping[str, object] = {
    "piece": kinds.PieceArg, "paper": kinds.PaperArg, "length": kinds.Length, "lengths": kinds.Lengths,
    "number": kinds.Number, "angle": kinds.AngleArg, "place": kinds.PlaceArg, "places": kinds.Places,
    "span": kinds.Extent, "spans": kinds.Spans, "point": kinds.SpotArg, "shape": kinds.ShapeArg,
    "outline": kinds.OutlineArg, "marks": kinds.Marks, "faces": kinds.Faces, "edges": kinds.Edges,
    "holes": kinds.Holes, "folds": kinds.Folds, "side": kinds.SideArg, "up": kinds.UpArg, "tool": kinds.ToolArg,
    "direction": kinds.Directions, "order": kinds.OrderArg, "words": kinds.TextArg,
}


def _kind(annotation: Annotated) -> Kind:
    return next(extra for extra in get_args(annotation) if isinstance(extra, Kind))


PART_KINDS: Mapping[str, Kind] = {**{word: _kind(each) for word, each in _SHARED.items()}, **_SINGLE}
