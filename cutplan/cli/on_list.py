"""Commands that read a parts list: the options that say what belongs to it."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from inspect import Parameter, Signature, signature
from typing import Any

from cutplan.cli.options import HolesFile, PartsSheet, PriceList, RackFile, Stock, Times, WorkshopFile

Beside = dict[str, Any]
"""What was said of the options below, as :func:`cutplan.actions.read_job` takes it; the others are left out."""

BESIDE = {
    "workshop": (WorkshopFile, None),
    "prices": (PriceList, None),
    "rack": (RackFile, None),
    "holes": (HolesFile, None),
    "sheet": (PartsSheet, ""),
    "times": (Times, None),
    "stock": (Stock, None),
}
"""Each option with what it is where nothing is said."""


def with_beside(work: Callable[..., None]) -> Callable[..., None]:
    """A command with these options in the place of its word ``beside``, which it is given."""
    options = [
        Parameter(name, Parameter.KEYWORD_ONLY, default=unsaid, annotation=kind)
        for name, (kind, unsaid) in BESIDE.items()
    ]
    words: list[Parameter] = []
    for each in signature(work, eval_str=True).parameters.values():
        words += options if each.name == "beside" else [each.replace(kind=Parameter.KEYWORD_ONLY)]

    @wraps(work)
    def command(**said: Any) -> None:
        given = {name: said.pop(name) for name in BESIDE}
        work(beside={name: value for name, value in given.items() if value}, **said)

    # The command line is made from what a function says it takes.
    vars(command)["__signature__"] = Signature(words)
    command.__annotations__ = {each.name: each.annotation for each in words}
    return command
