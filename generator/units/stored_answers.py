"""Answers of long work, kept under a digest of what it was given and of the code that it works by."""
from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, MutableMapping
from contextlib import suppress
from typing import ParamSpec, TypeVar

from generator.files import code_of
from generator.findings import Span
from generator.units.memoise import memoised
from generator.units.record_data import NotData, data_of, digest_of, value_of

Given = ParamSpec("Given")
Answer = TypeVar("Answer")
NOWHERE = Span("")          # of what is said of no place in particular
_digest = memoised(64)(digest_of)       # one plan is asked about again and again


def stored(cache: MutableMapping[str, bytes] | None, work: Callable[Given, Answer], *known_by: object,
           keeps: Callable[[Answer], bool] = lambda _: True) -> Callable[Given, Answer]:
    """``work``, whose answer is found in ``cache`` or kept there; without a cache the work itself.

    ``known_by`` are records and plain values on which the answer depends, whatever else is handed to the
    work; places in a source count only by which of them are one. What ``keeps`` refuses, and what is no data,
    is worked out each time.
    """
    if cache is None:
        return work

    def answered(*given: Given.args, **named: Given.kwargs) -> Answer:
        try:
            digests = [_digest(each) for each in known_by]
        except NotData:
            return work(*given, **named)
        numbers = {span: number for number, span in
                   enumerate(dict.fromkeys((NOWHERE, *(span for _, spans in digests for span in spans))))}
        said = json.dumps([work.__module__, work.__qualname__, code_of(work.__module__),
                           [(digest, [numbers[span] for span in spans]) for digest, spans in digests]])
        key = hashlib.sha256(said.encode()).hexdigest()
        data = cache.get(key)
        if data is not None:
            with suppress(NotData):
                found: Answer = value_of(data, tuple(numbers))
                return found
        answer = work(*given, **named)
        if keeps(answer):
            with suppress(NotData):
                cache[key] = data_of(answer, numbers)
        return answer
    return answered
