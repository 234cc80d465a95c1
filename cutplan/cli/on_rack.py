"""Commands that are given a rack: the options all of them share, and their answer as text or as JSON."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from inspect import Parameter, Signature, signature
from typing import Any, Concatenate, ParamSpec

import typer

from cutplan import actions
from cutplan.cli.options import AsJson, Debug, LedgerFile, PlanShop, ShopFile, Who
from cutplan.cli.output import answering, print_json, print_text
from cutplan.cli.process import DONE

Words = ParamSpec("Words")
AS_JSON = "as_json"
"""A command that asks its user for something has a word of this name: asked for JSON, it asks nothing."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What a command has to say, worked out as JSON or as text and not as both, and its exit code."""

    values: Callable[[], dict[str, Any]]
    text: Callable[[], str]
    code: int = DONE


Work = Callable[Concatenate[actions.Rack, Words], Answer]


def looking(work: Work[Words]) -> Callable[..., None]:
    """A command that only looks at the rack of the workshop file, or of ``--ledger``."""
    return _command(work, _named, ShopFile, signed=False)


def changing(work: Work[Words]) -> Callable[..., None]:
    """A command that does something to that rack, so that it says by whom."""
    return _command(work, _named, ShopFile, signed=True)


def of_plan(work: Work[Words]) -> Callable[..., None]:
    """A command that does something about a ``plan_file``, on the rack that the note beside it names."""
    return _command(work, _noted, PlanShop, signed=True)


def of_job(*, signed: bool) -> Callable[[Work[Words]], Callable[..., None]]:
    """A command about a ``job``, which is a plan file, or a name that the rack of the workshop file knows."""
    return lambda work: _command(work, _of_job, ShopFile, signed=signed)


def _named(_: dict[str, Any], **where: Any) -> actions.Rack:
    return actions.find_rack(**where)


def _noted(words: dict[str, Any], **where: Any) -> actions.Rack:
    return actions.rack_of_plan(words["plan_file"], **where)


def _of_job(words: dict[str, Any], **where: Any) -> actions.Rack:
    plan = actions.plan_path(words["job"])
    return actions.find_rack(**where) if plan is None else actions.rack_of_plan(plan, **where)


def _command(work: Work[Words], find: Callable[..., actions.Rack], shop: Any, *, signed: bool) -> Callable[..., None]:
    of_work = signature(work, eval_str=True)
    _, *own = (each for each in of_work.parameters.values() if each.name != AS_JSON)
    shared: dict[str, Any] = {"who": Who} if signed else {}
    shared |= {"ledger": LedgerFile, "workshop": shop, AS_JSON: AsJson, "debug": Debug}
    flags = (AS_JSON, "debug")
    more = [
        Parameter(name, Parameter.POSITIONAL_OR_KEYWORD, default=False if name in flags else None, annotation=kind)
        for name, kind in shared.items()
    ]

    @wraps(work)
    def command(**words: Any) -> None:
        where = {name: words.pop(name) for name in shared if name not in flags}
        as_json, debug = (words.pop(name) for name in flags)
        if AS_JSON in of_work.parameters:
            words[AS_JSON] = as_json
        with answering(as_json, debug):
            answer = work(find(words, **where), **words)  # type: ignore[call-arg]
            if as_json:
                print_json(answer.values())
            else:
                print_text(answer.text())
            if answer.code != DONE:
                raise typer.Exit(answer.code)

    # The command line is made from what a function says it takes.
    vars(command)["__signature__"] = Signature([*own, *more])
    command.__annotations__ = {each.name: each.annotation for each in [*own, *more]}
    return command
