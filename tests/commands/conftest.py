"""What every test of a command may use."""
from __future__ import annotations

from tests.commands.command_runner import here

__all__ = ["here"]
