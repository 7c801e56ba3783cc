"""Ticks true to size: along the edges of a page, and the bars that are measured first."""
from __future__ import annotations

from generator.drawing.boxes import Box
from generator.drawing.templates.ink import BROAD, THIN, Ink

SHORT, MIDDLE, LONG = 1.4, 2.2, 3.4     # mm: every 10, every 50, every 100 mm
APART = 0.8                             # mm between the line of the ticks and the plan's window
LETTERS = 2.4                           # mm
BAR = 100.0                             # mm
INCHES = 4
INCH = 25.4                             # mm
TICK = 3.0                              # mm that a bar's ticks stand out


def edge_ticks(ink: Ink, window: Box) -> None:
    """A tick every 10 mm along the left and the lower side of a page, a long one with its number every 100 mm."""
    x, y = window.x0 - APART, window.y0 - APART
    for upright, length in ((False, window.width), (True, window.height)):
        steps = int(length // 10)
        if upright:
            ink.line(x, window.y0, x, window.y0 + 10 * steps)
        else:
            ink.line(window.x0, y, window.x0 + 10 * steps, y)
        for k in range(steps + 1):
            size = LONG if k % 10 == 0 else MIDDLE if k % 5 == 0 else SHORT
            at = (window.y0 if upright else window.x0) + 10 * k
            if upright:
                ink.line(x, at, x - size, at)
            else:
                ink.line(at, y, at, y - size)
            if k % 10 == 0 and k:
                _number(ink, f"{10 * k} mm", at, x if upright else y, upright)


def _number(ink: Ink, text: str, at: float, edge: float, upright: bool) -> None:
    off = edge - MIDDLE - 1.5
    if upright:
        ink.words(text, off, at - 1.2, LETTERS, "end", upright=True, quiet=True)
    else:
        ink.words(text, at - 1.2, off, LETTERS, "end", quiet=True)


def bar(ink: Ink, x: float, y: float, length: float, parts: int, words: str, upright: bool = False) -> None:
    """A bar from (x, y) to the right, or upward: a tick at each of its parts, broad ends, its length beside it.

    Ticks rise to the upper side of a level bar, to the left of an upright one.
    """
    for k in range(parts + 1):
        at, end = length * k / parts, k in (0, parts)
        size = 2 * TICK if end else TICK * (1.3 if 2 * k == parts else 0.8)
        line = (x - size, y + at, x, y + at) if upright else (x + at, y, x + at, y + size)
        ink.line(*line, role=BROAD if end else THIN)
    ink.line(x, y, *((x, y + length) if upright else (x + length, y)), role=BROAD)
    if upright:
        ink.words(words, x + 3.2, y + length / 2, 4.0, "middle", upright=True)
    else:
        ink.words(words, x + length / 2, y - 3.2, 4.0, "middle")
