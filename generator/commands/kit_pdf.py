"""A kit as pages in large print: what to buy and cut, a label for each bag, what is left to do in class."""
from __future__ import annotations

from collections.abc import Iterator

from generator.commands.kit_report import bag_line, counted, kit_parts
from generator.drawing.backends.pdf import pdf
from generator.drawing.templates.labels import LabelLine, LabelSection, label_pages
from generator.tutorial.kit import Kit, bag_items, prose_in
from generator.units import SYSTEMS


def kit_pdf(kit: Kit) -> bytes:
    """Lists first, then labels in the order of the bags, then a hand-out for each tutorial."""
    paper = SYSTEMS[kit.system].print_paper
    pages = [page for part in (_lists(kit), _labels(kit), *([each] for each in _hand_outs(kit)))
             for page in label_pages(list(part), paper)]
    return pdf("Kit: " + ", ".join(order.tutorial.front.title for order in kit.orders), pages)


def _lists(kit: Kit) -> Iterator[LabelSection]:
    for title, lines in kit_parts(kit):
        yield LabelSection(title, tuple(LabelLine(line.strip(), heading=not line.startswith("   "))
                                        for line in lines))


def _labels(kit: Kit) -> Iterator[LabelSection]:
    for number in range(1, kit.bags + 1):
        yield LabelSection(f"Bag {number}", tuple(_label_lines(kit, number)),
                           "left-handed" if number <= kit.left else "")


def _label_lines(kit: Kit, number: int) -> Iterator[LabelLine]:
    for order in kit.orders:
        if number > order.boxes:
            continue
        yield LabelLine(order.tutorial.front.title, heading=True)
        for item in bag_items(order, kit.system):
            if (number - 1) % item.boxes == 0:
                yield LabelLine(bag_line(kit, order, item))
        if order.stop:
            left = len(order.tutorial.steps) - order.stop
            yield LabelLine(f"made up to step {order.stop}; {counted(left, 'step')} to do")


def _hand_outs(kit: Kit) -> Iterator[LabelSection]:
    """The steps that are left to do, with the author's short words where there are some."""
    for order in kit.orders:
        lines = []
        for step in order.tutorial.steps[order.stop:]:
            lines.append(LabelLine(f"{step.number} {prose_in(step.heading, kit.system) or step.title}", True))
            if short := prose_in(step.short, kit.system).strip():
                lines.append(LabelLine(" ".join(short.split())))
        yield LabelSection(order.tutorial.front.title, tuple(lines))
