"""What a picture says of itself at its head: which side is up, how the piece was turned, and where we are."""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from generator.drawing.lettering import SMALL, Pair, block
from generator.drawing.pen import Label, Pen, Role, Sign, Symbol
from generator.drawing.steps.boxes import Box
from generator.drawing.steps.paper_view import PaperView, region, side_up
from generator.drawing.steps.scene import surface_of
from generator.drawing.steps.step_segments import StepSegment
from generator.drawing.steps.view import View
from generator.geometry import Line, Point
from generator.locale import ENGLISH, Locale, capital
from generator.paper.records import Orientation

INSET_WIDE, INSET_HIGH = 30.0, 18.0     # mm: the largest "you are here"
SIGN_WIDE = 9.0                         # mm: a turning sign before its words
LINE = 5.2                              # mm from one line of the caption to the next
EDGE = 1.2                              # mm kept free at the picture's edge


@dataclass(frozen=True, slots=True)
class Head:
    """The lines of a caption, a size at its right, and the inset's scale (0 without one); ``height`` in mm."""

    lines: tuple[tuple[Sign | None, str], ...]
    size: Pair | None
    inset: float
    height: float


def head_of(spell: StepSegment, sheet: PaperView, zoomed: bool, size: Pair | None = None, locale: Locale = ENGLISH) -> Head:
    """What stands at the head of a spell's picture; with ``size`` it is one of a finished blank."""
    lines = tuple(_lines(spell, size is not None, locale))
    inset = min(INSET_WIDE / sheet.box.width, INSET_HIGH / sheet.box.height) if zoomed else 0.0
    beside = block(size, SMALL)[1] if size else 0.0
    height = max(LINE * len(lines), beside, sheet.box.height * inset + EDGE) + EDGE
    return Head(lines, size, inset, height)


def _lines(spell: StepSegment, whole: bool, locale: Locale) -> Iterator[tuple[Sign | None, str]]:
    if not spell.piece.is_ribbon:
        yield None, capital(locale.say(f"drawing.side.{side_up(spell.piece, spell.after)}"))
    if whole:
        return
    if spell.turned is not None:
        sign = turn_sign(spell.turned, spell.orientation)
        yield sign, locale.say(f"drawing.caption.{sign}")
    if any(not g.target and len(g.faces) > 1 for g in spell.glues):
        yield None, locale.say("drawing.caption.order")


def turn_sign(before: Orientation, after: Orientation) -> Sign:
    """How the reader turned a piece from one lie to the other."""
    if before.over != after.over:
        return Sign.TURN_OVER
    clockwise = (after.quarters - before.quarters) * (-1 if after.over else 1) % 4
    return {1: Sign.QUARTER_RIGHT, 2: Sign.HALF_TURN, 3: Sign.QUARTER_LEFT}.get(clockwise, Sign.HALF_TURN)


def labels(head: Head, frame: Box) -> Iterator[Label | Symbol]:
    """The caption's lines from the top left."""
    for number, (sign, words) in enumerate(head.lines):
        y = frame.y1 - EDGE - LINE * (number + 0.5)
        left = frame.x0 + EDGE
        if sign is not None:
            yield _symbol(sign, left, y)
            left += SIGN_WIDE
        pair = Pair.plain(words)
        wide, _ = block(pair, SMALL)
        yield Label(pair, Point(left + wide / 2, y), SMALL, quiet=True, align="start")
    if head.size is not None:
        wide, high = block(head.size, SMALL)
        yield Label(head.size, Point(frame.x1 - EDGE - wide / 2, frame.y1 - EDGE - high / 2), SMALL, align="end")


def _symbol(sign: Sign, left: float, y: float) -> Symbol:
    start, end = Point(left + 0.8, y - 1.2), Point(left + SIGN_WIDE - 2.2, y - 1.2)
    if sign in (Sign.QUARTER_LEFT, Sign.TURN_OVER):
        start, end = end, start
    return Symbol(sign, start, end, 2.4 if start.x < end.x else -2.4)


def draw_inset(pen: Pen, head: Head, spell: StepSegment, sheet: PaperView, window: Box, frame: Box) -> Box:
    """The whole piece in small at the top right, with a frame round what the picture shows. Gives its box."""
    box, scale = sheet.box, head.inset
    at = Box(frame.x1 - EDGE - box.width * scale, frame.y1 - EDGE - box.height * scale,
             frame.x1 - EDGE, frame.y1 - EDGE)
    view = View(scale=scale, dx=at.x0 - box.x0 * scale, dy=at.y0 - box.y0 * scale)
    area = region(sheet.was, replace(view, orientation=spell.orientation))
    loops = (area.outline, *area.holes)
    pen.area(loops, surface_of(spell))
    for loop in loops:
        pen.stroke(loop, Role.EDGE, False)
    pen.stroke(_rectangle(view.box(window)), Role.FRAME, True)
    return at.grown(0.4)


def _rectangle(box: Box) -> tuple[Line, ...]:
    corners = (Point(box.x0, box.y0), Point(box.x1, box.y0), Point(box.x1, box.y1), Point(box.x0, box.y1))
    return tuple(Line(corners[k], corners[(k + 1) % 4]) for k in range(4))
