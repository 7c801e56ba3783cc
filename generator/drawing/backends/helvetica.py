"""Helvetica, one of the fonts that every reader of PDF has: which letters it can show, and how wide they are.

Widths in thousandths of an em, from Adobe's metrics of the standard fonts;
letters in the order of their widths, as WinAnsi encodes them (PDF 1.7, Annex D).
"""
from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import lru_cache

ENCODING = "cp1252"     # what PDF calls WinAnsiEncoding
_PLAIN = {
    191: "'", 222: "ijl‚‘’", 260: "|¦", 278: " !,./:;I[\\]ft·ÌÍÎÏìíîï", 333: "()-`r„ˆ‹“”˜›¡¨¯²³´¸¹", 334: "{}",
    350: "•", 355: '"', 365: "º", 370: "ª", 389: "*", 400: "°", 469: "^", 500: "Jcksvxyzšžçýÿ", 537: "¶",
    556: "#$0123456789?L_abdeghnopquƒ†‡–¢£¤¥§«µ»àáâãäåèéêëðñòóôõöøùúûüþ", 584: "+<=>~¬±×÷", 611: "FTZŽ¿ßø",
    667: "&ABEKPSVXYŠŸÀÁÂÃÄÅÈÉÊËÝÞ", 722: "CDHNRUwÇÐÑÙÚÛÜ", 737: "©®", 778: "GOQÒÓÔÕÖØ", 833: "Mm", 834: "¼½¾",
    889: "%æ", 944: "Wœ", 1000: "…‰Œ—™Æ", 1015: "@",
}
_BOLD = {
    238: "'", 278: " ,./I\\ijl‚‘’·ÌÍÎÏìíîï", 280: "|¦", 333: "!()-:;[]`ft‹›ˆ˜¡¨¯²³´¸¹", 350: "•", 365: "º", 370: "ª",
    389: "*r{}", 400: "°", 474: '"', 500: "z„“”ž",
    556: "#$0123456789J_aceksvxyƒ†‡–š¢£¤¥§«¶»àáâãäåçèéêëýÿ", 584: "+<=>^~¬±×÷", 611: "?FLTZbdghnopquŽµ¿ßðñòóôõöøùúûüþ",
    667: "EPSVXYŠŸÈÉÊËÝÞ", 722: "&ABCDHKNRUÀÁÂÃÄÅÇÐÑÙÚÛÜ", 737: "©®", 778: "GOQwÒÓÔÕÖØ", 833: "M", 834: "¼½¾",
    889: "%mæ", 944: "Wœ", 975: "@", 1000: "…‰Œ—™Æ",
}
WIDTHS = {letter: width for width, letters in _PLAIN.items() for letter in letters}
BOLD_WIDTHS = {letter: width for width, letters in _BOLD.items() for letter in letters}

# What stands for a letter that the font lacks. Nothing here changes what is said.
_INSTEAD = {"\u2044": "/", "\u2212": "-", "\u2010": "-", "\u2011": "-", "\u2032": "'", "\u2033": '"', "\u00a0": " ",
            "\u202f": " ", "\u2009": " ", "\u2248": "about ", "\u2300": "dia. ", "\u2192": ">", "\u00ad": "",
            "\u0142": "l", "\u0141": "L", "\u0111": "d", "\u0131": "i", "\u0153": "œ", "\u20ac": "EUR"}
UNKNOWN = "?"


@dataclass(frozen=True, slots=True)
class EncodedText:
    """A text as the font shows it, and the letters that had to be left to something plainer."""

    text: str
    lacking: tuple[str, ...] = ()


@lru_cache(maxsize=4096)
def shown(text: str) -> EncodedText:
    """``text`` in letters that the font has: accents it lacks are dropped, what is left over becomes "?"."""
    made, lacking = [], []
    for letter in text:
        if letter in WIDTHS:
            made.append(letter)
            continue
        plain = _INSTEAD.get(letter)
        if plain is None:
            plain = "".join(c for c in unicodedata.normalize("NFKD", letter) if c in WIDTHS)
            if letter.isprintable() and not letter.isspace():
                lacking.append(letter)
            plain = plain or (" " if letter.isspace() else UNKNOWN if letter.isprintable() else "")
        made.append(plain)
    return EncodedText("".join(made), tuple(dict.fromkeys(lacking)))


def width(text: str, size: float, bold: bool = False) -> float:
    """The width of one line, in the unit of ``size``."""
    return _thousandths(text, bold) * size / 1000


@lru_cache(maxsize=8192)
def _thousandths(text: str, bold: bool) -> int:
    widths = BOLD_WIDTHS if bold else WIDTHS
    return sum(widths[letter] for letter in shown(text).text)


def wrapped(text: str, size: float, most: float, bold: bool = False) -> tuple[str, ...]:
    """A text in lines no wider than ``most``; a single word that is wider stands alone."""
    lines: list[str] = []
    wide, space = 0, _thousandths(" ", bold)      # of the last line; whole numbers, so that they add up
    for word in text.split(" "):
        own = _thousandths(word, bold)
        if lines and (wide + space + own) * size / 1000 <= most:
            lines[-1], wide = f"{lines[-1]} {word}", wide + space + own
        else:
            lines.append(word)
            wide = own
    return tuple(lines)
