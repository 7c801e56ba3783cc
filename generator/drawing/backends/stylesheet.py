"""The stylesheet of the drawings: every class the SVG back end uses, its colours by custom properties."""
from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from generator.drawing.lettering import LETTER_SIZE, SMALL_LETTER_SIZE
from generator.drawing.pen import Contour, FoldedFace, Role
from generator.drawing.style import (
    BLEED,
    CONTOURS,
    DIMENSION_LINE_WIDTH,
    FACE_SIDES,
    FACE_TONES,
    FILLS,
    HATCHES,
    LINES,
    PALETTE,
    RIBBON_LINE_WIDTH,
    SOLID_NARROW,
    SOLID_WIDE,
    face_name,
    variable,
)
from generator.drawing.typeface import BOLD, FAMILY, REGULAR, WEB_FONT_RANGES

WEB_FACES = (("", 400, REGULAR), ("-bold", 700, BOLD))     # ending of the file's name, weight, face
INSIDE_HATCH = "inside"       # the hatching of the plain side of folded paper
# the bundled font, then those that are as wide, letter by letter
FONT_FAMILY = f"{FAMILY},Arial,Helvetica,'Liberation Sans',sans-serif"


def _rule(selector: str, **properties: object) -> str:
    inside = ";".join(f"{name.replace('_', '-')}:{value}" for name, value in properties.items()
                      if value is not None)
    return f"{selector}{{{inside}}}"


def _line_rules() -> list[str]:
    rules = []
    for role, style in LINES.items():
        for fresh, when in ((False, ""), (True, ".now")):
            dash = " ".join(f"{part:g}" for part in style.dashes(fresh))
            rules.append(_rule(f".drawing .{role}{when}", stroke_width=f"{style.width(fresh):g}",
                               stroke_dasharray=dash or None,
                               stroke_linecap="round" if style.round_ends and not fresh else None,
                               stroke=variable("accent") if fresh else None))
    return rules


def _area_rules() -> list[str]:
    return [
        *(_rule(f".drawing .{surface}", fill=variable(colour), stroke="none") for surface,
          colour in FILLS.items()),
        _rule(",".join(f".drawing .{surface}-hatched" for surface in HATCHES), stroke="none"),
        *(_rule(f".drawing .hatch-{surface}", stroke=variable(colour), stroke_width=0.3,
                stroke_linecap="round")
          for surface, colour in HATCHES.items()),
    ]


def _solid_rules() -> list[str]:
    """Folded paper: every face in its tone, the plain side hatched, outlines wide and creases narrow."""
    names = [face_name(FoldedFace(side, tone)) for side in FACE_SIDES for tone in FACE_TONES]
    rules = [_rule(f".drawing .{name}", fill=variable(name), stroke=variable(name), stroke_width=BLEED)
             for name in names]
    rules.append(_rule(f".drawing .hatch-{INSIDE_HATCH}", stroke=variable("quiet"), stroke_width=0.1))
    rules.append(_rule(f".drawing .{INSIDE_HATCH}-hatched", stroke="none"))
    for contour, style in CONTOURS.items():
        width = RIBBON_LINE_WIDTH if contour is Contour.RIBBON else SOLID_WIDE if style.wide else SOLID_NARROW
        dash = " ".join(f"{part * width:g}" for part in style.dash)
        rules.append(_rule(f".drawing .{contour}", stroke_width=f"{width:g}", stroke_linecap="round",
                           stroke_dasharray=dash or None,
                           stroke=variable("accent" if contour is Contour.RIBBON else "ink")))
    return rules


@cache
def web_fonts() -> Mapping[str, bytes]:
    """The files of the font that a site ships, by their names beside the stylesheet."""
    return {f"{FAMILY.lower()}-{name}{ending}.woff": face.web_font(name)
            for ending, _, face in WEB_FACES for name in WEB_FONT_RANGES}


def font_faces() -> str:
    """CSS for a site that ships :func:`web_fonts`; a browser loads the files whose letters a page shows.

    A file that is late is used on the next page, so that no line jumps.
    """
    return "\n".join(
        _rule("@font-face", font_family=FAMILY, font_weight=weight, font_display="optional",
              src=f"url({FAMILY.lower()}-{name}{ending}.woff) format('woff')",
              unicode_range=",".join(f"U+{first:X}-{last:X}" for first, last in ranges))
        for ending, weight, _ in WEB_FACES for name, ranges in WEB_FONT_RANGES.items())


@cache
def stylesheet() -> str:
    """CSS for every drawing of a page.

    The page may set ``--ink``, ``--quiet``, ``--accent`` … on any element above.
    """
    ink, quiet, accent = variable("ink"), variable("quiet"), variable("accent")
    return "\n".join([
        _rule(".drawing", font_family=f"var(--plain,{FONT_FAMILY})", font_size=f"{LETTER_SIZE:g}px",
              font_kerning="none", font_variant_ligatures="none", letter_spacing="normal",
              word_spacing="normal", fill_rule="evenodd",    # a hole in the paper shows what lies behind it
              fill=ink, text_anchor="middle"),
        # a hatched area names its pattern itself, since no style may stand in the page
        _rule(".drawing :where(path:not([fill]))", fill="none"),
        _rule(".drawing :where(path)", stroke=quiet, stroke_linejoin="round"),
        *_area_rules(),
        *_line_rules(),
        *_solid_rules(),
        _rule(".drawing .hole", fill=variable("ground"), stroke_width=0.3),
        _rule(".drawing .hole.now", stroke=accent, stroke_width=0.6),
        _rule(f".drawing .{Role.RIBBON}.now", stroke_linecap="round"),
        _rule(f".drawing .{Role.SCORE}.now", stroke_linecap="round"),
        _rule(f".drawing .{Role.FRAME}", stroke=accent, stroke_width=0.6),
        _rule(".drawing .measure,.drawing .leader", stroke=ink, stroke_width=DIMENSION_LINE_WIDTH),
        _rule(".drawing .head,.drawing .dot", fill=ink, stroke="none"),
        _rule(".drawing .ring", fill=variable("ground"), stroke=ink, stroke_width=DIMENSION_LINE_WIDTH),
        _rule(".drawing .sign", stroke=accent, stroke_width=0.5),
        _rule(".drawing .sign-head", fill=accent, stroke=accent, stroke_width=0.3),
        _rule(".drawing .sign-hollow", fill=variable("ground"), stroke=accent, stroke_width=0.5),
        _rule(".drawing .small", font_size=f"{SMALL_LETTER_SIZE:g}px"),
        _rule(".drawing .quiet", fill=quiet),
        _rule(".drawing .start", text_anchor="start"),
        _rule(".drawing .end", text_anchor="end"),
        _rule(".drawing.whole .line.now,.drawing.whole .line", stroke=ink),
    ])


@cache
def standalone_style() -> str:
    """The stylesheet for a file of its own: with our palette, on a ground of its own."""
    own = ".drawing{" + ";".join(f"--{name}:{colour}" for name, colour in PALETTE.items()) + "}"
    return f"{own}\n{stylesheet()}\n{_rule('.drawing', background=variable('ground'))}"
