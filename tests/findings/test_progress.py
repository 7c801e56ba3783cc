"""Long work says at a terminal how far it is, and nowhere else."""
from __future__ import annotations

import io

import pytest

from generator.findings import with_progress


class Terminal(io.StringIO):
    """A stream that a person looks at."""

    def isatty(self) -> bool:
        """It is."""
        return True

    def screen(self) -> str:
        """What its one line shows in the end."""
        shown = ""
        for part in self.getvalue().split("\r"):
            shown = part + shown[len(part):]
        return shown.rstrip()


def test_a_terminal_is_told_what_and_how_many_of_how_many():
    """Before each piece of work is begun; in the end the line is empty."""
    out, seen = Terminal(), []

    def work():
        for number in range(3):
            seen.append(out.screen())
            yield number * 10

    assert list(with_progress(work(), "checking", ["a.md", "b" * 100, "c.md"], out)) == [0, 10, 20]
    assert seen == ["checking 1 of 3: a.md", f"checking 2 of 3: {'b' * 62}", "checking 3 of 3: c.md"]
    assert out.screen() == ""


def test_the_line_is_emptied_where_work_fails():
    """What is told of the failure then has a line of its own."""
    out = Terminal()
    with pytest.raises(ZeroDivisionError):
        list(with_progress((1 // number for number in (1, 0)), "checking", ["a", "b"], out))
    assert out.screen() == ""


@pytest.mark.parametrize(("out", "names"), [(io.StringIO(), ["a", "b"]), (Terminal(), ["a"])])
def test_files_and_single_work_are_told_nothing(out, names):
    """A pipe gets not a byte, nor does a terminal where all is done at once."""
    assert list(with_progress(range(len(names)), "checking", names, out)) == list(range(len(names)))
    assert out.getvalue() == ""
