"""A picture as it stands in a page: without what pages do not need, its points rounded to 0.1 mm.

A page holds dozens of pictures. Patterns of hatched areas stand once on a page (:func:`pattern_defs`), path
data is relative and as short as SVG allows (SVG 2, 9.3), lines that look straight are one line.
"""
from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from html import escape

from markupsafe import Markup

DEFS_ID = "hatch-"                  # ids of the patterns of a page begin with it
STRAIGHT = 1.0                      # tenths of a mm by which a point may lie off a line and is left out
SLIVER = 8.0                        # square tenths of a mm; a face that is smaller cannot be seen
_FACE = re.compile(r'class="(?:printed|plain|inside)-')
_ROOT = re.compile(r"<svg[^>]*>")
_NAMED = re.compile(r"<title[^>]*>.*?</title><desc[^>]*>.*?</desc>", re.S)
_DEFS = re.compile(r"<defs>.*?</defs>")
_XMLNS = ' xmlns="http://www.w3.org/2000/svg"'      # pages need none
_DROPPED = re.compile(r' (?:aria-labelledby|fill-rule)="[^"]*"')
_GROUPS = re.compile(r"</g><g[^>]*>|(?<=<g) class=\"[^\"]*\"")
_PATTERN_USE = re.compile(r'(class="([a-z-]+)-hatched"[^>]*?fill="url\(#)[^)]*')
_USED = re.compile(rf"url\(#{DEFS_ID}([a-z-]+)\)")
_PATH = re.compile(r'<path (?!class="hatch-)([^>]*?)d="([^"]*)"')
_PLACE = re.compile(r' (?:x|y|transform|viewBox|width|height)="[^"]*"')
_DECIMAL = re.compile(r"-?\d+\.\d+")
_COMMAND = re.compile(r"([MLAZ])([^MLAZ]*)")

_Place = tuple[int, int]            # tenths of a mm


def light_svg(drawn: str, heard: str, alone: bool = False) -> Markup:
    """A drawing of the SVG back end for a page on which it is heard as ``heard``.

    It shares the page's patterns, unless it is to be a file ``alone``.
    """
    text = _DROPPED.sub("", _NAMED.sub("", drawn, count=1)).replace(" />", "/>")
    if not alone:
        text = text.replace(_XMLNS, "", 1)
        text = _PATTERN_USE.sub(rf"\1{DEFS_ID}\2", _DEFS.sub("", text, count=1))
    text = _GROUPS.sub("", text)
    text = _PLACE.sub(lambda found: _DECIMAL.sub(_rounded, found[0]), text)
    text = _PATH.sub(_light_path, text)
    return Markup(_ROOT.sub(lambda root: f'{root[0][:-1]} aria-label="{escape(heard)}">', text, count=1))


def pattern_defs(html: str) -> Markup:
    """The patterns that the pictures of a page use, in one that takes no room; "" where there are none."""
    from generator.drawing.backends.svg import PATTERNS  # where all is found made, nothing is drawn

    used = sorted(set(_USED.findall(html)))
    return Markup("").join((
        Markup('<svg class="drawing patterns" width="0" height="0" aria-hidden="true"><defs>'),
        *(Markup('<pattern id="{}{}" width="{:g}" height="{:g}" patternUnits="userSpaceOnUse">'
                 '<path class="hatch-{}" d="{}"/></pattern>').format(
            DEFS_ID, name, *[PATTERNS[name][0]] * 2, name, PATTERNS[name][1]) for name in used),
        Markup("</defs></svg>"))) if used else Markup("")


def _rounded(number: re.Match[str]) -> str:
    return f"{round(float(number[0]), 1) + 0.0:g}"      # adding 0 turns -0 into 0


def _light_path(found: re.Match[str]) -> str:
    area = _FACE.search(found[1]) is not None
    return f'<path {found[1]}d="{short_path(found[2], area)}"'


@lru_cache(1024)        # most paths are the same in every language
def short_path(data: str, area: bool = False) -> str:
    """Absolute path data of M, L, A and Z, in mm, as relative data to 0.1 mm; faces without slivers."""
    pen = _ShortPath()
    for closed, strokes in _runs(data):
        places = [stroke for stroke in strokes if isinstance(stroke, tuple)]
        if area and len(places) == len(strokes) and _twice_area(places) < 2 * SLIVER:
            continue
        pen.run(strokes, closed)
    return "".join(command + _joined(numbers) for command, numbers in pen.parts)


def _runs(data: str) -> Iterator[tuple[bool, list[_Place | list[float]]]]:
    """The stretches of a path: closed or not, its places and its arcs; one that goes on is one stretch."""
    run: list[_Place | list[float]] = []
    last, joint = (0, 0), 0
    for command, numbers in _COMMAND.findall(data):
        if command == "Z":
            if joint:       # what is closed is only what began there
                yield False, run[:joint + 1]
            yield True, run[joint:]
            run, joint = [], 0
            continue
        values = [float(each) for each in numbers.split()]
        place = round(values[-2] * 10), round(values[-1] * 10)
        if command == "M":
            if run and place == last:
                joint = len(run) - 1
                if not isinstance(run[-1], tuple):
                    yield False, run
                    run, joint = [place], 0
            else:
                if run:
                    yield False, run
                run, joint = [place], 0
        else:
            run.append(place if command == "L" else [*values[:5], *place])
        last = place
    if run:
        yield False, run


def _twice_area(places: Sequence[_Place]) -> float:
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(places, [*places[1:], places[0]], strict=True)))


class _ShortPath:
    """Writes one path; ``parts`` are its commands with their numbers."""

    def __init__(self) -> None:
        self.parts: list[tuple[str, list[str]]] = []
        self._at = (0, 0)

    def run(self, strokes: Sequence[_Place | list[float]], closed: bool) -> None:
        """A stretch from its first place on."""
        first = strokes[0]
        assert isinstance(first, tuple)
        self.parts.append(("m" if self.parts else "M", self._way(first)))
        stretch = [first]
        for stroke in strokes[1:]:
            if isinstance(stroke, tuple):
                stretch.append(stroke)
            else:
                self._lines(stretch)
                shape = [f"{round(each, 1):g}" for each in stroke[:5]]
                self.parts.append(("a", [*shape, *self._way((int(stroke[5]), int(stroke[6])))]))
                stretch = [self._at]
        self._lines(stretch)
        if closed:
            self.parts.append(("z", []))
            self._at = first

    def _lines(self, stretch: Sequence[_Place]) -> None:
        for place in list(straightened(stretch))[1:]:
            x, y = self._way(place)
            if "0" in (x, y):
                if x != y or len(stretch) == 2:     # a line of no length is a dot
                    self.parts.append(("h", [x]) if y == "0" else ("v", [y]))
            elif self.parts[-1][0] == "l":
                self.parts[-1][1].extend((x, y))
            else:
                self.parts.append(("l", [x, y]))

    def _way(self, place: _Place) -> list[str]:
        way = [_tenths(here - there) for here, there in zip(place, self._at, strict=True)]
        self._at = place
        return way


def straightened(places: Sequence[_Place]) -> Iterator[_Place]:
    """A polyline without places that lie on the line of their neighbours (Douglas and Peucker)."""
    keep, left = {0, len(places) - 1}, [(0, len(places) - 1)]
    while left:
        low, high = left.pop()
        (x, y), (u, v) = places[low], places[high]
        length = ((u - x) ** 2 + (v - y) ** 2) ** 0.5
        far, at = 0.0, 0
        for k in range(low + 1, high):
            dx, dy = places[k][0] - x, places[k][1] - y
            off = abs(dx * (v - y) - dy * (u - x)) / length if length else (dx * dx + dy * dy) ** 0.5
            if off > far:
                far, at = off, k
        if far > STRAIGHT:
            keep.add(at)
            left += [(low, at), (at, high)]
    return (places[k] for k in sorted(keep))


def _tenths(number: int) -> str:
    """A number of tenths as short as can be: "-.5"."""
    whole, rest = divmod(abs(number), 10)
    return ("-" if number < 0 else "") + (f"{whole or ''}.{rest}" if rest else str(whole))


def _joined(numbers: Iterable[str]) -> str:
    """Numbers with a space only where they would run together."""
    text = last = ""
    for number in numbers:
        touching = not text or number.startswith("-") or (number.startswith(".") and "." in last)
        text += number if touching else f" {number}"
        last = number
    return text
