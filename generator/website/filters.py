"""By what the gallery can be narrowed: level, time, size, tools, what a box holds; and times in words."""
from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from typing import TypeVar

from generator.dataclass import dataclass
from generator.locale import ENGLISH, Locale
from generator.units import INCH, as_text, display_measure, length
from generator.units.wording import NO_BREAK

Choice = TypeVar("Choice")
Limit = TypeVar("Limit", int, Fraction)


def duration(minutes: int) -> str:
    """A time as people say it: "40 min", "1 h 20 min", "2 h"."""
    hours, rest = divmod(minutes, 60)
    parts = [f"{count}{NO_BREAK}{unit}" for count, unit in ((hours, "h"), (rest, "min")) if count]
    return " ".join(parts)


TIME_LIMITS = (30, 60, 120)               # minutes
# of the widest side, in mm
SIZE_LIMITS = {"mm": tuple(map(Fraction, (50, 100, 150, 200, 300))),
               "in": tuple(INCH.mm * inches for inches in (2, 4, 6, 8, 12))}
MIN_CHOICES = 2         # a filter with less to choose from is not shown


@dataclass(frozen=True, slots=True)
class FilterValues:
    """What a card is sifted by.

    ``widest`` is the longest finished side in mm, None where it is neither stated nor folded. Tools and
    sheets are (key, words): their keys are the same in every language.
    """

    level: str
    minutes: int | None
    widest: int | None
    tools: tuple[tuple[str, str], ...]
    sides: int | None = None            # of its floor; 0 without one, None where folding does not know
    sheets: tuple[tuple[str, str], ...] = ()    # those listed that give at least one box
    rooms: tuple[str, ...] = ("", "")   # what holds things, in inches and in millimetres


@dataclass(frozen=True, slots=True)
class FilterChoices:
    """What a reader can choose from; only what parts the tutorials. (value, words) each.

    ``sizes`` by the system whose readers are asked; ``rooms`` where any box says what it holds.
    """

    levels: tuple[str, ...]
    times: tuple[tuple[int, str], ...]
    sizes: Mapping[str, tuple[tuple[float, str], ...]]
    tools: tuple[tuple[str, str], ...]
    shapes: tuple[tuple[int, str], ...] = ()
    sheets: tuple[tuple[str, str], ...] = ()
    rooms: bool = False

    @property
    def any(self) -> bool:
        """True where there is anything to choose."""
        return bool(self.levels or self.times or any(self.sizes.values()) or self.tools or self.shapes
                    or self.sheets or self.rooms)


def filter_choices(cards: Iterable[FilterValues], locale: Locale = ENGLISH) -> FilterChoices:
    """The choices that leave some tutorials and take others away."""
    cards = tuple(cards)
    levels = [level for level in ("easy", "medium", "hard") if any(card.level == level for card in cards)]
    times = [(most, duration(most)) for most in _dividing_limits(TIME_LIMITS, [c.minutes for c in cards])]
    sizes = {system: _several((float(most), as_text(display_measure(length(most), system), locale))
                              for most in _dividing_limits(limits, [card.widest for card in cards]))
             for system, limits in SIZE_LIMITS.items()}
    return FilterChoices(_several(levels), _several(times), sizes,
                         _several(_dividing_keys([card.tools for card in cards])),
                         _shape_choices([card.sides for card in cards], locale),
                         _several(sorted(_dividing_keys([card.sheets for card in cards]))),
                         len(cards) > 1 and any(any(card.rooms) for card in cards))


def _several(choices: Iterable[Choice]) -> tuple[Choice, ...]:
    choices = tuple(choices)
    return choices if len(choices) >= MIN_CHOICES else ()


def _dividing_keys(sets: Sequence[tuple[tuple[str, str], ...]]) -> list[tuple[str, str]]:
    """What some have and others do not, in the order in which it is met."""
    return [each for each in dict.fromkeys(each for one in sets for each in one)
            if not all(each in one for one in sets)]


def _shape_choices(sides: Iterable[int | None], locale: Locale) -> tuple[tuple[int, str], ...]:
    return _several((n, locale.say("website.shape_sides", n=locale.number(n)) if n
                     else locale.say("website.shape_flat"))
                    for n in sorted({n for n in sides if n is not None}))


def _dividing_limits(limits: Iterable[Limit], values: Iterable[int | None]) -> tuple[Limit, ...]:
    values = tuple(values)
    return tuple(most for most in limits
                 if 0 < sum(v is not None and v <= most for v in values) < len(values))
