"""The revision mark: six characters that change when the plan changes."""
from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping

from generator.geometry import Stroke
from generator.paper.records import Mark, Plan

CROCKFORD = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"   # Crockford's base 32: no I, L, O or U
LENGTH = 6
ROUNDED = 6     # decimals of mm; what is finer is the dust of arithmetic


def revision_mark(plans: Mapping[str, Plan]) -> str:
    """The first six characters of the hash of both plans, in Crockford's base 32."""
    digest = hashlib.sha256()
    for system in sorted(plans):
        for line in _lines(plans[system]):
            digest.update(line.encode("utf-8") + b"\n")
    bits = int.from_bytes(digest.digest(), "big")
    size = digest.digest_size * 8
    return "".join(CROCKFORD[(bits >> (size - 5 * (k + 1))) & 31] for k in range(LENGTH))


def _lines(plan: Plan) -> Iterator[str]:
    yield plan.system
    for info in plan.pieces:
        yield f"piece {info.name} {info.up} {info.paper}"
    for act in plan.acts:
        yield f"act {act.step} {act.verb} {act.pieces} {act.marks} {act.faces}"
    for piece, history in sorted(plan.states.items()):
        state = history[-1][1]
        yield f"outline {piece} " + " ".join(_stroke(rim.stroke) for rim in state.outline)
        yield from (f"hole {piece} " + " ".join(_stroke(rim.stroke) for rim in hole) for hole in state.holes)
        yield from map(_mark, state.marks)
        for fold in state.folds:
            yield f"fold {fold.mark} {fold.direction} {fold.angle} " + " ".join(map(_stroke, fold.runs))
    for name, size in sorted(plan.finish.items()):
        yield f"finish {name} {_number(size.value)}"


def _mark(mark: Mark) -> str:
    return f"mark {mark.id} {mark.verb} {mark.tool} {mark.step} " + " ".join(map(_stroke, mark.runs))


def _stroke(stroke: Stroke) -> str:
    middle = stroke.at(0.5)
    ends = (*stroke.start, *middle, *stroke.end)
    return type(stroke).__name__ + ",".join(map(_number, ends))


def _number(value: object) -> str:
    return f"{round(float(value), ROUNDED) + 0.0:.{ROUNDED}f}"
