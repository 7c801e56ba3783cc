"""Check a certificate of ``foldgauge regauge --json`` again, by trying every point.

Shares no code with the search.
"""
import json
import math
import operator as do
import sys
from fractions import Fraction as F

MOST = 1_000_000
WORK = {"+": do.add, "-": do.sub, "*": do.mul, "/": do.truediv, "not": do.not_, "and": min, "or": max,
        "abs": abs, "min": min,
        "max": max, "sqrt": math.sqrt, "sin": lambda a: math.sin(math.radians(a)),
        "cos": lambda a: math.cos(math.radians(a)),
        "tan": lambda a: math.tan(math.radians(a)), "atan": lambda a: math.degrees(math.atan(a))}


def worth(tree, at):
    """A tree's value at a point: lengths in mm, angles in degrees; what is not exact is equal within 1e-9."""
    if isinstance(tree, str) or tree[0] == "of":
        return F(tree) if isinstance(tree, str) else at[tree[1]]
    op, (a, *b) = tree[0], [worth(part, at) for part in tree[1:]]
    if op in WORK:
        try:
            return WORK[op](a, *b)
        except (ValueError, ZeroDivisionError):
            return math.nan
    same = abs(a - b[0]) <= (0 if isinstance(a, F) and isinstance(b[0], F) else 1e-9)
    return same if op == "==" else (a < b[0] or same) and not (same and op == "<")


def rank(c, drawn, at):
    """The smaller, the better: changes of finished sizes and lengths, and how fine the fractions are."""
    ends = [worth(tree, at) / worth(tree, drawn) for tree in c["finish"].values()]
    close = max([0.0, *(round(float(abs(end - 1)), 9) for end in ends)]), sum(abs(at[n] / v - 1) for n,
                                                                              v in drawn.items())
    level = [next((k for k, step in enumerate(c["levels"]) if at[n] % F(step) == 0), len(c["levels"]))
             for n in drawn]
    levels = [level.count(k) for k in range(len(c["levels"]), 0, -1)]
    return (*close, levels) if c["prefer"] == "close" else (levels, *close)


def points(c, names, at, left):
    """Every choice in the windows that lies on every congruence, name by name."""
    if len(at) == len(names):
        return (yield at)
    mine = [g for g in c["congruences"] if names[len(at)] in g["form"]]
    step = next(F(g["step"]) / F(*g["form"].values()) for g in mine if len(g["form"]) == 1)
    low, high = (F(end) / step for end in c["windows"][names[len(at)]])
    for now in ({**at, names[len(at)]: z * step} for z in range(math.ceil(low), math.floor(high) + 1)):
        left[0] -= 1
        if left[0] > 0 and all(sum(F(k) * now[n] for n, k in g["form"].items()) % F(g["step"]) == 0
                               for g in mine if g["form"].keys() <= now.keys()):
            yield from points(c, names, now, left)


def same_lattice(c):
    """True when every congruence is a whole combination of the rows, and every row one of the congruences."""
    names, rows = c["lattice"]["names"], c["lattice"]["rows"]
    given = [[F(g["form"].get(n, 0)) / F(g["step"]) * c["lattice"]["denominator"] for n in names]
             for g in c["congruences"]]
    made = [[sum(k * row[j] for k, row in zip(each, given)) for j in range(len(names))]
            for each in c["lattice"]["made"]]
    for k, pivot in enumerate(rows):
        given = [[a - row[k] // pivot[k] * b for a, b in zip(row, pivot)] for row in given]
    return made == rows and not any(map(any, given))


def verify(c):
    """What is wrong with a certificate, as sentences: none where it holds."""
    drawn, left, tried, seen = {n: F(v) for n, v in c["drawn"].items()}, [MOST], 0, []
    chosen, refused = ([{n: F(v) for n, v in each["values"].items()} for each in c[k]]
                       for k in ("choices", "rejected"))
    ranks = [rank(c, drawn, at) for at in chosen]
    wrong = ["the lattice is not that of the congruences"] * (not same_lattice(c))
    wrong += ["the choices are not in order"] * (ranks != sorted(ranks))
    for at in points(c, c["lattice"]["names"][::-1], {}, left):
        tried, own = tried + 1, {n: at[n] for n in drawn}
        better = c["certain"] and own not in refused and (len(chosen) < c["asked"]
                                                          or rank(c, drawn, at) < ranks[-1])
        if (own in chosen or better) and all(worth(need["tree"], at) for need in c["needs"]):
            (seen if own in chosen else wrong).append(own if own in chosen
                                                      else f"a better choice is left out: {own}")
    if left[0] <= 0:
        return [*wrong, f"there are too many points: {MOST} steps were not enough to try them all"]
    wrong += ["a choice lies off a congruence or its window, or fails a requirement"] * (
        len(seen) != len(chosen))
    return wrong + [f"there are {tried} points, not {c['counts']['covered']}"] * (
        c["counts"]["covered"] not in (None, tried))


if __name__ == "__main__":
    sys.exit("\n".join(verify(json.load(open(sys.argv[1], encoding="utf-8"))))
             or print("the certificate holds"))
