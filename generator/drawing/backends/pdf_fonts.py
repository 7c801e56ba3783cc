"""The font in a PDF: an embedded subset, and the letters its glyphs stand for (ISO 32000-1, 9.7 and 9.10)."""
from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import groupby
from typing import TYPE_CHECKING

from generator.drawing.typeface import BOLD, Typeface

if TYPE_CHECKING:
    import pikepdf

REPLACEMENT = "\ufffd"  # what a letter that the font lacks is read as
MAX_MAPPINGS = 100      # of one block of a ToUnicode map (ISO 32000-1, 9.10.3)
SYMBOLIC = 4            # flag of a font whose glyphs no standard encoding names (ISO 32000-1, table 123)
STEM_WIDTHS = {False: 88, True: 148}        # of regular and bold, in thousandths of an em, as Helvetica's
HEIGHTS = (("hhea", "ascent"), ("hhea", "descent"), ("OS/2", "sCapHeight"))     # table and field of the font


@lru_cache(maxsize=16384)
def shown_text(face: Typeface, text: str) -> tuple[str, float, frozenset[int]]:
    """A line as a string of PDF (two bytes for each glyph), its width in em, and the glyphs it shows."""
    glyphs = face.glyphs_of(text)
    return f"<{''.join(f'{glyph:04X}' for glyph in glyphs)}>", face.width(text), frozenset(glyphs)


def fill_font(document: pikepdf.Pdf, font: pikepdf.Object, face: Typeface, glyphs: Iterable[int]) -> None:
    """Make ``font`` the composite font that shows ``glyphs`` of a typeface. Same glyphs, same bytes."""
    from pikepdf import Array, Name, Object

    used = tuple(sorted({0, *glyphs}))
    name, data = f"/{_tag(used)}+{face.name}", face.subset(frozenset(used))
    descriptor, descendant = (document.make_indirect(Object.parse(text))
                              for text in _entries(face, used, name))
    descriptor.FontFile2 = document.make_stream(data, Length1=len(data))
    descendant.FontDescriptor = descriptor
    font.Type, font.Subtype, font.Encoding = Name.Font, Name.Type0, Name("/Identity-H")
    font.BaseFont = Name(name)
    font.DescendantFonts = Array([descendant])
    font.ToUnicode = document.make_stream(_to_unicode(face, used))


@lru_cache(64)      # as many as there are subsets; what is parsed is made quicker than entry by entry
def _entries(face: Typeface, glyphs: tuple[int, ...], name: str) -> tuple[bytes, bytes]:
    """The font's descriptor, but for its file, and its one descendant, but for the descriptor."""
    box = " ".join(str(_thousandths(face.metric("head", side))) for side in ("xMin", "yMin", "xMax", "yMax"))
    ascent, descent, capitals = (_thousandths(face.metric(*each)) for each in HEIGHTS)
    return (f"<< /Type /FontDescriptor /FontName {name} /Flags {SYMBOLIC} /ItalicAngle 0 /FontBBox [{box}] "
            f"/Ascent {ascent} /Descent {descent} /CapHeight {capitals} "
            f"/StemV {STEM_WIDTHS[face is BOLD]} >>".encode(),
            f"<< /Type /Font /Subtype /CIDFontType2 /BaseFont {name} /CIDToGIDMap /Identity "
            "/CIDSystemInfo << /Registry (Adobe) /Ordering (Identity) /Supplement 0 >> "
            f"/DW {_thousandths(face.advances[0])} /W [{_widths(face, glyphs)}] >>".encode())


def _thousandths(em: float) -> int:
    return round(1000 * em)


def _tag(glyphs: Sequence[int]) -> str:
    """Six capitals that tell subsets of one font apart (ISO 32000-1, 9.6.4)."""
    digest = hashlib.sha256(repr([*glyphs]).encode()).digest()
    return "".join(chr(ord("A") + byte % 26) for byte in digest[:6])


def _widths(face: Typeface, glyphs: Sequence[int]) -> str:
    """The widths of glyphs in a row after the first of them, in 1/1000 em (ISO 32000-1, 9.7.4.3)."""
    rows: list[str] = []
    for _, row in groupby(enumerate(glyphs), key=lambda each: each[1] - each[0]):
        numbers = [glyph for _, glyph in row]
        widths = (str(_thousandths(face.advances[glyph])) for glyph in numbers)
        rows.append(f"{numbers[0]} [{' '.join(widths)}]")
    return " ".join(rows)


@lru_cache(64)      # as many as there are subsets
def _to_unicode(face: Typeface, glyphs: tuple[int, ...]) -> bytes:
    """Which letter each glyph stands for, for searching and copying (ISO 32000-1, 9.10.3)."""
    letters = [face.letters[glyph] if glyph else REPLACEMENT for glyph in glyphs]
    rows = [f"<{glyph:04X}> <{letter.encode('utf-16-be').hex().upper()}>"
            for glyph, letter in zip(glyphs, letters, strict=True)]
    blocks = [rows[at:at + MAX_MAPPINGS] for at in range(0, len(rows), MAX_MAPPINGS)]
    return "\n".join([
        "/CIDInit /ProcSet findresource begin", "12 dict begin", "begincmap",
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def",
        "/CMapName /Adobe-Identity-UCS def", "/CMapType 2 def",
        "1 begincodespacerange", "<0000> <FFFF>", "endcodespacerange",
        *(line for block in blocks for line in (f"{len(block)} beginbfchar", *block, "endbfchar")),
        "endcmap", "CMapName currentdict /CMap defineresource pop", "end", "end"]).encode()
