"""Run something in a process that is killed, or refused by the disk, at one of its file operations."""
from __future__ import annotations

import os
import pickle
import signal
import sys
from collections.abc import Callable
from dataclasses import dataclass

OPERATIONS = {"os.rename", "os.remove", "os.rmdir", "os.mkdir", "os.link", "os.symlink", "os.chmod",
              "os.truncate"}
WRITING = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC

Fault = Callable[[int, str, tuple[object, ...]], None]      # number of the operation, its name, its arguments


@dataclass(frozen=True)
class Ended:
    """How it ended: ``error`` is what it raised, "" for nothing, None when it was killed on the way."""

    error: str | None
    operations: int = 0


def run_apart(work: Callable[[], None], fault: Fault = lambda *_: None) -> Ended:
    """Do ``work`` in a forked process; ``fault`` is called before each operation that changes a disk."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        os.write(write, pickle.dumps(_outcome(work, fault)))
        os._exit(0)
    os.close(write)
    with os.fdopen(read, "rb") as said:
        data = said.read()
    os.waitpid(child, 0)
    return pickle.loads(data) if data else Ended(None)


def _outcome(work: Callable[[], None], fault: Fault) -> Ended:
    count = 0
    watching = True

    def watch(event: str, arguments: tuple[object, ...]) -> None:
        nonlocal count
        writes = event == "open" and isinstance(arguments[2], int) and arguments[2] & WRITING
        if watching and (event in OPERATIONS or writes):
            count += 1
            fault(count - 1, event, arguments)
    sys.addaudithook(watch)
    try:
        work()
    except BaseException as error:
        return Ended(f"{type(error).__name__}: {error}", count)
    finally:
        watching = False
    return Ended("", count)


def killed_at(place: int) -> Fault:
    """SIGKILL before the operation of this number, counted from 0."""
    def fault(number: int, *_: object) -> None:
        if number == place:
            os.kill(os.getpid(), signal.SIGKILL)
    return fault


def refused_at(place: int, code: int, last: int | None = None) -> Fault:
    """The disk refuses the operations of the numbers from ``place`` to ``last``, or this one alone."""
    def fault(number: int, *_: object) -> None:
        if place <= number <= (place if last is None else last):
            raise OSError(code, os.strerror(code))
    return fault

