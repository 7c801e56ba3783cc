"""The certificate of a result: everything that ``verify`` needs to check it again, as plain data for JSON.

Lengths are text, exact mm as fractions; conditions are trees (see ``trees``).
Which blanks are too large for a sheet, and which choices failed when they
were worked out in full (``rejected``), is stated: ``verify`` takes it on trust.
Where an expression is too long to be written out, nothing is certified.
"""
from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from generator.tutorial.regauge import ranking
from generator.tutorial.regauge.leaders import Leaders
from generator.tutorial.regauge.problem import YIELD, Need, Problem

TRUE = "1"      # in place of what is not written out
KIND = "foldgauge regauge certificate 1"


def certificate(problem: Problem, found: Leaders, prefer: str, how_many: int) -> dict:
    """Constraints, lattice, windows, bound and counts, the choices with their ranks, and what was ruled out in full."""
    grid = found.found.lattice
    trees = [need.tree for need in problem.needs] + [each.tree for each in problem.finish.values()]
    return {
        "kind": KIND, "target": problem.target, "prefer": prefer, "asked": how_many, "certain": found.certain and all(tree is not None for tree in trees),
        "drawn": _texts(problem.drawn),
        "windows": {n: [str(w.low), str(w.high)] for n, w in problem.windows.items()}
        | {n: [str(v)] * 2 for n, v in problem.fixed.items()},
        "congruences": [{"form": _texts(c.form), "step": str(c.step), "says": c.says} for c in problem.congruences],
        "lattice": {"names": list(grid.names), "denominator": grid.denominator, "rows": [list(r) for r in grid.rows],
                    "made": [list(r) for r in grid.made]},
        "needs": [_need(need) for need in problem.needs],
        "finish": {name: each.tree or TRUE for name, each in problem.finish.items()},
        "levels": [str(step) for step in ranking.LEVELS[problem.target]],
        "counts": {"covered": found.counts.covered, "pruned": found.found.pruned, "ranked": found.counts.ranked,
                   "evaluated": found.evaluated},
        "choices": [_choice(problem, tried.values) for tried in found.best],
        "rejected": [{"values": _texts(tried.values), "by": [f.message for f in tried.wrong]} for tried in found.failed],
    }


def _need(need: Need) -> dict:
    return {"says": need.says, "kind": need.kind, "tree": need.tree.as_tree() if need.kind == YIELD else need.tree or TRUE}


def _choice(problem: Problem, values: Mapping[str, Fraction]) -> dict:
    total = sum((ranking.change(problem, n, v) for n, v in values.items()), Fraction(0))
    return {"values": _texts(values), "finished": ranking.finish_change(problem, values), "total": str(total),
            "levels": list(ranking.coarseness(problem, values))}


def _texts(values: Mapping[str, Fraction]) -> dict[str, str]:
    return {name: str(value) for name, value in values.items()}
