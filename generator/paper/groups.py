"""Groups side by side: equal ones are paired off, single values repeat, and nothing is ever multiplied out."""
from __future__ import annotations

from generator.paper.job import Job
from generator.paper.values import Group


def each(value: object) -> tuple:
    """The members of a group; a single thing is the only one of its own."""
    return value.items if isinstance(value, Group) else (value,)


def grouped(*values: object) -> bool:
    """True where one of the values is a group, so that what is made of them is one too."""
    return any(isinstance(value, Group) for value in values)


def paired(job: Job, *values: object) -> list[tuple]:
    """One row for each member of the groups among ``values``; single values stand in every row.

    Raises Trouble where two groups are of unequal size.
    """
    sizes = [len(value) for value in values if isinstance(value, Group)]
    if len(set(sizes)) > 1:
        first, other = sizes[0], next(n for n in sizes if n != sizes[0])
        job.refuse("group-sizes", f"a group of {first} stands beside a group of {other}",
                   "use groups of equal size, or a single value")
    count = sizes[0] if sizes else 1
    job.spend(5 * count)
    return [tuple(v.items[k] if isinstance(v, Group) else v for v in values) for k in range(count)]


def opened(value: object) -> list[object]:
    """Groups within groups as one list."""
    if not isinstance(value, Group):
        return [value]
    return [leaf for item in value.items for leaf in opened(item)]
