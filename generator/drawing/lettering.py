"""How wide words are in a picture, and how a measure such as "1 3/4 in" is set in type.

The widths are an estimate from above: no common sans-serif (Arial, Helvetica,
Liberation Sans, DejaVu Sans, Verdana) is wider, letter by letter, at the
regular weight. So a box that is kept free is never too small for its words.

Helvetica, one of the fonts that every reader of PDF has: which letters it can show, and how wide they are.

Widths in thousandths of an em, from Adobe's metrics of the standard fonts;
letters in the order of their widths, as WinAnsi encodes them (PDF 1.7, Annex D).
"""
from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

LETTER_SIZE = 4.2              # mm; height of the letters' em in every picture
SMALL_LETTER_SIZE = 3.5             # mm; for what is said besides the measures
FRACTION_SIZE = 0.76             # figures of a fraction, as a share of the em
FRACTION_RAISE = 0.34            # how far the upper figure of a fraction is raised, as a share of the em
FRACTION_GAP = 0.08              # between a whole number and its fraction, in em
LEADING = 1.12          # from one line of a label to the next, in em
ASCENT, DESCENT = 0.80, 0.22    # what letters reach above and below their base line, in em

SLASH = "\u2044"
DEFAULT_LETTER_WIDTH = 1.05           # em; for a letter that the table does not have
_WIDTHS = {             # em
    0.2: "⁄", 0.3: "ijlI'", 0.36: " ,.·/:;|f-", 0.42: "()[]t!r", 0.56: "*J°szc?_–„“”«»",
    0.62: "kvxyFTaeoLäöàáâéèêó",
    0.66: "0123456789bdghnpqu$üßñ", 0.72: "EKPSABVXYZÄÉ", 0.8: "CRUNHDGOQ&ÖÜ", 0.87: "+<=>~×≈−wM",
    1.0: "%mW@½⌀",
}
LETTER_WIDTHS = {letter: width for width, letters in _WIDTHS.items() for letter in letters}

_FRACTION = re.compile(r"(?:(?<=\d) )?(?<![\d/])(\d+)/(\d+)(?![\d/])")


@dataclass(frozen=True, slots=True)
class DualText:
    """The same thing said in both systems, the inches above the millimetres; plain words where they are equal."""

    inch: str
    mm: str

    @classmethod
    def plain(cls, text: str) -> "DualText":
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


@lru_cache(maxsize=4096)
def text_runs(text: str) -> tuple[TextRun, ...]:
    """A line in stretches: every "3/4" becomes a fraction, drawn close to the whole number before it."""
    made, at = [], 0
    for found in _FRACTION.finditer(text):
        if found.start() > at:
            made.append(TextRun("text", text[at:found.start()]))
        gap = found.group().startswith(" ")
        made += [TextRun("top", found[1], gap), TextRun("slash", SLASH), TextRun("bottom", found[2])]
        at = found.end()
    if at < len(text):
        made.append(TextRun("text", text[at:]))
    return tuple(made)


@lru_cache(maxsize=4096)
def text_width(text: str, size: float = LETTER_SIZE) -> float:
    """Width of one line in mm, estimated from above."""
    total = 0.0
    for run in text_runs(text):
        letters = sum(LETTER_WIDTHS.get(letter, DEFAULT_LETTER_WIDTH) for letter in run.text)
        total += letters * (FRACTION_SIZE if run.kind in ("top", "bottom") else 1.0) + FRACTION_GAP * run.gap
    return total * size


def text_block_size(pair: DualText, size: float = LETTER_SIZE) -> tuple[float, float]:
    """Width and height in mm of a pair's lines, stacked."""
    lines = pair.lines
    height = (ASCENT + DESCENT + LEADING * (len(lines) - 1)) * size
    return max(text_width(text, size) for _, text in lines), height


ENCODING = "cp1252"     # what PDF calls WinAnsiEncoding
_REGULAR_WIDTHS = {
    191: "'", 222: "ijl‚‘’", 260: "|¦", 278: " !,./:;I[\\]ft·ÌÍÎÏìíîï", 333: "()-`r„ˆ‹“”˜›¡¨¯²³´¸¹",
    334: "{}",
    350: "•", 355: '"', 365: "º", 370: "ª", 389: "*", 400: "°", 469: "^", 500: "Jcksvxyzšžçýÿ", 537: "¶",
    556: "#$0123456789?L_abdeghnopquƒ†‡–¢£¤¥§«µ»àáâãäåèéêëðñòóôõöøùúûüþ", 584: "+<=>~¬±×÷", 611: "FTZŽ¿ßø",
    667: "&ABEKPSVXYŠŸÀÁÂÃÄÅÈÉÊËÝÞ", 722: "CDHNRUwÇÐÑÙÚÛÜ", 737: "©®", 778: "GOQÒÓÔÕÖØ", 833: "Mm",
    834: "¼½¾",
    889: "%æ", 944: "Wœ", 1000: "…‰Œ—™Æ", 1015: "@",
}
_BOLD_WIDTHS = {
    238: "'", 278: " ,./I\\ijl‚‘’·ÌÍÎÏìíîï", 280: "|¦", 333: "!()-:;[]`ft‹›ˆ˜¡¨¯²³´¸¹", 350: "•", 365: "º",
    370: "ª",
    389: "*r{}", 400: "°", 474: '"', 500: "z„“”ž",
    556: "#$0123456789J_aceksvxyƒ†‡–š¢£¤¥§«¶»àáâãäåçèéêëýÿ", 584: "+<=>^~¬±×÷",
    611: "?FLTZbdghnopquŽµ¿ßðñòóôõöøùúûüþ",
    667: "EPSVXYŠŸÈÉÊËÝÞ", 722: "&ABCDHKNRUÀÁÂÃÄÅÇÐÑÙÚÛÜ", 737: "©®", 778: "GOQwÒÓÔÕÖØ", 833: "M", 834: "¼½¾",
    889: "%mæ", 944: "Wœ", 975: "@", 1000: "…‰Œ—™Æ",
}
HELVETICA_WIDTHS = {letter: width for width, letters in _REGULAR_WIDTHS.items() for letter in letters}
HELVETICA_BOLD_WIDTHS = {letter: width for width, letters in _BOLD_WIDTHS.items() for letter in letters}

# What stands for a letter that the font lacks. Nothing here changes what is said.
_SUBSTITUTES = {"\u2044": "/", "\u2212": "-", "\u2010": "-", "\u2011": "-", "\u2032": "'", "\u2033": '"',
                "\u00a0": " ",
            "\u202f": " ", "\u2009": " ", "\u2248": "about ", "\u2300": "dia. ", "\u2192": ">", "\u00ad": "",
            "\u0142": "l", "\u0141": "L", "\u0111": "d", "\u0131": "i", "\u0153": "œ", "\u20ac": "EUR"}
REPLACEMENT_LETTER = "?"


@dataclass(frozen=True, slots=True)
class EncodedText:
    """A text as the font shows it, and the letters that had to be left to something plainer."""

    text: str
    lacking: tuple[str, ...] = ()


@lru_cache(maxsize=4096)
def encoded_text(text: str) -> EncodedText:
    """``text`` in letters that the font has: accents it lacks are dropped, what is left over becomes "?"."""
    made, lacking = [], []
    for letter in text:
        if letter in HELVETICA_WIDTHS:
            made.append(letter)
            continue
        plain = _SUBSTITUTES.get(letter)
        if plain is None:
            plain = "".join(c for c in unicodedata.normalize("NFKD", letter) if c in HELVETICA_WIDTHS)
            if letter.isprintable() and not letter.isspace():
                lacking.append(letter)
            plain = plain or (" " if letter.isspace() else REPLACEMENT_LETTER if letter.isprintable() else "")
        made.append(plain)
    return EncodedText("".join(made), tuple(dict.fromkeys(lacking)))


def helvetica_width(text: str, size: float, bold: bool = False) -> float:
    """The width of one line, in the unit of ``size``."""
    return _width_in_thousandths(text, bold) * size / 1000


@lru_cache(maxsize=8192)
def _width_in_thousandths(text: str, bold: bool) -> int:
    widths = HELVETICA_BOLD_WIDTHS if bold else HELVETICA_WIDTHS
    return sum(widths[letter] for letter in encoded_text(text).text)


def wrapped_lines(text: str, size: float, most: float, bold: bool = False) -> tuple[str, ...]:
    """A text in lines no wider than ``most``; a single word that is wider stands alone."""
    lines: list[str] = []
    # of the last line; whole numbers, so that they add up
    wide, space = 0, _width_in_thousandths(" ", bold)
    for word in text.split(" "):
        own = _width_in_thousandths(word, bold)
        if lines and (wide + space + own) * size / 1000 <= most:
            lines[-1], wide = f"{lines[-1]} {word}", wide + space + own
        else:
            lines.append(word)
            wide = own
    return tuple(lines)
