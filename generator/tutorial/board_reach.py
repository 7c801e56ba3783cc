"""A strip that is longer than the scoring board: how far to score, and how to move it on."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from generator.dataclass import dataclass
from generator.language.evaluation.prose_wording import word_value
from generator.locale import ENGLISH, Locale
from generator.paper.records import Mark, Plan, Side
from generator.paper.values import Group
from generator.paper.work_kinds import MARK_KINDS
from generator.tutorial.facts import NO_SPAN, computed_value, fill_sentence
from generator.tutorial.records import ComputedValue, MeasureWording, Prose, ProsePart
from generator.units import Bench, length

RowKey = tuple[int, Side | None]      # a piece, and the edge its marks are measured from


@dataclass(frozen=True, slots=True)
class BoardMove:
    """The mark at ``last`` is moved to ``to``; what follows then lies at ``rest`` on the board. All in mm."""

    last: Fraction
    to: Fraction
    rest: tuple[Fraction, ...]


@dataclass(frozen=True, slots=True)
class BoardRow:
    """Marks of one kind that one step makes on the board, measured from one edge of one piece."""

    piece: str
    verb: str
    reach: Fraction
    moves: tuple[BoardMove, ...]
    beyond: tuple[Fraction, ...]        # marks that cannot be brought onto the board at all


def board_notes(plans: Mapping[str, Plan], benches: Mapping[str, Bench], step: int,
              locale: Locale = ENGLISH) -> tuple[Prose, ...]:
    """One note for each row of marks beyond the board, in both systems where both boards are too short."""
    rows = {system: _rows(plan, benches[system], step) for system, plan in plans.items()}
    notes = []
    for key in dict.fromkeys(key for found in rows.values() for key in found):
        here = {system: found[key] for system, found in rows.items() if key in found}
        if len(here) == len(plans) and len({_row_shape(row) for row in here.values()}) == 1:
            notes.append(tuple(_note_text(here, locale)))
        else:
            notes += [(locale.say(f"tutorial.reach.with_{system}"), *_note_text({system: row}, locale))
                      for system, row in here.items()]
    return tuple(notes)


def _row_shape(row: BoardRow) -> tuple[tuple[int, ...], int]:
    return tuple(len(move.rest) for move in row.moves), len(row.beyond)


def _rows(plan: Plan, bench: Bench, step: int) -> dict[RowKey, BoardRow]:
    """The rows of a step that do not all lie on the board, by piece and edge."""
    board = bench.tools["board"]
    found: dict[RowKey, dict[Fraction, list[Mark]]] = {}
    for piece, history in plan.states.items():
        for mark in history[-1][1].marks:
            if (mark.step == step and mark.tool == "board" and mark.position is not None
                and mark.position.exact):
                place = Fraction(mark.position.value)
                found.setdefault((piece, mark.measured_from), {}).setdefault(place, []).append(mark)
    rows = {}
    for (piece, side), by_place in found.items():
        places, marks = sorted(by_place), [mark for each in by_place.values() for mark in each]
        if board.reach is not None and places[-1] > board.reach:
            moves, beyond = board_moves(places, board.reach, board.step)
            rows[piece, side] = BoardRow(plan.pieces[piece].name, _verb(marks), board.reach, moves, beyond)
    return rows


def _verb(marks: Sequence[Mark]) -> str:
    verbs = {mark.verb for mark in marks}
    return next(iter(verbs)) if len(verbs) == 1 else "mark"


def board_moves(places: Sequence[Fraction], reach: Fraction,
                step: Fraction) -> tuple[tuple[BoardMove, ...], tuple[Fraction, ...]]:
    """The moves that bring ascending ``places`` onto a board, and the places for which there is none.

    The last mark that is made goes to the groove of the first mark, so that
    the next ones fall on grooves that were used before; nearer to the start
    where that is still too far.
    """
    moves: list[BoardMove] = []
    shift, beyond = Fraction(0), []
    rest = [place for place in places if place > reach]
    while rest:
        marked = [place for place in places if place - shift <= reach]
        groove = _groove(marked, rest[0], shift, reach, step)
        if groove is None:
            beyond = rest
            break
        shift = marked[-1] - groove
        now = [place for place in rest if place - shift <= reach]
        moves.append(BoardMove(marked[-1], groove, tuple(place - shift for place in now)))
        rest = rest[len(now):]
    return tuple(moves), tuple(beyond)


def _groove(marked: Sequence[Fraction], after: Fraction, shift: Fraction, reach: Fraction,
            step: Fraction) -> Fraction | None:
    """Where on the board the last mark that is made must go, so that the next lies on it, if anywhere."""
    if not marked:
        return None
    for groove in (marked[0] // step * step, step):
        if 0 < groove < marked[-1] - shift and after - marked[-1] + groove <= reach:
            return groove
    return None


# -- in words -----------------------------------------------------------------

def _note_text(rows: Mapping[str, BoardRow], locale: Locale) -> Iterator[ProsePart]:
    first = next(iter(rows.values()))
    kind = MARK_KINDS.get(first.verb)
    verb = first.verb if kind is not None and kind.tool == "board" else "mark"

    yield from fill_sentence(locale.say("tutorial.reach.longer" if len(rows) > 1
                                        else "tutorial.reach.longer_here"),
                     piece=locale.name(first.piece),
                     reach=_measure_list({s: [row.reach] for s, row in rows.items()}, locale))
    for k, move in enumerate(first.moves):
        moves = {system: row.moves[k] for system, row in rows.items()}
        yield " "
        yield from fill_sentence(locale.say(f"tutorial.reach.{verb}.{'further' if k else 'first'}"),
                                 last=_measure_list({s: [each.last] for s, each in moves.items()}, locale),
                                 to=_measure_list({s: [each.to] for s, each in moves.items()}, locale))
        yield from fill_sentence(locale.count("tutorial.reach.next", len(move.rest), rest="{rest}"),
                                 rest=_measure_list({s: each.rest for s, each in moves.items()}, locale))
    if first.beyond:
        yield " "
        yield from fill_sentence(locale.say(f"tutorial.reach.{'rest' if first.moves else 'these'}"),
                         beyond=_measure_list({s: row.beyond for s, row in rows.items()}, locale))


def _measure_list(measures: Mapping[str, Sequence[Fraction]], locale: Locale) -> ComputedValue:
    """A list of measures, each system's own; where one board alone is too short its words serve all."""
    values = {system: Group(tuple(map(length, each))) for system, each in measures.items()}
    if len(values) > 1:
        return computed_value(values, locale=locale)
    (system, value), = values.items()
    words = word_value(value, system, locale=locale)
    wording = MeasureWording(words.text, words.speech, words.html)
    return ComputedValue("", NO_SPAN, {"mm": wording, "in": wording}, True)
