"""If yours does not close: what to measure before going on, and what to do when something is wrong."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from generator.dataclass import dataclass
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
# defects that have other words once they fail
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

    ``top_heights`` is how high each gathered top stands over its shoulder, in mm, by its act.
    """

    plans: Mapping[str, Plan]
    hand_errors: Mapping[str, Quantity]
    found: Mapping[str, ToleranceReport]
    errors: Mapping[str, Mapping[ErrorKey, MarkingError]]
    top_heights: Mapping[str, Mapping[int, float]]
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
    hand_errors = {system: _hand_tolerance(tutorial, system) for system in SYSTEMS}
    found = {system: analyse_tolerances(tutorial.plans[system], tutorial.folds[system],
                                        float(hand_errors[system]))
             for system in SYSTEMS}
    errors = {system: {error.key: error for error in each.errors} for system, each in found.items()}
    top_heights = {system: {top.act: top.stands or 0.0 for piece in folded.pieces
                            for top in piece.gathered_tops}
             for system, folded in tutorial.folds.items()}
    analysis = _Analysis(tutorial.plans, hand_errors, found, errors, top_heights, locale)
    effects = _error_effects(analysis)
    anchors = {step.number: step.anchor for step in tutorial.steps}
    return TroubleshootingGuide(_notes(effects, analysis), (*_rows(effects, analysis, anchors),
                                                            *_ridge_rows(tutorial, anchors, locale)))


def _ridge_rows(tutorial: Tutorial, anchors: Mapping[int, str],
                locale: Locale) -> Iterator[TroubleshootingRow]:
    """A row where the tips of a dome are pinched: no mark decides that, a hand does."""
    domes = {system: [piece.dome for piece in folded.pieces if piece.dome is not None and piece.dome.ridge]
             for system, folded in tutorial.folds.items()}
    for pair in zip(*domes.values(), strict=False):
        size = {system: _approximate_length(dome.ridge) for system, dome in zip(domes, pair, strict=True)}
        step = tutorial.plans[tutorial.front.drawn_in].acts[pair[0].act].step
        what = tuple(fill_sentence(locale.say("trouble.what.ridge"),
                                   size=computed_value(size, locale=locale)))
        yield TroubleshootingRow("if-top-ridge", locale.say("trouble.row.top-ridge.see"), (),
                                 (tuple(fill_sentence(locale.say("trouble.at_step"), number=str(step),
                                                      anchor=anchors.get(step, ""), what=what)),),
                                 locale.say("trouble.row.top-ridge.do"))
        break


def _hand_tolerance(tutorial: Tutorial, system: str) -> Quantity:
    given_error = tutorial.front.hand.get(system)
    return given_error if given_error is not None else length(SYSTEMS[system].hand_error)


def _error_effects(analysis: _Analysis) -> list[_ErrorEffect]:
    """Every marking error and defect in all editions together, the worst first; single measures only."""
    rows: dict[tuple[ErrorKey, str, int], dict[str, Sensitivity]] = {}
    for system, each in analysis.found.items():
        for one in each.found:
            if one.error.size is not None and all(one.error.key in errors
                                                  for errors in analysis.errors.values()):
                rows.setdefault((one.error.key, one.defect, one.act), {})[system] = one
    return sorted((_ErrorEffect(defect, act, both) for (_, defect, act), both in rows.items()),
                  key=lambda effect: (-float(snapped(effect.share, EQUAL_SHARES)), effect.first.error.step,
                                    effect.first.error.act, effect.first.error.index))


# -- notes --------------------------------------------------------------------

def _notes(effects: Sequence[_ErrorEffect], analysis: _Analysis) -> dict[int, Prose]:
    result: dict[int, Prose] = {}
    for effect in effects:
        step = effect.first.error.step
        if effect.share < NOTE_SHARE or len(result) == MAX_NOTES:
            break
        if step not in result and effect.defect not in DEFECTS_WITHOUT_NOTE:
            result[step] = tuple(_note(effect, analysis))
    return dict(sorted(result.items()))


def _note(effect: _ErrorEffect, analysis: _Analysis) -> Iterator[ProsePart]:
    """What to check, what happens where it is off, and what mends it."""
    say, error = analysis.locale.say, effect.first.error
    sides = {"more" if each.shift > 0 else "less" for each in effect.both.values()}
    side = "more" if effect.first.shift > 0 else "less"
    yield from fill_sentence(say("trouble.note"), what=tuple(_setting_text(effect, analysis)))
    yield " "
    yield from fill_sentence(say(f"trouble.when.{_count_of(error, 'one', 'many')}"),
                     hand=computed_value(analysis.hand_errors, locale=analysis.locale),
                     off=say(f"trouble.off.{error.kind}.{side}" if len(sides) == 1 else "trouble.off.either"),
                     effect=_consequence(effect, analysis), mend=say(f"trouble.mend.{error.kind}.{side}"))


def _count_of(error: MarkingError, one: str, many: str) -> str:
    if error.kind == "row":
        return "row"
    return many if error.kind == "panel" and error.count > 1 else one


def _consequence(effect: _ErrorEffect, analysis: _Analysis) -> Prose:
    """With its measure where both editions feel it alike and the words tell a difference."""
    say = analysis.locale.say
    words = say(f"trouble.effect.{effect.defect}")
    fails = (say(f"trouble.fails.{effect.defect}"),)
    if len(effect.both) < len(SYSTEMS):
        return fails
    before, after = (_visible_size(effect, which, analysis) for which in (0, 1))
    failing = {each.fails and each.defect in DEFECTS_THAT_FAIL_OTHERWISE for each in effect.both.values()}
    if (failing != {False} or "{before}" in words
            and any(before.wordings[s].text == after.wordings[s].text for s in SYSTEMS)):
        return fails
    return tuple(fill_sentence(words, before=before, after=after))


def _visible_size(effect: _ErrorEffect, which: int, analysis: _Analysis) -> ComputedValue:
    """As planned (0) or as it comes out (1); a dome loses as much height as straight petals would."""
    def seen(system: str, each: Sensitivity) -> float:
        top_heights = analysis.top_heights[system] if effect.defect == TOP_HEIGHT else {}
        return max(top_heights.get(effect.act, each.seen[0]) + each.seen[which] - each.seen[0], 0.0)

    return computed_value({system: _approximate_length(seen(system, each))
                           for system, each in effect.both.items()}, locale=analysis.locale)


def _approximate_length(mm: float) -> Quantity:
    """A measure that was worked out, to a tenth of a millimetre; always *about*."""
    return Quantity(float(round(float(snapped(mm)), 1)), 1)


def _setting_text(effect: _ErrorEffect, analysis: _Analysis, later: bool = False) -> Iterator[ProsePart]:
    """What the reader sets, with its measure in both editions; ``later`` the paper may lie otherwise."""
    error, locale = effect.first.error, analysis.locale
    errors = {system: known[error.key] for system, known in analysis.errors.items()}
    values: dict[str, ProsePart | Prose] = {
        "name": locale.name(error.name),
        "size": computed_value({s: each.size for s, each in errors.items()}, locale=locale)}
    kind = _count_of(error, error.kind, "panels")
    if kind == "mark":
        edges = "edge_then" if later and _is_turned(error, analysis) else "edge"
        values["edge"] = locale.say(f"trouble.{edges}.{error.side}")
        if error.count > 1:
            kind, values["which"] = "one_of", locale.ordinal(error.index)
    elif kind == "row":
        values["last"] = computed_value({s: each.last for s, each in errors.items()}, locale=locale)
    yield from fill_sentence(locale.say(f"trouble.what.{kind}"), **values)


def _is_turned(error: MarkingError, analysis: _Analysis) -> bool:
    """Whether the piece lay otherwise when the mark was made than when its work began."""
    states = analysis.plans["mm"].states[error.piece]
    return [state.orientation for act, state in states if act <= error.act][-1] != states[0][1].orientation


# -- the table ----------------------------------------------------------------

def _rows(effects: Sequence[_ErrorEffect], analysis: _Analysis,
          anchors: Mapping[int, str]) -> Iterator[TroubleshootingRow]:
    """One for each defect that a mark causes more than any other: the rest would tell nothing apart."""
    worst: dict[ErrorKey, str] = {}
    for effect in effects:
        worst.setdefault(effect.first.error.key, effect.defect)
    for defect in DEFECT_KINDS:
        causes = _main_effects([effect for effect in effects if effect.defect == defect], worst)
        if causes:
            say = analysis.locale.say
            yield TroubleshootingRow(f"if-{defect}", say(f"trouble.row.{defect}.see"),
                                     _known_limits(defect, causes[0].act, analysis),
                                     tuple(_measuring_instruction(effect, analysis, anchors)
                                           for effect in causes),
                             say(f"trouble.row.{defect}.do"))


def _main_effects(of_defect: Sequence[_ErrorEffect], worst: Mapping[ErrorKey, str]) -> list[_ErrorEffect]:
    """The marks that do most of it and nothing worse, one a statement, in the order of the work."""
    result: dict[int, _ErrorEffect] = {}
    for effect in of_defect:
        if (effect.share >= max(ROW_SHARE, SIMILAR_SHARE * of_defect[0].share) and len(result) < MAX_MARKS
                and worst[effect.first.error.key] == effect.defect):
            result.setdefault(effect.first.error.act, effect)
    return sorted(result.values(), key=lambda effect: (effect.first.error.step, effect.first.error.act))


def _measuring_instruction(effect: _ErrorEffect, analysis: _Analysis, anchors: Mapping[int, str]) -> Prose:
    step = effect.first.error.step
    return tuple(fill_sentence(analysis.locale.say("trouble.at_step"), number=str(step),
                               anchor=anchors.get(step, ""),
                       what=tuple(_setting_text(effect, analysis, later=True))))


def _known_limits(defect: str, act: int, analysis: _Analysis) -> Prose:
    """What a row says of a gathered top: how high it rises, the least and the greatest crown that closes."""
    if not analysis.locale.has(f"trouble.row.{defect}.known"):
        return ()
    crowns = {system: each.crowns[act] for system, each in analysis.found.items()}
    sizes = {"rise": {s: analysis.top_heights[s].get(act, 0.0) for s in crowns},
             "least": {s: crown.apothem for s, crown in crowns.items()},
             "most": {s: crown.circumradius for s, crown in crowns.items()}}
    values = {name: computed_value({s: _approximate_length(mm) for s, mm in each.items()},
                                   locale=analysis.locale) for name, each in sizes.items()}
    return tuple(fill_sentence(analysis.locale.say(f"trouble.row.{defect}.known"), **values))
