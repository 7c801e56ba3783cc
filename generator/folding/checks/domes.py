"""A gathered top with curved folds: how far it closes, how high it stands, and whether its curves let it."""
from __future__ import annotations

import math
from collections.abc import Iterator

from generator.findings import Finding, finding
from generator.folding.case import Case
from generator.folding.records import Dome

ROOM = 0.1          # of the top's width: a gap that is smaller is a window, a larger one is no top (common practice, no source)


def dome_findings(case: Case) -> Iterator[Finding]:
    """Where a curved top stays open or would stretch the paper."""
    dome = case.folded.dome
    if dome is None or dome.closes:
        return
    crown, tucked = dome.crown, dome.tucked
    if not crown.closes(tucked) and crown.height > crown.apothem:
        yield finding("crown-window", dome.span, f"a crown {case.say(crown.height)} high has no room for its gussets: it closes when it is "
                      f"at least {case.say(crown.apothem)} and at most {case.say(crown.circumradius)}",
                      "change the height of the crown or the width of the panels")
        return
    gap = f"the top closes with a gap of {case.say(dome.opening)} at the centre"
    if crown.height < crown.apothem and dome.held:
        yield finding("dome-gap", dome.span, f"{gap}: the crown is {case.say(crown.apothem - crown.height)} too low",
                      f"make the crown at least {case.say(crown.apothem)} high")
    elif dome.held and dome.opening <= ROOM * 2 * crown.apothem:
        yield finding("dome-gap", dome.curves, f"{gap}: closing it further on these curves would stretch the paper", _hint(case, dome))
    else:
        far = f"; it stays open by {case.say(dome.opening)} at the centre" if dome.held else ""
        yield finding("curve-stretches", dome.curves, f"gathered on these curves the paper would have to stretch{far}", _hint(case, dome))


def _hint(case: Case, dome: Dome) -> str:
    other = "let the curves swing to the other side of the straight line"
    if dome.most is None:
        return f"{other}, or change the height of the crown" if dome.bulge > 0 else "change the height of the crown"
    # a measure that is a limit is rounded towards what is safe
    most = f"let them bulge at most {case.say(math.floor(dome.most * 10) / 10)}"
    return f"{most}, or {other}" if dome.bulge > 0 else most


def dome_facts(case: Case) -> Iterator[str]:
    """How high the dome stands, and how it comes to."""
    dome = case.folded.dome
    if dome is None or not dome.held:
        return
    how = "closes" if dome.closes else f"closes with a gap of {case.say(dome.opening)} at the centre"
    yield f"its top gathers to a dome that {how} and stands {case.say(dome.height)} above the shoulder"
