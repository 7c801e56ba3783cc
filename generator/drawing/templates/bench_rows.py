"""What a bench card says: the work in its order, grouped as the paper lies, in one edition's measures.

For left hands everything is the mirror image: the paper lies against the
right side, and the same figures are counted from there.
"""
from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from generator.dataclass import dataclass, replace
from generator.drawing.templates.scraps import scrap_letters
from generator.geometry import Circle, Line
from generator.geometry.tolerances import PLACE_TOLERANCE
from generator.locale import ENGLISH, Locale, capital
from generator.paper.glue_sides import glued_areas, order_text
from generator.paper.records import (
    Act,
    Band,
    Decoration,
    Face,
    Fold,
    FoldDirection,
    Glue,
    Mark,
    Orientation,
    PieceState,
    Plan,
    Removal,
    Seam,
    Side,
    Thread,
)
from generator.paper.work_kinds import Effect
from generator.units import Quantity, as_text, display_measure, list_text, memoised, size_text

MIRRORED_SIDE = {Side.LEFT: Side.RIGHT, Side.RIGHT: Side.LEFT}
NO_BREAK = "\u00a0"
_MISSING_NAME = re.compile(r",? +:")      # where a name would stand
_UNBROKEN = re.compile(r"(?<=\d) (?=\d+/\d|mm\b|in\b|m\b|Zoll\b)")   # within "1 3/4 in"
TURN_DIRECTION = {False: "right", True: "left"}


@dataclass(frozen=True, slots=True)
class CardRow:
    """A line of the card, of the work of a ``step``; a heading says how the paper lies."""

    text: str
    heading: bool = False
    step: int = 0


@memoised(16)
def card_rows(plan: Plan, left_handed: bool = False, locale: Locale = ENGLISH,
              lettered: bool = True) -> tuple[CardRow, ...]:
    """Every row, in the order of work; what is said twice in a row is said once, with how often it is done.

    Where its drawing is beside them what is cut away is ``lettered``, else a row says all of an act.

    No line breaks within a measure.
    """
    found = [replace(row, text=_UNBROKEN.sub(NO_BREAK, row.text))
             for row in _CardWriter(plan, left_handed, locale, lettered).rows()]
    return tuple(_counted(row, len(list(same)), locale) for row, same in groupby(found))


def _counted(row: CardRow, times: int, locale: Locale) -> CardRow:
    """A row that is to be done several times, one after the other."""
    return row if times == 1 or row.heading else replace(
        row, text=locale.say("templates.row.times", row=row.text, times=times))


class _CardWriter:
    """Goes through the acts and notices when a piece is turned."""

    def __init__(self, plan: Plan, left_handed: bool, locale: Locale, lettered: bool):
        self.plan, self.left, self.locale, self.lettered = plan, left_handed, locale, lettered
        self._marks = {mark.id: mark for info in plan.pieces if (state := plan.state(info.id)) is not None
                       for mark in state.marks}
        self._infos = {info.id: info for info in plan.pieces}
        self._names = {info.id: self._reader_name(info.name) for info in plan.pieces}
        self._orientations: dict[int, Orientation] = {}
        self._at: int | None = None

    def rows(self) -> Iterator[CardRow]:
        said = ""       # what is folded stretch by stretch is folded once
        for act in self.plan.acts:
            rows = [text for text in self._rows_of_act(act) if text and (
                act.effect is not Effect.FOLD or text != said)]
            if rows and act.pieces:
                yield from self._heading(act)
                yield from (CardRow(text, step=act.step) for text in rows)
                said = rows[-1]

    def _state(self, piece: int, act: int) -> PieceState | None:
        found = [state for number, state in self.plan.states.get(piece, ()) if number <= act]
        return found[-1] if found else None

    def _heading(self, act: Act) -> Iterator[CardRow]:
        """A heading wherever the paper lies otherwise than in the row before."""
        piece = act.pieces[0]
        state = self._state(piece, act.number)
        if state is None or self._infos[piece].is_ribbon:
            return
        before = self._orientations.get(piece)
        if self._at == piece and before == state.orientation:
            return
        self._at, self._orientations[piece] = piece, state.orientation
        keys = (*_turned(before, state.orientation, self.left), _long_side(state))
        words = [capital(self._names[piece]), *(self._say(key) for key in keys if key)]
        yield CardRow(", ".join(words), heading=True, step=act.step)

    def _rows_of_act(self, act: Act) -> Iterable[str]:
        detail = act.detail
        if act.effect in (Effect.BLANK, Effect.RIBBON):
            return self._blank(act)
        if isinstance(detail, tuple) and detail and isinstance(detail[0], Fold):
            return self._folds(act, detail)
        if isinstance(detail, Glue):
            return [self._glue(act, detail)]
        if isinstance(detail, Seam):
            return [self._count("seam", len(detail.pairs))]
        if isinstance(detail, Thread):
            length = self._say("thread_long", size=self._text(detail.ribbon)) if detail.ribbon else ""
            return [self._count("thread", len(detail.marks), long=length,
                                name=self._names[act.pieces[0]])]
        if isinstance(detail, Removal):
            return self._removal(act, detail)
        if isinstance(detail, Decoration) and act.effect is Effect.DECORATE:
            return [self._say(act.verb, faces=self._faces(detail.faces, "the_panel"))]
        if act.effect is Effect.GATHER:
            return [self._say("gather")]
        return self._marked([self._marks[m] for m in act.marks
                             if m in self._marks]) if act.effect is not Effect.ATTACH else ()

    def _say(self, key: str, **values: object) -> str:
        return self.locale.say(f"templates.row.{key}", **values)

    def _count(self, key: str, n: int, **values: object) -> str:
        return self.locale.count(f"templates.row.{key}", n, **values)

    def _reader_name(self, name: str | None, otherwise: str = "") -> str:
        """A name of the source as words; of what a part made the last one."""
        if name and name not in self.locale.names:
            name = name.rpartition(".")[2]
        return self.locale.name(name) if name else otherwise

    def _text(self, quantity: Quantity) -> str:
        return as_text(display_measure(quantity, self.plan.system), self.locale)

    def _list(self, quantities: Iterable[Quantity]) -> str:
        unique = {f"{float(q):.6f}": q for q in quantities}
        ascending = sorted(unique.values(), key=lambda quantity: float(quantity))
        return list_text(ascending, self.plan.system, locale=self.locale)

    def _from(self, quantities: Iterable[Quantity], side: Side) -> str:
        """"40 and 100 mm from the bottom"."""
        return self._say(f"from.{MIRRORED_SIDE.get(side, side) if self.left else side}",
                         places=self._list(quantities))

    def _verb(self, mark: Mark, places: str) -> str:
        """"Score foot line: …", "Foot score: …" where the name says it, "Score: …" where there is none."""
        name, root = self._reader_name(mark.name), f"templates.row.root.{mark.verb}"
        if mark.name and root in self.locale.entries and self.locale.say(root) in name.lower():
            return f"{capital(name)}: {places}"
        words = self._say(mark.verb, name=name, places=places)
        return words if mark.name else _MISSING_NAME.sub(":", words, count=1)

    def _blank(self, act: Act) -> Iterator[str]:
        for piece in act.pieces:
            # a net is as large as all that is attached to it
            state, info = self.plan.state(piece), self._infos[piece]
            if state is not None and info.is_ribbon:
                yield self._say("ribbon", name=capital(self._names[piece]), size=self._text(state.width),
                                boxes=self.locale.count("paper.for_boxes", info.boxes))
            elif state is not None:
                size = size_text(state.width, state.height, self.plan.system, self.locale)
                yield self._say("blank", size=size)
            if isinstance(act.detail, Band):
                yield self._say("band", name=self._names[piece], lap=self._text(act.detail.lap))

    def _marked(self, marks: Sequence[Mark]) -> Iterator[str]:
        if not marks:
            return
        if marks[0].kind.is_hole:
            yield self._punched(marks)
        elif all(mark.position is not None and mark.measured_from is not None for mark in marks):
            by_side: dict[Side, list[Mark]] = {}
            for mark in marks:
                if mark.measured_from is not None:
                    by_side.setdefault(mark.measured_from, []).append(mark)
            for side, group in by_side.items():
                positions = [mark.position for mark in group if mark.position is not None]
                yield self._verb(group[0], self._from(positions, side) + self._long(group))
        else:
            yield self._shaped(marks)

    def _long(self, marks: Sequence[Mark]) -> str:
        """How long a cut is, where all of them are alike."""
        lengths = {f"{float(m.length):.6f}": m.length for m in marks if m.length is not None}
        short = marks[0].kind.measured and len(lengths) == 1
        return self._say("long", size=self._text(next(iter(lengths.values())))) if short else ""

    def _shaped(self, marks: Sequence[Mark]) -> str:
        """Lines that no single distance sets: the template, or the places of their ends, make them."""
        kind = "lines" if all(isinstance(s, Line) for m in marks for s in m.whole) else "curves"
        sizes = {f"{float(q):.6f}": q for mark in marks for q in mark.sizes}
        text = self._say("out_of_line",
                         sizes=self._list(sizes.values())) if kind == "curves" and sizes else ""
        return self._verb(marks[0], self._count(kind, len(marks)) + text)

    def _punched(self, marks: Sequence[Mark]) -> str:
        places = self._places(each for mark in marks for each in mark.positions)
        wide = self._say("across",
                         size=self._list(q for m in marks
                                         for q in m.sizes)) if any(m.sizes for m in marks) else ""
        return self._count(marks[0].verb, len(marks), across=wide, places=self._say("places", places=places)
                           if places else "")

    def _removal(self, act: Act, removal: Removal) -> Iterator[str]:
        """Each area by its letter; those for which the same is set are one row."""
        if not self.lettered:
            places = self._places(removal.positions)
            yield self._say("remove_all", how=f": {places}" if places else self._say("as_drawn"))
            return
        letters: dict[str, list[str]] = {}
        for k, area in enumerate(removal.areas):
            across = (self._say("across", size=self._list(area.sizes))
                      if area.sizes and isinstance(area.outline[0], Circle) else "")
            places = self._places(area.positions)
            said = f"{across}: {places}" if places else across or self._say("as_drawn")
            letters.setdefault(said, []).append(scrap_letters(self.plan)[act.number, k])
        for said, own in letters.items():
            yield self._say("remove", letters=self.locale.join(own), how=said)

    def _places(self, positions: Iterable[tuple[Quantity, Side | None]]) -> str:
        """All that is set, from each side in turn."""
        by_side: dict[Side, list[Quantity]] = {}
        for quantity, side in positions:
            if side:
                by_side.setdefault(side, []).append(quantity)
        return "; ".join(self._from(found, side) for side, found in by_side.items())

    def _folds(self, act: Act, folds: Sequence[Fold]) -> Iterator[str]:
        """Each group of folds once for each direction, as seen."""
        rows: dict[str, None] = {}
        for fold in folds:
            mark = self._marks.get(fold.mark)
            state = self._state(mark.piece, act.number) if mark else None
            info = next((p for p in self.plan.pieces if mark and p.id == mark.piece), None)
            if mark is None or state is None or info is None:
                continue
            printed_up = (info.up == "printed") != state.orientation.over
            mountain = (fold.direction is FoldDirection.MOUNTAIN) == printed_up
            name = self._reader_name(mark.name, self._say("the_scores"))
            rows[capital(self._say("mountain" if mountain else "valley", name=name))] = None
        yield from rows

    def _glue(self, act: Act, glue: Glue) -> str:
        """What is glued where, then on which side the glue is, of which paper where it is the other one."""
        areas = [area for area in glued_areas(self.plan) if area.act == act.number]
        sides = dict.fromkeys((area.side, area.up, area.piece if area.piece != area.face.piece else None)
                              for area in areas)
        parts = [self._say(f"glue_{side}_{'up' if up else 'below'}",
                          piece="" if piece is None else f"{self._names[piece]}, ")
                for side, up, piece in sides]
        return "; ".join((self._glued(glue), *parts))

    def _glued(self, glue: Glue) -> str:
        names = self._faces(glue.faces, "the_tab")
        if glue.target:
            return self._say("glue_over" if glue.over else "glue_under", faces=names,
                             target=self._faces(glue.target, "the_panel"))
        if glue.order:
            return self._say("glue_order", faces=names, order=order_text(glue))
        return self._say("glue", faces=names)

    def _faces(self, faces: Iterable[Face], otherwise: str) -> str:
        names = list(dict.fromkeys(self._reader_name(face.name, self._say(otherwise)) for face in faces))
        return self.locale.say("grammar.and").join(names)


def _turned(before: Orientation | None, now: Orientation, left: bool) -> tuple[str, ...]:
    """Keys of the turns since the piece was last worked on; which side is up at first is said elsewhere."""
    if before is None or before == now:
        return ()
    over = ("over",) if before.over != now.over else ()
    quarters = (now.quarters - before.quarters) * (-1 if now.over else 1) % 4
    turn = {0: (), 1: (TURN_DIRECTION[left],), 2: ("half",), 3: (TURN_DIRECTION[not left],)}
    return (*over, *turn[quarters])


def _long_side(state: PieceState) -> str:
    wide, high = float(state.width), float(state.height)
    if abs(wide - high) < PLACE_TOLERANCE:
        return ""
    if state.orientation.quarters % 2:
        wide, high = high, wide
    return "long_top" if wide > high else "short_top"
