"""What the lines and areas of a picture mean, in words, and a small sample of each."""
from __future__ import annotations

from generator.drawing.pen import Role, Sign, Surface
from generator.drawing.recording import Recording
from generator.tongue import ENGLISH, Tongue

LINES = (Role.CUT, Role.SCORE, Role.MOUNTAIN, Role.VALLEY, Role.TICK, Role.SEAM, Role.HIDDEN, Role.RIBBON, Role.LIMIT,
         Role.BREAK, Role.FRAME)
AREAS = (Surface.PRINTED, Surface.REMOVED, Surface.GLUE, Surface.UNDER, Surface.SPARE)
SIGNS = (Sign.FOLD_UP, Sign.FOLD_BACK, Sign.GOES)


def legend(recording: Recording, tongue: Tongue = ENGLISH) -> tuple[tuple[str, str], ...]:
    """(class, words) of every meaning in use, lines first, in the order of the trade's work."""
    lines = {item.given[1] for item in recording.of("stroke")}
    areas = {item.given[1] for item in recording.of("area")}
    signs = {item.given[0].sign for item in recording.of("symbol")}
    found = [role for role in LINES if role in lines]
    if any(recording.of("hole")):
        found.append("hole")
    found += [surface for surface in AREAS if surface in areas]
    found += [sign for sign in SIGNS if sign in signs]
    return tuple((str(each), tongue.say(f"drawing.legend.{each}")) for each in found)
