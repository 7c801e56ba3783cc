"""The answer as plain data, for machines."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from generator.tutorial.measures import exact_text
from generator.tutorial.regauge.asking import HOW_MANY, Answer
from generator.tutorial.regauge.certificate import certificate
from generator.tutorial.regauge.changes import Change, binds_of, blanks_changed, box_changed, lengths_changed
from generator.tutorial.regauge.leaders import Tried
from generator.tutorial.regauge.onebyone import OneByOne
from generator.tutorial.regauge.problem import Problem
from generator.tutorial.regauge.words import said


def as_data(answer: Answer, file: str) -> dict:
    """Everything that the report says, and the certificate."""
    problem, best = answer.problem, answer.best
    return {
        "file": file, "drawn_in": problem.front.drawn_in, "to": problem.target, "prefer": answer.wish.prefer,
        "within": float(problem.within), "kept": _lengths(problem, problem.kept),
        "choices": [_choice(problem, tried) for tried in answer.leaders.best],
        "binds": [{"name": b.name, "not": _length(b.nearer, problem.target), "because": list(b.reasons)}
                  for b in (binds_of(problem, best.values) if best else ())],
        "other_preference": _choice(problem, answer.other) if answer.other else None,
        "number_by_number": _one_by_one(problem, answer.number_by_number),
        "conflicts": [[demand.says for demand in each.demands] for each in answer.conflicts],
        "relaxations": [{"what": each.says, "values": _lengths(problem, each.values)} for each in answer.relaxations],
        "failed": [{"values": _lengths(problem, tried.values),
                    "because": [{"line": f.line, "message": f.message} for f in tried.wrong]} for tried in answer.leaders.failed],
        "certificate": certificate(problem, answer.leaders, answer.wish.prefer, HOW_MANY),
    }


def _length(value: Fraction, system: str) -> dict[str, str]:
    return {"mm": exact_text(value), "text": said(value, system)}


def _lengths(problem: Problem, values: Mapping[str, Fraction]) -> dict[str, dict[str, str]]:
    return {name: _length(value, problem.target) for name, value in values.items()}


def _choice(problem: Problem, tried: Tried) -> dict:
    return {"values": {c.name: _change(c, problem.target) for c in lengths_changed(problem, tried.values)},
            "box": {c.name: _change(c, problem.target) for c in box_changed(problem.drawn_plan, tried.plan)},
            "blanks": {name: {c.name: _change(c, problem.target) for c in sizes}
                       for name, *sizes in blanks_changed(problem.drawn_plan, tried.plan)}}


def _change(change: Change, system: str) -> dict:
    return {"mm": exact_text(change.now), "text": said(change.now, system), "drawn_mm": exact_text(change.drawn),
            "change_mm": round(float(change.mm), 6), "change_percent": round(change.share * 100, 4)}


def _one_by_one(problem: Problem, found: OneByOne) -> dict:
    return {"values": _lengths(problem, found.values),
            "rows": [{"name": row.name, "panels": _texts(row.widths), "spread_mm": exact_text(row.spread),
                      "gap_mm": exact_text(row.gap)} for row in found.rows],
            "between_marks": [{"what": each.what, "tool": each.tool, "line": each.line, "count": each.count,
                               "positions": _texts(each.positions)} for each in found.between],
            "fails": [{"line": f.line, "message": f.message} for f in found.wrong]}


def _texts(values: Sequence[Fraction]) -> list[str]:
    return [exact_text(value) for value in values]
