"""Which step of a translation stands for which step of the tutorial, where it has not the same number of them."""
from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.language.source.records import InlineExpression, Prose, SourceStep


def pairs(source: Sequence[SourceStep], other: Sequence[SourceStep]) -> list[tuple[int | None, int | None]]:
    """(place in the source, place in the translation) from the first step to the last; None for what has no partner.

    The titles are in two languages, so what tells steps apart is what their
    prose quotes. The way that leaves fewest alone, then pairs those that are
    most alike (a longest common sequence with weights).
    """
    if len(source) == len(other):
        return [(k, k) for k in range(len(source))]
    mine, theirs = [_quoted(s) for s in source], [_quoted(s) for s in other]
    best: dict[tuple[int, int], tuple[float, list]] = {}
    for i in range(len(mine), -1, -1):
        for j in range(len(theirs), -1, -1):
            best[i, j] = _best(i, j, mine, theirs, best)
    return best[0, 0][1]


def _best(i: int, j: int, mine: Sequence[frozenset], theirs: Sequence[frozenset], best: dict) -> tuple[float, list]:
    ways = []
    if i < len(mine) and j < len(theirs):
        ways.append((best[i + 1, j + 1][0] + 1 + _alike(mine[i], theirs[j]), (i, j), (i + 1, j + 1)))
    if i < len(mine):
        ways.append((best[i + 1, j][0], (i, None), (i + 1, j)))
    if j < len(theirs):
        ways.append((best[i, j + 1][0], (None, j), (i, j + 1)))
    if not ways:
        return 0.0, []
    score, pair, rest = max(ways, key=lambda way: way[0])
    return score, [pair, *best[rest][1]]


def _alike(a: frozenset[str], b: frozenset[str]) -> float:
    """From 0 to 1; two steps that quote nothing are half alike."""
    return len(a & b) / len(a | b) if a | b else 0.5


def _quoted(step: SourceStep) -> frozenset[str]:
    return frozenset(_expressions(step))


def _expressions(step: SourceStep) -> Iterator[str]:
    for prose in (step.heading, *(block for block in step.blocks if isinstance(block, Prose))):
        yield from (" ".join(part.text.split()) for part in prose.parts if isinstance(part, InlineExpression))
