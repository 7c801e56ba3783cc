"""What one sheet can give when the fence is set to some lengths, one after the other: blanks, and cuts."""
from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.dataclass import dataclass
from generator.sheets.cut_tree import too_much_error
from generator.sheets.cutting_problem import CuttingProblem
from generator.sheets.pattern_cover import Vector


@dataclass(frozen=True, slots=True)
class CutPart:
    """A part as it lies on the table: a blank (``kind``), an offcut, or cut ``times`` times.

    It is cut at the setting of that ``stage``, along ``axis``.
    """

    width: int
    height: int
    kind: int | None = None
    stage: int | None = None
    axis: str = ""
    times: int = 0


@dataclass(frozen=True, slots=True)
class Yield:
    """How a part comes to give something, with ``cuts``: as it is (``kind``), or cut once at ``stage``.

    The cut takes ``strip``, wide as the ``fence``, off along ``axis``, and leaves ``rest``. With neither it
    is an offcut.
    """

    cuts: int = 0
    kind: int | None = None
    stage: int = -1
    axis: str = ""
    fence: int = 0
    strip: Yield | None = None
    rest: Yield | None = None

    def parts(self, width: int, height: int) -> Iterator[CutPart]:
        """All parts that lie on the table in turn, itself first; cuts of one part at one stage are one."""
        if self.strip is None:
            yield CutPart(width, height, self.kind)
            return
        times, here, strips, wide, high = 0, self, [], width, height
        while (here.strip is not None and here.rest is not None
               and (here.stage, here.axis) == (self.stage, self.axis)):
            strips.append(here.strip)
            wide, high = (wide - here.fence, high) if here.axis == "x" else (wide, high - here.fence)
            times, here = times + 1, here.rest
        yield CutPart(width, height, None, self.stage, self.axis, times)
        for strip in strips:
            yield from strip.parts(*((self.fence, height) if self.axis == "x" else (width, self.fence)))
        yield from here.parts(wide, high)


OFFCUT = Yield()
Yields = dict[Vector, Yield]


class SettingYields:
    """For settings ``fences`` in their order (any order, again and again, where not ``ordered``).

    Counts are of use up to ``demand``. ``work`` holds how many pairs of parts may still be tried; then a
    SheetError ("too-much") is raised.
    """

    def __init__(self, problem: CuttingProblem, demand: Vector, fences: Sequence[int], work: list[int],
                 *, ordered: bool = True):
        self._problem, self._demand, self._fences = problem, demand, tuple(fences)
        self._none = (0,) * len(demand)
        self._work, self._ordered = work, ordered
        self._known: dict[tuple[int, int, int], Yields] = {}

    def whole(self) -> Yields:
        """All that a whole sheet can give, without what another way gives too with no more cuts."""
        return self._of(self._problem.width, self._problem.height, 0)

    def _of(self, width: int, height: int, stage: int) -> Yields:
        key = width, height, stage
        if key not in self._known:
            self._known[key] = self._found(width, height, stage)
        return self._known[key]

    def _found(self, width: int, height: int, stage: int) -> Yields:
        if not any(way.width <= width and way.height <= height for way in self._problem.ways):
            return {self._none: OFFCUT}
        if self._ordered and stage < len(self._fences):
            found = dict(self._of(width, height, stage + 1))
            usable: tuple[int, ...] = (stage,)
        else:
            found = self._uncut(width, height)
            usable = () if self._ordered else tuple(range(len(self._fences)))
        for number in usable:
            fence = self._fences[number]
            if fence < width:
                self._join(found, number, "x", self._of(fence, height, stage),
                           self._of(width - fence, height, stage))
            if fence < height:
                self._join(found, number, "y", self._of(width, fence, stage),
                           self._of(width, height - fence, stage))
        return _undominated(found) if usable else found

    def _uncut(self, width: int, height: int) -> Yields:
        found = {self._none: OFFCUT}
        for way in self._problem.ways:
            if (way.width, way.height) == (width, height):
                found[tuple(int(k == way.kind) for k in range(len(self._demand)))] = Yield(kind=way.kind)
        return found

    def _join(self, found: Yields, number: int, axis: str, strips: Yields, rests: Yields) -> None:
        """What a strip and the rest give together; a strip that gives nothing is not cut."""
        self._work[0] -= len(strips) * len(rests)
        if self._work[0] < 0:
            raise too_much_error()
        for one, strip in strips.items():
            if any(one):
                for other, rest in rests.items():
                    vector = tuple(min(a + b, most)
                                   for a, b, most in zip(one, other, self._demand, strict=True))
                    cuts = 1 + strip.cuts + rest.cuts
                    known = found.get(vector)
                    if known is None or cuts < known.cuts:
                        found[vector] = Yield(cuts, None, number, axis, self._fences[number], strip, rest)


def _undominated(found: Yields) -> Yields:
    """Without what gives no more than another, with no fewer cuts."""
    kept: Yields = {}
    for vector, way in sorted(found.items(), key=lambda item: (item[1].cuts, -sum(item[0]))):
        if not any(all(a <= b for a, b in zip(vector, other, strict=True)) for other in kept):
            kept[vector] = way
    kept.setdefault((0,) * len(next(iter(found))), OFFCUT)
    return kept
