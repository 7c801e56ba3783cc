"""How wide words are in a picture or on a page, and how a measure such as "1 3/4 in" is set in type."""
from __future__ import annotations

import re
from functools import lru_cache

from generator.dataclass import dataclass
from generator.drawing.typeface import (
    BOLD,
    FRACTION_GAP,
    FRACTION_SIZE,
    FRACTION_SLASH,
    NARROW_NO_BREAK,
    REGULAR,
)

LETTER_SIZE = 3.8              # mm; height of the letters' em in every picture
SMALL_LETTER_SIZE = 3.5             # mm; for what is said besides the measures
LEADING = 1.12          # from one line of a label to the next, in em
ASCENT, DESCENT = 0.80, 0.22    # what letters reach above and below their base line, in em

_JOINED = re.compile(r"(?<=\d)\u00a0(?=\d+/\d)")
_FRACTION = re.compile(r"(?:(?<=\d) )?(?<![\d/])(\d+)/(\d+)(?![\d/])")


@dataclass(frozen=True, slots=True)
class DualText:
    """The same in both systems, the inches above the millimetres; one line where they are equal."""

    inch: str
    mm: str

    @classmethod
    def plain(cls, text: str) -> DualText:
        """Words without a measure."""
        return cls(text, text)

    @property
    def is_plain(self) -> bool:
        """True for words that stand once."""
        return self.inch == self.mm

    @property
    def lines(self) -> tuple[tuple[str, str], ...]:
        """(system, words) from the top; one line with the system "" for plain words."""
        return (("", self.mm),) if self.is_plain else (("in", self.inch), ("mm", self.mm))


@dataclass(frozen=True, slots=True)
class TextRun:
    """A stretch of a line: ``kind`` is "text", "top", "slash" or "bottom" (of a fraction)."""

    kind: str
    text: str
    gap: bool = False       # a whole number stands close before it

    @property
    def is_small(self) -> bool:
        """True for the figures of a fraction."""
        return self.kind in ("top", "bottom")


@lru_cache(maxsize=4096)
def text_runs(text: str) -> tuple[TextRun, ...]:
    """A line in stretches: every "3/4" becomes a fraction, drawn close to the whole number before it."""
    result, at = [], 0
    for found in _FRACTION.finditer(text):
        if found.start() > at:
            result.append(TextRun("text", text[at:found.start()]))
        gap = found.group().startswith(" ")
        result += [TextRun("top", found[1], gap), TextRun("slash", FRACTION_SLASH),
                   TextRun("bottom", found[2])]
        at = found.end()
    if at < len(text):
        result.append(TextRun("text", text[at:]))
    return tuple(result)


def with_fractions(text: str) -> str:
    """A line for pages: every "1 3/4" written so that the fonts of pages set it as a fraction."""
    return _FRACTION.sub(lambda found: (f"{NARROW_NO_BREAK if found.group().startswith(' ') else ''}"
                                        f"{found[1]}{FRACTION_SLASH}{found[2]}"),
                         _JOINED.sub(" ", text))


@lru_cache(maxsize=4096)
def text_width(text: str, size: float = LETTER_SIZE) -> float:
    """Width of one line in a picture, its fractions set small, in mm."""
    widths = (REGULAR.width(run.text) * (FRACTION_SIZE if run.is_small else 1.0) + FRACTION_GAP * run.gap
              for run in text_runs(text))
    return size * sum(widths)


def text_block_size(pair: DualText, size: float = LETTER_SIZE) -> tuple[float, float]:
    """Width and height in mm of a pair's lines, stacked."""
    lines = pair.lines
    height = (ASCENT + DESCENT + LEADING * (len(lines) - 1)) * size
    return max(text_width(text, size) for _, text in lines), height


def line_width(text: str, size: float, bold: bool = False) -> float:
    """The width of one line without raised fractions, in the unit of ``size``."""
    return (BOLD if bold else REGULAR).width(text) * size


@lru_cache(maxsize=4096)
def wrapped_lines(text: str, size: float, most: float, bold: bool = False) -> tuple[str, ...]:
    """A text in lines no wider than ``most``; a single word that is wider stands alone."""
    face, width = BOLD if bold else REGULAR, 0.0
    lines: list[list[str]] = []
    for word in text.split(" "):
        # widths of letters add up without rounding: all are parts of an em by a power of two
        longer = width + face.width(" ") + face.width(word)
        if lines and longer * size <= most:
            lines[-1].append(word)
            width = longer
        else:
            lines.append([word])
            width = face.width(word)
    return tuple(map(" ".join, lines))
