"""The way of a piece from one stage to the next: what turns when, so that no paper tears or passes through.

All folds at once where that can be; else one group after another, in the order in which they were folded or
are glued. Folds round a point turn together, at angles at which the paper closes round it. Every stretch is
sampled. Where none is found that is free, the way ends early: from there on the paper bends.
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from generator.dataclass import dataclass
from generator.drawing.folded.solid_builder import SolidBuilder
from generator.folding.fold_loops import closed_angles
from generator.folding.kinematics import ConditionRows
from generator.folding.piercing import PiercingCheck
from generator.folding.records import Hinge
from generator.folding.rigid_folding import in_frame_of
from generator.folding.stages import FoldStage
from generator.geometry.arrays import BoolArray, FloatArray, ReadOnlyArrays
from generator.geometry.tolerances import (
    CLOSING_TOLERANCE,
    CONTACT_DISTANCE,
    MAX_TEAR,
    MIN_LOOP_TURN,
    MIN_TURN,
)

STRETCH_PARTS = 12         # of a stretch; it is looked at between and at the ends of each
MAX_HALVINGS = 5           # of a part in which a loop opens
MAX_SKETCHED_TEAR = 0.7 * MAX_TEAR         # the data are rounded, and places between are looked at in few
MAX_TURN = np.pi + MIN_TURN
MAX_TRIES = 60             # stretches that are looked at for one way


@dataclass(frozen=True, slots=True, eq=False)
class FoldWay(ReadOnlyArrays):
    """Signed angles (rows × hinges, radians) at shares ``at`` of the way; between rows folds turn evenly.

    From the share ``rigid`` on, where it is less than 1, there are only two ends, and the paper bends.
    """

    at: FloatArray
    angles: FloatArray
    rigid: float


@dataclass(frozen=True, slots=True)
class _Contact:
    """Panel ``one`` ends on the side ``sign`` of panel ``other``, seen along the normal of that one."""

    one: int
    other: int
    sign: float
    point: tuple[float, float]      # of panel ``one``, in the flat plan


class WayFinder:
    """Finds the ways of one piece."""

    def __init__(self, builder: SolidBuilder) -> None:
        self.builder, self.motion = builder, builder.motion
        self.flat = builder.piece.flat
        covered = set(builder.surface.panel.tolist()) if builder.surface is not None else set()
        self.firm = [p.id for p in self.flat.panels if builder.is_firm(p.id)]
        self.piercing = PiercingCheck(self.flat, [k for k in self.firm if k not in covered])
        self._known: dict[tuple[bytes, bytes], list[FloatArray]] = {}

    def way(self, one: FoldStage, other: FoldStage) -> FoldWay:
        """The way from one stage to another."""
        search = _Search(self, list(self._contacts(other)), other.angles, self._groups(one, other))
        found = search.stretches(one.angles)
        ends = [one.angles, *(rows[-1] for rows in found)]
        if not np.allclose(ends[-1], other.angles):
            found, ends = [*found, np.array((ends[-1], other.angles))], [*ends, other.angles]
        else:
            search.rest = 0
        lengths = [float(np.linalg.norm(q - p)) for p, q in pairwise(ends)]
        at = [0.0]
        for rows, length in zip(found, lengths, strict=True):
            at += [at[-1] + length * k / (len(rows) - 1) for k in range(1, len(rows))]
        rigid = 1.0 if not search.rest else at[-2] / at[-1]
        return FoldWay(np.array(at) / at[-1], np.concatenate([one.angles[None], *(r[1:] for r in found)]),
                       rigid)

    # -- what turns together ----------------------------------------------------

    def _groups(self, one: FoldStage, other: FoldStage) -> list[BoolArray]:
        """Hinges (bool) that turn together, in the order in which they were folded, glued ones as glued."""
        turning = np.abs(other.angles - one.angles) > MIN_TURN
        found: dict[tuple[float, ...], BoolArray] = {}
        for hinge in np.flatnonzero(turning):
            if self.motion.loops.any_member[hinge]:
                key: tuple[float, ...] = (-1.0,)
            else:
                act = max((b.act for b in self.flat.hinges[hinge].bends if b.step <= other.step), default=0)
                key = (float(act), self.motion.pile_place(int(hinge)))
            found.setdefault(key, np.zeros(len(turning), bool))[hinge] = True
        return [found[key] for key in sorted(found)]

    def bridges(self, one: FloatArray, other: FloatArray) -> list[FloatArray]:
        """Angles after a first stretch round points: lines from edge to edge are folded as one fold each.

        They turn by the least that any part of them turns by; only lines of one direction, with which the
        paper closes, those with most parts first.
        """
        found: dict[int, FloatArray] = {}
        for hinge in self.flat.hinges:
            turned = one.copy()
            for line in self._lines_along(hinge):
                ends, alone = other[line], one.copy()
                if (np.sign(ends) == np.sign(ends[0])).all():
                    alone[line] = ends[np.abs(ends).argmin()]
                if self._gap(alone) < CLOSING_TOLERANCE:
                    turned[line] = alone[line]
            if (turned != one).any() and self._gap(turned) < CLOSING_TOLERANCE:
                found.setdefault(int((turned != one).sum()), turned)
        return [found[count] for count in sorted(found, reverse=True)]

    def _lines_along(self, hinge: Hinge) -> list[list[int]]:
        """Hinges of loops on one line each, all in one direction."""
        lines: dict[float, list[int]] = {}
        for other in self.flat.hinges:
            if self.motion.loops.any_member[other.id] and abs(other.direction @ hinge.normal) < MIN_TURN:
                lines.setdefault(round(float(other.start @ hinge.normal), 2), []).append(other.id)
        return list(lines.values())

    # -- a stretch ----------------------------------------------------------------

    def stretch(self, one: FloatArray, other: FloatArray, group: BoolArray,
                 contacts: Sequence[_Contact]) -> FloatArray | None:
        """Rows of angles from one end to the other; None where paper would tear or pass through."""
        turning = group & self.motion.loops.any_member & (np.abs(other - one) > MIN_TURN)
        courses = self._closed_courses(one, other, turning) if turning.any() else [np.array((one, other))]
        for rows in courses:
            frames = [self.motion.link.frames(angles) for angles in _sampled(rows)]
            if not any(map(self.piercing.pierced, frames)) and not self._lands_wrong(frames, contacts):
                return rows
        return None

    def _closed_courses(self, one: FloatArray, other: FloatArray, turning: BoolArray) -> list[FloatArray]:
        """Rows at which loops close, so many that they stay closed between, in all ways that are found.

        All hinges follow even turns as closely as can be; or those of one act turn evenly, the others as
        they must, and then what is left.
        """
        key = (np.where(turning, one, 0.0).tobytes(), np.where(turning, other, 0.0).tobytes())
        if key not in self._known:
            direct = self._course(one, other, turning)
            self._known[key] = [direct] if direct is not None else list(self._driven(one, other, turning))
        return [np.where(turning, rows, np.linspace(one, other, len(rows))) for rows in self._known[key]]

    def _driven(self, one: FloatArray, other: FloatArray, turning: BoolArray) -> Iterator[FloatArray]:
        for act in sorted({self.flat.hinges[k].bend.act for k in np.flatnonzero(turning)}):
            driver = turning & np.array([hinge.bend.act == act for hinge in self.flat.hinges])
            driven = self._course(one, np.where(driver, other, one), turning & ~driver)
            if driven is None:
                continue
            for row in self._partings(driven, np.where(turning, other, one)):
                rest = self._in_turn(driven[row], np.where(turning, other, one))
                if rest is not None:
                    yield np.concatenate([driven[:row + 1], rest])

    def _partings(self, rows: FloatArray, other: FloatArray) -> Iterator[int]:
        """After which rows what is left may turn in turn: the last, and the first where it falls apart."""
        parting = next((k for k, row in enumerate(rows[1:-1], start=1)
                        if len(self._parts(np.abs(other - row) > MIN_LOOP_TURN)) > 1), None)
        yield from (len(rows) - 1,) if parting is None else (len(rows) - 1, parting)

    def _in_turn(self, one: FloatArray, other: FloatArray) -> FloatArray | None:
        """Rows after the first, hinges turning one after another that share no point, as flaps are glued."""
        result = [np.where(np.abs(other - one) > MIN_LOOP_TURN, one, other)[None]]
        for part in self._parts(np.abs(other - one) > MIN_LOOP_TURN):
            rows = self._course(result[-1][-1], np.where(part, other, result[-1][-1]), part)
            if rows is None:
                return None
            result.append(rows[1:])
        return np.concatenate([*result[1:], np.empty((0, len(one)))])

    def _parts(self, turning: BoolArray) -> list[BoolArray]:
        """Turning hinges, together those that a loop joins."""
        parts = [turning & (np.arange(len(turning)) == k) for k in np.flatnonzero(turning)]
        for loop in self.motion.loops.members:
            touched = [part for part in parts if (part & loop).any()]
            parts = [part for part in parts if not (part & loop).any()]
            parts += [np.logical_or.reduce(touched)] if touched else []
        return sorted(parts, key=lambda part: max(map(self.motion.pile_place, np.flatnonzero(part).tolist())))

    def _course(self, one: FloatArray, other: FloatArray, free: BoolArray) -> FloatArray | None:
        """Rows from one end on, at which loops close, ``free`` hinges turning as they must."""
        loops, closes = self.motion.loops.rows, self._gap(other) < CLOSING_TOLERANCE

        def closed(u: float, guess: FloatArray) -> FloatArray | None:
            even = one + u * (other - one)
            return next((found for start in (np.where(free, guess, even), even)
                         if (found := closed_within(loops, start, free)) is not None), None)

        rows = [(0.0, one)]
        for u in np.linspace(0, 1, STRETCH_PARTS + 1)[1:]:
            last, row = rows[-1]
            if closes:
                guess = row + (other - row) * (u - last) / (1 - last)
            else:
                guess = 2 * row - rows[-2][1] if len(rows) > 1 else row
            found = other if u == 1 and closes else closed(float(u), guess)
            if found is None:
                return None
            rows.append((float(u), found))
        for _ in range(MAX_HALVINGS):
            new = []
            for (u, p), (v, q) in pairwise(rows):
                new.append((u, p))
                if self._gap((p + q) / 2) > MAX_SKETCHED_TEAR:
                    found = closed((u + v) / 2, (p + q) / 2)
                    if found is None:
                        return None
                    new.append(((u + v) / 2, found))
            rows = [*new, rows[-1]]
        result = np.array([row for _, row in rows])
        if max(self._gap((p + q) / 2) for p, q in pairwise(result)) > MAX_SKETCHED_TEAR:
            return None
        return result

    def _gap(self, angles: FloatArray) -> float:
        return float(self.motion.loops.gaps(angles).max(initial=0.0))

    # -- layers -----------------------------------------------------------------

    def _contacts(self, stage: FoldStage) -> list[_Contact]:
        """Pairs of panels that lie on each other in the end, and how."""
        lifts = self.builder.layers.lifts(stage, self.firm)
        found = []
        for i, j in self.builder.layers.overlapping(stage, self.firm):
            facing = float(np.sign(stage.frames[i][:3, 2] @ stage.frames[j][:3, 2]))
            sign = float(np.sign(round(lifts.get(i, 0.0) * facing - lifts.get(j, 0.0), 6)))
            if sign:
                common = in_frame_of(self.flat, stage.frames, i, j).intersection(self.flat.panels[j].polygon)
                middle = common.representative_point()
                place = stage.frames[j] @ np.array((middle.x, middle.y, 0.0, 1.0))
                own = np.linalg.solve(stage.frames[i], place)
                found.append(_Contact(i, j, sign, (float(own[0]), float(own[1]))))
        return found

    def _lands_wrong(self, frames: Sequence[FloatArray], contacts: Sequence[_Contact]) -> bool:
        """Whether a panel comes to lie on another from the wrong side of it."""
        last = frames[-1]
        for contact in contacts:
            if (abs(_height(last, contact)) < CONTACT_DISTANCE and abs(
                    last[contact.one][:3, 2] @ last[contact.other][:3, 2]) > 1 - MIN_TURN):
                before = next((h for each in reversed(frames)
                               if abs(h := _height(each, contact)) > CONTACT_DISTANCE), 0.0)
                if before * contact.sign < 0:
                    return True
        return False


class _Search:
    """Tries one order after another, and remembers the longest rigid way that it met."""

    def __init__(self, finder: WayFinder, contacts: Sequence[_Contact], last: FloatArray,
                 groups: list[BoolArray]) -> None:
        self.finder, self.contacts, self.last, self.groups = finder, contacts, last, groups
        self.best: list[FloatArray] = []
        self.rest, self.tries = sum(int(group.sum()) for group in groups), MAX_TRIES

    def stretches(self, first: FloatArray) -> list[FloatArray]:
        """Rows of angles of each stretch."""
        for bridge in (*self.finder.bridges(first, self.last), first):
            moved = bridge != first
            rows = self.finder.stretch(first, bridge, moved, ()) if moved.any() else first[None]
            if rows is not None and self._go_on(bridge, self.groups, [rows] if moved.any() else []):
                break
        return self.best

    def _go_on(self, now: FloatArray, todo: Sequence[BoolArray], path: list[FloatArray]) -> bool:
        rest = sum(int(group.sum()) for group in todo)
        if rest < self.rest or not (rest and self.best):
            self.best, self.rest = path, rest
        if not rest:
            return True
        for group in self._choices(todo):
            if self.tries <= 0:
                return False
            self.tries -= 1
            rows = self.finder.stretch(now, np.where(group, self.last, now), group, self.contacts)
            if rows is not None:
                left = [each for each in (g & ~group for g in todo) if each.any()]
                if self._go_on(rows[-1], left, [*path, rows]):
                    return True
        return False

    def _choices(self, todo: Sequence[BoolArray]) -> list[BoolArray]:
        """What may turn next: all, all but the last groups, all but the first, a group, a hinge."""
        leading = [np.logical_or.reduce(todo[:k]) for k in range(len(todo), 0, -1)]
        trailing = [np.logical_or.reduce(todo[k:]) for k in range(1, len(todo))]
        single = [np.arange(len(group)) == k for group in todo for k in np.flatnonzero(group)
                  if group.sum() > 1 and not self.finder.motion.loops.any_member[k]]
        result: list[BoolArray] = []
        for each in (*leading, *trailing, *todo[1:], *single):
            if not any(np.array_equal(each, known) for known in result):
                result.append(each)
        return result


def _height(frames: FloatArray, contact: _Contact) -> float:
    """How high a point of one panel lies over the plane of the other, in mm."""
    point = frames[contact.one] @ np.array((*contact.point, 0.0, 1.0))
    frame = frames[contact.other]
    return float((point[:3] - frame[:3, 3]) @ frame[:3, 2])


def closed_within(loops: ConditionRows, start: FloatArray, free: BoolArray) -> FloatArray | None:
    """The nearest angles at which loops close, no fold beyond half a turn; None where there are none."""
    found = closed_angles(loops, start, free)
    while found is not None and np.abs(found).max() > MAX_TURN:
        beyond = np.abs(found) > MAX_TURN       # they stay folded right over
        free = free & ~beyond
        found = closed_angles(loops, np.where(beyond, np.sign(found) * np.pi, found), free)
    return found


def _sampled(rows: FloatArray) -> list[FloatArray]:
    """Angles at all rows and half-way between, at least at so many places as a stretch has parts."""
    parts = max(2, -(-STRETCH_PARTS // (len(rows) - 1)))
    return [rows[0], *(p + (q - p) * k / parts for p, q in pairwise(rows) for k in range(1, parts + 1))]
