"""Widths, dashes and colours of what is drawn.

Line types after ISO 128-2 (from memory): continuous wide for edges and cuts,
everything narrow at half that width; dash 12 d, gap 3 d, where d is the width
of the line. A perforation is wide as a cut is, and a dashed spaced line (12 d
and 18 d), at a quarter of that length. A score that is not folded yet is
dotted. Mountain dash-dot and valley dashed after Yoshizawa and Randlett. There
are two groups of widths: what was there before is drawn at half the width of
what the step makes, so that the difference does not hang on colour.
"""
from __future__ import annotations

from generator.dataclass import dataclass
from generator.drawing.pen import Contour, FoldedFace, Role, Surface

WIDE, NARROW = 0.9, 0.45        # mm: what this step makes
WIDE_OLD, NARROW_OLD = 0.5, 0.25    # mm: what was there
DIMENSION_LINE_WIDTH = 0.25                  # mm: dimension, extension and leader lines


@dataclass(frozen=True, slots=True)
class LineStyle:
    """``dash`` is in widths of the line, () for continuous; ``round_ends`` turns a dash of 0 into a dot."""

    wide: bool
    dash: tuple[float, ...] = ()
    round_ends: bool = False

    def width(self, fresh: bool) -> float:
        """In mm."""
        if fresh:
            return WIDE if self.wide else NARROW
        return WIDE_OLD if self.wide else NARROW_OLD

    def dashes(self, fresh: bool) -> tuple[float, ...]:
        """In mm, rounded to 0.001."""
        return tuple(round(part * self.width(fresh), 3) for part in self.dash)


LINES: dict[Role, LineStyle] = {
    Role.EDGE: LineStyle(wide=True),
    Role.CUT: LineStyle(wide=True),
    Role.PERFORATION: LineStyle(wide=True, dash=(3, 4.5)),
    Role.SCORE: LineStyle(wide=False, dash=(0, 2), round_ends=True),
    Role.MOUNTAIN: LineStyle(wide=False, dash=(12, 3, 1, 3)),
    Role.VALLEY: LineStyle(wide=False, dash=(12, 3)),
    Role.TICK: LineStyle(wide=False),
    Role.SEAM: LineStyle(wide=True, dash=(3, 1.5)),
    # shorter than a valley's, so that the two stay apart
    Role.HIDDEN: LineStyle(wide=False, dash=(5, 3)),
    Role.RIBBON: LineStyle(wide=True, round_ends=True),
    Role.LIMIT: LineStyle(wide=False, dash=(8, 2, 2, 2)),
    Role.BREAK: LineStyle(wide=False, dash=(24, 3, 1, 3, 1, 3)),
    Role.FRAME: LineStyle(wide=False),
}

CONTOURS: dict[Contour, LineStyle] = {      # of folded paper
    Contour.OUTLINE: LineStyle(wide=True, round_ends=True),
    Contour.CREASE: LineStyle(wide=False, round_ends=True),
    Contour.MARK: LineStyle(wide=False, dash=(0, 4), round_ends=True),
    Contour.RIBBON: LineStyle(wide=True, round_ends=True),
}
SOLID_WIDE, SOLID_NARROW, RIBBON_LINE_WIDTH = 0.56, 0.28, 1.3    # mm: outlines and creases in space, ribbons
FACE_SIDES, FACE_TONES = (Surface.PLAIN, Surface.PRINTED), (1, 2, 3, 4)
BLEED = 0.12            # mm: the line round a face in its own colour, which closes the cracks between faces

# Our own: ink on warm paper and one accent. On every ground a line has to show at
# 3:1 at least (WCAG 2.2, 1.4.11) and words at 4.5:1 (1.4.3).
PALETTE: dict[str, str] = {
    "ink": "#231d17",
    "quiet": "#574d40",
    "accent": "#8a3410",
    "paper": "#fffdf8",
    "printed": "#d4c7aa",
    "glue": "#f3d6c2",
    "ground": "#e9e1d2",
    # faces of folded paper, from the lightest
    "plain-1": "#fffdf8", "plain-2": "#f8f2e7", "plain-3": "#efe7d8", "plain-4": "#e3d9c6",
    "printed-1": "#dccfae", "printed-2": "#cfbf9a", "printed-3": "#c0ae86", "printed-4": "#b3a079",
}
# the same in the dark scheme, of the table and of paper that nobody has coloured
DARK: dict[str, str] = {"ground": "#1e1a16", "paper": "#4d473e", "printed": "#3a342b"}
LINE_COLOURS = ("ink", "quiet", "accent")
GROUNDS = ("paper", "printed", "glue", "ground")


def face_name(face: FoldedFace) -> str:
    """The colour of a face, by its name in :data:`PALETTE`."""
    return f"{face.side}-{face.tone}"


FILLS: dict[Surface, str] = {Surface.PLAIN: "paper", Surface.PRINTED: "printed", Surface.GLUE: "glue"}
HATCHES: dict[Surface, str] = {Surface.REMOVED: "accent", Surface.GLUE: "accent",
                               Surface.GLUE_BELOW: "accent", Surface.UNDER: "quiet", Surface.SPARE: "quiet"}


def linear_light(colour: str) -> tuple[float, ...]:
    """Red, green and blue of "#rrggbb" in linear light, 0 to 1 (WCAG 2.2, relative luminance)."""
    parts = (int(colour[i:i + 2], 16) / 255 for i in (1, 3, 5))
    return tuple(c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)


def luminance(colour: str) -> float:
    """Relative luminance of "#rrggbb" (WCAG 2.2, definition of relative luminance)."""
    red, green, blue = linear_light(colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(a: str, b: str) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.2, definition of contrast ratio)."""
    light, dark = sorted((luminance(a), luminance(b)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def variable(name: str) -> str:
    """A colour as the page's stylesheet gives it, with our own where it gives none."""
    return f"var(--{name},{PALETTE[name]})"
