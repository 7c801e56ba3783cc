"""Sentences of the catalogue with measures in their places.

Facts at a glance, supplies, and the sentence on how the two boxes differ.

Facts at a glance that folding tells: finished size, inside and volume, what goes in, the ribbon, the gathered
top.
"""
from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from string import Formatter
from types import MappingProxyType

from generator.findings import Span
from generator.folding import FoldedPiece, FoldedPlan
from generator.geometry.tolerances import PLACE_TOLERANCE
from generator.language.evaluation.prose_wording import word_value
from generator.language.front_matter import FrontMatter
from generator.locale import ENGLISH, Locale, capital
from generator.paper.records import Plan
from generator.paper.values import Size
from generator.paper.work_kinds import Effect
from generator.regauge.comparison import SIZE_CHANGE_WORDS
from generator.tutorial import folded_sizes
from generator.tutorial.folded_sizes import finished_measures, receiving_piece
from generator.tutorial.folded_values import ribbon_path_lengths
from generator.tutorial.records import ComputedValue, Fact, MeasureWording, Prose, ProsePart, Tutorial
from generator.units import (
    SYSTEMS,
    Quantity,
    as_html,
    as_speech,
    as_text,
    display_measure,
    length,
    other_system,
)


def fill_sentence(words: str, **values: ProsePart | Prose) -> Iterator[ProsePart]:
    """``words`` with a value, text or prose wherever they have a place for it.

    Raises KeyError where one is missing.
    """
    for text, name, _, _ in Formatter().parse(words):
        if text:
            yield text
        if name:
            value = values[name]
            yield from value if isinstance(value, tuple) else (value,)


NO_SPAN = Span("")
NO_BREAK = "\u00a0"
FINISH_ORDER = ("width", "depth", "height")
SEEN_DIFFERENCE = 0.4       # mm: what nobody sees of two boxes is not said
NO_FOLDS: Mapping[str, FoldedPlan] = MappingProxyType({})


def computed_value(values: Mapping[str, object], expression: str = "",
                   locale: Locale = ENGLISH) -> ComputedValue:
    """A computed value that stands in no sentence of the source, worded for both systems."""
    words = {system: word_value(value, system, locale=locale) for system, value in values.items()}
    first, second = words["mm"], words["in"]
    shared = not first.measure and first.text == second.text
    return ComputedValue(expression, NO_SPAN,
                         {s: MeasureWording(w.text, w.speech, w.html) for s, w in words.items()}, shared)


def facts_of(plans: Mapping[str, Plan], locale: Locale = ENGLISH, folds: Mapping[str, FoldedPlan] = NO_FOLDS,
             box: Sequence[Fact] = ()) -> tuple[Fact, ...]:
    """Finished size as the design states it, else as folding finds it; facts of the ``box``; each blank."""
    facts = [*finished_facts(plans, folds, locale), *box]
    for info in plans["mm"].pieces:
        if not info.is_ribbon:
            facts.append(Fact(capital(locale.name(info.name)), (blank_size(plans, info.id, locale),)))
    return tuple(facts)


def blank_size(plans: Mapping[str, Plan], piece: int, locale: Locale = ENGLISH) -> ComputedValue:
    """Width by height of a piece as it first lies."""
    states = {system: plan.states[piece][-1][1] for system, plan in plans.items()}
    return computed_value({system: Size(state.width, state.height) for system, state in states.items()},
                          locale=locale)


def finished_facts(plans: Mapping[str, Plan], folds: Mapping[str, FoldedPlan],
                   locale: Locale) -> tuple[Fact, ...]:
    """The size that the design states as one phrase a system; else that of each piece as folding knows it."""
    finish = {system: finished_measures(plan, folds.get(system)) for system, plan in plans.items()}
    if not any(finish.values()):
        return finished_sizes(folds, locale)
    phrases = {system: _size_phrase(sides, system, locale) for system, sides in finish.items()}
    return (Fact(locale.say("tutorial.fact.finished"), (ComputedValue("", NO_SPAN, phrases, False),)),)


def brief_size(tutorial: Tutorial) -> Prose:
    """How large the box is, in one line: "4 × 2 3/4 × 1 5/8 in"; () where that is not known."""
    sides = {system: _outer_sides(plan, tutorial.folds.get(system))
             for system, plan in tutorial.plans.items()}
    if not all(sides.values()):
        return ()
    return (ComputedValue("", NO_SPAN, {system: _product(each, system, tutorial.locale)
                                        for system, each in sides.items()}, False),)


def _outer_sides(plan: Plan, folded: FoldedPlan | None) -> tuple[Quantity, ...]:
    """The sides that are stated, else those of the first piece that folding knows."""
    stated = finished_measures(plan, folded)
    if stated or folded is None:
        return tuple(stated[name] for name in FINISH_ORDER if name in stated)
    known = [piece.dimensions for piece in folded.pieces if piece.dimensions is not None]
    return tuple(folded_sizes.folded_length(mm, plan.system) for each in known[:1]
                 if each.whole and each.settled for mm in each.size if mm > PLACE_TOLERANCE)


def _product(sides: Sequence[Quantity], system: str, locale: Locale) -> MeasureWording:
    shown = [display_measure(side, system) for side in sides]
    about = any(each.about for each in shown)
    shown = [replace(each, about=about and k == 0, unit=each.unit if k == len(shown) - 1 else "")
             for k, each in enumerate(shown)]
    by = (" × ", f" {locale.say('grammar.by')} ", f"{NO_BREAK}× ")
    return MeasureWording(*(sign.join(form(each, locale) for each in shown)
                            for sign, form in zip(by, (as_text, as_speech, as_html), strict=True)))


def finished_words(tutorial: Tutorial, system: str) -> str:
    """How large the box comes out in one edition; "" where that is not known of one piece alone."""
    values = [part for fact in finished_facts(tutorial.plans, tutorial.folds, tutorial.locale)
              for part in fact.value if isinstance(part, ComputedValue)]
    return values[0].wordings[system].text if len(values) == 1 else ""


def _size_phrase(finish: Mapping[str, Quantity], system: str, locale: Locale) -> MeasureWording:
    names = [name for name in FINISH_ORDER if name in finish]
    shown = [display_measure(finish[name], system) for name in names]
    # "about" is said once, and holds for the rest
    first = next((k for k, each in enumerate(shown) if each.about), 0)
    shown = [replace(each, about=each.about and k == first) for k, each in enumerate(shown)]
    return MeasureWording(*(", ".join(locale.say(f"tutorial.fact.{name}", size=formatter(each, locale))
                                      for name,
                                      each in zip(names, shown, strict=True))
                     for formatter in (as_text, as_speech, as_html)))


def blanks_needed(plans: Mapping[str, Plan], locale: Locale = ENGLISH) -> tuple[Prose, ...]:
    """One line of the supplies for each piece that is cut from paper, and each ribbon."""
    lines = []
    for info in plans["mm"].pieces:
        name = locale.name(info.name)
        if info.is_ribbon:
            sizes = {s: p.states[info.id][0][1].width for s, p in plans.items()}
            lines.append(fill_sentence(locale.say("tutorial.supply.ribbon"),
                                       piece=capital(name),
                                       size=computed_value(sizes, locale=locale),
                                       boxes=locale.count("paper.for_boxes", info.boxes)))
            continue
        paper = info.paper
        stuff = capital(locale.name(paper.name)) if paper is not None else locale.say("tutorial.supply.paper")
        weight = str(paper.weight) if paper is not None and paper.weight else ""
        kind = "scrap" if info.out_of else "weighed" if weight else "blank"
        lines.append(fill_sentence(locale.say(f"tutorial.supply.{kind}"), paper=stuff, weight=weight,
                           piece=name, size=blank_size(plans, info.id, locale)))
    return tuple(map(tuple, lines))


def how_they_differ(plans: Mapping[str, Plan], drawn_in: str, locale: Locale = ENGLISH,
                    folds: Mapping[str, FoldedPlan] = NO_FOLDS) -> Prose:
    """One sentence for the reader; () where the plan states no finished size."""
    other = other_system(drawn_in)
    drawn, second = (finished_measures(plans[system], folds.get(system)) for system in (drawn_in, other))
    shared = [name for name in FINISH_ORDER if name in drawn and name in second]
    if not shared:
        return ()
    gaps: list[Prose] = []
    for name in shared:
        gap = second[name] - drawn[name]
        if abs(float(gap.value)) >= SEEN_DIFFERENCE:
            words = locale.say(f"tutorial.differ.{SIZE_CHANGE_WORDS[name][gap.value < 0]}")
            gaps.append(tuple(fill_sentence(words, gap=_size_difference(gap, locale))))
    if not gaps:
        return (locale.say("tutorial.differ.same"),)
    between = ["", *[locale.say("grammar.comma")] * (len(gaps) - 2), locale.say("grammar.and")]
    listed = [part for sign, gap in zip(between, gaps, strict=False) for part in (sign, *gap)]
    return tuple(fill_sentence(locale.say(f"tutorial.differ.{other}"), gaps=tuple(listed)))


def _size_difference(gap: Quantity, locale: Locale) -> ComputedValue:
    size = length(-gap.value if gap.value < 0 else gap.value)
    return computed_value({"mm": size, "in": size}, locale=locale)


PhraseValues = Mapping[str, object]       # by their places in the phrase
PieceValues = Callable[[FoldedPiece, str], PhraseValues | None]


def finished_sizes(folds: Mapping[str, FoldedPlan], locale: Locale = ENGLISH) -> tuple[Fact, ...]:
    """The size of each folded piece, where folding knows it: for designs that state none."""
    return tuple(_piece_facts(folds, "finished", "finished", _finished_size, locale))


def box_facts(front: FrontMatter, plans: Mapping[str, Plan], folds: Mapping[str, FoldedPlan],
              locale: Locale = ENGLISH) -> tuple[Fact, ...]:
    """What there is to tell of the folded box in both editions."""
    if not folds:
        return ()
    content = tuple(_contents_facts(front, folds, locale))
    room = (replace(each, more=bool(content))
            for each in _piece_facts(folds, "room_too" if content else "room", "goes_in", _largest_contents,
                                     locale))
    return (*_piece_facts(folds, "inside", "inside", _inside_size, locale), *content, *room,
            *_top_facts(folds, locale), *_ribbon_facts(front, plans, folds, locale))


def edition_phrase(key: str, values: Mapping[str, PhraseValues], locale: Locale) -> ComputedValue:
    """One phrase of the catalogue for each system, each whole, so that it can be read on its own."""
    result = {}
    for system, each in values.items():
        words = {name: word_value(value, system, locale=locale) for name, value in each.items()}
        result[system] = MeasureWording(*(locale.say(key,
                                                   **{name: getattr(w, kind) for name, w in words.items()})
                                 for kind in ("text", "speech", "html")))
    return ComputedValue("", NO_SPAN, result, False)


def _sentence(key: str, values: Mapping[str, PhraseValues], locale: Locale) -> Prose:
    """A sentence of the catalogue with each measure in both systems."""
    places = {name: computed_value({system: each[name] for system, each in values.items()}, locale=locale)
              for name in values["mm"]}
    return tuple(fill_sentence(locale.say(key), **places))


def _piece_facts(folds: Mapping[str, FoldedPlan], label: str, key: str, measure: PieceValues,
                 locale: Locale) -> Iterator[Fact]:
    """A fact of each piece of which both editions know it."""
    found: list[tuple[str, dict[str, PhraseValues]]] = []
    for pieces in zip(*(folds[system].pieces for system in SYSTEMS), strict=False):
        known = {system: value for piece, system in zip(pieces, SYSTEMS, strict=True)
                 if (value := measure(piece, system)) is not None}
        if len(known) == len(SYSTEMS):
            found.append((pieces[0].name, known))
    boxes = [each for each in found if "lid" not in each[0]] if label != "finished" else found
    for name, values in boxes or found:
        if key == "inside" and not all("volume" in each for each in values.values()):
            key, values = "finished", {system: {"size": each["size"]} for system, each in values.items()}
        yield Fact(_label(label, name if len(boxes or found) > 1 else "", locale),
                   (edition_phrase(f"box.{key}", values, locale),))


def _label(label: str, piece: str, locale: Locale) -> str:
    words = locale.say(f"box.fact.{label}")
    return locale.say("box.fact.of", label=words, piece=locale.name(piece)) if piece else words


def _finished_size(piece: FoldedPiece, system: str) -> PhraseValues | None:
    known = piece.dimensions
    if known is None or not (known.whole and known.settled):
        return None
    return {"size": folded_sizes.solid_size(known.size, system)}


def _inside_size(piece: FoldedPiece, system: str) -> PhraseValues | None:
    figures = piece.dimensions
    room = folded_sizes.inside_size(figures, system) if figures is not None else None
    if figures is None or room is None:
        return None
    if figures.volume is None:
        return {"size": room}
    return {"size": room, "volume": folded_sizes.folded_volume(figures.volume)}


def _largest_contents(piece: FoldedPiece, system: str) -> PhraseValues | None:
    if piece.dimensions is None or piece.dimensions.fit is None:
        return None
    held = folded_sizes.largest_contents(piece.dimensions.fit, system)
    return {"tin": held.tin, "box": held.box, "ball": held.ball}


def _contents_facts(front: FrontMatter, folds: Mapping[str, FoldedPlan], locale: Locale) -> Iterator[Fact]:
    content = front.holds
    if content is not None and all(receiving_piece(done, content.piece) is not None
                                   for done in folds.values()):
        size = computed_value(dict.fromkeys(SYSTEMS, content.size), locale=locale)
        yield Fact(_label("content", "", locale),
                   tuple(fill_sentence(locale.say("box.content"), what=content.what, size=size)))


def _top_facts(folds: Mapping[str, FoldedPlan], locale: Locale) -> Iterator[Fact]:
    for tops in zip(*([top for piece in folds[s].pieces for top in piece.tops] for s in SYSTEMS),
                    strict=False):
        values = {}
        for top, system in zip(tops, SYSTEMS, strict=True):
            if top.stands is not None:
                lowest, highest = folded_sizes.limit_window(top.crown.apothem, top.crown.circumradius, system)
                values[system] = {"rise": folded_sizes.folded_length(top.stands, system),
                                  "lowest": lowest, "highest": highest}
        if len(values) == 2:
            key = "tucked" if tops[0].tucked else "outside"
            yield Fact(_label("top", "", locale), _sentence(f"box.top.{key}", values, locale))
    yield from _dome_facts(folds, locale)


def _dome_facts(folds: Mapping[str, FoldedPlan], locale: Locale) -> Iterator[Fact]:
    for domes in zip(*([piece.dome for piece in folds[s].pieces if piece.dome is not None
                        and piece.dome.held] for s in SYSTEMS),
                     strict=False):
        shut = all(dome.closes for dome in domes)
        values = {system: {"rise": folded_sizes.folded_length(dome.height, system),
                           **({} if shut else {"gap": folded_sizes.folded_length(dome.opening, system)})}
                  for dome, system in zip(domes, SYSTEMS, strict=True)}
        kind = "open" if not shut else "pinched" if any(dome.ridge for dome in domes) else "dome"
        yield Fact(_label("top", "", locale), _sentence(f"box.top.{kind}", values, locale))


def _ribbon_facts(front: FrontMatter, plans: Mapping[str, Plan], folds: Mapping[str, FoldedPlan],
                  locale: Locale) -> Iterator[Fact]:
    for act in (act for act in plans["mm"].acts if act.effect is Effect.THREAD):
        values = {}
        for system, done in folds.items():
            if act.number in ribbon_path_lengths(done):
                way = folded_sizes.folded_length(ribbon_path_lengths(done)[act.number], system)
                values[system] = {"way": way, "needed": way + front.bow[system]}
        if len(values) == 2:
            name = next(info.name for info in plans["mm"].pieces if info.id == act.pieces[0])
            yield Fact(capital(locale.name(name)), _sentence("box.ribbon", values, locale))
