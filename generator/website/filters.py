"""Times as people say them.

By what the gallery can be narrowed: level, time, size and tools, all from the tutorials' own data.
"""
from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from generator.locale import ENGLISH, Locale
from generator.tutorial import Tutorial
from generator.tutorial.care import tools_of
from generator.units import as_text, length, word


def duration(minutes: int) -> str:
    """A time as people say it: "40 min", "1 h 20 min", "2 h"."""
    hours, rest = divmod(minutes, 60)
    return f"{hours} h" * bool(hours) + " " * bool(hours and rest) + f"{rest} min" * bool(rest)


TIMES = (30, 60, 120)               # minutes
STRAIGHT = 0.1                      # mm; a corner that turns less is none
SIZES = (50, 100, 150, 200, 300)    # mm of the widest side


@dataclass(frozen=True, slots=True)
class Traits:
    """What a card is sifted by. ``widest`` is the longest finished side in mm, None where it is neither stated nor folded."""

    level: str
    minutes: int | None
    widest: int | None
    tools: tuple[str, ...]
    sides: int | None = None            # of its floor; 0 without one, None where folding does not know
    sheets: tuple[str, ...] = ()        # those listed that give at least one box


@dataclass(frozen=True, slots=True)
class Choices:
    """What a reader can choose from; only what parts the tutorials. (value, words) each."""

    levels: tuple[str, ...]
    times: tuple[tuple[int, str], ...]
    sizes: tuple[tuple[int, str], ...]
    tools: tuple[tuple[str, str], ...]
    shapes: tuple[tuple[int, str], ...] = ()
    sheets: tuple[tuple[str, str], ...] = ()

    @property
    def any(self) -> bool:
        return bool(self.levels or self.times or self.sizes or self.tools or self.shapes or self.sheets)


def traits(tutorial: Tutorial, locale: Locale = ENGLISH, sheets: tuple[str, ...] = ()) -> Traits:
    """The traits of one tutorial, its tools named in the gallery's locale; of the two editions the larger box counts.

    ``sheets`` are those it comes out of.
    """
    sides = [float(size.value) for plan in tutorial.plans.values() for size in plan.finish.values()] or list(_folded(tutorial))
    return Traits(tutorial.front.level or "", tutorial.front.minutes, round(max(sides)) if sides else None,
                  tuple(tool.name for tool in (tutorial.tools if locale is tutorial.locale else tools_of(tutorial.drawn, locale))),
                  _sides(tutorial), sheets)


def _sides(tutorial: Tutorial) -> int | None:
    """The sides of the largest floor among the folded pieces."""
    done = tutorial.folds.get(tutorial.drawn_in)
    if done is None or not done.pieces:
        return None
    floors = [piece.figures.floor for piece in done.pieces if piece.figures is not None and piece.figures.floor is not None]
    largest = max(floors, key=lambda floor: floor.area, default=None)
    return 0 if largest is None else len(largest.simplify(STRAIGHT).exterior.coords) - 1


def _folded(tutorial: Tutorial) -> Iterator[float]:
    """All sides of the folded pieces, where folding knows them: for designs that state no size."""
    for done in tutorial.folds.values():
        for piece in done.pieces:
            if piece.figures is not None and piece.figures.whole and piece.figures.settled:
                yield from piece.figures.size


def choices(cards: Iterable[Traits], locale: Locale = ENGLISH) -> Choices:
    """The choices that leave some tutorials and take others away."""
    cards = tuple(cards)
    tools = tuple(dict.fromkeys(tool for card in cards for tool in card.tools))
    levels = tuple(level for level in ("easy", "medium", "hard") if any(card.level == level for card in cards))
    return Choices(levels if len(levels) > 1 else (),
                   tuple((most, duration(most)) for most in _parting(TIMES, [card.minutes for card in cards])),
                   tuple((size, _both(size, locale)) for size in _parting(SIZES, [card.widest for card in cards])),
                   tuple((tool, tool) for tool in tools if not all(tool in card.tools for card in cards)),
                   _shapes([card.sides for card in cards], locale),
                   tuple((sheet, sheet) for sheet in sorted({s for card in cards for s in card.sheets})
                         if not all(sheet in card.sheets for card in cards)))


def _shapes(sides: Iterable[int | None], locale: Locale) -> tuple[tuple[int, str], ...]:
    known = sorted({n for n in sides if n is not None})
    return tuple((n, locale.say("website.shape_sides", n=locale.number(n)) if n else locale.say("website.shape_flat"))
                 for n in known) if len(known) > 1 else ()


def _parting(limits: Iterable[int], values: Iterable[int | None]) -> tuple[int, ...]:
    values = tuple(values)
    return tuple(most for most in limits if 0 < sum(v is not None and v <= most for v in values) < len(values))


def _both(size: int, locale: Locale) -> str:
    quantity = length(size)
    return f"{as_text(word(quantity, 'mm'), locale)} · {as_text(word(quantity, 'in'), locale)}"
