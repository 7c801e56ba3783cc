"""The one table of measuring systems: a record each for metric and inch, with all that differs."""
from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

from generator.dataclass import dataclass
from generator.findings import EDITION_NAMES


@dataclass(frozen=True, slots=True)
class System:
    """A measuring system; every length below is in mm and exact.

    ``code`` is its unit as sources write it, ``plural`` its unit after a number.
    ``mm`` is one of its units. With ``halves`` parts of a unit are halves to sixty-fourths, else
    decimals.
    """

    code: str
    plural: str
    mm: Fraction
    halves: bool
    board_step: Fraction        # between the marks of a scoring board, and how far they reach
    board_length: Fraction
    rule_step: Fraction         # between the marks of rules and trimmers; limits are rounded to it
    finest: Fraction            # the finest that is printed exactly
    handy_steps: tuple[Fraction, ...]       # marks that are found at a glance, the handiest first
    graded_step: Fraction       # between the sizes that cutters and punches for circles are sold in
    hand_error: Fraction        # by which a careful hand is out
    bow_ribbon: Fraction        # of ribbon for a bow where nothing is said
    about_decimals: int         # of what is only about so long, before it is converted
    print_paper: str            # the sheet that a household prints on, by its name in the table of sheets
    roll_unit: str              # ribbon is sold by it, by the key of its words; how long it is
    roll_length: Fraction
    roll_step: Fraction         # share of it that is cut off the roll

    @property
    def edition(self) -> str:
        """What messages call the edition measured in it."""
        return EDITION_NAMES[self.code]

    @property
    def other(self) -> System:
        """The system of the other edition."""
        return next(each for each in SYSTEMS.values() if each is not self)


_INCH = Fraction(127, 5)        # NIST Handbook 44, Appendix C: exact by definition

# Marks, hand errors, graded sizes, ribbons and papers are common practice, no source.
METRIC = System(
    "mm", "millimetres", mm=Fraction(1), halves=False,
    board_step=Fraction(5), board_length=Fraction(300), rule_step=Fraction(1), finest=Fraction(1, 10),
    handy_steps=(Fraction(5), Fraction(1)), graded_step=Fraction(10), hand_error=Fraction(1, 2),
    bow_ribbon=Fraction(300), about_decimals=1, print_paper="a4",
    roll_unit="metre", roll_length=Fraction(1000), roll_step=Fraction(1, 10))
INCH = System(
    "in", "inches", mm=_INCH, halves=True,
    board_step=_INCH / 8, board_length=12 * _INCH, rule_step=_INCH / 16, finest=_INCH / 64,
    handy_steps=(_INCH / 4, _INCH / 8, _INCH / 16), graded_step=_INCH / 2, hand_error=_INCH / 32,
    bow_ribbon=12 * _INCH, about_decimals=2, print_paper="letter",
    roll_unit="yard", roll_length=36 * _INCH, roll_step=Fraction(1, 4))

SYSTEMS: Mapping[str, System] = MappingProxyType({each.code: each for each in (METRIC, INCH)})


def system_of(unit: str) -> System:
    """The system whose code is ``unit``; ValueError where there is none."""
    if unit not in SYSTEMS:
        raise ValueError(f'no such system: "{unit}"')
    return SYSTEMS[unit]


def other_system(unit: str) -> str:
    """The code of the other system: "in" for "mm"."""
    return system_of(unit).other.code
