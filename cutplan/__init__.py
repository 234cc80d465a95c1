"""cutplan: what steel to buy, where to cut it, and how cheapest is known.

The library face: ``read_job``, ``plan`` and ``verify`` do what the commands do,
with values in place of words; ``cost`` works out what a plan costs, ``orders``
what is ordered from whom, ``plan_many`` plans jobs side by side, ``tables``
gives a plan as pandas tables, and ``tables_of_all`` those of many together::

    from cutplan import plan, read_job, verify

    job = read_job("inputs/garden-trailer.csv")
    answer = plan(job)
    assert verify((job, answer)) == ()

They are loaded when first used, so that importing the package costs nothing.
"""

from __future__ import annotations

TYPE_CHECKING = False  # as typing has it; loading that takes longer than anything else before Ctrl-C is seen to
if TYPE_CHECKING:
    from typing import Any

    from cutplan.actions import cost, orders, plan, plan_many, read_job, tables, tables_of_all, verify

    __version__: str

__all__ = ["__version__", "cost", "orders", "plan", "plan_many", "read_job", "tables", "tables_of_all", "verify"]


def __getattr__(name: str) -> Any:
    if name == "__version__":
        from importlib.metadata import version

        return version("cutplan")
    if name in ("cost", "orders", "plan", "plan_many", "read_job", "tables", "tables_of_all", "verify"):
        from cutplan import actions

        return getattr(actions, name)
    raise AttributeError(f"module 'cutplan' has no attribute {name!r}")
