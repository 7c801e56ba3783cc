"""Brute force over whole numbers, without any of the generator's ideas: every cut at every mm is tried."""
from __future__ import annotations

from functools import cache
from itertools import product


def most_value(width: int, height: int, kinds: tuple[tuple[int, int, int], ...], turn: bool,
               kerf: int = 0) -> int:
    """The most value out of a rectangle by edge-to-edge cuts that each take ``kerf`` away; ``kinds`` are (w,
    h, value).
    """
    lying = [(w, h, v) for w, h, v in kinds] + [(h, w, v) for w, h, v in kinds if turn]

    @cache
    def best(w: int, h: int) -> int:
        top = max((v for a, b, v in lying if a <= w and b <= h), default=0)
        for at in range(1, w):
            top = max(top, best(at, h) + (best(w - at - kerf, h) if w - at - kerf > 0 else 0))
        for at in range(1, h):
            top = max(top, best(w, at) + (best(w, h - at - kerf) if h - at - kerf > 0 else 0))
        return top
    return best(width, height)


def most_sets(width: int, height: int, blanks: tuple[tuple[int, int, int, bool], ...], limit: int = 9) -> int:
    """The most complete sets; ``blanks`` are (w, h, count, may be turned)."""
    @cache
    def gives(w: int, h: int, wanted: tuple[int, ...]) -> bool:
        if not any(wanted):
            return True
        if sum(n * a * b for n, (a, b, _, _) in zip(wanted, blanks, strict=True)) > w * h:
            return False
        if sum(wanted) == 1:
            a, b, _, turn = blanks[wanted.index(1)]
            return (a <= w and b <= h) or (turn and b <= w and a <= h)
        for part in product(*(range(n + 1) for n in wanted)):
            rest = tuple(n - p for n, p in zip(wanted, part, strict=True))
            if not any(part) or not any(rest):
                continue
            if any(gives(at, h, part) and gives(w - at, h, rest) for at in range(1, w)):
                return True
            if any(gives(w, at, part) and gives(w, h - at, rest) for at in range(1, h)):
                return True
        return False
    number = 0
    while number < limit and gives(width, height, tuple((number + 1) * count for _, _, count, _ in blanks)):
        number += 1
    return number
