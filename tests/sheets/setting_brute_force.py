"""Brute force for settings of the fence: every sequence of whole lengths is tried on every part.

Nothing of the generator is imported: parts are cut one cut at a time, and all that comes of it is kept.
"""
from __future__ import annotations

from functools import cache
from itertools import product

Sizes = tuple[tuple[int, int], ...]


def all_yields(width: int, height: int, blanks: Sizes, fences: tuple[int, ...],
               wanted: tuple[int, ...]) -> dict[tuple[int, ...], int]:
    """What one sheet gives, counts up to those ``wanted``, with the fewest cuts for each."""
    @cache
    def of(w: int, h: int, stage: int) -> tuple[tuple[tuple[int, ...], int], ...]:
        found: dict[tuple[int, ...], int] = {(0,) * len(blanks): 0}

        def keep(counts: tuple[int, ...], cuts: int) -> None:
            counts = tuple(map(min, counts, wanted))
            found[counts] = min(cuts, found.get(counts, cuts))
        if stage == len(fences):
            for k, (a, b) in enumerate(blanks):
                if (w, h) in ((a, b), (b, a)):
                    keep(tuple(int(k == n) for n in range(len(blanks))), 0)
            return tuple(found.items())
        for counts, cuts in of(w, h, stage + 1):        # it is laid aside until the fence has moved
            keep(counts, cuts)
        fence = fences[stage]
        for strip, rest in ((((fence, h), (w - fence, h)) if fence < w else (None, None)),
                            (((w, fence), (w, h - fence)) if fence < h else (None, None))):
            if strip is not None and rest is not None:
                for (one, a), (other, b) in product(of(*strip, stage), of(*rest, stage)):
                    if any(one):                        # what the fence measures is used
                        keep(tuple(x + y for x, y in zip(one, other, strict=True)), a + b + 1)
        return tuple(found.items())
    return dict(of(width, height, 0))


def fewest(width: int, height: int, blanks: Sizes, wanted: tuple[int, ...], most_settings: int,
           most_sheets: int) -> dict[int, tuple[int, int]]:
    """By number of settings the fewest sheets, then cuts, of all sequences of so many whole lengths."""
    result: dict[int, tuple[int, int]] = {}
    for number in range(most_settings + 1):
        for fences in product(range(1, max(width, height)), repeat=number):
            yields = all_yields(width, height, blanks, fences, wanted)
            reached = {(0,) * len(blanks): 0}
            for sheets in range(1, most_sheets + 1):
                step: dict[tuple[int, ...], int] = {}
                for (had, a), (more, b) in product(reached.items(), yields.items()):
                    counts = tuple(min(x + y, n) for x, y, n in zip(had, more, wanted, strict=True))
                    step[counts] = min(a + b, step.get(counts, a + b))
                reached = step
                if wanted in reached:
                    result[number] = min(result.get(number, (sheets, reached[wanted])),
                                         (sheets, reached[wanted]))
                    break
    return result
