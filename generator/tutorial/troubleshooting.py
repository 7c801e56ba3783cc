"""If yours does not close: what to measure before going on, and what to do when something is wrong."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from generator.folding import (
    DEFECT_KINDS,
    MarkingError,
    Sensitivity,
    ToleranceReport,
    analyse_tolerances,
)
from generator.folding.tolerance_analysis import EQUAL_SHARES
from generator.geometry.ties import first_largest, snapped
from generator.locale import ENGLISH, Locale
from generator.paper.records import Plan
from generator.tutorial.facts import computed_value, fill_sentence
from generator.tutorial.records import ComputedValue, Prose, ProsePart, Tutorial
from generator.units import SYSTEMS, Quantity, length

NOTE_SHARE = 0.15         # share of what is bearable from which a mark is worth a note
ROW_SHARE = 0.1        # … and an defect a row
SIMILAR_SHARE = 0.4          # share of the worst mark of a row from which another one stands in it too
MAX_NOTES = 3      # steps with a note; more would not be read
MAX_MARKS = 3      # marks in one row
DEFECTS_WITHOUT_NOTE = frozenset({"tab"})     # defects that are not worth stopping for
# defects that have other words once it fails
DEFECTS_THAT_FAIL_OTHERWISE = frozenset({"top-flat", "top-tall", "lid-tight"})
TOP_HEIGHT = "top-flat"     # what is seen of this defect is how high a gathered top stands

ErrorKey = tuple[str, int, int, int]
EditionSensitivities = Mapping[str, Sensitivity]


@dataclass(frozen=True, slots=True)
class TroubleshootingRow:
    """One row of the table; ``anchor`` stays while the box can have this defect; ``known`` is () mostly."""

    anchor: str
    see: str
    known: Prose
    measure: tuple[Prose, ...]
    do: str


@dataclass(frozen=True, slots=True)
class TroubleshootingGuide:
    """``notes`` by step number, ``rows`` in a fixed order of defects."""

    notes: Mapping[int, Prose]
    rows: tuple[TroubleshootingRow, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Analysis:
    """What was tried: forgiveness and, by key, every slip of both editions; how to say it.

    ``rises`` is how high each gathered top stands over its shoulder, in mm, by its act.
    """

    plans: Mapping[str, Plan]
    hands: Mapping[str, Quantity]
    found: Mapping[str, ToleranceReport]
    slips: Mapping[str, Mapping[ErrorKey, MarkingError]]
    rises: Mapping[str, Mapping[int, float]]
    locale: Locale


@dataclass(frozen=True, slots=True)
class _ErrorEffect:
    """One slip and one defect in every edition that feels it."""

    defect: str
    act: int
    both: EditionSensitivities

    @property
    def share(self) -> float:
        return max(each.share for each in self.both.values())

    @property
    def first(self) -> Sensitivity:
        both = list(self.both.values())
        return both[first_largest((each.share for each in both), EQUAL_SHARES)]


def troubleshoot(tutorial: Tutorial, locale: Locale = ENGLISH) -> TroubleshootingGuide:
    """Both editions tried mark by mark, in words.

    Nothing where nothing is folded, or where a mistake does no harm.
    """
    if len(tutorial.folds) < len(SYSTEMS):
        return TroubleshootingGuide({}, ())
    hands = {system: _hand_tolerance(tutorial, system) for system in SYSTEMS}
    found = {system: analyse_tolerances(tutorial.plans[system], tutorial.folds[system], float(hands[system]))
             for system in SYSTEMS}
    slips = {system: {slip.key: slip for slip in each.errors} for system, each in found.items()}
    rises = {system: {top.act: top.stands or 0.0 for piece in folded.pieces for top in piece.gathered_tops}
             for system, folded in tutorial.folds.items()}
    tried = _Analysis(tutorial.plans, hands, found, slips, rises, locale)
    cases = _error_effects(tried)
    anchors = {step.number: step.anchor for step in tutorial.steps}
    return TroubleshootingGuide(_notes(cases, tried), tuple(_rows(cases, tried, anchors)))


def _hand_tolerance(tutorial: Tutorial, system: str) -> Quantity:
    said = tutorial.front.hand.get(system)
    return said if said is not None else length(SYSTEMS[system].hand_error)


def _error_effects(tried: _Analysis) -> list[_ErrorEffect]:
    """Every marking error and defect in all editions together, the worst first; single measures only."""
    rows: dict[tuple[ErrorKey, str, int], dict[str, Sensitivity]] = {}
    for system, each in tried.found.items():
        for one in each.found:
            if one.error.size is not None and all(one.error.key in slips for slips in tried.slips.values()):
                rows.setdefault((one.error.key, one.defect, one.act), {})[system] = one
    return sorted((_ErrorEffect(defect, act, both) for (_, defect, act), both in rows.items()),
                  key=lambda case: (-float(snapped(case.share, EQUAL_SHARES)), case.first.error.step,
                                    case.first.error.act, case.first.error.index))


# -- notes --------------------------------------------------------------------

def _notes(cases: Sequence[_ErrorEffect], tried: _Analysis) -> dict[int, Prose]:
    made: dict[int, Prose] = {}
    for case in cases:
        step = case.first.error.step
        if case.share < NOTE_SHARE or len(made) == MAX_NOTES:
            break
        if step not in made and case.defect not in DEFECTS_WITHOUT_NOTE:
            made[step] = tuple(_note(case, tried))
    return dict(sorted(made.items()))


def _note(case: _ErrorEffect, tried: _Analysis) -> Iterator[ProsePart]:
    locale = tried.locale
    yield from fill_sentence(locale.say("trouble.note"), what=tuple(_setting_text(case, tried)))
    if len(case.both) < len(SYSTEMS) or len({_error_manner(each) for each in case.both.values()}) > 1:
        return      # where the editions fail in different ways the measure alone is said
    kind, fails, more = _error_manner(case.first)
    words = locale.say(f"trouble.{'fails' if fails else 'effect'}.{case.defect}")
    before, after = (_visible_size(case, which, tried) for which in (0, 1))
    if "{before}" in words and any(before.wordings[s].text == after.wordings[s].text for s in SYSTEMS):
        return      # the difference is finer than the words
    effect = tuple(fill_sentence(words, before=before, after=after))
    yield " "
    yield from fill_sentence(locale.say(f"trouble.when.{'row' if kind == 'row' else 'one'}"),
                     hand=computed_value(tried.hands, locale=locale),
                     off=locale.say(f"trouble.off.{kind}.{more}"), effect=effect)


def _error_manner(each: Sensitivity) -> tuple[str, bool, str]:
    """The kind of error, whether the defect has other words when it fails, and to which side it goes."""
    return (each.error.kind, each.fails and each.defect in DEFECTS_THAT_FAIL_OTHERWISE, "more"
            if each.shift > 0 else "less")


def _visible_size(case: _ErrorEffect, which: int, tried: _Analysis) -> ComputedValue:
    """As planned (0) or as it comes out (1); a dome loses as much height as straight petals would."""
    def seen(system: str, each: Sensitivity) -> float:
        rises = tried.rises[system] if case.defect == TOP_HEIGHT else {}
        return max(rises.get(case.act, each.seen[0]) + each.seen[which] - each.seen[0], 0.0)

    return computed_value({system: _approximate_length(seen(system, each))
                           for system, each in case.both.items()}, locale=tried.locale)


def _approximate_length(mm: float) -> Quantity:
    """A measure that was worked out, to a tenth of a millimetre; always *about*."""
    return Quantity(float(round(float(snapped(mm)), 1)), 1)


def _setting_text(case: _ErrorEffect, tried: _Analysis) -> Iterator[ProsePart]:
    """What the reader sets, with its measure in both editions."""
    slip, locale = case.first.error, tried.locale
    slips = {system: known[slip.key] for system, known in tried.slips.items()}
    values: dict[str, ProsePart | Prose] = {
        "name": locale.name(slip.name),
        "size": computed_value({s: each.size for s, each in slips.items()}, locale=locale)}
    kind = slip.kind
    if kind == "mark":
        values["side"] = locale.say(f"trouble.side.{slip.side}")
        if slip.count > 1:
            kind, values["which"] = "one_of", locale.ordinal(slip.index)
    elif kind == "row":
        values["last"] = computed_value({s: each.last for s, each in slips.items()}, locale=locale)
    yield from fill_sentence(locale.say(f"trouble.what.{kind}"), **values)


# -- the table ----------------------------------------------------------------

def _rows(cases: Sequence[_ErrorEffect], tried: _Analysis,
          anchors: Mapping[int, str]) -> Iterator[TroubleshootingRow]:
    for defect in DEFECT_KINDS:
        mine = [case for case in cases if case.defect == defect]
        if mine and mine[0].share >= ROW_SHARE:
            say = tried.locale.say
            yield TroubleshootingRow(f"if-{defect}", say(f"trouble.row.{defect}.see"),
                                     _known_limits(defect, mine[0].act, tried),
                                     tuple(_measuring_instruction(case, tried, anchors)
                                           for case in _main_effects(mine)),
                             say(f"trouble.row.{defect}.do"))


def _main_effects(mine: Sequence[_ErrorEffect]) -> list[_ErrorEffect]:
    """The marks that do most of it, one a statement, in the order in which they are made."""
    made: dict[int, _ErrorEffect] = {}
    for case in mine:
        if case.share >= SIMILAR_SHARE * mine[0].share and len(made) < MAX_MARKS:
            made.setdefault(case.first.error.act, case)
    return sorted(made.values(), key=lambda case: (case.first.error.step, case.first.error.act))


def _measuring_instruction(case: _ErrorEffect, tried: _Analysis, anchors: Mapping[int, str]) -> Prose:
    step = case.first.error.step
    return tuple(fill_sentence(tried.locale.say("trouble.at_step"), number=str(step),
                               anchor=anchors.get(step, ""),
                       what=tuple(_setting_text(case, tried))))


def _known_limits(defect: str, act: int, tried: _Analysis) -> Prose:
    """What a row says of a gathered top: how high it rises, the least and the greatest crown that closes."""
    if not tried.locale.has(f"trouble.row.{defect}.known"):
        return ()
    crowns = {system: each.crowns[act] for system, each in tried.found.items()}
    sizes = {"rise": {s: tried.rises[s].get(act, 0.0) for s in crowns},
             "least": {s: crown.apothem for s, crown in crowns.items()},
             "most": {s: crown.circumradius for s, crown in crowns.items()}}
    values = {name: computed_value({s: _approximate_length(mm) for s, mm in each.items()},
                                   locale=tried.locale) for name, each in sizes.items()}
    return tuple(fill_sentence(tried.locale.say(f"trouble.row.{defect}.known"), **values))
