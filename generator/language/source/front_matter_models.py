"""What front matter may hold: one model for each group of keys. Unknown keys and wrong kinds are refused."""
from __future__ import annotations

import re
from datetime import date
from fractions import Fraction
from typing import Annotated, Literal, NamedTuple, get_args

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainValidator,
    model_validator,
)

from generator.language.source.former_names import read_alias
from generator.language.source.front_matter_values import (
    HOLDS_HINT,
    Oval,
    read_colour,
    read_oval,
    read_sheet,
    with_selvedge,
)
from generator.language.syntax.syntax_errors import suggested_name
from generator.paper.sheet_layouts import StockSheet
from generator.units import Quantity, QuantityError, parse_length, unit_of

MAX_TEXT_LENGTH = 500
MAX_NAME_LENGTH = 40
MAX_HAND_ERROR = 5        # mm; who is farther off measures again
MAX_LENGTH = 20_000     # mm; a long ribbon has 3000
MAX_WINDOW_PERCENT = 50   # of a window; with more it would be another box
MAX_STYLUS_RADIUS = 5     # mm; the radius of a stylus tip, or what a curve may be off
MAX_CIRCLE = 1000   # mm; of a plate
MAX_ENTRIES = 100   # of one list: ovals, circles, supplies, sheets
_SHORT = Field(max_length=MAX_ENTRIES)
# what can hurt, in the order in which a page warns of it
Use = Literal["blade", "punch", "needle", "hot_glue", "heat_tool", "wet_glue", "double_sided_tape", "ribbon",
              "food", "candle", "magnets", "small_parts"]
USES: tuple[str, ...] = get_args(Use)
GrainDirection = Literal["across", "along", "any"]
Level = Literal["easy", "medium", "hard"]
GuideEdge = Literal["outside", "inside"]
SystemCode = Literal["mm", "in"]

_NAME = re.compile(r"[a-z][a-z0-9_]*\Z")
_WEIGHT = re.compile(r"([0-9]{1,4}) ?(?:gsm|g/m2|g/m²)\Z")
_WINDOW_SHARE = re.compile(r"([0-9]{1,3}(?:\.[0-9]{1,3})?) ?%?\Z")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}\Z")
_TIME = re.compile(r"(?:([0-9]{1,3}) ?h)? ?(?:([0-9]{1,4}) ?min)?\Z")
CHOSEN_FOR = " for "


class MeasuredLength(NamedTuple):
    """A length, its system and how it was typed; ``chosen_for`` is the drawn one that it was chosen for."""

    quantity: Quantity
    system: str
    text: str
    chosen_for: MeasuredLength | None = None


def valid_name(name: str) -> str:
    """A name itself; raises QuantityError unless it is small letters, digits and _."""
    if ":" in name:
        raise QuantityError("front-key", f"“{name[:MAX_NAME_LENGTH]}” is not a name",
                            "put a space behind the colon")
    if not _NAME.match(name) or len(name) > MAX_NAME_LENGTH:
        raise QuantityError("front-key", f"“{name[:MAX_NAME_LENGTH]}” cannot be a name",
                            "names are written in small "
                            f"letters, digits and _, and begin with a letter: {suggested_name(name)}")
    return name


def valid_text(text: str) -> str:
    """Words for people; raises QuantityError when there are none, too many, or braces in them."""
    if not text.strip():
        raise QuantityError("front-value", "no words stand here", "write some, or take the key out")
    if len(text) > MAX_TEXT_LENGTH:
        raise QuantityError("front-value", f"this has {len(text)} signs", f"{MAX_TEXT_LENGTH} are the most")
    if "{{" in text:
        raise QuantityError("front-value", "{{ … }} is not worked out here",
                            "say it without, or say it in a step")
    return text.strip()


def valid_supply(text: str) -> str:
    """One of the supplies, which may hold expressions."""
    valid_text(text.replace("{{", "  "))
    return text


def read_measure(text: object) -> MeasuredLength:
    """A length from text such as ``30 mm``; raises QuantityError where it is none."""
    if isinstance(text, int | float) and not isinstance(text, bool):
        text = str(text)    # a number alone lacks its unit, and that is what the reading says
    if not isinstance(text, str):
        raise QuantityError("length-wrong", f"{_typed_text(text)} is not a length"
                            if text is not None else "a length is missing",
                            "write a number and its unit, such as 32 mm or 1 1/4 in")
    length = parse_length(text)
    if length.value > MAX_LENGTH:
        raise QuantityError("length-wrong", f"{text} is longer than any paper or ribbon",
                            "check its digits and its unit")
    return MeasuredLength(length, unit_of(text), text)


def read_edition_measure(text: object) -> MeasuredLength:
    """A length of the other edition, such as ``2 3/8 in`` or ``2 3/8 in for 60 mm``; raises QuantityError."""
    if not isinstance(text, str) or CHOSEN_FOR not in text:
        return read_measure(text)
    chosen, _, drawn = text.partition(CHOSEN_FOR)
    return read_measure(chosen)._replace(text=text, chosen_for=read_measure(drawn))


def read_shown(value: object) -> MeasuredLength | int:
    """A length, or a whole number of something that is counted."""
    return value if isinstance(value, int) and not isinstance(value, bool) else read_measure(value)


def read_weight(text: object) -> int:
    """g/m² from ``200 gsm``."""
    found = _WEIGHT.match(text.strip()) if isinstance(text, str) else None
    if found is None or int(found[1]) == 0:
        raise QuantityError("front-value", f"{_typed_text(text)} is not the weight of a paper",
                            "write the grams of a square metre, such as 200 gsm")
    return int(found[1])


def read_time(text: object) -> int:
    """Minutes from ``40 min`` or ``1 h 20 min``."""
    found = _TIME.match(" ".join(text.split())) if isinstance(text, str) else None
    minutes = int(found[1] or 0) * 60 + int(found[2] or 0) if found else 0
    if not minutes:
        raise QuantityError("front-value", f"{_typed_text(text)} is not a time",
                            "write it as 40 min or 1 h 20 min")
    return minutes


def read_day(text: object) -> date:
    """A day from ``2026-05-09``."""
    if isinstance(text, str) and _DAY.match(text.strip()):
        try:
            return date.fromisoformat(text.strip())
        except ValueError:
            raise QuantityError("front-value", f"there is no day {text.strip()}",
                                "look at the month and the day") from None
    raise QuantityError("front-value", f"{_typed_text(text)} is not a day",
                        "write year, month and day, such as 2026-05-09")


def sheet_keys(value: object) -> object:
    """The keys of a sheet; one that is only named, as most are, has no other."""
    return value if isinstance(value, dict) else {"size": value}


def read_share(text: object) -> Fraction:
    """A share from ``12 %`` or ``12``; from 1 to 50 per cent."""
    is_text = isinstance(text, str | int | float) and not isinstance(text, bool)
    found = _WINDOW_SHARE.match(str(text).strip()) if is_text else None
    if found is None or not 1 <= Fraction(found[1]) <= MAX_WINDOW_PERCENT:
        raise QuantityError("front-value",
                            f"{_typed_text(text)} is not a window for the lengths of an edition",
                            f"write how far they may lie from the drawn ones, from 1 % to "
                            f"{MAX_WINDOW_PERCENT} %, such as 12 %")
    return Fraction(found[1]) / 100


def _typed_text(value: object) -> str:
    return f"“{str(value)[:MAX_NAME_LENGTH]}”" if value is not None else "nothing"


Name = Annotated[str, AfterValidator(valid_name)]
Text = Annotated[str, AfterValidator(valid_text)]
Supply = Annotated[str, AfterValidator(valid_supply)]
Length = Annotated[MeasuredLength, PlainValidator(read_measure)]
EditionLength = Annotated[MeasuredLength, PlainValidator(read_edition_measure)]
Count = Annotated[int, Field(ge=1, le=1000)]


class _KeyGroup(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)


class PaperModel(_KeyGroup):
    """One of the papers; ``printed`` and ``plain`` are the colours of its sides, which its pictures show."""

    weight: Annotated[int, PlainValidator(read_weight)] | None = None
    thickness: Length | None = None
    grain: GrainDirection = "any"
    one_way: bool = False
    two_sided: bool = False
    printed: Annotated[str, PlainValidator(read_colour)] = ""
    plain: Annotated[str, PlainValidator(read_colour)] = ""


class ToolModel(_KeyGroup):
    """A size that a tool, or something bought, fixes, in both systems."""

    mm: Length
    inch: Length = Field(alias="in")


def plausible_hand(hand: ToolModel) -> ToolModel:
    """How far a mark may be off; refuses what no hand is."""
    for each in (hand.mm, hand.inch):
        if each.quantity.value > MAX_HAND_ERROR:
            raise QuantityError("front-value", f"{each.text} is farther than any hand is off",
                                "write how far a mark may lie from where it should, such as 0.5 mm and 1/32 "
                                "in")
    return hand


class EditionsModel(_KeyGroup):
    """The named lengths in the system which is not the drawn one; the other key stays empty.

    ``within`` is how far they may lie from the drawn ones, where the author allows more than is usual.
    """

    mm: dict[str, EditionLength] | None = None
    inch: dict[str, EditionLength] | None = Field(None, alias="in")
    within: Annotated[Fraction, PlainValidator(read_share)] | None = None


class SheetModel(_KeyGroup):
    """One of the sheets; ``trim`` is the selvedge of one long edge."""

    size: Annotated[StockSheet, PlainValidator(read_sheet)]
    trim: Length | None = None

    @model_validator(mode="after")
    def leaves_something(self) -> SheetModel:
        """Refuses a selvedge as wide as the sheet."""
        _ = self.sheet
        return self

    @property
    def sheet(self) -> StockSheet:
        """The sheet with its selvedge."""
        return with_selvedge(self.size, self.trim.quantity) if self.trim else self.size


def for_both_systems(value: object) -> object:
    """A size for both systems: said once it is the same in both, and worded in each."""
    if isinstance(value, dict):
        return value
    read_measure(value)     # what is wrong with it is said once
    return {"mm": value, "in": value}


def plausible_tip(tool: ToolModel) -> ToolModel:
    """Refuses what is larger than any stylus tip."""
    if max(tool.mm.quantity.value, tool.inch.quantity.value) > MAX_STYLUS_RADIUS:
        raise QuantityError("front-value", f"{tool.mm.text} is more than a curve could be traced with",
                            f"a tip's radius and what a curve may be off are {MAX_STYLUS_RADIUS} mm at most")
    return tool


def read_circle(text: object) -> MeasuredLength:
    """A round die or a plate, by its diameter."""
    circle = read_measure(text)
    if circle.quantity.value > MAX_CIRCLE:
        raise QuantityError("front-value", f"no circle is as large as {circle.text}",
                            "check its digits and its unit")
    return circle


Tip = Annotated[ToolModel, BeforeValidator(for_both_systems), AfterValidator(plausible_tip)]


class GuidesModel(_KeyGroup):
    """Tools to trace curves with.

    The radius of the stylus' tip, the edge that it follows, how far a curve may be ``within``
    of the drawn one, and the ovals and circles that the author has.
    """

    stylus: Tip | None = None
    edge: GuideEdge = "outside"
    within: Tip | None = None
    ovals: Annotated[list[Annotated[Oval, PlainValidator(read_oval)]], _SHORT] = []
    circles: Annotated[list[Annotated[MeasuredLength, PlainValidator(read_circle)]], _SHORT] = []


class HoldsModel(_KeyGroup):
    """A thing that goes in: a box by three sides, a tin by diameter and height, a ball by its diameter alone.

    What is soft may use the room under a gathered top.
    """

    what: Text
    width: Length | None = None
    depth: Length | None = None
    height: Length | None = None
    diameter: Length | None = None
    piece: Text = ""
    soft: bool = False

    @model_validator(mode="after")
    def has_a_shape(self) -> HoldsModel:
        """Refuses sides that make no box, no tin and no ball."""
        box = self.width and self.depth and self.height and not self.diameter
        if not box and (not self.diameter or self.width or self.depth):
            raise QuantityError("front-value",
                                f"these sides of “{self.what}” make no box, no tin and no ball", HOLDS_HINT)
        return self


class CreditModel(_KeyGroup):
    """Whose design it is, and what allows us to publish it."""

    title: Text = ""
    author: Text = ""
    source: Text = ""
    licence: Text = ""
    permission: Text = ""
    changes: Text = ""


class FrontModel(_KeyGroup):
    """All keys. What must be there is asked for later, so that the rest is looked at too."""

    title: Text | None = None
    summary: Text = ""
    drawn_in: SystemCode | None = None
    counts: dict[Name, Count] = {}
    lengths: dict[Name, Length] = {}
    tools: dict[Name, ToolModel] = {}
    bought: dict[Name, Annotated[ToolModel, BeforeValidator(for_both_systems)]] = {}
    editions: EditionsModel = EditionsModel.model_validate({})
    papers: dict[Name, PaperModel] = {}
    names: dict[str, Text] = {}
    sheets: Annotated[list[Annotated[SheetModel, BeforeValidator(sheet_keys)]], _SHORT] = []
    level: Level | None = None
    time: Annotated[int, PlainValidator(read_time)] | None = None
    supplies: Annotated[list[Supply], _SHORT] = []
    uses: list[Use] = []
    guides: GuidesModel = GuidesModel()
    holds: HoldsModel | None = None
    bow: Annotated[ToolModel, BeforeValidator(for_both_systems)] | None = None
    photos: dict[str, dict[Name, Annotated[MeasuredLength | int, PlainValidator(read_shown)]]] = {}
    hand: Annotated[ToolModel, AfterValidator(plausible_hand)] | None = None
    credit: CreditModel = CreditModel()
    published: Annotated[date, PlainValidator(read_day)] | None = None
    updated: Annotated[date, PlainValidator(read_day)] | None = None
    aliases: Annotated[list[Annotated[str, AfterValidator(read_alias)]], Field(max_length=MAX_ENTRIES)] = []
