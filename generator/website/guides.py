"""What a page says of tools to trace curves with: one table for each curve, in each edition."""
from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from markupsafe import Markup

from generator.dataclass import dataclass
from generator.drawing.templates.guides import exact_size
from generator.geometry import Circle, EllipseArc
from generator.language.evaluation.prose_wording import word_value
from generator.locale import ENGLISH, Locale, capital
from generator.paper.values import Size
from generator.tutorial import MeasureWording, Tutorial
from generator.tutorial.traced_curves import CurveTracing, TracingTool, tracing_tools
from generator.units import SYSTEMS as SYSTEM_TABLE
from generator.units import length
from generator.website.prose import SYSTEMS, accessible_html


@dataclass(frozen=True, slots=True)
class TracingRow:
    """One tool: its size, how far it is off at most, and how it lies."""

    size: Markup
    off: Markup
    alignment: Markup


@dataclass(frozen=True, slots=True)
class GuideTable:
    """All tools for one curve of one edition.

    ``exactly`` names the circle that does, "" where there is none.
    """

    title: Markup
    exactly: Markup
    rows: tuple[TracingRow, ...]


@dataclass(frozen=True, slots=True)
class GuidesView:
    """Tables by edition, inches first, and what is allowed for in each."""

    notes: Mapping[str, Markup]
    tables: Mapping[str, tuple[GuideTable, ...]]


def guides_view(tutorial: Tutorial, locale: Locale = ENGLISH) -> GuidesView | None:
    """None where nothing is traced."""
    found = tracing_tools(tutorial)
    if not any(found.values()):
        return None
    notes = {s: Markup(" ").join(_tip_notes(tutorial, found[s], s, locale)) for s in SYSTEMS}
    return GuidesView(notes, {s: tuple(_guide_table(each, s, locale) for each in found[s]) for s in SYSTEMS})


def _tip_notes(tutorial: Tutorial, found: Sequence[CurveTracing], system: str,
               locale: Locale) -> Iterator[Markup]:
    """What is allowed for in scores, and in cuts, where there are any."""
    tools, scored = tutorial.front.guides, {each.curve.scored for each in found}
    if True in scored:
        yield Markup(locale.say(f"website.guides_tip_{tools.edge}")).format(
            tip=_measure_html(tools.stylus[system], system, locale))
    if False in scored:
        yield Markup(locale.say("website.guides_blade"))


def _guide_table(fitting: CurveTracing, system: str, locale: Locale) -> GuideTable:
    curve = fitting.curve
    size = {"span": _length_html(curve.chord, system, locale),
            "bulge": _length_html(curve.bulge, system, locale)}
    kind = "arc"
    if isinstance(curve.stroke, EllipseArc):
        kind = "oval"
    elif isinstance(curve.stroke, Circle):
        kind, size = "circle", {"across": _length_html(2 * float(curve.stroke.radius), system, locale)}
    names = capital(curve.names_text(locale))
    title = Markup(locale.say(f"website.guides_{kind}")).format(
        name=names, count=curve.count, verb=locale.say(f"templates.guide.{curve.verb}"), **size)
    exactly = fitting.exactly and Markup(locale.say("website.guides_exactly")).format(
        across=_measure_html(fitting.exactly, system, locale))
    return GuideTable(title, exactly or Markup(""),
                      tuple(_tracing_row(fit, system, locale) for fit in fitting.fits))


def _tracing_row(fit: TracingTool, system: str, locale: Locale) -> TracingRow:
    size = _measure_html(Size(*fit.sides) if len(fit.sides) == 2 else fit.sides[0], system, locale)
    key = "website.guides_a_circle" if len(fit.sides) == 1 else "website.guides_an_oval"
    alignment = locale.say(f"website.guides_lies_{fit.alignment or 'through'}", turned=fit.turned)
    if fit.own:
        alignment += locale.say("website.guides_own")
    step = SYSTEM_TABLE[system].finest      # a deviation is rounded up
    off = length(max(1, math.ceil(fit.off / float(step))) * step)
    return TracingRow(Markup(locale.say(key)).format(size=size), _measure_html(off, system, locale),
                      Markup.escape(alignment))


def _length_html(size: float, system: str, locale: Locale) -> Markup:
    return _measure_html(length(exact_size(size)), system, locale)


def _measure_html(value: object, system: str, locale: Locale) -> Markup:
    words = word_value(value, system, locale=locale)
    return accessible_html(MeasureWording(words.text, words.speech, words.html))
