"""What a process does that plans for a page: reads its order, and says in lines of JSON how far it is and what came."""

from __future__ import annotations

import json
import signal
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from cutplan import actions
from cutplan.problems import NoPlan, Problem, ProblemsFound
from cutplan.words.refusals import problem_values
from cutplan.words.stop_words import NOTHING_WRITTEN


def work() -> None:
    """Do what the first word of the command line orders, as JSON; ends with a line on what came of it."""
    signal.signal(signal.SIGINT, signal.default_int_handler)
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    print(json.dumps(done(json.loads(sys.argv[1]))), flush=True)


def done(order: Mapping[str, Any]) -> dict[str, Any]:
    """What came of an order: ``plan`` a list into a folder, ``replan`` the rest of a plan, or ``compare`` changes."""
    try:
        return _DEEDS[order["what"]](order)
    except ProblemsFound as found:
        problems = found.problems
    except NoPlan as none:
        problems = (Problem(where="plan", found=str(none), accepted="", found_is_text=False, code=none.code),)
    except actions.CheckFailed as failed:
        problems = (Problem(where="check", found=str(failed), accepted="", found_is_text=False, code="plan.refused"),)
    except KeyboardInterrupt:
        problems = (
            Problem(where="plan", found=NOTHING_WRITTEN, accepted="", found_is_text=False, code="bench.stopped"),
        )
    return {"problems": [problem_values(problem) for problem in problems]}


def _tell(text: str) -> None:
    print(json.dumps({"doing": text}), flush=True)


def _planned(order: Mapping[str, Any]) -> dict[str, Any]:
    lists = [Path(each) for each in order["parts"]]
    job = actions.read_job(lists, sheet=str(order.get("sheet", "")), times=int(order.get("times", 0)))
    folder = actions.plan_folder(lists)
    gone = actions.plan_replaced(job, folder)
    answer, _ = actions.plan_into(
        job, folder, rack=actions.find_rack(near=lists[0]), hold=bool(order.get("hold")), progress=_tell
    )
    done = {"folder": folder.as_posix(), "stopped": answer.stopped_by}
    return done if gone is None else {**done, "told": [str(gone)]}


def _rest_planned(order: Mapping[str, Any]) -> dict[str, Any]:
    plan_file = Path(order["plan"])
    wrong = None
    if order.get("bent"):
        wrong = actions.Wrong(bent=(int(order["bent"]),), usable=(str(order["usable"]),))
    rest = actions.replan(plan_file, actions.rack_of_plan(plan_file), wrong=wrong, progress=_tell)
    folder = rest.files[0].parent.as_posix() if rest.files else ""
    return {"folder": folder, "told": list(rest.told), "stopped": rest.plan.stopped_by if rest.plan else ""}


def _compared(order: Mapping[str, Any]) -> dict[str, Any]:
    lists = [Path(each) for each in order["parts"]]
    quotes = [Path(each) for each in order.get("quotes", ())]
    job = actions.read_job(lists, sheet=str(order.get("sheet", "")), times=int(order.get("times", 0)), quotes=quotes)
    rows = actions.compare(job, **order["changes"], quoted=bool(quotes), progress=_tell)
    stopped = next((row.stopped_by for row in rows if row.stopped_by), "")
    return {"compared": actions.comparison_cells(job, rows), "stopped": stopped}


_DEEDS = {"plan": _planned, "replan": _rest_planned, "compare": _compared}
