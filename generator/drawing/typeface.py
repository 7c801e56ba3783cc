"""The bundled font, Arimo: widths of letters, and subsets to embed.

Its licence is the SIL Open Font License 1.1 (``fonts/OFL.txt``). It is as wide
as Arial, Helvetica and Liberation Sans, letter by letter, so a picture whose
font does not arrive still has its words where they belong.
"""
from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from io import BytesIO
from pathlib import Path

from fontTools.ttLib import TTFont

FAMILY = "Arimo"
SOFT_HYPHEN = "\u00ad"
# Kerning and ligatures are left out, so that the widths of letters add up; a PDF needs no names either.
LAYOUT_TABLES = ("GSUB", "GPOS", "GDEF", "STAT", "gasp", "prep")
NAMING_TABLES = ("OS/2", "name", "post", "cmap")
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
        return TTFont(self.path, lazy=True)

    @cached_property
    def glyphs(self) -> Mapping[str, int]:
        """Letter → number of its glyph; what has none is drawn as glyph 0, an empty box."""
        return {chr(code): self._font.getGlyphID(name) for code, name in self._font.getBestCmap().items()}

    @cached_property
    def advances(self) -> tuple[float, ...]:
        """The width of each glyph, in em."""
        metrics = self._font["hmtx"].metrics
        return tuple(self.in_em(metrics[name][0]) for name in self._font.getGlyphOrder())

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
        """A TrueType file with these glyphs alone, under their own numbers: what a PDF embeds."""
        return self._subset(glyphs, retain_gids=True, drop_tables=(*LAYOUT_TABLES, *NAMING_TABLES))

    def web_font(self, name: str) -> bytes:
        """A file for pages (WOFF 1.0) with the letters of a range of :data:`WEB_FONT_RANGES`."""
        wanted = [glyph for character, glyph in self.glyphs.items()
                  if any(first <= ord(character) <= last for first, last in WEB_FONT_RANGES[name])]
        return self._subset(wanted, drop_tables=LAYOUT_TABLES, flavor="woff")

    def _subset(self, glyphs: Iterable[int], drop_tables: Iterable[str], retain_gids: bool = False,
                flavor: str | None = None) -> bytes:
        from fontTools.subset import Options, Subsetter

        # no dates, for the same bytes each time; without new bounding boxes it is four times as fast
        font = TTFont(self.path, lazy=True, recalcTimestamp=False, recalcBBoxes=False)
        font.setGlyphOrder(self._font.getGlyphOrder())
        options = Options(layout_features=[], notdef_outline=True, retain_gids=retain_gids,
                          hinting=flavor is None)
        options.drop_tables += drop_tables
        subsetter = Subsetter(options)
        subsetter.populate(gids=sorted(glyphs))
        subsetter.subset(font)
        font.flavor = flavor
        out = BytesIO()
        font.save(out, reorderTables=None)
        return out.getvalue()


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
