"""Facts at a glance that folding tells: finished size, inside and volume, what goes in, the ribbon, the gathered top."""
from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from generator.folding import FoldedPiece, FoldedPlan
from generator.language.evaluation.prose_wording import word_value
from generator.language.front_matter import FrontMatter
from generator.paper.records import Plan
from generator.paper.work_kinds import Effect
from generator.tongue import ENGLISH, Tongue
from generator.tutorial import figures
from generator.tutorial.contents import receiver
from generator.tutorial.facts import NOWHERE, inlay
from generator.tutorial.records import Fact, Inlay, Prose, Wording
from generator.tutorial.told import ways
from generator.tutorial.woven import woven

Values = Mapping[str, object]       # by their places in the phrase
Tell = Callable[[FoldedPiece, str], Values | None]


def finished_sizes(folds: Mapping[str, FoldedPlan], tongue: Tongue = ENGLISH) -> tuple[Fact, ...]:
    """The size of each folded piece, where folding knows it: for designs that state none."""
    return tuple(_of_pieces(folds, "finished", "finished", _finished, tongue))


def box_facts(front: FrontMatter, plans: Mapping[str, Plan], folds: Mapping[str, FoldedPlan], tongue: Tongue = ENGLISH) -> tuple[Fact, ...]:
    """What there is to tell of the folded box in both editions."""
    if not folds:
        return ()
    return (*_of_pieces(folds, "inside", "inside", _inside, tongue), *_of_pieces(folds, "room", "goes_in", _room, tongue),
            *_content(front, folds, tongue), *_tops(folds, tongue), *_ribbons(front, plans, folds, tongue))


def phrase(key: str, values: Mapping[str, Values], tongue: Tongue) -> Inlay:
    """One phrase of the catalogue for each system, each whole, so that it can be read on its own."""
    made = {}
    for system, each in values.items():
        words = {name: word_value(value, system, tongue=tongue) for name, value in each.items()}
        made[system] = Wording(*(tongue.say(key, **{name: getattr(w, kind) for name, w in words.items()})
                                 for kind in ("text", "speech", "html")))
    return Inlay("", NOWHERE, made, False)


def _sentence(key: str, values: Mapping[str, Values], tongue: Tongue) -> Prose:
    """A sentence of the catalogue with each measure in both systems."""
    places = {name: inlay({system: each[name] for system, each in values.items()}, tongue=tongue) for name in values["mm"]}
    return tuple(woven(tongue.say(key), **places))


def _of_pieces(folds: Mapping[str, FoldedPlan], label: str, key: str, tell: Tell, tongue: Tongue) -> Iterator[Fact]:
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
        yield Fact(_label(label, name if len(boxes or found) > 1 else "", tongue), (phrase(f"box.{key}", values, tongue),),
                   brief=label == "finished")


def _label(label: str, piece: str, tongue: Tongue) -> str:
    words = tongue.say(f"box.fact.{label}")
    return tongue.say("box.fact.of", label=words, piece=tongue.name(piece)) if piece else words


def _finished(piece: FoldedPiece, system: str) -> Values | None:
    known = piece.figures
    return None if known is None or not (known.whole and known.settled) else {"size": figures.bulk(known.size, system)}


def _inside(piece: FoldedPiece, system: str) -> Values | None:
    room = piece.figures and figures.inside(piece.figures, system)
    if room is None:
        return None
    return {"size": room} if piece.figures.volume is None else {"size": room, "volume": figures.volume(piece.figures.volume)}


def _room(piece: FoldedPiece, system: str) -> Values | None:
    if piece.figures is None or piece.figures.fit is None:
        return None
    held = figures.holds(piece.figures.fit, system)
    return {"tin": held.tin, "box": held.box, "ball": held.ball}


def _content(front: FrontMatter, folds: Mapping[str, FoldedPlan], tongue: Tongue) -> Iterator[Fact]:
    content = front.holds
    if content is not None and all(receiver(done, content.piece) is not None for done in folds.values()):
        size = inlay(dict.fromkeys(("mm", "in"), content.size), tongue=tongue)
        yield Fact(_label("content", "", tongue), tuple(woven(tongue.say("box.content"), what=content.what, size=size)), brief=False)


def _tops(folds: Mapping[str, FoldedPlan], tongue: Tongue) -> Iterator[Fact]:
    for tops in zip(*([top for piece in folds[s].pieces for top in piece.tops] for s in ("mm", "in")), strict=False):
        values = {}
        for top, system in zip(tops, ("mm", "in"), strict=True):
            if top.crown.rise is not None:
                lowest, highest = figures.window(top.crown.apothem, top.crown.circumradius, system)
                values[system] = {"rise": figures.measured(top.crown.rise, system), "lowest": lowest, "highest": highest}
        if len(values) == 2:
            key = "tucked" if tops[0].tucked else "outside"
            yield Fact(_label("top", "", tongue), _sentence(f"box.top.{key}", values, tongue), brief=False)
    yield from _domes(folds, tongue)


def _domes(folds: Mapping[str, FoldedPlan], tongue: Tongue) -> Iterator[Fact]:
    for domes in zip(*([piece.dome for piece in folds[s].pieces if piece.dome is not None and piece.dome.held] for s in ("mm", "in")),
                     strict=False):
        shut = all(dome.closes for dome in domes)
        values = {system: {"rise": figures.measured(dome.height, system), **({} if shut else {"gap": figures.measured(dome.opening, system)})}
                  for dome, system in zip(domes, ("mm", "in"), strict=True)}
        yield Fact(_label("top", "", tongue), _sentence(f"box.top.{'dome' if shut else 'open'}", values, tongue), brief=False)


def has_dome(folds: Mapping[str, FoldedPlan]) -> bool:
    """Whether a piece has a shape that only folding knows to the millimetre."""
    return any(piece.dome is not None and piece.dome.held for done in folds.values() for piece in done.pieces)


def _ribbons(front: FrontMatter, plans: Mapping[str, Plan], folds: Mapping[str, FoldedPlan], tongue: Tongue) -> Iterator[Fact]:
    threaded = [act for act in plans["mm"].acts if act.effect is Effect.THREAD]
    for act in threaded:
        values = {}
        for system, done in folds.items():
            if act.number in ways(done):
                way = figures.measured(ways(done)[act.number], system)
                values[system] = {"way": way, "needed": way + front.bow[system]}
        if len(values) == 2:
            name = plans["mm"].pieces[act.pieces[0]].name if len(threaded) > 1 else ""
            yield Fact(_label("ribbon", name, tongue), _sentence("box.ribbon", values, tongue), brief=False)
