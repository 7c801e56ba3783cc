"""What the front matter says of the finished box: what is to go in, what a bow takes, when the author made it."""
from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from generator.findings import Span
from generator.paper.values import Bulk
from generator.units import MM_PER_INCH, Quantity, length

BOW = {"mm": length(300), "in": length(12 * MM_PER_INCH)}   # of ribbon for a bow (common practice, no source)
HOLDS_HINT = "write for example holds: {what: tea bag, width: 60 mm, depth: 40 mm, height: 58 mm}, or a diameter and a height"
MADE_HINT = "write for example made: {edition: mm, on: 2026-05-09}"


@dataclass(frozen=True, slots=True)
class Content:
    """A thing that is to go into the box: ``what`` it is called, and its size, the same in both editions.

    ``piece`` is the name of the piece it goes into, "" where there is only one that holds anything.
    """

    what: str
    size: Bulk
    piece: str
    span: Span


@dataclass(frozen=True, slots=True)
class Shown:
    """A length as a photo shows it: ``size`` in ``system``, as it was when the photo was taken."""

    photo: str
    name: str
    size: Quantity
    system: str
    span: Span


@dataclass(frozen=True, slots=True)
class Made:
    """That the author has made the box by hand, from which edition, and on which day."""

    edition: str
    on: date
