"""The one ornament: a rule of one foot, true to size, inches above and millimetres below."""
from __future__ import annotations

from markupsafe import Markup

from generator.units import INCH

RULER_INCHES = 12
MM_IN_INCH = float(INCH.mm)
RULER_MILLIMETRES = int(RULER_INCHES * MM_IN_INCH)                        # 304
HALF_HEIGHT = 7.5                                              # mm of height above and below the line
TICK_WIDTH = round(MM_IN_INCH / 96, 4)       # mm: a pixel of CSS, since less is missed between two pixels
# mm: of a figure of Arimo at the size of css/page.css
FIGURE_WIDTH = 0.556 * 2.6
INCH_TICKS = ((16, 5.0), (8, 3.8), (4, 2.9), (2, 2.1), (1, 1.4))    # sixteenths → height of the tick in mm
METRIC_TICKS = ((10, 5.0), (5, 3.4), (1, 2.0))


def _ticks(count: int, step: float, ticks: tuple[tuple[int, float], ...], up: bool) -> str:
    """Ticks of each height as one line, as wide as they are high, with a dash a tick."""
    side = -1 if up else 1
    return "".join(
        f'<path stroke-width="{height:g}" stroke-dasharray="{TICK_WIDTH:g} {every * step - TICK_WIDTH:.8g}" '
        f'd="M{-TICK_WIDTH / 2:g} {HALF_HEIGHT + side * height / 2:g}h'
        f'{count // every * every * step + TICK_WIDTH:.8g}"/>'
        for every, height in ticks)


def _figures(count: int, step: float, y: float) -> str:
    """The numbers from one on as one text, in which every figure has its place."""
    places = (f"{n * step + 0.7 + k * FIGURE_WIDTH:.5g}" for n in range(1, count + 1)
              for k in range(len(str(n))))
    return f'<text y="{y:g}" x="{" ".join(places)}">{"".join(map(str, range(1, count + 1)))}</text>'


def ruler_svg() -> Markup:
    """The rule as SVG in mm; it says nothing a reader needs, so it is hidden from speech."""
    width = RULER_INCHES * MM_IN_INCH
    return Markup(
        f'<svg class="rule" width="{width:g}mm" height="{2 * HALF_HEIGHT:g}mm" viewBox="0 0 {width:g} '
        f'{2 * HALF_HEIGHT:g}" aria-hidden="true" focusable="false"><path d="M0 {HALF_HEIGHT:g}h{width:g}"/>'
        f"{_ticks(RULER_INCHES * 16, MM_IN_INCH / 16, INCH_TICKS, True)}"
        f"{_ticks(RULER_MILLIMETRES, 1, METRIC_TICKS, False)}"
        f"{_figures(RULER_INCHES - 1, MM_IN_INCH, HALF_HEIGHT - 3.6)}"
        f"{_figures(RULER_MILLIMETRES // 10, 10, HALF_HEIGHT + 5.2)}</svg>")
