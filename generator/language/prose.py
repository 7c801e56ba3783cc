"""Functions for prose: numbers in words, plurals, sizes, differences, and why."""
from __future__ import annotations

from typing import Annotated

from generator.geometry import bounds_of
from generator.paper.job import Job
from generator.paper.kinds import AnyQuantity, Kind, Length, Number, TextArg
from generator.paper.records import Face
from generator.paper.values import Piece, Size, Wordage
from generator.units import Quantity, number_words, plural as plural_word


Sized = Annotated[object, Kind("a piece or a face", (Piece, Face))]


def words(job: Job, n: Number) -> Wordage:
    """A number in words: eight."""
    return Wordage(number_words(_plain(n)))


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


def why(job: Job, value: AnyQuantity) -> Wordage:
    """How a measure is made up of named lengths: 8 × panel + tab."""
    return Wordage(made_of(job, value))


def made_of(job: Job, value: Quantity) -> str:
    """The affine form of a length in words, else the names it depends on."""
    if value.form:
        return " + ".join(_term(name, factor, job) for name, factor in sorted(value.form.items())).replace("+ −", "− ")
    if value.names:
        return "from " + ", ".join(sorted(value.names))
    return "a plain number"


def _term(name: str, factor: object, job: Job) -> str:
    sign = "−" if factor < 0 else ""
    size_ = abs(factor)
    return f"{sign}{name}" if size_ == 1 else f"{sign}{size_} × {name}"


def _plain(n: Quantity) -> object:
    return int(n.value) if n.exact and n.value.denominator == 1 else n.value


FUNCTIONS = (words, plural, size, more_than, why)
