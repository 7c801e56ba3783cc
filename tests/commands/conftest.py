"""What every test of a command may use."""
from __future__ import annotations

from tests.commands.running import here

__all__ = ["here"]
