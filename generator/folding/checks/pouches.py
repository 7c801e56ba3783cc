"""A pouch with curved ends: its flaps close, and its curves let its faces bend."""
from __future__ import annotations

from collections.abc import Iterator

from generator.findings import Finding, finding
from generator.folding.case import Case
from generator.folding.records import Figures, Pouch

STEEPEST = 0.2071       # of the width of a face: an arc that bulges more leaves its chord at more than 45° (tan 22.5° / 2)


def pouch_findings(case: Case) -> Iterator[Finding]:
    """Where the ends of a pouch cannot close, or its faces cannot bend as its curves ask."""
    pouch = case.folded.pouch
    if pouch is None or pouch.closes:
        return
    if pouch.outward:
        yield finding("ends-open", pouch.curves, "these curves swing out of the faces, so that the ends of the pouch cannot be pushed in",
                      "let them swing the other way, into the faces")
    elif pouch.steep > 1:
        yield finding("curve-stretches", pouch.curves, "these curves are so steep at the sides of the faces that the faces would have to bend back",
                      "let them bulge at most a fifth of the width of a face")
    else:
        yield finding("ends-open", pouch.curves, f"the end flaps leave a gap of {case.say(pouch.gap)} between them",
                      f"make each reach {case.say(pouch.gap / 2)} farther in its middle")


def pouch_facts(case: Case) -> Iterator[str]:
    """How its ends close, how much goes in, and how far they may be pushed."""
    pouch = case.folded.pouch
    if pouch is None or not pouch.closes:
        return
    across, along, high = map(case.say, pouch.size)
    yield f"its faces bend to a pouch {across} wide, {along} long and {high} thick, its end flaps upright"
    if pouch.lip > 0:
        yield f"the flaps lie over each other by {case.say(2 * pouch.lip)} and may be pushed in by {case.say(pouch.pushed)} before they part"


def pouch_figures(pouch: Pouch) -> Figures | None:
    """The measures of a pouch that closes."""
    if not pouch.closes:
        return None
    extents = tuple(sorted(pouch.size))         # it has no floor, so it may lie on any side
    return Figures(pouch.size, pouch.volume, widths=extents, heights=extents, stands=False,
                   axes=((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)))
