"""A mapping that forgets what was put in first once it is full."""
from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterator, MutableMapping

ROOM = 64           # answers; each has about 5 kB


class Recent(MutableMapping[str, bytes]):
    """Keeps the last answers of this program."""

    def __init__(self, room: int = ROOM) -> None:
        self._room = room
        self._kept: OrderedDict[str, bytes] = OrderedDict()

    def __getitem__(self, key: str) -> bytes:
        return self._kept[key]

    def __setitem__(self, key: str, value: bytes) -> None:
        self._kept[key] = value
        self._kept.move_to_end(key)
        while len(self._kept) > self._room:
            self._kept.popitem(last=False)

    def __delitem__(self, key: str) -> None:
        del self._kept[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._kept)

    def __len__(self) -> int:
        return len(self._kept)
