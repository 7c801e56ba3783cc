"""The one ornament: a rule of one foot, true to size, inches above and millimetres below."""
from __future__ import annotations

from markupsafe import Markup

from generator.units import INCH

RULER_INCHES = 12
MM_IN_INCH = float(INCH.mm)
RULER_MILLIMETRES = int(RULER_INCHES * MM_IN_INCH)                        # 304
HALF_HEIGHT = 7.5                                              # mm of height above and below the line
INCH_TICKS = ((16, 5.0), (8, 3.8), (4, 2.9), (2, 2.1), (1, 1.4))    # sixteenths → height of the tick in mm
METRIC_TICKS = ((10, 5.0), (5, 3.4), (1, 2.0))


def _tick_height(place: int, ticks: tuple[tuple[int, float], ...]) -> float:
    return next(height for every, height in ticks if place % every == 0)


def _ticks_path(places: int, step: float, ticks: tuple[tuple[int, float], ...], up: bool) -> str:
    sign = "-" if up else ""
    return "".join(f"M{place * step:.5g} {HALF_HEIGHT:g}v{sign}{_tick_height(place, ticks):g}"
                   for place in range(places + 1))


def _ruler_numbers(count: int, step: float, y: float) -> str:
    return "".join(f'<text x="{n * step + 0.7:.5g}" y="{y:g}">{n}</text>' for n in range(1, count + 1))


def ruler_svg() -> Markup:
    """The rule as SVG in mm; it says nothing a reader needs, so it is hidden from speech."""
    width = RULER_INCHES * MM_IN_INCH
    ticks = (_ticks_path(RULER_INCHES * 16, MM_IN_INCH / 16, INCH_TICKS, True)
             + _ticks_path(RULER_MILLIMETRES, 1, METRIC_TICKS, False))
    numbers = (_ruler_numbers(RULER_INCHES - 1, MM_IN_INCH, HALF_HEIGHT - 3.6)
               + _ruler_numbers(RULER_MILLIMETRES // 10, 10, HALF_HEIGHT + 5.2))
    return Markup(
        f'<svg class="rule" width="{width:g}mm" height="{2 * HALF_HEIGHT:g}mm" viewBox="0 0 {width:g} '
        f'{2 * HALF_HEIGHT:g}" '
        f'aria-hidden="true" focusable="false">'
        f'<path d="M0 {HALF_HEIGHT:g}h{width:g}{ticks}"/><g>{numbers}</g></svg>')
