"""What the lines and areas of a picture mean, in words, and a small sample of each."""
from __future__ import annotations

from generator.drawing.pen import Role, Sign, Surface
from generator.drawing.recording import Recording

LINES = {
    Role.CUT: "cut", Role.SCORE: "score", Role.MOUNTAIN: "mountain fold", Role.VALLEY: "valley fold",
    Role.TICK: "tick", Role.SEAM: "edges that meet: the same letter", Role.HIDDEN: "under the paper",
    Role.RIBBON: "ribbon", Role.LIMIT: "keep within this", Role.BREAK: "the paper goes on", Role.FRAME: "the part that is shown large",
}
AREAS = {
    Surface.PRINTED: "printed side", Surface.REMOVED: "cut away", Surface.GLUE: "glue",
    Surface.UNDER: "something is glued here", Surface.SPARE: "left over",
}
SIGNS = {
    Sign.FOLD_UP: "fold up, towards you", Sign.FOLD_BACK: "fold back, away from you", Sign.GOES: "goes there",
}
HOLE = "punched hole"


def legend(recording: Recording) -> tuple[tuple[str, str], ...]:
    """(class, words) of every meaning in use, lines first, in the order of the trade's work."""
    lines = {item.given[1] for item in recording.of("stroke")}
    areas = {item.given[1] for item in recording.of("area")}
    signs = {item.given[0].sign for item in recording.of("symbol")}
    found = [(str(role), words) for role, words in LINES.items() if role in lines]
    if any(recording.of("hole")):
        found.append(("hole", HOLE))
    found += [(str(surface), words) for surface, words in AREAS.items() if surface in areas]
    found += [(str(sign), words) for sign, words in SIGNS.items() if sign in signs]
    return tuple(found)
