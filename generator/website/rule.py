"""The one ornament: a rule of one foot, true to size, inches above and millimetres below."""
from __future__ import annotations

from markupsafe import Markup

INCHES = 12
INCH = 25.4                                             # mm
MILLIMETRES = int(INCHES * INCH)                        # 304
HALF = 7.5                                              # mm of height above and below the line
INCH_TICKS = ((16, 5.0), (8, 3.8), (4, 2.9), (2, 2.1), (1, 1.4))    # sixteenths → height of the tick in mm
METRIC_TICKS = ((10, 5.0), (5, 3.4), (1, 2.0))


def _height(place: int, ticks: tuple[tuple[int, float], ...]) -> float:
    return next(height for every, height in ticks if place % every == 0)


def _path(places: int, step: float, ticks: tuple[tuple[int, float], ...], up: bool) -> str:
    sign = "-" if up else ""
    return "".join(f"M{place * step:.5g} {HALF:g}v{sign}{_height(place, ticks):g}" for place in range(places + 1))


def _numbers(count: int, step: float, y: float) -> str:
    return "".join(f'<text x="{n * step + 0.7:.5g}" y="{y:g}">{n}</text>' for n in range(1, count + 1))


def rule() -> Markup:
    """The rule as SVG in mm; it says nothing a reader needs, so it is hidden from speech."""
    width = INCHES * INCH
    return Markup(
        f'<svg class="rule" width="{width:g}mm" height="{2 * HALF:g}mm" viewBox="0 0 {width:g} {2 * HALF:g}" '
        f'aria-hidden="true" focusable="false">'
        f'<path d="M0 {HALF:g}h{width:g}{_path(INCHES * 16, INCH / 16, INCH_TICKS, True)}'
        f'{_path(MILLIMETRES, 1, METRIC_TICKS, False)}"/>'
        f"<g>{_numbers(INCHES - 1, INCH, HALF - 3.6)}{_numbers(MILLIMETRES // 10, 10, HALF + 5.2)}</g></svg>")
