"""Gathered tops and pouches close: in closed form where a top is straight, bent where folds are curved.

The window of crown heights; how far a dome closes, how high it stands, and whether its curves let it; whether
the flaps of a pouch close, and its curves let its faces bend.
"""
from __future__ import annotations

import math
from collections.abc import Iterator

import shapely

from generator.findings import Finding, Severity, finding
from generator.folding.bending.bays import is_curved
from generator.folding.features.tops import top_of
from generator.folding.piece_context import PieceContext
from generator.folding.records import Dome
from generator.geometry.plane import floats
from generator.geometry.tolerances import CLOSING_TOLERANCE, MAX_OVERHANG
from generator.paper.records import Thread
from generator.paper.work_kinds import Effect


def crown_findings(context: PieceContext) -> Iterator[Finding]:
    """Where a gathered top cannot close: the height it has, and the window it must lie in."""
    top = top_of(context)
    if top is not None:
        crown = top.crown
        if not top.closes:
            own, low, high = context.length_texts(crown.height, crown.apothem, crown.circumradius)
            window = f"at least {low} and at most {high}" if top.tucked else f"at least {low}"
            how = "leaves a hole" if crown.height < crown.apothem else "has no room for its gussets"
            yield finding("crown-window", context.act(top.act).span,
                          f"a crown {own} high {how}: it closes when it is {window}",
                          "change the height of the crown or the width of the panels")
        return
    gaps = [r for r in context.folded.residuals if r.kind == "gather" and r.gap > CLOSING_TOLERANCE]
    if gaps and context.closes():
        worst = max(gaps, key=lambda r: r.gap)
        yield finding("crown-window", worst.span,
                      f"the peaks of this top stay {context.length_text(worst.gap)} apart",
                      "make the crown a little higher, or look at its folds")


# of the top's width: a gap that is smaller is a window, a larger one is no top (common practice, no source)
MAX_GAP_SHARE = 0.1


def dome_findings(context: PieceContext) -> Iterator[Finding]:
    """Where a curved top stays open or would stretch the paper."""
    dome = context.folded.dome
    if dome is None or dome.closes:
        return
    crown, tucked = dome.crown, dome.tucked
    if not crown.closes(tucked) and crown.height > crown.apothem:
        own, low, high = context.length_texts(crown.height, crown.apothem, crown.circumradius)
        yield finding("crown-window", dome.span,
                      f"a crown {own} high has no room for its gussets: it closes when it is at least {low} "
                      f"and at most {high}",
                      "change the height of the crown or the width of the panels")
        return
    gap = f"the top closes with a gap of {context.length_text(dome.opening)} at the centre"
    if crown.height < crown.apothem and dome.held:
        yield finding("dome-gap", dome.span,
                      f"{gap}: the crown is {context.length_text(crown.apothem - crown.height)} too low",
                      f"make the crown at least {context.length_text(crown.apothem)} high")
    elif dome.held and dome.opening <= MAX_GAP_SHARE * 2 * crown.apothem:
        yield finding("dome-gap", dome.curves,
                      f"{gap}: closing it further on these curves would stretch the paper",
                      _dome_hint(context, dome))
    else:
        far = f"; it stays open by {context.length_text(dome.opening)} at the centre" if dome.held else ""
        yield finding("curve-stretches", dome.curves,
                      f"gathered on these curves the paper would have to stretch{far}",
                      _dome_hint(context, dome))


def _dome_hint(context: PieceContext, dome: Dome) -> str:
    other = "let the curves swing to the other side of the straight line"
    if dome.most is None:
        return (f"{other}, or change the height of the crown"
                if dome.bulge > 0 else "change the height of the crown")
    # a measure that is a limit is rounded towards what is safe
    most = f"let them bulge at most {context.length_text(math.floor(dome.most * 10) / 10)}"
    return f"{most}, or {other}" if dome.bulge > 0 else most


def ungathered_findings(context: PieceContext) -> Iterator[Finding]:
    """Where nothing gathers a threaded top, and a warning where its curves do not repeat round it."""
    folded, own = context.folded, context.info.id
    curved = {fold.mark for fold in context.state.folds if any(map(is_curved, fold.runs))}
    if not curved or folded.pouch is not None:
        return
    gathered = any(act.effect is Effect.GATHER and act.pieces[:1] == (own,) for act in context.plan.acts)
    soft = [panel.polygon for panel in folded.flat.panels if panel.soft]
    if gathered and folded.why_not_bent:
        yield finding("fold-unknown", next(mark.span for mark in context.state.marks if mark.id in curved),
                      "these curves are not alike on every side of the gathered top, so nobody can tell "
                      "whether it closes",
                      "score on each side one curve from either end of its shoulder to one peak",
                      Severity.WARNING)
    for act in () if gathered else context.plan.acts:
        if isinstance(act.detail, Thread) and any(
                panel.contains(shapely.Point(floats(mark.whole[0].start))) for mark in context.state.marks
                if mark.id in act.detail.marks for panel in soft):
            yield finding("closing-open", act.span, "this ribbon goes round a top that nothing gathers",
                          f"say gather({context.info.name}, by=…) once it is threaded")


def dome_facts(context: PieceContext) -> Iterator[str]:
    """How high the dome stands, and how it comes to."""
    dome = context.folded.dome
    if dome is None or not dome.held:
        return
    how = "closes" if dome.closes else (f"closes with a gap of {context.length_text(dome.opening)} at the "
                                        "centre")
    kind = "a dome" if dome.ridge else "a smooth dome"
    yield (f"its top gathers to {kind} that {how} and stands {context.length_text(dome.height)} above the "
           "shoulder")
    if dome.ridge:
        yield ("pinch the tips: each petal folds to a ridge along its middle, "
               f"{context.length_text(dome.ridge)} long")


def pouch_findings(context: PieceContext) -> Iterator[Finding]:
    """Where the ends of a pouch cannot close, or its faces cannot bend as its curves ask."""
    pouch = context.folded.pouch
    if pouch is not None and pouch.closes and pouch.beyond > 2 * MAX_OVERHANG:
        yield finding("tab-sticks-out", pouch.curves,
                      f"an end flap stands {context.length_text(pouch.beyond)} out of the face across, and "
                      "cannot "
                      "be pushed in", "cut the flaps back beside the corners, each alike, and part them "
                                      "there")
    if pouch is not None and pouch.closes and pouch.tab_beyond > MAX_OVERHANG:
        yield finding("tab-sticks-out", context.act(pouch.act).span,
                      f"this tab reaches {context.length_text(pouch.tab_beyond)} beyond the curves of the "
                      "face it "
                      "is glued to, and stops the end", "cut it back at both ends, or taper it")
    if pouch is None or pouch.closes:
        return
    if pouch.outward:
        yield finding("ends-open", pouch.curves,
                      "these curves swing out of the faces, so that the ends of the pouch cannot be pushed "
                      "in",
                      "let them swing the other way, into the faces")
    elif pouch.steep > 1:
        yield finding("curve-stretches", pouch.curves,
                      "these curves are so steep at the sides of the faces that the faces would have to "
                      "bend back",
                      "let them bulge at most a fifth of the width of a face")
    else:
        yield finding("ends-open", pouch.curves,
                      f"the end flaps leave a gap of {context.length_text(pouch.gap)} between them",
                      f"make each reach {context.length_text(pouch.gap / 2)} farther in its middle")


def pouch_facts(context: PieceContext) -> Iterator[str]:
    """How its ends close, how much goes in, and how far they may be pushed."""
    pouch = context.folded.pouch
    if pouch is None or not pouch.closes:
        return
    across, along, high = map(context.length_text, pouch.size)
    yield f"its faces bend to a pouch {across} wide, {along} long and {high} thick, its end flaps upright"
    if pouch.lip > 0:
        yield (f"the flaps lie over each other by {context.length_text(2 * pouch.lip)} and may be pushed in "
               f"by {context.length_text(pouch.pushed)} before they part")
