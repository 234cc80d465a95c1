"""What the code of a label names: the part, the left over or the piece of the rack, as far as its files are there."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import parse_qsl, urlsplit

from cutplan.actions.checked import read_plan
from cutplan.actions.output_folder import fingerprint
from cutplan.actions.unbegun import plan_files
from cutplan.problems import Problem, ProblemsFound
from cutplan.words.code_words import Decoded

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.rack.pieces import Life

_NEEDS = {"part": {"plan", "mark", "copy"}, "offcut": {"plan", "bar"}, "rack": {"mark"}}
"""What the code of each kind has to say; an offcut may have a mark too."""


def decode(text: str, rack: Rack) -> Decoded:
    """What the text of a code names.

    Raises
    ------
    ProblemsFound
        When it is no text of a code of a label.
    """
    kind, values = _parsed(text)
    plan_file = _plan_of(rack, values["plan"]) if "plan" in values else None
    part, bar = None, int(values.get("bar", "0"))
    if plan_file is not None:
        job, plan = read_plan(plan_file)
        if kind == "part":
            named = (values["mark"], int(values["copy"]))
            part = next((each for each in job.parts if each.mark == named[0]), None)
            bar = next((each.number for each in plan.bars if named in ((c.mark, c.copy) for c in each.cuts)), 0)
    mark = "" if kind == "part" else values.get("mark", "")
    return Decoded(
        kind=kind,
        values=values,
        plan_file=plan_file,
        part=part,
        bar=bar,
        life=_life(rack, mark) if mark else None,
    )


def _parsed(text: str) -> tuple[str, dict[str, str]]:
    from cutplan.reports.paper.labels import CODE_PATH

    try:
        split = urlsplit(text.strip())
    except ValueError:  # such as http://[
        split = urlsplit("")
    values = dict(parse_qsl(split.query))
    kind = split.path
    named = split.scheme == "cutplan"
    if split.scheme in ("http", "https") and split.netloc:  # a code that opens a page of a server
        named, kind = split.path.startswith(CODE_PATH), kind.removeprefix(CODE_PATH)
    sound = named and kind in _NEEDS and _NEEDS[kind] <= set(values)
    if not sound or not all(values.get(name, "1").isdecimal() for name in ("copy", "bar")):
        raise ProblemsFound(
            [
                Problem(
                    where="TEXT",
                    found=text,
                    accepted="the text of a code, such as cutplan:part?plan=0a1b2c3d&mark=T1&copy=2",
                    hint="in a shell, put it between quotation marks",
                    code="command.code",
                )
            ]
        )
    return kind, values


def _plan_of(rack: Rack, wanted: str) -> Path | None:
    return next((path for path in plan_files(rack) if fingerprint(path) == wanted), None)


def _life(rack: Rack, mark: str) -> Life | None:
    from cutplan.rack.history import life

    if not rack.path.exists():
        return None
    with rack.open(read_only=True) as ledger, suppress(ProblemsFound):
        return life(ledger, mark)
    return None
