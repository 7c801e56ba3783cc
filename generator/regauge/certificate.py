"""The certificate of a result: everything that ``verify`` needs to check it again, as plain data for JSON.

Lengths are text, exact mm as fractions; conditions are trees (see ``trees``).
Which blanks are too large for a sheet, and which choices failed when they
were worked out in full (``rejected``), is stated: ``verify`` takes it on trust.
Where an expression is too long to be written out, nothing is certified.

The answer as plain data, for machines.
"""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from generator.regauge import comparison
from generator.regauge.comparison import (
    SizeChange,
    binding_reasons,
    blanks_changed,
    box_changed,
    length_text,
    lengths_changed,
)
from generator.regauge.problem import Constraint, RegaugeProblem
from generator.regauge.solution import (
    DEFAULT_CHOICES,
    EvaluatedChoice,
    LeadingChoices,
    RegaugeResult,
    SeparateRounding,
)
from generator.units import SYSTEMS
from generator.units.wording import exact_text

JsonObject = dict[str, Any]
ALWAYS_TRUE = "1"      # in place of what is not written out
CERTIFICATE_KIND = "foldgauge regauge certificate 1"


def certificate(problem: RegaugeProblem, found: LeadingChoices, prefer: str, how_many: int) -> JsonObject:
    """Constraints, lattice, windows, bound, counts, choices with their ranks, what was ruled out in full."""
    grid = found.found.lattice
    trees = [*(need.tree for need in problem.needs if need.supply is None),
             *(each.tree for each in problem.finish.values())]
    return {
        "kind": CERTIFICATE_KIND, "target": problem.target, "prefer": prefer, "asked": how_many,
        "certain": found.certain and all(tree is not None for tree in trees),
        "drawn": _fraction_texts(problem.drawn), "ribbons": sorted(problem.ribbons),
        "windows": {n: [str(w.low), str(w.high)] for n, w in problem.windows.items()}
        | {n: [str(v)] * 2 for n, v in problem.fixed.items()},
        "congruences": [{"form": _fraction_texts(c.form), "step": str(c.step), "says": c.text}
                        for c in problem.congruences],
        "lattice": {"names": list(grid.names), "denominator": grid.denominator,
                    "rows": [list(r) for r in grid.rows], "made": [list(r) for r in grid.transform]},
        "needs": [_constraint_data(need) for need in problem.needs],
        "finish": {name: each.tree or ALWAYS_TRUE for name, each in problem.finish.items()},
        "levels": [str(step) for step in SYSTEMS[problem.target].handy_steps],
        "counts": {"covered": found.counts.covered, "pruned": found.found.pruned,
                   "ranked": found.counts.ranked, "evaluated": found.evaluated},
        "choices": [_certified_choice(problem, choice.values) for choice in found.best],
        "rejected": [{"values": _fraction_texts(choice.values), "by": [f.message for f in choice.wrong]}
                     for choice in found.failed],
    }


def _constraint_data(need: Constraint) -> JsonObject:
    tree = need.supply.as_tree() if need.supply is not None else need.tree
    return {"says": need.text, "kind": need.kind, "tree": tree or ALWAYS_TRUE}


def _certified_choice(problem: RegaugeProblem, values: Mapping[str, Fraction]) -> JsonObject:
    total = sum((comparison.relative_change(problem, n, v) for n, v in values.items()), Fraction(0))
    return {"values": _fraction_texts(values), "finished": comparison.finish_change(problem, values),
            "total": str(total),
            "levels": list(comparison.choice_levels(problem, values))}


def _fraction_texts(values: Mapping[str, Fraction]) -> dict[str, str]:
    return {name: str(value) for name, value in values.items()}


def result_data(result: RegaugeResult, file: str) -> JsonObject:
    """Everything that the report says, and the certificate."""
    problem, best = result.problem, result.best
    return {
        "file": file, "drawn_in": problem.front.drawn_in, "to": problem.target,
        "prefer": result.options.prefer,
        "within": float(problem.within), "kept": _lengths_data(problem, problem.pinned),
        "choices": [_choice_data(problem, choice) for choice in result.leading.best],
        "binds": [{"name": b.name, "not": _length_data(b.nearer, problem.target), "because": list(b.reasons)}
                  for b in (binding_reasons(problem, best.values) if best else ())],
        "other_preference": _choice_data(problem, result.other) if result.other else None,
        "number_by_number": _separate_rounding_data(problem, result.separate_rounding),
        "conflicts": [[demand.text for demand in each.demands] for each in result.conflicts],
        "relaxations": [{"what": each.text, "values": _lengths_data(problem, each.values)}
                        for each in result.relaxations],
        "failed": [{"values": _lengths_data(problem, choice.values),
                    "because": [{"line": f.line, "message": f.message} for f in choice.wrong]}
                    for choice in result.leading.failed],
        "certificate": certificate(problem, result.leading, result.options.prefer, DEFAULT_CHOICES),
    }


def _length_data(value: Fraction, system: str) -> dict[str, str]:
    return {"mm": exact_text(value), "text": length_text(value, system)}


def _lengths_data(problem: RegaugeProblem, values: Mapping[str, Fraction]) -> dict[str, dict[str, str]]:
    return {name: _length_data(value, problem.target) for name, value in values.items()}


def _choice_data(problem: RegaugeProblem, choice: EvaluatedChoice) -> JsonObject:
    return {"values": {c.name: _change_data(c, problem.target)
                       for c in lengths_changed(problem, choice.values)},
            "box": {c.name: _change_data(c, problem.target)
                    for c in box_changed(problem.drawn_plan, choice.plan)},
            "blanks": {name: {c.name: _change_data(c, problem.target) for c in sizes}
                       for name, *sizes in blanks_changed(problem.drawn_plan, choice.plan)},
            "too_large": [{"piece": name, "sheet": sheet.name}
                          for name, sheet in comparison.outgrown_sheets(problem, choice.plan)]}


def _change_data(change: SizeChange, system: str) -> JsonObject:
    return {"mm": exact_text(change.now), "text": length_text(change.now, system),
            "drawn_mm": exact_text(change.drawn),
            "change_mm": round(float(change.mm), 6), "change_percent": round(change.share * 100, 4)}


def _separate_rounding_data(problem: RegaugeProblem, found: SeparateRounding) -> JsonObject:
    return {"values": _lengths_data(problem, found.values),
            "rows": [{"name": row.name, "panels": _exact_texts(row.widths),
                      "spread_mm": exact_text(row.spread),
                      "gap_mm": exact_text(row.gap)} for row in found.rows],
            "between_marks": [{"what": each.what, "tool": each.tool, "line": each.line, "count": each.count,
                               "positions": _exact_texts(each.positions)} for each in found.between],
            "fails": [{"line": f.line, "message": f.message} for f in found.wrong]}


def _exact_texts(values: Sequence[Fraction]) -> list[str]:
    return [exact_text(value) for value in values]
