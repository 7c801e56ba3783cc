"""What is to go into a box, read from words: "4 biscuits, 60 mm across, 9 mm high, stacked"."""
from __future__ import annotations

import re
from fractions import Fraction

from generator.dataclass import dataclass
from generator.paper.values import SolidSize
from generator.units import Quantity, QuantityError, dimensions_text, length, parse_length, unit_of

MAX_THINGS = 100
BOX, CYLINDER, BALL = "box", "cylinder", "ball"
STACKED, IN_A_ROW = "stacked", "in a row"
EXAMPLES = ("write for example “54 mm across, 70 mm high”, “60 mm wide, 40 mm deep, 20 mm high”, "
            "“a ball, 45 mm across” or “4 biscuits, 60 mm across, 9 mm high, stacked”")
_SIDES = {"across": "across", "wide": "wide", "long": "wide", "deep": "deep", "high": "high", "tall": "high",
          "thick": "high"}
_SIDE = re.compile(r"(?P<size>.*\d.*?)\s+(?P<side>" + "|".join(_SIDES) + r")\Z")
_ARRANGED = {"stacked": STACKED, "in a stack": STACKED, "in a row": IN_A_ROW, "side by side": IN_A_ROW}
_COUNTED = re.compile(r"(?P<count>\d{1,4})\s+(?P<what>[^\W\d].*)\Z")
_UNITS = re.compile(r"(mm|cm|in|inch|inches)\b")


class UnclearWish(ValueError):
    """Words from which nobody can tell what is to go in; the message says what is missing."""


@dataclass(frozen=True, slots=True)
class Room:
    """An upright body, in mm: a box, a cylinder without a ``depth``, a ball without a ``height`` either."""

    width: Fraction
    depth: Fraction | None
    height: Fraction | None

    def enlarged(self, beside: Fraction, above: Fraction) -> Room:
        """With so much room more at each side, and above; a ball is the larger by twice what is beside."""
        return Room(self.width + 2 * beside, None if self.depth is None else self.depth + 2 * beside,
                    None if self.height is None else self.height + above)

    @property
    def sides(self) -> tuple[Fraction, Fraction, Fraction]:
        """The box around it: across, deep, high."""
        return (self.width, self.width if self.depth is None else self.depth,
                self.width if self.height is None else self.height)

    def text(self, system: str) -> str:
        """As an edition says it."""
        size = self.solid
        words = dimensions_text((size.across, size.deep, size.high), system)
        return f"{words} across" if self.height is None else words

    @property
    def solid(self) -> SolidSize:
        """Its size in quantities."""
        def side(mm: Fraction | None) -> Quantity | None:
            return None if mm is None else length(mm)
        return SolidSize(length(self.width), side(self.depth), side(self.height))


@dataclass(frozen=True, slots=True)
class ContentsWish:
    """``count`` things, called ``what``, lie as ``arranged`` says; ``room`` is the body around all."""

    what: str
    count: int
    arranged: str
    room: Room
    system: str


def read_wish(text: str) -> ContentsWish:
    """A wish from its words. Raises UnclearWish."""
    sides: dict[str, Fraction] = {}
    systems: dict[str, None] = {}
    what, arranged, count = "", "", 1
    for part in (" ".join(each.split()) for each in text.split(",")):
        lowered = part.casefold()
        if found := _SIDE.match(lowered):
            _take_side(sides, systems, _SIDES[found["side"]], found["size"], part)
        elif lowered in _ARRANGED:
            if arranged:
                raise UnclearWish(f"“{part}” and “{arranged}” are said of the same things; leave one out")
            arranged = _ARRANGED[lowered]
        elif (counted := _COUNTED.match(part)) and not _UNITS.match(counted["what"]):
            count, what = int(counted["count"]), counted["what"]
        elif not any(letter.isdigit() for letter in part):
            what = part or what
        else:
            raise UnclearWish(f"“{part}” is no side of a thing; {EXAMPLES}")
    if not 1 <= count <= MAX_THINGS:
        raise UnclearWish(f"{count} things are no number for one box; {MAX_THINGS} are the most, 1 the least")
    one = _one_thing(sides, what)
    if count > 1 and not arranged:
        raise UnclearWish(f"{count} {what} may lie in many ways; say “stacked” or “in a row”")
    if len(systems) > 1:
        raise UnclearWish("the sides are in millimetres and in inches; write all of them in one system, in "
                          "which the box is then drawn")
    return ContentsWish(what, count, arranged if count > 1 else "", _together(one, count, arranged),
                        next(iter(systems)))


def _take_side(sides: dict[str, Fraction], systems: dict[str, None], name: str, size: str, part: str) -> None:
    try:
        mm, system = Fraction(parse_length(size).value), unit_of(size)
    except QuantityError as error:
        raise UnclearWish(f"“{part}”: {error}" + (f"; {error.hint}" if error.hint else "")) from None
    if name in sides:
        raise UnclearWish(f"“{part}”: this side is given twice; a thing is “across” where it is round, else "
                          "“wide”, “deep” and “high”")
    sides[name] = mm
    systems[system] = None


def _one_thing(sides: dict[str, Fraction], what: str) -> Room:
    """One of the things, told by which sides are given."""
    if set(sides) == {"across", "high"}:
        return Room(sides["across"], None, sides["high"])
    if set(sides) == {"wide", "deep", "high"}:
        return Room(sides["wide"], sides["deep"], sides["high"])
    is_ball = any(word in ("ball", "balls", "round") for word in what.casefold().split())
    if set(sides) == {"across"} and is_ball:
        return Room(sides["across"], None, None)
    if set(sides) == {"across"}:
        raise UnclearWish("how high it is is missing; of a ball say so: “a ball, 45 mm across”")
    if not sides:
        raise UnclearWish(f"no side of a thing is given; {EXAMPLES}")
    if "across" in sides:
        raise UnclearWish("what is round is “across” and “high”, what is not “wide”, “deep” and “high”; this "
                          f"has {' and '.join(sides)}")
    missing = [each for each in ("wide", "deep", "high") if each not in sides]
    raise UnclearWish(f"how {' and how '.join(missing)} it is is missing; {EXAMPLES}")


def _together(one: Room, count: int, arranged: str) -> Room:
    """The body around so many of them.

    A row runs along that side of a box which leaves the squarer block.
    """
    if count == 1:
        return one
    wide, deep, high = one.sides
    if arranged == STACKED:
        return Room(wide, one.depth, count * high)
    along, across = (count * wide, deep), (wide, count * deep)
    return Room(*min(along, across, key=max), high)
