"""The bundled font, Arimo: widths of letters, and subsets to embed.

Its licence is the SIL Open Font License 1.1 (``fonts/OFL.txt``). It is as wide
as Arial, Helvetica and Liberation Sans, letter by letter, so a picture whose
font does not arrive still has its words where they belong.
"""
from __future__ import annotations

import struct
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property, lru_cache
from io import BytesIO
from itertools import accumulate
from pathlib import Path
from typing import TYPE_CHECKING

from generator.dataclass import dataclass

if TYPE_CHECKING:
    from fontTools.ttLib import TTFont
    from fontTools.ttLib.tables._g_l_y_f import Glyph

FAMILY = "Arimo"
FRACTION_SLASH = "\u2044"
NARROW_NO_BREAK = "\u202f"      # stands between a whole number and its fraction
FRACTION_SIZE = 0.84             # figures of a fraction, as a share of the em
FRACTION_RAISE, FRACTION_DROP = 0.24, 0.08       # of its upper and of its lower figure, as shares of the em
FRACTION_GAP = 0.08              # between a whole number and its fraction, in em
SOFT_HYPHEN = "\u00ad"
# Kerning and ligatures are left out, so that the widths of letters add up.
LAYOUT_TABLES = ("GSUB", "GPOS", "GDEF", "STAT", "gasp", "prep")
WEB_FONT_RANGES = {     # first and last letter; a page loads only those files whose letters it shows
    "latin": ((0x20, 0xFF), (0x2010, 0x2044), (0x20AC, 0x20AC), (0x2190, 0x2193), (0x2212, 0x2265)),
    "latin-extended": ((0x100, 0x24F), (0x1E00, 0x1EFF)),
    "greek-cyrillic": ((0x370, 0x52F), (0x1F00, 0x1FFF)),
}


@dataclass(frozen=True, eq=False)
class Typeface:
    """One weight of the font, in the file at ``path``."""

    path: Path

    @property
    def name(self) -> str:
        """The PostScript name, "Arimo-Bold"."""
        return self.path.stem

    @cached_property
    def _font(self) -> TTFont:
        from fontTools.ttLib import TTFont
        return TTFont(self.path, lazy=True)

    @cached_property
    def glyphs(self) -> dict[str, int]:
        """Letter → number of its glyph; what has none is drawn as glyph 0, an empty box."""
        return {chr(code): self._font.getGlyphID(name) for code, name in self._font.getBestCmap().items()}

    @cached_property
    def letters(self) -> Mapping[int, str]:
        """Glyph → the first letter that it stands for: the plain space, not others."""
        return {glyph: character for character, glyph in reversed(self.glyphs.items())}

    @cached_property
    def advances(self) -> tuple[float, ...]:
        """The width of each glyph, in em."""
        return tuple(self.in_em(advance) for advance, _ in self._metrics)

    def in_em(self, units: int) -> float:
        """A length in the units of the font, in em."""
        return units / int(self._font["head"].unitsPerEm)

    def metric(self, table: str, field: str) -> float:
        """A length of one of the font's tables (OpenType specification), such as "hhea", "ascent", in em."""
        return self.in_em(getattr(self._font[table], field))

    def glyphs_of(self, text: str) -> list[int]:
        """The glyphs of a line."""
        return [self.glyphs.get(character, 0) for character in displayed(text)]

    @lru_cache(maxsize=16384)   # noqa: B019 - there are two typefaces, and they stay
    def width(self, text: str) -> float:
        """The width of a line, in em."""
        return sum(self.advances[glyph] for glyph in self.glyphs_of(text))

    @lru_cache(maxsize=64)      # noqa: B019 - as above
    def subset(self, glyphs: frozenset[int]) -> bytes:
        """A TrueType file with these glyphs alone, under their own numbers: what a PDF embeds.

        Put together from the tables of the font (OpenType specification): reading every outline and writing
        it again, as the library does, takes twenty times as long.
        """
        reader = self._font.reader
        kept = self._with_components(glyphs)
        count = max(kept) + 1
        outlines = [self._outline(glyph) if glyph in kept else b"" for glyph in range(count)]
        short = sum(len(each) + len(each) % 2 for each in outlines) < 2 * 0x10000
        if short:       # places are counted in twos
            outlines = [each + b"\0" * (len(each) % 2) for each in outlines]
        places = list(accumulate(map(len, outlines), initial=0))
        metrics = [self._metrics[glyph] if glyph in kept else (0, 0) for glyph in range(count)]
        advances = count
        while advances > 1 and metrics[advances - 2][0] == metrics[-1][0]:      # the last holds for the rest
            advances -= 1
        tables = {
            "glyf": b"".join(outlines), "maxp": _with_numbers(reader["maxp"], {4: count}),
            "loca": struct.pack(f">{count + 1}{'H' if short else 'L'}",
                                *(place // 2 if short else place for place in places)),
            "head": _with_numbers(reader["head"], {50: 0 if short else 1}),
            "hmtx": b"".join(struct.pack(">Hh", *each) for each in metrics[:advances])
            + b"".join(struct.pack(">h", side) for _, side in metrics[advances:]),
            "hhea": _with_numbers(reader["hhea"], {34: advances})}
        from fontTools.ttLib.sfnt import SFNTWriter
        out = BytesIO()
        writer = SFNTWriter(out, len(tables), reader.sfntVersion)
        for tag, data in tables.items():
            writer[tag] = data
        writer.close()
        return out.getvalue()

    @cached_property
    def _metrics(self) -> list[tuple[int, int]]:
        """The advance and the left side bearing of each glyph, in units of the font."""
        table = self._font["hmtx"].metrics
        return [table[name] for name in self._font.getGlyphOrder()]

    @cached_property
    def _tables(self) -> tuple[bytes, Sequence[int]]:
        """All outlines, and where each begins."""
        return self._font.reader["glyf"], self._font["loca"].locations

    def _outline(self, glyph: int) -> bytes:
        outlines, places = self._tables
        return outlines[places[glyph]:places[glyph + 1]]

    def _with_components(self, glyphs: Iterable[int]) -> set[int]:
        """The glyphs and what they are put together from (table "glyf", composite glyph description)."""
        found, left = {0}, [0, *glyphs]
        while left:
            glyph = left.pop()
            found.add(glyph)
            left += set(_components(self._outline(glyph))) - found
        return found

    def web_font(self, name: str) -> bytes:
        """A file for pages (WOFF 1.0) with the letters of a range of :data:`WEB_FONT_RANGES`."""
        from fontTools.subset import Options, Subsetter

        wanted = [glyph for character, glyph in self.glyphs.items()
                  if any(first <= ord(character) <= last for first, last in WEB_FONT_RANGES[name])]
        # no dates, for the same bytes each time; without new bounding boxes it is four times as fast
        from fontTools.ttLib import TTFont
        font = TTFont(self.path, lazy=True, recalcTimestamp=False, recalcBBoxes=False)
        font.setGlyphOrder(self._font.getGlyphOrder())
        options = Options(layout_features=[], notdef_outline=True, hinting=False)
        options.drop_tables += LAYOUT_TABLES
        subsetter = Subsetter(options)
        subsetter.populate(gids=sorted(wanted))
        subsetter.subset(font)
        if ord(FRACTION_SLASH) in font.getBestCmap():
            _set_fractions(font)
        font.flavor = "woff"
        out = BytesIO()
        font.save(out, reorderTables=None)
        return out.getvalue()


# Figures around a fraction slash become the upper and the lower of a fraction, wherever they stand: in the
# feature that browsers never turn off (OpenType feature registry, "ccmp").
_FRACTION_RULES = """
@figure = [{figures}]; @upper = [{upper}]; @lower = [{lower}];
lookup RAISED {{ sub @figure by @upper; }} RAISED;
lookup LOWERED {{ sub @figure by @lower; }} LOWERED;
lookup CLOSE {{ sub {space} by narrow.fraction; }} CLOSE;
feature ccmp {{
    sub @figure {space}' lookup CLOSE @figure {slash};
    sub @figure {space}' lookup CLOSE @figure @figure {slash};
    sub @figure' lookup RAISED {slash};
    sub @figure' lookup RAISED @figure {slash};
    sub [{slash} @lower] @figure' lookup LOWERED;
}} ccmp;
"""


def _set_fractions(font: TTFont) -> None:
    """Let a font set "1 3⁄4" as a fraction, as wide as ``text_width`` of ``lettering`` says."""
    from fontTools.feaLib.builder import addOpenTypeFeaturesFromString
    from fontTools.pens.ttGlyphPen import TTGlyphPen

    names, em = font.getBestCmap(), font["head"].unitsPerEm
    figures = [names[ord(figure)] for figure in "0123456789"]
    for kind, raised in (("upper", FRACTION_RAISE), ("lower", -FRACTION_DROP)):
        for name in figures:
            pen = TTGlyphPen(font["glyf"])
            pen.addComponent(name, (FRACTION_SIZE, 0, 0, FRACTION_SIZE, 0, round(raised * em)))
            _add_glyph(font, f"{name}.{kind}", pen.glyph(), font["hmtx"][name][0] * FRACTION_SIZE)
    _add_glyph(font, "narrow.fraction", TTGlyphPen(None).glyph(), FRACTION_GAP * em)
    addOpenTypeFeaturesFromString(font, _FRACTION_RULES.format(
        figures=" ".join(figures), upper=" ".join(f"{name}.upper" for name in figures),
        lower=" ".join(f"{name}.lower" for name in figures), slash=names[ord(FRACTION_SLASH)],
        space=names[ord(NARROW_NO_BREAK)]))


def _add_glyph(font: TTFont, name: str, glyph: Glyph, advance: float) -> None:
    table = font["glyf"]
    table[name] = glyph
    glyph.recalcBounds(table)
    font["hmtx"][name] = (round(advance), getattr(glyph, "xMin", 0))
    font.setGlyphOrder(table.glyphOrder)


def _with_numbers(table: bytes, numbers: Mapping[int, int]) -> bytes:
    """A table with other 16-bit numbers at some places."""
    changed = bytearray(table)
    for place, number in numbers.items():
        struct.pack_into(">H", changed, place, number)
    return bytes(changed)


def _components(outline: bytes) -> Iterator[int]:
    """The glyphs that a composite glyph is put together from; none for a simple one."""
    if not outline or struct.unpack_from(">h", outline)[0] >= 0:
        return
    at, more = 10, True
    while more:
        flags, glyph = struct.unpack_from(">HH", outline, at)
        yield glyph
        words, scale, both, whole = flags & 0x1, flags & 0x8, flags & 0x40, flags & 0x80
        at += 4 + (4 if words else 2) + (2 if scale else 4 if both else 8 if whole else 0)
        more = bool(flags & 0x20)


FOLDER = Path(__file__).parent / "fonts"
REGULAR, BOLD = Typeface(FOLDER / f"{FAMILY}-Regular.ttf"), Typeface(FOLDER / f"{FAMILY}-Bold.ttf")


@lru_cache(maxsize=8192)
def displayed(text: str) -> str:
    """A line as it is drawn: accents on their letters, every space a plain one, no soft hyphens."""
    composed = unicodedata.normalize("NFC", text)
    return "".join(" " if character.isspace() else character for character in composed
                   if character != SOFT_HYPHEN and (character.isprintable() or character.isspace()))


def missing_letters(text: str) -> tuple[str, ...]:
    """The letters of a text that the font lacks, each once."""
    return tuple(dict.fromkeys(character for character in displayed(text) if character not in REGULAR.glyphs))
