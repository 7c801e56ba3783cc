"""What a name stands for while statements are worked through."""
from __future__ import annotations

from dataclasses import dataclass

from generator.findings import Span

BROKEN = object()       # what a name stands for when the statement that makes it is wrong
NOTHING = object()      # what a parameter of a part stands for when it may be left out, and was


class Cascade(Exception):
    """A value is missing because of a problem that is reported already; nothing more is said."""


@dataclass(frozen=True, slots=True)
class Binding:
    """What a name stands for, where it was made, and how it reads in the source."""

    name: str
    value: object
    span: Span
    text: str
    step: int       # 0 for the front matter
