"""Times as people say them.

By what the gallery can be narrowed: level, time, size and tools, all from the tutorials' own data.
"""
from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from shapely import Polygon

from generator.locale import ENGLISH, Locale
from generator.tutorial import Tutorial
from generator.tutorial.folded_sizes import finished_measures
from generator.tutorial.tools_and_cautions import tool_need
from generator.units import as_text, display_measure, length


def duration(minutes: int) -> str:
    """A time as people say it: "40 min", "1 h 20 min", "2 h"."""
    hours, rest = divmod(minutes, 60)
    return f"{hours} h" * bool(hours) + " " * bool(hours and rest) + f"{rest} min" * bool(rest)


TIME_LIMITS = (30, 60, 120)               # minutes
MIN_CORNER_DEVIATION = 0.1                      # mm; a corner that turns less is none
SIZE_LIMITS = (50, 100, 150, 200, 300)    # mm of the widest side


@dataclass(frozen=True, slots=True)
class FilterValues:
    """What a card is sifted by.

    ``widest`` is the longest finished side in mm, None where it is neither stated nor folded.
    """

    level: str
    minutes: int | None
    widest: int | None
    tools: tuple[str, ...]
    sides: int | None = None            # of its floor; 0 without one, None where folding does not know
    sheets: tuple[str, ...] = ()        # those listed that give at least one box


@dataclass(frozen=True, slots=True)
class FilterChoices:
    """What a reader can choose from; only what parts the tutorials. (value, words) each."""

    levels: tuple[str, ...]
    times: tuple[tuple[int, str], ...]
    sizes: tuple[tuple[int, str], ...]
    tools: tuple[tuple[str, str], ...]
    shapes: tuple[tuple[int, str], ...] = ()
    sheets: tuple[tuple[str, str], ...] = ()

    @property
    def any(self) -> bool:
        """True where there is anything to choose."""
        return bool(self.levels or self.times or self.sizes or self.tools or self.shapes or self.sheets)


def filter_values(tutorial: Tutorial, locale: Locale = ENGLISH, sheets: tuple[str, ...] = ()) -> FilterValues:
    """The traits of one tutorial, its tools named in the gallery's locale.

    Of the two editions the larger box counts.

    ``sheets`` are those it comes out of.
    """
    sides = [float(size.value) for system, plan in tutorial.plans.items()
             for size in finished_measures(plan, tutorial.folds.get(system)).values()] or list(
                 _folded_sides(tutorial))
    return FilterValues(tutorial.front.level or "", tutorial.front.minutes, round(max(sides)) if sides
                        else None,
                  tuple(tool.name if locale is tutorial.locale else tool_need(tool.word, locale).name
                        for tool in tutorial.tools),
                  _floor_sides(tutorial), sheets)


def _floor_sides(tutorial: Tutorial) -> int | None:
    """The sides of the largest floor among the folded pieces."""
    done = tutorial.folds.get(tutorial.drawn_in)
    if done is None or not done.pieces:
        return None
    floors = [piece.dimensions.floor for piece in done.pieces if piece.dimensions is not None
              and piece.dimensions.floor is not None]
    largest = max(floors, key=lambda floor: floor.area, default=None)
    corners = largest.simplify(MIN_CORNER_DEVIATION) if largest is not None else None
    return len(corners.exterior.coords) - 1 if isinstance(corners, Polygon) else 0


def _folded_sides(tutorial: Tutorial) -> Iterator[float]:
    """All sides of the folded pieces, where folding knows them: for designs that state no size."""
    for done in tutorial.folds.values():
        for piece in done.pieces:
            if piece.dimensions is not None and piece.dimensions.whole and piece.dimensions.settled:
                yield from piece.dimensions.size


def filter_choices(cards: Iterable[FilterValues], locale: Locale = ENGLISH) -> FilterChoices:
    """The choices that leave some tutorials and take others away."""
    cards = tuple(cards)
    tools = tuple(dict.fromkeys(tool for card in cards for tool in card.tools))
    levels = tuple(level for level in ("easy", "medium", "hard")
                   if any(card.level == level for card in cards))
    return FilterChoices(levels if len(levels) > 1 else (),
                   tuple((most, duration(most))
                         for most in _dividing_limits(TIME_LIMITS, [card.minutes for card in cards])),
                   tuple((size, _dual_size(size, locale))
                         for size in _dividing_limits(SIZE_LIMITS, [card.widest for card in cards])),
                   tuple((tool, tool) for tool in tools if not all(tool in card.tools for card in cards)),
                   _shape_choices([card.sides for card in cards], locale),
                   tuple((sheet, sheet) for sheet in sorted({s for card in cards for s in card.sheets})
                         if not all(sheet in card.sheets for card in cards)))


def _shape_choices(sides: Iterable[int | None], locale: Locale) -> tuple[tuple[int, str], ...]:
    known = sorted({n for n in sides if n is not None})
    return tuple((n, locale.say("website.shape_sides", n=locale.number(n)) if n
                  else locale.say("website.shape_flat"))
                 for n in known) if len(known) > 1 else ()


def _dividing_limits(limits: Iterable[int], values: Iterable[int | None]) -> tuple[int, ...]:
    values = tuple(values)
    return tuple(most for most in limits
                 if 0 < sum(v is not None and v <= most for v in values) < len(values))


def _dual_size(size: int, locale: Locale) -> str:
    quantity = length(size)
    return (f"{as_text(display_measure(quantity, 'mm'), locale)} · "
            f"{as_text(display_measure(quantity, 'in'), locale)}")
