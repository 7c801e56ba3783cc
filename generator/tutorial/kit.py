"""A kit: all that a number of boxes of one or several tutorials takes in one edition.

Blanks of one paper are cut from sheets of one size together, whatever box they are for; the settings of all
papers are put in one order, so that a setting that several of them need is made once.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import ceil

from generator.dataclass import dataclass, replace
from generator.findings import Finding, Severity, finding
from generator.paper.records import Paper, PieceInfo, Plan
from generator.paper.sheet_layouts import STOCK_SHEETS, Blank, StockSheet
from generator.sheets import Batch, SheetError, batch, blank_of, pieces_from_sheets
from generator.sheets.shared_settings import FenceSetting, SharedPlan, SharedPlans, shared_plans
from generator.tutorial.plan_checks import OFFCUT, blank_findings
from generator.tutorial.records import ComputedValue, Prose, Tutorial
from generator.units import SYSTEMS


@dataclass(frozen=True, slots=True)
class KitOrder:
    """``boxes`` of a tutorial, for which ``cut`` are cut, those to spare among them.

    Work in class goes on where the step numbered ``stop`` has ended; 0 for nothing made before.
    """

    tutorial: Tutorial
    boxes: int
    cut: int
    stop: int = 0


@dataclass(frozen=True, slots=True)
class KitPaper:
    """One kind of ``paper`` (None where no tutorial says which): the sheets of it, and how they are cut.

    ``others`` says how many of the other listed sheets it would take, None where they are too small.
    ``blanks`` are named ``slug/piece``, each as often as it is needed.
    """

    paper: Paper | None
    name: str
    sheet: StockSheet
    plans: SharedPlans
    blanks: tuple[Blank, ...]
    others: tuple[tuple[StockSheet, Batch | None], ...]

    @property
    def chosen(self) -> SharedPlan:
        """The one with the fewest sheets."""
        return self.plans.plans[-1]


@dataclass(frozen=True, slots=True)
class KitSetting:
    """A setting of the fence, and by the place of the paper in the kit what is cut of it."""

    papers: Mapping[int, FenceSetting]

    @property
    def cuts(self) -> int:
        """Of the blade, one part at a time."""
        return sum(each.cuts for each in self.papers.values())


@dataclass(frozen=True, slots=True)
class Kit:
    """``system`` is the edition; ``left`` of the bags, the first ones, are for left-handed people.

    ``findings`` are what is wrong with it, or to look out for.
    """

    system: str
    orders: tuple[KitOrder, ...]
    papers: tuple[KitPaper, ...]
    settings: tuple[KitSetting, ...]
    findings: tuple[Finding, ...]
    left: int = 0

    @property
    def bags(self) -> int:
        """One for each person: as many as the most boxes of a tutorial."""
        return max(order.boxes for order in self.orders)


def kit_of(orders: Sequence[KitOrder], system: str, sheets: Sequence[StockSheet] = (), left: int = 0) -> Kit:
    """The kit of some orders; ``sheets`` are those at hand, else those that the tutorials list.

    Where a blank comes out of no sheet, or there is too much to try, a finding that is an error says so and
    the paper is left out.
    """
    papers: list[KitPaper] = []
    found: list[Finding] = []
    for paper, name, blanks, users in _by_paper(orders, system):
        for planned in _planned_apart(paper, name, blanks, users, system, sheets):
            if isinstance(planned, KitPaper):
                papers.append(planned)
            else:
                found.append(planned)
    papers = list(_told_apart(papers))
    found += _mixed_papers(orders, system)
    settings: list[KitSetting] = []
    for number, each in enumerate(papers):
        settings = _joined(settings, [KitSetting({number: setting}) for setting in each.chosen.settings])
    return Kit(system, tuple(orders), tuple(papers), tuple(settings), tuple(dict.fromkeys(found)), left)


# -- paper ------------------------------------------------------------------------------


def _by_paper(orders: Sequence[KitOrder],
              system: str) -> Iterator[tuple[Paper | None, str, tuple[Blank, ...], list[KitOrder]]]:
    """The kinds of paper, each with its blanks and the orders that need it."""
    blanks: dict[tuple[object, ...], list[Blank]] = {}
    known: dict[tuple[object, ...], tuple[Paper | None, str, list[KitOrder]]] = {}
    for order in orders:
        plan, locale = order.tutorial.plans[system], order.tutorial.locale
        for info in kit_pieces(plan):
            key = _kind_of(info.paper)
            name = locale.name(info.paper.name) if info.paper else "paper"
            users = known.setdefault(key, (info.paper, name, []))[2]
            if order not in users:
                users.append(order)
            blanks.setdefault(key, []).append(
                replace(blank_of(plan, info), name=f"{order.tutorial.slug}/{info.name}",
                        count=ceil(order.cut / info.boxes)))
    for key, (paper, name, users) in known.items():
        yield paper, name, tuple(blanks[key]), users


def kit_pieces(plan: Plan) -> Iterator[PieceInfo]:
    """The pieces that are cut beforehand: from sheets, and from what sheets leave over."""
    whole = {info.id for info in pieces_from_sheets(plan)}
    return (info for info in plan.pieces if info.id in whole or info.out_of == OFFCUT)


def _told_apart(papers: Sequence[KitPaper]) -> Iterator[KitPaper]:
    """Papers of one name with what tells them apart in it."""
    names = [each.name for each in papers]
    return (each if names.count(each.name) == 1 else
            replace(each, name=f"{each.name} of {paper_words(each.paper)}") for each in papers)


def _kind_of(paper: Paper | None) -> tuple[object, ...]:
    """What makes two papers the same to buy."""
    return () if paper is None else (paper.name, paper.weight, paper.thickness and paper.thickness.value,
                                     paper.printed, paper.plain, paper.one_way)


def _planned_apart(paper: Paper | None, name: str, blanks: tuple[Blank, ...], users: Sequence[KitOrder],
                   system: str, sheets: Sequence[StockSheet]) -> Iterator[KitPaper | Finding]:
    """The blanks of all orders together; each order's alone where together there is too much to try."""
    try:
        yield from _planned(paper, name, blanks, users, system, sheets)
    except SheetError:
        for order in users:
            own = tuple(blank for blank in blanks if blank.name.startswith(f"{order.tutorial.slug}/"))
            yield from _planned(paper, f"{name} for {order.tutorial.slug}", own, [order], system, sheets)


def _planned(paper: Paper | None, name: str, blanks: tuple[Blank, ...], users: Sequence[KitOrder],
             system: str, sheets: Sequence[StockSheet]) -> Iterator[KitPaper | Finding]:
    """Raises SheetError where there is too much to try, and several orders that could be cut apart."""
    known = list(sheets) or _listed_sheets(users, system)
    trouble: SheetError | None = None
    needed: dict[StockSheet, Batch | None] = {}
    for sheet in known:
        try:
            needed[sheet] = batch(sheet, blanks, 1)
        except SheetError as error:
            trouble, needed[sheet] = error, None
    for sheet in (each for each in known if needed[each] is not None):
        try:
            plans = shared_plans(sheet, blanks)
        except SheetError as error:
            if len(users) > 1:
                raise
            trouble = error
            continue
        yield KitPaper(paper, name, sheet, plans, blanks,
                       tuple((each, needed[each]) for each in known if each is not sheet))
        return
    yield from _no_sheet(known, users, system, "asked for" if sheets else "listed", trouble)


def _listed_sheets(users: Sequence[KitOrder], system: str) -> list[StockSheet]:
    """Those that the tutorials list, the one that a household prints on first."""
    listed = dict.fromkeys(sheet for order in users for sheet in order.tutorial.front.sheets)
    return sorted(listed, key=lambda sheet: sheet is not STOCK_SHEETS[SYSTEMS[system].print_paper])


def _no_sheet(sheets: Sequence[StockSheet], users: Sequence[KitOrder], system: str, which: str,
              trouble: SheetError | None) -> Iterator[Finding]:
    """Why no sheet will do, blank by blank where one is too large."""
    small = [replace(each, severity=Severity.ERROR, hint=_larger(order, system) or each.hint)
             for order in users if sheets
             for each in blank_findings(sheets, order.tutorial.plans[system], which)]
    yield from small
    if not small:
        first = next(kit_pieces(users[0].tutorial.plans[system]))
        code, message, hint = ((trouble.code, str(trouble), trouble.hint) if trouble is not None else
                               ("sheet-small", "no sheet is listed that blanks could be cut from",
                                "list sheets: in the front matter, or name one with --sheet"))
        yield finding(code, first.span, message, hint, Severity.ERROR)


def _larger(order: KitOrder, system: str) -> str:
    """Which of its own listed sheets hold all blanks of a tutorial; "" where none does."""
    plan = order.tutorial.plans[system]
    large = [sheet.title for sheet in order.tutorial.front.sheets if not any(blank_findings((sheet,), plan))]
    return f"take a sheet that holds it, as {' or '.join(large)} does; or the other edition" if large else ""


def _mixed_papers(orders: Sequence[KitOrder], system: str) -> Iterator[Finding]:
    """A warning where one name stands for papers that differ."""
    seen: dict[str, tuple[Paper, KitOrder]] = {}
    told: set[tuple[object, ...]] = set()
    for order in orders:
        for info in kit_pieces(order.tutorial.plans[system]):
            if info.paper is None:
                continue
            first, other = seen.setdefault(info.paper.name, (info.paper, order))
            kind = _kind_of(info.paper)
            if _kind_of(first) != kind and kind not in told:
                told.add(kind)
                yield finding("papers-mixed", info.span,
                              f"'{info.paper.name}' is {paper_words(info.paper)} here and "
                              f"{paper_words(first)} in {other.tutorial.slug}: sheets of both are needed, "
                              "each counted apart",
                              "keep the two stacks apart and label them; or give both tutorials one paper, "
                              "and check that each box still folds with it")


def paper_words(paper: Paper | None) -> str:
    """"200 g/m², 0.26 mm thick, printed #b5c9a8"."""
    if paper is None:
        return "any paper"
    words = [f"{paper.weight} g/m²" if paper.weight else "",
             f"{float(paper.thickness.value):g} mm thick" if paper.thickness is not None else "",
             *(f"{side} side {colour}" for side, colour
               in (("printed", paper.printed), ("plain", paper.plain)) if colour),
             "with a pattern that stands one way up" if paper.one_way else ""]
    return ", ".join(filter(None, words)) or "of no weight that is stated"


# -- one order of settings for all papers -------------------------------------------------


def _joined(first: list[KitSetting], second: list[KitSetting]) -> list[KitSetting]:
    """Both sequences in their order, as short as can be: a setting of both is made once."""
    best: dict[tuple[int, int], list[KitSetting]] = {}
    for i in range(len(first), -1, -1):
        for j in range(len(second), -1, -1):
            ways = []
            if i == len(first) or j == len(second):
                ways.append([*first[i:], *second[j:]])
            else:
                ways += [[first[i], *best[i + 1, j]], [second[j], *best[i, j + 1]]]
                if _fence(first[i]) == _fence(second[j]):
                    both = KitSetting({**first[i].papers, **second[j].papers})
                    ways.append([both, *best[i + 1, j + 1]])
            best[i, j] = min(ways, key=len)
    return best[0, 0]


def _fence(setting: KitSetting) -> object:
    return next(iter(setting.papers.values())).fence


# -- what goes into a bag -----------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class BagItem:
    """A piece of one box: ``made`` where the work before class has begun on it. ``boxes`` share it."""

    info: PieceInfo
    made: bool
    boxes: int = 1


def bag_items(order: KitOrder, system: str) -> Iterator[BagItem]:
    """All that one box of an order needs of paper and ribbon, in the order of the source."""
    plan = order.tutorial.plans[system]
    cut = {info.id for info in kit_pieces(plan)}
    for info in plan.pieces:
        if info.id in cut or info.is_ribbon:
            yield BagItem(info, info.step <= order.stop, info.boxes)


def stated_supplies(tutorial: Tutorial) -> tuple[Prose, ...]:
    """The supplies as the author states them, without the blanks and ribbons that stand before them."""
    own = len(tutorial.front.supplies)
    return tutorial.supplies[len(tutorial.supplies) - own:]


def prose_in(prose: Prose, system: str) -> str:
    """Prose in one edition."""
    return "".join(part if isinstance(part, str) else part.wordings[system].text
                   for part in prose if isinstance(part, str | ComputedValue))
