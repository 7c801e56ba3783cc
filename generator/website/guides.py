"""What a page says of tools to trace curves with: one table for each curve, in each edition."""
from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from markupsafe import Markup

from generator.drawing.templates.guides import exact
from generator.geometry import Circle, EllipseArc
from generator.language.evaluation.prose_wording import word_value
from generator.paper.values import Size
from generator.tongue import ENGLISH, Tongue, capital
from generator.tutorial import Tutorial, Wording
from generator.tutorial.fitting import Fit, Fitting, fittings
from generator.units import MM_PER_INCH, length
from generator.website.inlays import SYSTEMS, voiced

FINEST = {"mm": Fraction(1, 10), "in": MM_PER_INCH / 64}    # to which a deviation is rounded up


@dataclass(frozen=True, slots=True)
class FitView:
    """One tool: its size, how far it is off at most, and how it lies."""

    size: Markup
    off: Markup
    lies: Markup


@dataclass(frozen=True, slots=True)
class GuideTable:
    """All tools for one curve of one edition. ``exactly`` names the circle that does, "" where there is none."""

    title: Markup
    exactly: Markup
    rows: tuple[FitView, ...]


@dataclass(frozen=True, slots=True)
class GuidesView:
    """Tables by edition, inches first, and what is allowed for in each."""

    notes: Mapping[str, Markup]
    tables: Mapping[str, tuple[GuideTable, ...]]


def guides_view(tutorial: Tutorial, tongue: Tongue = ENGLISH) -> GuidesView | None:
    """None where nothing is traced."""
    found = fittings(tutorial)
    if not any(found.values()):
        return None
    tools = tutorial.front.guides
    notes = {s: Markup(tongue.say(f"website.guides_tip_{tools.edge}")).format(tip=_shown(tools.stylus[s], s, tongue))
             for s in SYSTEMS}
    return GuidesView(notes, {s: tuple(_table(each, s, tongue) for each in found[s]) for s in SYSTEMS})


def _table(fitting: Fitting, system: str, tongue: Tongue) -> GuideTable:
    curve = fitting.curve
    size = {"span": _length(curve.chord, system, tongue), "bulge": _length(curve.bulge, system, tongue)}
    kind = "arc"
    if isinstance(curve.stroke, EllipseArc):
        kind = "oval"
    elif isinstance(curve.stroke, Circle):
        kind, size = "circle", {"across": _length(2 * float(curve.stroke.radius), system, tongue)}
    names = capital(curve.told(tongue))
    title = Markup(tongue.say(f"website.guides_{kind}")).format(name=names, count=curve.count, **size)
    exactly = fitting.exactly and Markup(tongue.say("website.guides_exactly")).format(
        across=_shown(fitting.exactly, system, tongue))
    return GuideTable(title, exactly or Markup(""), tuple(_row(fit, system, tongue) for fit in fitting.fits))


def _row(fit: Fit, system: str, tongue: Tongue) -> FitView:
    size = _shown(Size(*fit.sides) if len(fit.sides) == 2 else fit.sides[0], system, tongue)
    key = "website.guides_a_circle" if len(fit.sides) == 1 else "website.guides_an_oval"
    lies = tongue.say(f"website.guides_lies_{fit.lies or 'through'}", turned=fit.turned)
    if fit.own:
        lies += tongue.say("website.guides_own")
    step = FINEST[system]
    off = length(max(1, math.ceil(fit.off / float(step))) * step)
    return FitView(Markup(tongue.say(key)).format(size=size), _shown(off, system, tongue), Markup.escape(lies))


def _length(size: float, system: str, tongue: Tongue) -> Markup:
    return _shown(length(exact(size)), system, tongue)


def _shown(value: object, system: str, tongue: Tongue) -> Markup:
    words = word_value(value, system, tongue=tongue)
    return Markup('<span class="measure">{}</span>').format(voiced(Wording(words.text, words.speech, words.html)))
