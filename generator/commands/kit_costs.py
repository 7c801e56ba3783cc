"""What a kit costs, by prices from a file that lies apart from all that is published."""
from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from os.path import realpath
from pathlib import Path

import click
import yaml

from generator.commands.bench_settings import site_folder
from generator.dataclass import dataclass
from generator.language.source.front_matter_values import read_sheet
from generator.tutorial.kit import Kit, KitPaper, bag_items
from generator.units import SYSTEMS, QuantityError

FORM = "write sheets: {card: {a4: 0.30}}, ribbon: {metre: 1.20}, other: {glue: 2.50}, currency: EUR"
KEYS = {"sheets", "ribbon", "other", "currency"}


@dataclass(frozen=True, slots=True)
class Cost:
    """What ``what`` costs in all; None where no price of it is given."""

    what: str
    price: Fraction | None


class Prices:
    """What a file says; raises click.UsageError where it cannot be read, or could be published."""

    def __init__(self, path: Path):
        whole = Path(realpath(path))
        site = site_folder(whole.parent)
        if site is not None and whole.is_relative_to(realpath(site.path)):
            raise click.UsageError(f"--costs: {path} lies among the tutorials, where it could be published; "
                                   "keep prices outside of that folder")
        self._path = path
        data = self._mapping(self._read(), "it")
        if unknown := sorted(set(map(str, data)) - KEYS):
            raise self._wrong(f"“{unknown[0]}” is none of {', '.join(sorted(KEYS))}")
        self.currency = str(data.get("currency", ""))
        self._sheets = {(str(paper), self._sheet(sheet)): self._price(price)
                        for paper, prices in self._mapping(data.get("sheets"), "sheets").items()
                        for sheet, price in self._mapping(prices, str(paper)).items()}
        self._ribbon = {str(unit): self._price(price)
                        for unit, price in self._mapping(data.get("ribbon"), "ribbon").items()}
        self._other = {str(what): self._price(price)
                       for what, price in self._mapping(data.get("other"), "other").items()}

    def of(self, kit: Kit) -> Iterator[Cost]:
        """Each kind of sheet, the ribbon where there is some, and whatever else the file has."""
        for each in kit.papers:
            price = self._of_sheet(each)
            yield Cost(f"{each.chosen.sheets} × {each.sheet.title} of {each.name}",
                       None if price is None else price * each.chosen.sheets)
        system = SYSTEMS[kit.system]
        long = sum((Fraction(order.tutorial.plans[kit.system].states[item.info.id][0][1].width.value)
                    * -(-order.cut // item.boxes) for order in kit.orders
                    for item in bag_items(order, kit.system) if item.info.is_ribbon), Fraction(0))
        if long:
            price = self._ribbon.get(system.roll_unit)
            yield Cost("ribbon", None if price is None else price * long / system.roll_length)
        yield from (Cost(what, price) for what, price in self._other.items())

    def _of_sheet(self, each: KitPaper) -> Fraction | None:
        """By the paper's name with its weight, as "card 280 gsm", else by its name."""
        name = each.paper.name if each.paper is not None else "paper"
        weight = each.paper.weight if each.paper is not None else None
        sides = each.sheet.width.value, each.sheet.height.value
        return self._sheets.get((f"{name} {weight} gsm", sides), self._sheets.get((name, sides)))

    # -- reading ------------------------------------------------------------------

    def _read(self) -> object:
        try:
            return yaml.safe_load(self._path.read_text(encoding="utf-8"))
        except OSError as error:
            raise click.UsageError(f"--costs: {self._path} cannot be read: "
                                   f"{(error.strerror or str(error)).lower()}") from None
        except (ValueError, RecursionError, yaml.YAMLError):
            raise self._wrong("it is not YAML in UTF-8") from None

    def _wrong(self, problem: str) -> click.UsageError:
        return click.UsageError(f"--costs: {self._path}: {problem}; {FORM}")

    def _mapping(self, data: object, what: str) -> Mapping[object, object]:
        if data is None:
            return {}
        if not isinstance(data, dict):
            raise self._wrong(f"{what} holds no names with prices")
        return data

    def _price(self, data: object) -> Fraction:
        if isinstance(data, bool) or not isinstance(data, int | float) or not 0 <= data <= 1_000_000:
            raise self._wrong(f"“{data}” is no price")
        return Fraction(str(data))

    def _sheet(self, data: object) -> tuple[object, object]:
        try:
            sheet = read_sheet(data)
        except QuantityError as error:
            raise self._wrong(str(error)) from None
        return sheet.width.value, sheet.height.value


def cost_lines(kit: Kit, prices: Prices) -> Iterator[str]:
    """What each thing costs, all of it, and a share for each box that is cut."""
    costs = list(prices.of(kit))
    for cost in costs:
        yield f"  {cost.what}: " + ("no price is given" if cost.price is None
                                    else _amount(cost.price, prices.currency))
    total = sum((cost.price for cost in costs if cost.price is not None), Fraction(0))
    missing = ", without what has no price" if any(cost.price is None for cost in costs) else ""
    boxes = sum(order.cut for order in kit.orders)
    yield (f"  in all {_amount(total, prices.currency)}{missing}; "
           f"{_amount(total / boxes, prices.currency)} a box")


def cost_data(kit: Kit, prices: Prices) -> dict[str, object]:
    """The same for programs, exact."""
    costs = list(prices.of(kit))
    return {"currency": prices.currency,
            "items": [{"what": cost.what, "price": None if cost.price is None else str(cost.price)}
                      for cost in costs],
            "total": str(sum((cost.price for cost in costs if cost.price is not None), Fraction(0)))}


def _amount(price: Fraction, currency: str) -> str:
    cents = round(price * 100)
    return f"{cents // 100}.{cents % 100:02}" + (f" {currency}" if currency else "")
