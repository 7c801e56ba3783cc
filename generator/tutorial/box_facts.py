"""Facts at a glance that folding tells: finished size, inside and volume, what goes in, the ribbon, the gathered top."""
from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from generator.folding import FoldedPiece, FoldedPlan
from generator.language.evaluation.prose_wording import word_value
from generator.language.front_matter import FrontMatter
from generator.locale import ENGLISH, Locale
from generator.paper.records import Plan
from generator.paper.work_kinds import Effect
from generator.tutorial import folded_sizes
from generator.tutorial.facts import NOWHERE, inlay, woven
from generator.tutorial.folded_sizes import receiver
from generator.tutorial.folded_values import ways
from generator.tutorial.records import ComputedValue, Fact, MeasureWording, Prose

Values = Mapping[str, object]       # by their places in the phrase
Tell = Callable[[FoldedPiece, str], Values | None]


def finished_sizes(folds: Mapping[str, FoldedPlan], locale: Locale = ENGLISH) -> tuple[Fact, ...]:
    """The size of each folded piece, where folding knows it: for designs that state none."""
    return tuple(_of_pieces(folds, "finished", "finished", _finished, locale))


def box_facts(front: FrontMatter, plans: Mapping[str, Plan], folds: Mapping[str, FoldedPlan], locale: Locale = ENGLISH) -> tuple[Fact, ...]:
    """What there is to tell of the folded box in both editions."""
    if not folds:
        return ()
    return (*_of_pieces(folds, "inside", "inside", _inside, locale), *_of_pieces(folds, "room", "goes_in", _room, locale),
            *_content(front, folds, locale), *_tops(folds, locale), *_ribbons(front, plans, folds, locale))


def phrase(key: str, values: Mapping[str, Values], locale: Locale) -> ComputedValue:
    """One phrase of the catalogue for each system, each whole, so that it can be read on its own."""
    made = {}
    for system, each in values.items():
        words = {name: word_value(value, system, locale=locale) for name, value in each.items()}
        made[system] = MeasureWording(*(locale.say(key, **{name: getattr(w, kind) for name, w in words.items()})
                                 for kind in ("text", "speech", "html")))
    return ComputedValue("", NOWHERE, made, False)


def _sentence(key: str, values: Mapping[str, Values], locale: Locale) -> Prose:
    """A sentence of the catalogue with each measure in both systems."""
    places = {name: inlay({system: each[name] for system, each in values.items()}, locale=locale) for name in values["mm"]}
    return tuple(woven(locale.say(key), **places))


def _of_pieces(folds: Mapping[str, FoldedPlan], label: str, key: str, tell: Tell, locale: Locale) -> Iterator[Fact]:
    """A fact of each piece of which both editions know it."""
    found = []
    for pieces in zip(*(folds[system].pieces for system in ("mm", "in")), strict=False):
        values = {system: tell(piece, system) for piece, system in zip(pieces, ("mm", "in"), strict=True)}
        if all(value is not None for value in values.values()):
            found.append((pieces[0].name, values))
    boxes = [each for each in found if "lid" not in each[0]] if label != "finished" else found
    for name, values in boxes or found:
        if key == "inside" and not all("volume" in each for each in values.values()):
            key, values = "finished", {system: {"size": each["size"]} for system, each in values.items()}
        yield Fact(_label(label, name if len(boxes or found) > 1 else "", locale), (phrase(f"box.{key}", values, locale),),
                   brief=label == "finished")


def _label(label: str, piece: str, locale: Locale) -> str:
    words = locale.say(f"box.fact.{label}")
    return locale.say("box.fact.of", label=words, piece=locale.name(piece)) if piece else words


def _finished(piece: FoldedPiece, system: str) -> Values | None:
    known = piece.figures
    return None if known is None or not (known.whole and known.settled) else {"size": folded_sizes.bulk(known.size, system)}


def _inside(piece: FoldedPiece, system: str) -> Values | None:
    room = piece.figures and folded_sizes.inside(piece.figures, system)
    if room is None:
        return None
    return {"size": room} if piece.figures.volume is None else {"size": room, "volume": folded_sizes.volume(piece.figures.volume)}


def _room(piece: FoldedPiece, system: str) -> Values | None:
    if piece.figures is None or piece.figures.fit is None:
        return None
    held = folded_sizes.holds(piece.figures.fit, system)
    return {"tin": held.tin, "box": held.box, "ball": held.ball}


def _content(front: FrontMatter, folds: Mapping[str, FoldedPlan], locale: Locale) -> Iterator[Fact]:
    content = front.holds
    if content is not None and all(receiver(done, content.piece) is not None for done in folds.values()):
        size = inlay(dict.fromkeys(("mm", "in"), content.size), locale=locale)
        yield Fact(_label("content", "", locale), tuple(woven(locale.say("box.content"), what=content.what, size=size)), brief=False)


def _tops(folds: Mapping[str, FoldedPlan], locale: Locale) -> Iterator[Fact]:
    for tops in zip(*([top for piece in folds[s].pieces for top in piece.tops] for s in ("mm", "in")), strict=False):
        values = {}
        for top, system in zip(tops, ("mm", "in"), strict=True):
            if top.crown.rise is not None:
                lowest, highest = folded_sizes.window(top.crown.apothem, top.crown.circumradius, system)
                values[system] = {"rise": folded_sizes.measured(top.crown.rise, system), "lowest": lowest, "highest": highest}
        if len(values) == 2:
            key = "tucked" if tops[0].tucked else "outside"
            yield Fact(_label("top", "", locale), _sentence(f"box.top.{key}", values, locale), brief=False)
    yield from _domes(folds, locale)


def _domes(folds: Mapping[str, FoldedPlan], locale: Locale) -> Iterator[Fact]:
    for domes in zip(*([piece.dome for piece in folds[s].pieces if piece.dome is not None and piece.dome.held] for s in ("mm", "in")),
                     strict=False):
        shut = all(dome.closes for dome in domes)
        values = {system: {"rise": folded_sizes.measured(dome.height, system), **({} if shut else {"gap": folded_sizes.measured(dome.opening, system)})}
                  for dome, system in zip(domes, ("mm", "in"), strict=True)}
        yield Fact(_label("top", "", locale), _sentence(f"box.top.{'dome' if shut else 'open'}", values, locale), brief=False)


def has_dome(folds: Mapping[str, FoldedPlan]) -> bool:
    """Whether a piece has a shape that only folding knows to the millimetre."""
    return any(piece.dome is not None and piece.dome.held for done in folds.values() for piece in done.pieces)


def _ribbons(front: FrontMatter, plans: Mapping[str, Plan], folds: Mapping[str, FoldedPlan], locale: Locale) -> Iterator[Fact]:
    threaded = [act for act in plans["mm"].acts if act.effect is Effect.THREAD]
    for act in threaded:
        values = {}
        for system, done in folds.items():
            if act.number in ways(done):
                way = folded_sizes.measured(ways(done)[act.number], system)
                values[system] = {"way": way, "needed": way + front.bow[system]}
        if len(values) == 2:
            name = plans["mm"].pieces[act.pieces[0]].name if len(threaded) > 1 else ""
            yield Fact(_label("ribbon", name, locale), _sentence("box.ribbon", values, locale), brief=False)
