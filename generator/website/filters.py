"""By what the gallery can be narrowed: level, time, size and tools, and times as people say them."""
from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from generator.locale import ENGLISH, Locale
from generator.units import as_text, display_measure, length


def duration(minutes: int) -> str:
    """A time as people say it: "40 min", "1 h 20 min", "2 h"."""
    hours, rest = divmod(minutes, 60)
    return f"{hours} h" * bool(hours) + " " * bool(hours and rest) + f"{rest} min" * bool(rest)


TIME_LIMITS = (30, 60, 120)               # minutes
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
