"""What must not happen in a picture: words on words, words on lines, words outside."""
from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from generator.drawing.picture_geometry import Box, boxes_crossed, flattened
from generator.drawing.recording import Recording
from generator.drawing.symbols import dimension_strokes, symbol_strokes

HAIR = 0.01     # mm; what only touches does not clash


def clashes(recording: Recording) -> list[str]:
    """Every clash of a picture in words; [] for a clean one."""
    return [*_outside(recording), *_on_each_other(recording), *_on_lines(recording)]


def said(item) -> str:
    """What a label or a badge says."""
    return item.arguments[0].words.mm if item.method == "label" else f"({item.arguments[0].number})"


def words(recording: Recording) -> list[tuple[str, Box]]:
    """Labels and badges with their boxes."""
    return [(said(item), item.box()) for item in recording.of("label", "badge")]


def _outside(recording: Recording) -> Iterator[str]:
    for item in recording.items:
        if not item.box().within(recording.frame.grown(HAIR)):
            yield f"{item.method} leaves the picture: {item.box()} {item.arguments}"


def _on_each_other(recording: Recording) -> Iterator[str]:
    boxes = words(recording)
    for index, (name, box) in enumerate(boxes):
        for other, its in boxes[index + 1:]:
            if box.grown(-HAIR).overlaps(its):
                yield f"'{name}' lies on '{other}'"


def _on_lines(recording: Recording) -> Iterator[str]:
    lines = list(_lines(recording))
    ends = np.array([line[1:] for line in lines], float).reshape(-1, 2, 2)
    for name, box in words(recording):
        crossed = boxes_crossed(np.array([box.grown(-HAIR)]), ends)[0]
        if crossed.any():
            yield f"'{name}' lies on a {lines[int(crossed.argmax())][0]}"


def _lines(recording: Recording) -> Iterator[tuple[str, tuple, tuple]]:
    """Dimension and extension lines, leaders, signs, and the lines that this step makes."""
    for item in recording.of("dimension"):
        for path in dimension_strokes(item.arguments[0]).lines:
            yield from (("dimension", a, b) for a, b in flattened(path))
    for item in recording.of("leader"):
        points = item.arguments[0].points
        yield from (("leader", a, b) for a, b in zip(points, points[1:], strict=False))
    for item in recording.of("symbol"):
        for path in symbol_strokes(item.arguments[0]).lines:
            yield from ((f"sign {item.arguments[0].sign}", a, b) for a, b in flattened(path))
    for item in recording.of("stroke"):
        if item.arguments[2] and item.process == "now":
            yield from ((f"fresh {item.arguments[1]}", a, b) for a, b in flattened(item.arguments[0]))
