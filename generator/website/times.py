"""Times as people say them."""
from __future__ import annotations


def duration(minutes: int) -> str:
    """A time as people say it: "40 min", "1 h 20 min", "2 h"."""
    hours, rest = divmod(minutes, 60)
    return f"{hours} h" * bool(hours) + " " * bool(hours and rest) + f"{rest} min" * bool(rest)
