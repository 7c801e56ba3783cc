"""Functions for prose: numbers in words, plurals, sizes, differences, and why."""
from __future__ import annotations

from typing import Annotated

from generator.geometry import bounds_of
from generator.language.told import HOW, asked
from generator.paper.job import Job
from generator.paper.kinds import AnyQuantity, Kind, Length, Number, PieceArg, TextArg
from generator.paper.records import Face
from generator.paper.values import Bulk, Piece, Size, Wordage
from generator.units import Quantity, number_words
from generator.units import plural as plural_word

Sized = Annotated[object, Kind("a piece or a face", (Piece, Face))]


def words(job: Job, n: Number) -> Wordage:
    """A number in words: eight."""
    return Wordage(number_words(_plain(n)), int(n.value))


def plural(job: Job, n: Number, one: TextArg, many: TextArg) -> Wordage:
    """One of two words, as the number asks: plural(n, "flap", "flaps")."""
    return Wordage(plural_word(_plain(n), one, many))


def size(job: Job, of: Sized) -> Size:
    """Width and height of a piece or a face."""
    return Size(*extents(job, of))


def extents(job: Job, of: Piece | Face) -> tuple[Quantity, Quantity]:
    """Width and height as the piece lies now; a face by its bounding rectangle."""
    state = job.state(of.piece if isinstance(of, Face) else of)
    if isinstance(of, Face) and of.size is not None:
        width, height = of.size
    elif isinstance(of, Face):
        x0, y0, x1, y1 = bounds_of(of.outline)
        width, height = (Quantity(d, 1, state.width.names) for d in (x1 - x0, y1 - y0))
    else:
        width, height = state.width, state.height
    return (height, width) if state.lie.quarters % 2 else (width, height)


def more_than(job: Job, a: Length, b: Length) -> Quantity:
    """By how much the first length is longer than the second; a difference the other way round is refused."""
    if a.below(b):
        job.refuse("length-negative", f"{job.say(a)} is not more than {job.say(b)}",
                   "change their places, or the lengths of the edition")
    return a - b


def fits(job: Job, piece: PieceArg, *, width: Length = None, depth: Length = None, height: Length = None,
         diameter: Length = None) -> Bulk:
    """The size of a thing that goes into the folded piece; refused where it does not go in.

    A box has width, depth and height, a tin diameter and height, a ball its
    diameter. Without any of them it is the thing that the front matter names under holds:.
    """
    return asked(job, "fits", piece, width=width, depth=depth, height=height, diameter=diameter)


def per_sheet(job: Job, piece: PieceArg, sheet: TextArg) -> Quantity:
    """How many blanks of a piece come out of one sheet: per_sheet(strip, "a4")."""
    return asked(job, "per_sheet", piece, sheet=sheet)


def why(job: Job, value: AnyQuantity) -> Wordage:
    """How a measure is made up of named lengths: 8 × panel + tab."""
    return Wordage(made_of(job, value))


def made_of(job: Job, value: Quantity) -> str:
    """The affine form of a length in words, else the names it depends on."""
    if value.form:
        return " + ".join(_term(name, factor, job) for name, factor in sorted(value.form.items())).replace("+ −", "− ")
    if value.names:
        how, names = [HOW[n] for n in sorted(value.names) if n in HOW], sorted(value.names - HOW.keys())
        return ", ".join([*how, *([f"from {', '.join(names)}"] if names else [])])
    return "a plain number"


def _term(name: str, factor: object, job: Job) -> str:
    sign = "−" if factor < 0 else ""
    size_ = abs(factor)
    return f"{sign}{name}" if size_ == 1 else f"{sign}{size_} × {name}"


def _plain(n: Quantity) -> object:
    return int(n.value) if n.exact and n.value.denominator == 1 else n.value


FUNCTIONS = (words, plural, size, more_than, fits, per_sheet, why)
