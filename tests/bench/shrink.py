"""A damaged source made as short as it can be while it still fails in the same way."""
from __future__ import annotations

import re
import traceback
from collections.abc import Callable, Sequence

from tests.house.tracked_files import ROOT

MOST_TRIES = 400


def failure(error: BaseException) -> tuple[str, str]:
    """What tells one failure from another: the kind of error, and the last place of ours that it passed."""
    own = [f"{each.filename}:{each.name}" for each in traceback.extract_tb(error.__traceback__)
           if each.filename.startswith(str(ROOT / "generator"))]
    said = str(error).split("\n")[0] if not own else ""
    return type(error).__name__, own[-1] if own else re.sub(r"\d+", "#", said)


def shrunk(data: bytes, fails: Callable[[bytes], bool], most: int = MOST_TRIES) -> bytes:
    """The shortest that was found within so many tries: first whole lines are left out, then words and signs.

    A run of pieces is left out, then runs of half its length and so on, as long as ``fails`` says so of what
    is left (delta debugging, A. Zeller and R. Hildebrandt, 2002, from memory; complements alone).
    """
    left = [most]

    def tried(pieces: Sequence[bytes]) -> bool:
        left[0] -= 1
        return left[0] >= 0 and fails(b"".join(pieces))

    for pattern in (rb"[^\n]*\n|[^\n]+", rb"\w+|\s+|[^\w\s]", rb"(?s)."):
        pieces = re.findall(pattern, data)
        run = len(pieces)
        while run and left[0] > 0:
            at = 0
            while at < len(pieces) and left[0] > 0:
                rest = pieces[:at] + pieces[at + run:]
                if tried(rest):
                    pieces = rest
                else:
                    at += run
            run //= 2
        data = b"".join(pieces)
    return data
