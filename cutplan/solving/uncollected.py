"""Making very many objects without a search for circles among them."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def uncollected() -> Iterator[None]:
    """Put off the collection of circular garbage, for work that makes none and hardly anything but what it returns.

    The collector goes through all objects again each time their number has grown by a quarter: a third of the time
    that laying out a hundred thousand cuts took.
    """
    if not gc.isenabled():
        yield
        return
    gc.disable()
    try:
        yield
    finally:
        if not gc.get_freeze_count():  # else whoever froze objects wants them to stay so
            # All that was made counts as old: else the next collection would go through it as if it were new.
            gc.freeze()
            gc.unfreeze()
        gc.enable()
