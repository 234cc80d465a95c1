"""A process of its own that does things to a rack as told, line by line, and can be stopped at any write.

``python -m tests.rack_worker`` reads one order per line and answers each with one line, both JSON. An order names the
folder, the time, what is done and with what; ``stop`` is the number of the write at which it is killed, or at which it
waits for a further line: statements that change the ledger and files that are opened to be written, renamed, removed.
Where ``how`` is ``alarm``, it is killed after so many tenths of a millisecond: inside of what SQLite does at once too.
Sheets and labels are left empty, since nobody reads them here and they take most of the time.
"""

from __future__ import annotations

import json
import os
import signal
import sqlite3
import sys
import traceback
from pathlib import Path
from typing import Any
from unittest import mock

from cutplan import actions
from cutplan.actions.ticking import Parts
from cutplan.model.cut_facts import BarFact, Spoiled
from cutplan.problems import NoPlan, ProblemsFound
from cutplan.rack.stages import Step
from tests.sheets import PRINTING

FILE_EVENTS = ("os.rename", "os.remove", "os.mkdir", "os.rmdir", "os.link", "os.truncate")
CHANGING = (
    "INSERT",
    "UPDATE",
    "DELETE",
    "BEGIN",
    "COMMIT",
    "ROLLBACK",
    "RELEASE",
    "SAVEPOINT",
    "CREATE",
    "PRAGMA USER",
)


class Writes:
    """Counts what the process writes, and stops it at one of them."""

    def __init__(self) -> None:
        self.begin("/nowhere", 0, "")
        sys.addaudithook(self._heard)
        connect = sqlite3.connect

        def counted(*arguments: Any, **others: Any) -> sqlite3.Connection:
            db: sqlite3.Connection = connect(*arguments, **others)
            db.set_trace_callback(self._statement)
            return db

        mock.patch("sqlite3.connect", counted).start()

    def begin(self, folder: str, stop: int, how: str) -> None:
        """Count from the start what is written below a folder, to stop at a write; 0 is never."""
        self.folder, self.count, self.stop, self.how = folder, 0, stop if how != "alarm" else 0, how
        signal.setitimer(signal.ITIMER_REAL, stop / 10_000 if how == "alarm" else 0)

    def _heard(self, event: str, arguments: tuple[Any, ...]) -> None:
        writes = event in FILE_EVENTS or (event == "open" and self._to_be_written(arguments))
        if writes and str(arguments[0]).startswith(self.folder):
            self._wrote()

    @staticmethod
    def _to_be_written(arguments: tuple[Any, ...]) -> bool:
        flags = arguments[2] if isinstance(arguments[2], int) else 0
        return bool(flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT))

    def _statement(self, text: str) -> None:
        if text.lstrip().upper().startswith(CHANGING):
            self._wrote()

    def _wrote(self) -> None:
        self.count += 1
        if self.count == self.stop:
            self.stop = 0
            if self.how == "kill":
                os.kill(os.getpid(), signal.SIGKILL)
            answer({"waits": True})
            sys.stdin.readline()


def answer(values: dict[str, Any]) -> None:
    """One line to whoever gave the order."""
    sys.stdout.write(json.dumps(values) + "\n")
    sys.stdout.flush()


def done(order: dict[str, Any]) -> Any:
    """Do one thing; what is worth knowing of it. Forms are filled in in the folder ``typed``, or that of the shop."""
    folder, given = Path(order["folder"]), order["with"]
    typed = Path(order.get("typed", folder))
    rack = actions.find_rack(near=folder / "parts.csv", who=order["who"])
    match order["do"]:
        case "add":
            return actions.rack_add(rack, **given)
        case "read":
            sheet = typed / f"rack-{os.getpid()}.csv"
            sheet.write_text(given["sheet"])
            return actions.rack_read(rack, sheet)
        case "scrap":
            return [piece.mark for piece in actions.rack_scrap(rack, **given)]
        case "take":
            return actions.rack_take(rack, **given).mark
        case "return":
            return actions.rack_return(rack, **given).mark
        case "correct":
            return actions.rack_correct(rack, reason="measured", **given)[1].mark
        case "move":
            return [piece.mark for piece in actions.rack_move(rack, **given)]
        case "release":
            return [piece.mark for piece in actions.rack_release(rack, **given)]
        case "count":
            sheet = typed / f"count-{os.getpid()}.csv"
            sheet.write_text(given["sheet"])
            return len(actions.rack_count(rack, given["place"], sheet))
        case "plan":
            parts = folder / f"{given['name']}.csv"
            if "list" in given:
                parts.write_text(given["list"])
            job = actions.read_job(parts, rack=rack.path if rack.path.exists() else None)
            return str(actions.plan_into(job, folder / given["name"], rack=rack, hold=given["hold"])[1][0].name)
        case "receive":
            sheet = typed / f"delivery-{os.getpid()}.csv"
            sheet.write_text(given["sheet"])
            again = actions.receive(folder / given["plan"], rack, given=sheet).again
            return str(again.files[0].relative_to(folder)) if again and again.files else ""
        case "record":
            actions.record(folder / given["plan"], rack, facts=facts(given["facts"]))
        case "replan":
            out = folder / given["out"]
            files = actions.replan(folder / given["plan"], rack, facts=facts(given["facts"]), out=out).files
            return str(files[0].relative_to(folder)) if files else ""
        case "order":
            actions.job_ordered(folder / given["plan"], rack)
        case "tick":
            actions.tick_parts(folder / given["plan"], rack, Step(given["step"]), Parts(**given["parts"]))
        case "close":
            actions.job_close(rack, str(folder / given["plan"]), unfinished=True)
        case "undo":
            actions.undo(rack)
        case "backup":
            actions.rack_backup(rack, folder / given["copy"])
        case "restore":
            return len(actions.rack_restore(rack, folder / given["copy"]).lost)
        case what:
            raise ValueError(what)
    return None


def facts(given: dict[str, dict[str, Any]] | None) -> dict[int, BarFact] | None:
    """What happened to bars, as it was sent."""
    if given is None:
        return None
    return {
        int(number): BarFact(**{**fact, "spoiled": tuple(Spoiled(**one) for one in fact.get("spoiled", ()))})
        for number, fact in given.items()
    }


def main() -> None:
    """Work until there are no more orders."""
    writes = Writes()
    for name in PRINTING:
        mock.patch(name, lambda job, plan, path, *_, **__: path.touch()).start()
    answer({"ready": os.getpid()})
    clock = mock.patch("cutplan.actions.rack_found.now").start()
    for line in sys.stdin:
        order = json.loads(line)
        clock.return_value = order["at"]
        writes.begin(order["folder"], order.get("stop", 0), order.get("how", ""))
        try:
            came = done(order)
            signal.setitimer(signal.ITIMER_REAL, 0)
            answer({"came": came, "writes": writes.count})
        except (ProblemsFound, NoPlan) as refused:
            answer({"refused": str(refused), "writes": writes.count})
        except Exception:
            answer({"failed": traceback.format_exc()})


if __name__ == "__main__":
    main()
