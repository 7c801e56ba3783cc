"""Answers that several ask for in turn, worked out once.

Both languages of a tutorial share the paper it is made of.
"""
from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from enum import Enum
from functools import wraps
from typing import ParamSpec, TypeVar

Given = ParamSpec("Given")
Answer = TypeVar("Answer")
VALUE_TYPES = (str, int, float, Enum, type(None))     # known by what they are; all else by which object it is


def memoised(most: int) -> Callable[[Callable[Given, Answer]], Callable[Given, Answer]]:
    """Remember the last ``most`` answers of a function by the very objects it was given.

    For pure functions of frozen records, which are too large to be compared:
    another record with the same values is worked out anew, and gives the same.
    What was given is kept with the answer, so no object can take its place.
    """
    def remembering(work: Callable[Given, Answer]) -> Callable[Given, Answer]:
        known: OrderedDict[tuple[object, ...], tuple[object, Answer]] = OrderedDict()

        @wraps(work)
        def asked(*given: Given.args, **named: Given.kwargs) -> Answer:
            key = (*map(_identity, given),
                   *((name, _identity(value)) for name, value in sorted(named.items())))
            found = known.pop(key, None) or ((given, named), work(*given, **named))
            known[key] = found
            while len(known) > most:
                known.popitem(last=False)
            return found[1]
        return asked
    return remembering


def _identity(value: object) -> tuple[type, object]:
    return type(value), value if isinstance(value, VALUE_TYPES) else id(value)
