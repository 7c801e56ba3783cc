"""If yours does not close: what is worth measuring before going on, and what to measure and do when something is wrong."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from generator.folding import (
    DEFECT_KINDS,
    HAND_TOLERANCE,
    MarkingError,
    Sensitivity,
    ToleranceReport,
    analyse_tolerances,
)
from generator.folding.tolerance_analysis import EQUAL_SHARES
from generator.geometry.ties import first_largest, snapped
from generator.locale import ENGLISH, Locale
from generator.paper.records import Plan
from generator.tutorial.facts import inlay, woven
from generator.tutorial.records import ComputedValue, Part, Prose, Tutorial
from generator.units import Quantity, length

SYSTEMS = ("mm", "in")
TOLD = 0.15         # share of what is bearable from which a mark is worth a note
LISTED = 0.1        # … and an defect a row
LIKE = 0.4          # share of the worst mark of a row from which another one stands in it too
MOST_NOTES = 3      # steps with a note; more would not be read
MOST_MARKS = 3      # marks in one row
UNTOLD = frozenset({"tab"})     # defects that are not worth stopping for
OTHERWISE = frozenset({"top-flat", "top-tall", "lid-tight"})    # defects that have other words once it fails

Key = tuple[str, int, int, int]
Both = Mapping[str, Sensitivity]


@dataclass(frozen=True, slots=True)
class TroubleRow:
    """One row of the table; ``anchor`` stays the same as long as the box can have this defect; ``known`` is () mostly."""

    anchor: str
    see: str
    known: Prose
    measure: tuple[Prose, ...]
    do: str


@dataclass(frozen=True, slots=True)
class TroubleGuide:
    """``notes`` by step number, ``rows`` in a fixed order of defects."""

    notes: Mapping[int, Prose]
    rows: tuple[TroubleRow, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Tried:
    """What was tried: forgiveness and, by key, every slip of both editions; how to say it."""

    plans: Mapping[str, Plan]
    hands: Mapping[str, Quantity]
    found: Mapping[str, ToleranceReport]
    slips: Mapping[str, Mapping[Key, MarkingError]]
    locale: Locale


@dataclass(frozen=True, slots=True)
class _Case:
    """One slip and one defect in every edition that feels it."""

    defect: str
    act: int
    both: Both

    @property
    def share(self) -> float:
        return max(each.share for each in self.both.values())

    @property
    def first(self) -> Sensitivity:
        both = list(self.both.values())
        return both[first_largest((each.share for each in both), EQUAL_SHARES)]


def trouble(tutorial: Tutorial, locale: Locale = ENGLISH) -> TroubleGuide:
    """Both editions tried mark by mark, in words. Nothing where nothing is folded, or where a mistake does no harm."""
    if len(tutorial.folds) < len(SYSTEMS):
        return TroubleGuide({}, ())
    hands = {system: _hand(tutorial, system) for system in SYSTEMS}
    found = {system: analyse_tolerances(tutorial.plans[system], tutorial.folds[system], float(hands[system])) for system in SYSTEMS}
    slips = {system: {slip.key: slip for slip in each.slips} for system, each in found.items()}
    tried = _Tried(tutorial.plans, hands, found, slips, locale)
    cases = _cases(tried)
    anchors = {step.number: step.anchor for step in tutorial.steps}
    return TroubleGuide(_notes(cases, tried), tuple(_rows(cases, tried, anchors)))


def _hand(tutorial: Tutorial, system: str) -> Quantity:
    said = tutorial.front.hand.get(system)
    return said if said is not None else length(HAND_TOLERANCE[system])


def _cases(tried: _Tried) -> list[_Case]:
    """Every slip and defect, in all editions together, the worst first; slips that are no single measure are left out."""
    rows: dict[tuple[Key, str, int], dict[str, Sensitivity]] = {}
    for system, each in tried.found.items():
        for one in each.found:
            if one.slip.size is not None and all(one.slip.key in slips for slips in tried.slips.values()):
                rows.setdefault((one.slip.key, one.defect, one.act), {})[system] = one
    return sorted((_Case(defect, act, both) for (_, defect, act), both in rows.items()),
                  key=lambda case: (-float(snapped(case.share, EQUAL_SHARES)), case.first.slip.step,
                                    case.first.slip.act, case.first.slip.index))


# -- notes --------------------------------------------------------------------

def _notes(cases: Sequence[_Case], tried: _Tried) -> dict[int, Prose]:
    made: dict[int, Prose] = {}
    for case in cases:
        step = case.first.slip.step
        if case.share < TOLD or len(made) == MOST_NOTES:
            break
        if step not in made and case.defect not in UNTOLD:
            made[step] = tuple(_note(case, tried))
    return dict(sorted(made.items()))


def _note(case: _Case, tried: _Tried) -> Iterator[Part]:
    locale = tried.locale
    yield from woven(locale.say("trouble.note"), what=tuple(_what(case, tried)))
    if len(case.both) < len(SYSTEMS) or len({_how(each) for each in case.both.values()}) > 1:
        return      # where the editions fail in different ways the measure alone is said
    kind, fails, more = _how(case.first)
    words = locale.say(f"trouble.{'fails' if fails else 'effect'}.{case.defect}")
    before, after = (_seen(case.both, which, locale) for which in (0, 1))
    if "{before}" in words and any(before.wordings[s].text == after.wordings[s].text for s in SYSTEMS):
        return      # the difference is finer than the words
    effect = tuple(woven(words, before=before, after=after))
    yield " "
    yield from woven(locale.say(f"trouble.when.{'row' if kind == 'row' else 'one'}"),
                     hand=inlay(tried.hands, locale=locale), off=locale.say(f"trouble.off.{kind}.{more}"), effect=effect)


def _how(each: Sensitivity) -> tuple[str, bool, str]:
    """What kind of slip it is, whether the defect has other words when it fails, and to which side the slip goes."""
    return each.slip.kind, each.fails and each.defect in OTHERWISE, "more" if each.shift > 0 else "less"


def _seen(both: Both, which: int, locale: Locale) -> ComputedValue:
    return inlay({system: _about(each.seen[which]) for system, each in both.items()}, locale=locale)


def _about(mm: float) -> Quantity:
    """A measure that was worked out, to a tenth of a millimetre; always *about*."""
    return Quantity(float(round(float(snapped(mm)), 1)), 1)


def _what(case: _Case, tried: _Tried) -> Iterator[Part]:
    """What the reader sets, with its measure in both editions."""
    slip, locale = case.first.slip, tried.locale
    slips = {system: known[slip.key] for system, known in tried.slips.items()}
    values = {"name": locale.name(slip.name), "size": inlay({s: each.size for s, each in slips.items()}, locale=locale)}
    kind = slip.kind
    if kind == "mark":
        values["side"] = locale.say(f"trouble.side.{slip.side}")
        if slip.count > 1:
            kind, values["which"] = "one_of", locale.ordinal(slip.index)
    elif kind == "row":
        values["last"] = inlay({s: each.last for s, each in slips.items()}, locale=locale)
    yield from woven(locale.say(f"trouble.what.{kind}"), **values)


# -- the table ----------------------------------------------------------------

def _rows(cases: Sequence[_Case], tried: _Tried, anchors: Mapping[int, str]) -> Iterator[TroubleRow]:
    for defect in DEFECT_KINDS:
        mine = [case for case in cases if case.defect == defect]
        if mine and mine[0].share >= LISTED:
            say = tried.locale.say
            yield TroubleRow(f"if-{defect}", say(f"trouble.row.{defect}.see"), _known(defect, mine[0].act, tried), tuple(_measure(case, tried, anchors) for case in _chosen(mine)),
                             say(f"trouble.row.{defect}.do"))


def _chosen(mine: Sequence[_Case]) -> list[_Case]:
    """The marks that do most of it, one a statement, in the order in which they are made."""
    made: dict[int, _Case] = {}
    for case in mine:
        if case.share >= LIKE * mine[0].share and len(made) < MOST_MARKS:
            made.setdefault(case.first.slip.act, case)
    return sorted(made.values(), key=lambda case: (case.first.slip.step, case.first.slip.act))


def _measure(case: _Case, tried: _Tried, anchors: Mapping[int, str]) -> Prose:
    step = case.first.slip.step
    return tuple(woven(tried.locale.say("trouble.at_step"), number=str(step), anchor=anchors.get(step, ""),
                       what=tuple(_what(case, tried))))


def _known(defect: str, act: int, tried: _Tried) -> Prose:
    """What a row tells of a gathered top: how high it rises, and the least and the greatest crown that closes."""
    if not tried.locale.has(f"trouble.row.{defect}.known"):
        return ()
    crowns = {system: each.crowns[act] for system, each in tried.found.items()}
    sizes = {"rise": {s: crown.rise or 0.0 for s, crown in crowns.items()},
             "least": {s: crown.apothem for s, crown in crowns.items()},
             "most": {s: crown.circumradius for s, crown in crowns.items()}}
    values = {name: inlay({s: _about(mm) for s, mm in each.items()}, locale=tried.locale) for name, each in sizes.items()}
    return tuple(woven(tried.locale.say(f"trouble.row.{defect}.known"), **values))
