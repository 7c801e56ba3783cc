"""What a bench card says: the work in its order, grouped as the paper lies, in one edition's measures.

For left hands everything is the mirror image: the paper lies against the
right side, and the same figures are counted from there.
"""
from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from generator.geometry import Line
from generator.paper.records import Act, Direction, Fold, Glue, Lie, Mark, PieceState, Plan, Removal, Seam, Side, Thread
from generator.units import Quantity, as_text, list_text, number_words, plural, size_text, word

MIRROR = {Side.LEFT: Side.RIGHT, Side.RIGHT: Side.LEFT}
VERBS = {"score": "Score", "tick": "Tick", "cut": "Cut", "slit": "Slit", "notch": "Notch"}
NO_BREAK = "\u00a0"
_UNBROKEN = re.compile(r"(?<=\d) (?=\d+/\d|mm\b|in\b|m\b)")   # within "1 3/4 in"
TURN = {False: "clockwise", True: "counter-clockwise"}


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the card; a heading says how the paper lies."""

    text: str
    heading: bool = False


def rows(plan: Plan, left_handed: bool = False) -> tuple[Row, ...]:
    """Every row, in the order of work; what is said twice in a row is said once. No line breaks within a measure."""
    found = [Row(_UNBROKEN.sub(NO_BREAK, row.text), row.heading) for row in _Teller(plan, left_handed).rows()]
    return tuple(row for before, row in zip([None, *found], found, strict=False) if row != before)


def finished(plan: Plan) -> str:
    """"72.4 mm wide, 79 mm high"; "" where the plan does not say."""
    words = {"width": "wide", "depth": "deep", "height": "high"}
    return ", ".join(f"{as_text(word(plan.finish[name], plan.system))} {say}" for name, say in words.items()
                     if name in plan.finish)


def spoken(name: str | None, otherwise: str = "") -> str:
    """A name of the source as words."""
    return name.rpartition(".")[2].replace("_", " ") if name else otherwise


class _Teller:
    """Goes through the acts and notices when a piece is turned."""

    def __init__(self, plan: Plan, left_handed: bool):
        self.plan, self.left = plan, left_handed
        self._marks = {mark.id: mark for info in plan.pieces if plan.state(info.id) for mark in plan.state(info.id).marks}
        self._names = {info.id: spoken(info.name) for info in plan.pieces}
        self._lies: dict[int, Lie] = {}
        self._at: int | None = None

    def rows(self) -> Iterator[Row]:
        for act in self.plan.acts:
            said = [text for text in self._said(act) if text]
            if said and act.pieces:
                yield from self._heading(act.pieces[0], act.number)
                yield from map(Row, said)

    def _state(self, piece: int, act: int) -> PieceState | None:
        found = [state for number, state in self.plan.states.get(piece, ()) if number <= act]
        return found[-1] if found else None

    def _heading(self, piece: int, act: int) -> Iterator[Row]:
        """A heading wherever the paper lies otherwise than in the row before."""
        state = self._state(piece, act)
        info = next(p for p in self.plan.pieces if p.id == piece)
        if state is None or info.kind == "ribbon":
            return
        before = self._lies.get(piece)
        if self._at == piece and before == state.lie:
            return
        self._at, self._lies[piece] = piece, state.lie
        words = [self._names[piece].capitalize(), *_turned(before, state.lie, self.left), _long_side(state)]
        yield Row(", ".join(filter(None, words)), heading=True)

    def _said(self, act: Act) -> Iterable[str]:
        detail = act.detail
        if act.verb in ("sheet", "panel", "liner", "inset"):
            return self._blank(act)
        if isinstance(detail, tuple) and detail and isinstance(detail[0], Fold):
            return self._folds(act, detail)
        if isinstance(detail, Glue):
            return [self._glue(detail)]
        if isinstance(detail, Seam):
            return ["Close the seam: " + plural(len(detail.pairs), "one pair of edges meets",
                                                f"{number_words(len(detail.pairs))} pairs of edges meet")]
        if isinstance(detail, Thread):
            length = f", {self._text(detail.ribbon)} long," if detail.ribbon else ""
            return [f"Thread the ribbon{length} through {number_words(len(detail.marks))} holes"]
        if isinstance(detail, Removal):
            return [self._removal(detail)]
        if act.verb == "gather":
            return ["Draw the top together and tie it"]
        return self._marked([self._marks[m] for m in act.marks if m in self._marks]) if act.verb != "attach" else ()

    def _text(self, quantity: Quantity) -> str:
        return as_text(word(quantity, self.plan.system))

    def _list(self, quantities: Iterable[Quantity]) -> str:
        unique = {f"{float(q):.6f}": q for q in quantities}
        return list_text(sorted(unique.values(), key=float), self.plan.system)

    def _side(self, side: Side) -> str:
        return str(MIRROR.get(side, side) if self.left else side)

    def _blank(self, act: Act) -> Iterator[str]:
        for piece in act.pieces:
            state = self._state(piece, act.number)
            yield f"Blank {size_text(state.width, state.height, self.plan.system)}"

    def _marked(self, marks: Sequence[Mark]) -> Iterator[str]:
        if not marks:
            return
        if marks[0].verb == "punch":
            yield self._punched(marks)
        elif all(mark.position is not None and mark.measured_from is not None for mark in marks):
            by_side: dict[Side, list[Mark]] = {}
            for mark in marks:
                by_side.setdefault(mark.measured_from, []).append(mark)
            for side, group in by_side.items():
                yield (f"{VERBS[group[0].verb]} {spoken(group[0].name)}: {self._list(m.position for m in group)} "
                       f"from the {self._side(side)}{self._long(group)}").replace(" :", ":")
        else:
            yield self._shaped(marks)

    def _long(self, marks: Sequence[Mark]) -> str:
        """How long a cut is, where all of them are alike."""
        lengths = {f"{float(m.length):.6f}": m.length for m in marks if m.length is not None}
        short = marks[0].verb in ("cut", "slit") and len(lengths) == 1
        return f", {self._text(next(iter(lengths.values())))} long" if short else ""

    def _shaped(self, marks: Sequence[Mark]) -> str:
        """Lines that no single distance sets: the template, or the places of their ends, make them."""
        kind = ("line", "lines") if all(isinstance(s, Line) for m in marks for s in m.whole) else ("curve", "curves")
        sizes = {f"{float(q):.6f}": q for mark in marks for q in mark.sizes}
        told = f", {self._list(sizes.values())} out of the straight line" if kind[0] == "curve" and sizes else ""
        return (f"{VERBS[marks[0].verb]} {spoken(marks[0].name)}: {number_words(len(marks))} "
                f"{plural(len(marks), *kind)} as drawn{told}").replace(" :", ":")

    def _punched(self, marks: Sequence[Mark]) -> str:
        by_side: dict[Side, list[Quantity]] = {}
        for mark in marks:
            for quantity, side in mark.positions:
                by_side.setdefault(side, []).append(quantity)
        places = "; ".join(f"{self._list(found)} from the {self._side(side)}" for side, found in by_side.items() if side)
        wide = f", {self._list(q for m in marks for q in m.sizes)} across" if any(m.sizes for m in marks) else ""
        return f"Punch {number_words(len(marks))} {plural(len(marks), 'hole', 'holes')}{wide}: {places}".rstrip(": ")

    def _removal(self, removal: Removal) -> str:
        by_side: dict[Side, list[Quantity]] = {}
        for quantity, side in removal.positions:
            by_side.setdefault(side, []).append(quantity)
        places = "; ".join(f"{self._list(found)} from the {self._side(side)}" for side, found in by_side.items() if side)
        return f"Cut away: {places}" if places else "Cut away up to the lines, as drawn"

    def _folds(self, act: Act, folds: Sequence[Fold]) -> Iterator[str]:
        """Each group of folds once for each direction, as seen."""
        told: dict[str, None] = {}
        for fold in folds:
            mark = self._marks.get(fold.mark)
            state = self._state(mark.piece, act.number) if mark else None
            info = next((p for p in self.plan.pieces if mark and p.id == mark.piece), None)
            if state is None or info is None:
                continue
            printed_up = (info.up == "printed") != state.lie.over
            mountain = (fold.direction is Direction.MOUNTAIN) == printed_up
            told[f"Fold {spoken(mark.name, 'the scores')} {'back, a mountain' if mountain else 'up, a valley'}"] = None
        yield from told

    def _glue(self, glue: Glue) -> str:
        names = " and ".join(dict.fromkeys(spoken(face.name, "the tab") for face in glue.faces))
        if glue.target:
            where = " and ".join(dict.fromkeys(spoken(face.name, "the panel") for face in glue.target))
            return f"Glue {names} {'on' if glue.over else 'under'} {where}"
        if glue.order:
            return f"Glue {names} in this order: {', '.join(map(str, glue.order))}; the last lies on top"
        return f"Glue {names}"


def _turned(before: Lie | None, now: Lie, left: bool) -> tuple[str, ...]:
    """What was done since the piece was last worked on; where it begins, which side is up is said elsewhere."""
    if before is None or before == now:
        return ()
    over = ("turned over",) if before.over != now.over else ()
    quarters = (now.quarters - before.quarters) * (-1 if now.over else 1) % 4
    turn = {0: (), 1: (f"a quarter turn {TURN[left]}",), 2: ("half a turn",), 3: (f"a quarter turn {TURN[not left]}",)}
    return (*over, *turn[quarters])


def _long_side(state: PieceState) -> str:
    wide, high = float(state.width), float(state.height)
    if abs(wide - high) < 1e-6:
        return ""
    if state.lie.quarters % 2:
        wide, high = high, wide
    return f"{'long' if wide > high else 'short'} side at the top"
