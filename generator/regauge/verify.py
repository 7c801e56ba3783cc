"""Check a certificate of ``foldgauge regauge --json`` by trying every point, without the search's code."""
import json
import math
import operator as do
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

MOST = 1_000_000
Point = Mapping[str, Fraction]
Certificate = Mapping[str, Any]
WORK: Mapping[str, Callable[..., Any]] = {
    "+": do.add, "-": do.sub, "*": do.mul, "/": do.truediv, "not": do.not_, "and": min, "or": max, "abs": abs,
    "min": min, "max": max, "sqrt": math.sqrt, "sin": lambda a: math.sin(math.radians(a)),
    "cos": lambda a: math.cos(math.radians(a)), "tan": lambda a: math.tan(math.radians(a)),
    "atan": lambda a: math.degrees(math.atan(a))}


def value_of(tree: Any, at: Point) -> Any:
    """A tree's value at a point: lengths in mm, angles in degrees; what is not exact is equal within 1e-9."""
    if isinstance(tree, str) or tree[0] == "of":
        return Fraction(tree) if isinstance(tree, str) else at[tree[1]]
    op, (a, *b) = tree[0], [value_of(part, at) for part in tree[1:]]
    if op in WORK:
        try:
            return WORK[op](a, *b)
        except (ValueError, ZeroDivisionError):
            return math.nan
    same = abs(a - b[0]) <= (0 if isinstance(a, Fraction) and isinstance(b[0], Fraction) else 1e-9)
    return same if op == "==" else (a < b[0] or same) and not (same and op == "<")


def rank(c: Certificate, drawn: Point, at: Point) -> tuple[Any, ...]:
    """The smaller, the better: changes of finished sizes and lengths, and how fine the fractions are."""
    ends = [round(float(abs(value_of(tree, at) / value_of(tree, drawn) - 1)), 9)
            for tree in c["finish"].values()]
    close = max([0.0, *ends]), sum(abs(at[n] / v - 1) for n, v in drawn.items())
    level = [next((k for k, step in enumerate(c["levels"]) if at[n] % Fraction(step) == 0), len(c["levels"]))
             for n in drawn]
    levels = [level.count(k) for k in range(len(c["levels"]), 0, -1)]
    return (*close, levels) if c["prefer"] == "close" else (levels, *close)


def points(c: Certificate, names: Sequence[str], at: Point, left: list[int]) -> Iterator[Point]:
    """Every choice in the windows that lies on every congruence, name by name."""
    if len(at) == len(names):
        yield at
        return
    name = names[len(at)]
    mine = [g for g in c["congruences"] if name in g["form"]]
    step = next(Fraction(g["step"]) / Fraction(*g["form"].values()) for g in mine if len(g["form"]) == 1)
    low, high = (Fraction(end) / step for end in c["windows"][name])
    for now in ({**at, name: z * step} for z in range(math.ceil(low), math.floor(high) + 1)):
        left[0] -= 1
        steps = (sum(Fraction(k) * now[n] for n, k in g["form"].items()) / Fraction(g["step"])
                 for g in mine if g["form"].keys() <= now.keys())
        if left[0] > 0 and all(count.denominator == 1 for count in steps):
            yield from points(c, names, now, left)


def same_lattice(c: Certificate) -> bool:
    """True when every congruence is a whole combination of the rows, and every row one of the congruences."""
    names, rows, scale = (c["lattice"][key] for key in ("names", "rows", "denominator"))
    given = [[Fraction(g["form"].get(n, 0)) / Fraction(g["step"]) * scale for n in names]
             for g in c["congruences"]]
    result = [[sum(k * row[j] for k, row in zip(each, given, strict=False)) for j in range(len(names))]
            for each in c["lattice"]["made"]]
    for k, pivot in enumerate(rows):
        given = [[a - row[k] // pivot[k] * b for a, b in zip(row, pivot, strict=True)] for row in given]
    return result == rows and not any(map(any, given))


def verify(c: Certificate) -> list[str]:
    """What is wrong with a certificate, as sentences: none where it holds."""
    drawn, left, tried, seen = {n: Fraction(v) for n, v in c["drawn"].items()}, [MOST], 0, 0
    chosen, refused = ([{n: Fraction(v) for n, v in each["values"].items()} for each in c[k]]
                       for k in ("choices", "rejected"))
    ranks = [rank(c, drawn, at) for at in chosen]
    wrong = ["the lattice is not that of the congruences"] * (not same_lattice(c))
    wrong += ["the choices are not in order"] * (ranks != sorted(ranks))
    for at in points(c, c["lattice"]["names"][::-1], {}, left):
        tried, own = tried + 1, {n: at[n] for n in drawn}
        same = [r for r, each in zip(ranks, chosen, strict=True)    # the same box, perhaps another ribbon
                if all(each[n] == own[n] or n in c["ribbons"] for n in own)]
        worst = [*same, *ranks[-1:] * (len(chosen) >= c["asked"])]
        better = c["certain"] and own not in refused and (not worst or rank(c, drawn, at) < min(worst))
        if (own in chosen or better) and all(value_of(need["tree"], at) for need in c["needs"]):
            seen += own in chosen
            wrong += [f"a better choice is left out: {own}"] * (own not in chosen)
    if left[0] <= 0:
        return [*wrong, f"there are too many points: {MOST} steps were not enough to try them all"]
    wrong += ["a choice lies off a congruence or its window, or fails a requirement"] * (seen != len(chosen))
    return wrong + [f"there are {tried} points, not as many"] * (c["counts"]["covered"] not in (None, tried))


if __name__ == "__main__":
    problems = verify(json.loads(Path(sys.argv[1]).read_text(encoding="utf-8")))
    sys.exit("\n".join(problems) or print("the certificate holds"))
