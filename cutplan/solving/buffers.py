"""Memory for large arrays that is used again: a system clears every page that it hands out, which was a fifth of the
time of pricing in states.
"""

from __future__ import annotations

import weakref
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[Any]

SMALLEST = 65_536
"""Bytes below which memory is not worth keeping. Own choice: so little comes from what is in use anyway."""

MOST_KEPT = 256_000_000
"""Bytes that are kept at most while nothing needs them. Own choice."""


class Buffers:
    """Arrays that were given back, to be taken again whatever they hold.

    They come in powers of two, so that those of one length serve others that are somewhat shorter.
    """

    def __init__(self) -> None:
        self._free: dict[int, list[Array]] = {}
        self._kept = 0
        self._lent: list[tuple[weakref.ref[Any], list[Array]]] = []

    def lend(self, user: object, arrays: list[Array]) -> None:
        """Take arrays back, and what is put beside them until then, once nothing refers to their user any more.

        That is looked at when memory is next taken: an interrupt during a callback of a weak reference is lost.
        """
        self._lent.append((weakref.ref(user), arrays))

    def take(self, length: int, dtype: Any) -> Array:
        """An array of so many numbers, not set to anything."""
        self._take_back()
        kind = np.dtype(dtype)
        needed = length * kind.itemsize
        size = 1 << (needed - 1).bit_length()
        free = self._free.get(size)
        if not free:
            return np.empty(size, dtype=np.uint8)[:needed].view(kind)
        self._kept -= size
        return free.pop()[:needed].view(kind)

    def give(self, arrays: list[Array]) -> None:
        """Take back arrays that nothing uses any more; the list is emptied."""
        for array in arrays:
            whole = array if array.base is None else array.base
            assert isinstance(whole, np.ndarray)
            if SMALLEST <= whole.nbytes <= MOST_KEPT - self._kept and whole.dtype == np.uint8:
                self._free.setdefault(whole.nbytes, []).append(whole)
                self._kept += whole.nbytes
        arrays.clear()

    def _take_back(self) -> None:
        lent, self._lent = self._lent, []
        for user, arrays in lent:
            if user() is None:
                self.give(arrays)
            else:
                self._lent.append((user, arrays))
