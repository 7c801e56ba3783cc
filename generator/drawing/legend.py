"""What the lines and areas of a picture mean, in words, and a small sample of each."""
from __future__ import annotations

from generator.drawing.pen import Contour, Face, Role, Sign, Surface
from generator.drawing.recording import Recording
from generator.drawing.style import FACE_SIDES, face_name
from generator.tongue import ENGLISH, Tongue

LINES = (Role.CUT, Role.SCORE, Role.MOUNTAIN, Role.VALLEY, Role.TICK, Role.SEAM, Role.HIDDEN, Role.RIBBON, Role.LIMIT,
         Role.BREAK, Role.FRAME)
AREAS = (Surface.PRINTED, Surface.REMOVED, Surface.GLUE, Surface.UNDER, Surface.SPARE)
SIGNS = (Sign.FOLD_UP, Sign.FOLD_BACK, Sign.GOES)


CONTOURS = (Contour.MARK, Contour.RIBBON)


def _of_folded_paper(recording: Recording) -> list[str]:
    """The sides of the paper where both are seen, and the lines that are neither outline nor crease."""
    sides = {item.given[1].side for item in recording.of("face")}
    lines = {item.given[1] for item in recording.of("contour")}
    shown = [face_name(Face(side, 2)) for side in FACE_SIDES] if len(sides) > 1 else []
    return shown + [contour for contour in CONTOURS if contour in lines]


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
    found += _of_folded_paper(recording)
    return tuple((str(each), tongue.say(f"drawing.legend.{each}")) for each in found)
