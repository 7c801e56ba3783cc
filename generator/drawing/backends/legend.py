"""A small sample of what a line, an area or a sign looks like, for the legend below a picture.

What the lines and areas of a picture mean, in words, and a small sample of each.
"""
from __future__ import annotations

from generator.drawing.backends.svg import PathData, svg_number
from generator.drawing.pen import Contour, FoldedFace, Role, Sign, Surface, Symbol
from generator.drawing.recording import Recording
from generator.drawing.style import FACE_SIDES, FILLS, HATCHES, face_name
from generator.drawing.symbols import symbol_strokes
from generator.geometry import Circle, Point
from generator.locale import ENGLISH, Locale

SAMPLE_WIDTH, SAMPLE_HEIGHT = 11.0, 4.6      # mm
LINE_PATH = "M0.6 2.3H10.4"
BOX_PATH = "M0.6 0.6H10.4V4H0.6Z"
HATCH_PATHS = {     # over a hatched box
    Surface.REMOVED: "M1.6 4L5 0.6M4.4 4L7.8 0.6M7.2 4L10.4 0.8",
    Surface.SPARE: "M0.8 0.8L4 4M4.6 0.6L8 4M8.4 0.6L10.2 2.4",
    Surface.UNDER: "M1.6 0.6L5 4M4.4 0.6L7.8 4M7.2 0.6L10.4 3.8",
    Surface.GLUE_BELOW: "M0.6 1.5H2.4M4 1.5H6M7.6 1.5H9.6M2.4 3.1H4.2M5.8 3.1H7.8",
    Surface.GLUE: "M2 1.6h0.01M4 3h0.01M6 1.6h0.01M8 3h0.01M9.6 1.6h0.01M2 3.2h0.01",
}


def legend_sample(name: str) -> str:
    """SVG text for a name that :func:`legend` gives, hidden from those who listen to the words beside it.

    Raises ValueError for a name that no legend has.
    """
    paths = "".join(f'<path class="{classes}" d="{data}"/>' for classes, data in _paths(name))
    return ('<svg xmlns="http://www.w3.org/2000/svg" class="drawing sample" aria-hidden="true" '
            'focusable="false" '
            f'width="{svg_number(SAMPLE_WIDTH)}mm" height="{svg_number(SAMPLE_HEIGHT)}mm" viewBox="0 0 '
            f'{svg_number(SAMPLE_WIDTH)} {svg_number(SAMPLE_HEIGHT)}">'
            f"{paths}</svg>")


def _paths(name: str) -> list[tuple[str, str]]:
    if name == "hole":
        return [("line hole now",
                 PathData(SAMPLE_HEIGHT).circle(Circle(Point(SAMPLE_WIDTH / 2, SAMPLE_HEIGHT / 2), 1.5)))]
    if name in set(Role):
        return [(f"line {name} now", LINE_PATH)]
    if name in set(Surface):
        return _area(Surface(name))
    return _sign(Sign(name))


def _area(surface: Surface) -> list[tuple[str, str]]:
    paths = [(str(surface), BOX_PATH)] if surface in FILLS else [("plain", BOX_PATH)]
    if surface in HATCHES:
        paths.append((f"hatch-{surface}", HATCH_PATHS[surface]))
    return [*paths, ("line edge", BOX_PATH)]


def _sign(sign: Sign) -> list[tuple[str, str]]:
    data = PathData(SAMPLE_HEIGHT)
    shape = symbol_strokes(Symbol(sign, Point(9.0, 1.4), Point(2.0, 1.4), -2.2))
    return [*(("sign", data.path(path)) for path in shape.lines),
            *(("sign-head", data.polygon(head)) for head in shape.solid),
            *(("sign-hollow", data.polygon(head)) for head in shape.hollow)]


# every line and area but the paper itself
LEGEND_LINES = tuple(role for role in Role if role is not Role.EDGE)
LEGEND_AREAS = tuple(surface for surface in Surface if surface is not Surface.PLAIN)
LEGEND_SIGNS = (Sign.FOLD_UP, Sign.FOLD_BACK, Sign.GOES)


LEGEND_CONTOURS = (Contour.MARK, Contour.RIBBON)


def _folded_paper_entries(recording: Recording) -> list[str]:
    """The sides of the paper where both are seen, and the lines that are neither outline nor crease."""
    sides = {item.arguments[1].side for item in recording.of("face")}
    lines = {item.arguments[1] for item in recording.of("contour")}
    shown = [face_name(FoldedFace(side, 2)) for side in FACE_SIDES] if len(sides) > 1 else []
    return shown + [contour for contour in LEGEND_CONTOURS if contour in lines]


def legend(recording: Recording, locale: Locale = ENGLISH) -> tuple[tuple[str, str], ...]:
    """(class, words) of every meaning in use, lines first, in the order of the trade's work."""
    lines = {item.arguments[1] for item in recording.of("stroke")}
    areas = {item.arguments[1] for item in recording.of("area")}
    signs = {item.arguments[0].sign for item in recording.of("symbol")}
    found: list[str] = [role for role in LEGEND_LINES if role in lines]
    if any(recording.of("hole")):
        found.append("hole")
    found += [surface for surface in LEGEND_AREAS if surface in areas]
    found += [sign for sign in LEGEND_SIGNS if sign in signs]
    found += _folded_paper_entries(recording)
    return tuple((str(each), locale.say(f"drawing.legend.{each}")) for each in found)
