"""What cannot be cut at all, or not worked out in time."""
from __future__ import annotations


class SheetError(ValueError):
    """``code`` is the finding's code; the message and ``hint`` are for the demonstrator."""

    def __init__(self, code: str, message: str, hint: str = ""):
        super().__init__(message)
        self.code, self.hint = code, hint


def too_much() -> SheetError:
    """More ways to cut than can be tried."""
    return SheetError("too-much", "there are more ways to cut this sheet than can be tried",
                      "look at fewer or larger pieces at a time, or cut a sheet in halves first")
