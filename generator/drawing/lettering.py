"""How wide words are in a picture, and how a measure such as "1 3/4 in" is set in type.

The widths are an estimate from above: no common sans-serif (Arial, Helvetica,
Liberation Sans, DejaVu Sans, Verdana) is wider, letter by letter, at the
regular weight. So a box that is kept free is never too small for its words.
"""
from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

SIZE = 4.2              # mm; height of the letters' em in every picture
SMALL = 3.5             # mm; for what is said besides the measures
PART = 0.76             # figures of a fraction, as a share of the em
RAISE = 0.34            # how far the upper figure of a fraction is raised, as a share of the em
GAP = 0.08              # between a whole number and its fraction, in em
LEADING = 1.12          # from one line of a label to the next, in em
ASCENT, DESCENT = 0.80, 0.22    # what letters reach above and below their base line, in em

SLASH = "\u2044"
WIDEST = 1.05           # em; for a letter that the table does not have
_WIDTHS = {             # em
    0.2: "⁄", 0.3: "ijlI'", 0.36: " ,.·/:;|f-", 0.42: "()[]t!r", 0.56: "*J°szc?_–„“”«»", 0.62: "kvxyFTaeoLäöàáâéèêó",
    0.66: "0123456789bdghnpqu$üßñ", 0.72: "EKPSABVXYZÄÉ", 0.8: "CRUNHDGOQ&ÖÜ", 0.87: "+<=>~×≈−wM", 1.0: "%mW@½⌀",
}
WIDTH = {letter: width for width, letters in _WIDTHS.items() for letter in letters}

_FRACTION = re.compile(r"(?:(?<=\d) )?(?<![\d/])(\d+)/(\d+)(?![\d/])")


@dataclass(frozen=True, slots=True)
class Pair:
    """The same thing said in both systems, the inches above the millimetres; plain words where they are equal."""

    inch: str
    mm: str

    @classmethod
    def plain(cls, text: str) -> "Pair":
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
class Run:
    """A stretch of a line: ``kind`` is "text", "top", "slash" or "bottom" (of a fraction)."""

    kind: str
    text: str
    gap: bool = False       # a whole number stands close before it


@lru_cache(maxsize=4096)
def runs(text: str) -> tuple[Run, ...]:
    """A line in stretches: every "3/4" becomes a fraction, drawn close to the whole number before it."""
    made, at = [], 0
    for found in _FRACTION.finditer(text):
        if found.start() > at:
            made.append(Run("text", text[at:found.start()]))
        gap = found.group().startswith(" ")
        made += [Run("top", found[1], gap), Run("slash", SLASH), Run("bottom", found[2])]
        at = found.end()
    if at < len(text):
        made.append(Run("text", text[at:]))
    return tuple(made)


@lru_cache(maxsize=4096)
def width(text: str, size: float = SIZE) -> float:
    """Width of one line in mm, estimated from above."""
    total = 0.0
    for run in runs(text):
        letters = sum(WIDTH.get(letter, WIDEST) for letter in run.text)
        total += letters * (PART if run.kind in ("top", "bottom") else 1.0) + GAP * run.gap
    return total * size


def block(pair: Pair, size: float = SIZE) -> tuple[float, float]:
    """Width and height in mm of a pair's lines, stacked."""
    lines = pair.lines
    height = (ASCENT + DESCENT + LEADING * (len(lines) - 1)) * size
    return max(width(text, size) for _, text in lines), height
