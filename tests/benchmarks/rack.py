"""The rack at its size: 20,000 pieces and 200,000 movements, and what a user then waits for.

``python tests/benchmarks/rack.py``; the exit code is 1 when a limit is missed. Each figure is the slowest of three,
inside a process that has loaded the program, opening the ledger included: processor seconds, which are held to the
limit, and beside them seconds of wall clock, which hang on what else the computer does.
"""

from __future__ import annotations

import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

from cutplan.model import Job, Offcut, Part, StockLength, Workshop
from cutplan.rack import backup, cut_bars, holding, job_events, offering, replay, seals, standing, ticks
from cutplan.rack.entry import entry
from cutplan.rack.marks import mark_of
from cutplan.rack.pieces import Doing
from cutplan.rack.stages import Step
from cutplan.rack.store import Ledger, open_ledger
from cutplan.sections import read_section
from cutplan.units import MM

PIECES, MOVEMENTS = 20_000, 200_000
SECTIONS = [f"SHS {side}x{side}x3" for side in (30, 40, 50, 60, 70, 80, 90, 100)]
DAY = "2031-05-04T09:30:00Z"


def fill(path: Path) -> None:
    """A ledger of its full size: every piece put there and then moved about, as years of use would leave it."""
    open_ledger(path, create=True).__exit__()
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("PRAGMA synchronous = OFF")
        db.execute("BEGIN")
        marks = [mark_of(number) for number in range(PIECES)]
        db.executemany("INSERT INTO mark VALUES (?, ?, ?)", [(mark, mark, n) for n, mark in enumerate(marks)])
        db.executemany(
            "INSERT INTO action VALUES (?, ?, 'Ines', 'move', '', '', '', NULL)",
            [(number + 1, DAY) for number in range(MOVEMENTS // 20)],
        )
        db.executemany(
            "INSERT INTO piece VALUES (?, ?, ?, 'EN 10219-2', 'black', NULL)",
            [(n + 1, mark, SECTIONS[n % len(SECTIONS)]) for n, mark in enumerate(marks)],
        )
        db.executemany(
            "INSERT INTO state VALUES (?, ?, 'sawn', 'sawn', 0, 0, '', 'H1', '', 'B2', '', NULL, NULL, 0, 0)",
            [(n + 1, (300 + n % 2500) * MM) for n in range(PIECES)],
        )
        rows = []
        for number in range(MOVEMENTS):
            piece, first = number % PIECES, number < PIECES
            length = (300 + piece % 2500) * MM
            kind, quantity = ("put on the rack", 1) if first else ("moved", 0)
            rows.append((number + 1, number // 20 + 1, piece + 1, kind, quantity, piece + 1, length * quantity))
        db.executemany(
            "INSERT INTO movement (id, action, piece, kind, quantity, state, length_change, parts, kerf_and_trim, "
            "scrap, note) VALUES (?, ?, ?, ?, ?, ?, ?, 0, 0, 0, '')",
            rows,
        )
        db.executemany("INSERT INTO on_hand VALUES (?, 1, ?)", [(n + 1, n + 1) for n in range(PIECES)])
        seals.seal_all(db)
        db.execute("COMMIT")


def a_job(offcuts: tuple[Offcut, ...]) -> Job:
    """Twenty parts of one section, most of them out of offcuts."""
    section = read_section(SECTIONS[0], standard=None, standard_of=Workshop().standard)
    parts = [Part(mark=f"P{n}", quantity=2, section=section, length=(900 + n) * MM, finish="black") for n in range(20)]
    offer = StockLength(
        id="P1", merchant="Yard", section=section, finish="black", length=6000 * MM, counted=6000 * MM, bar_price=30
    )
    return Job(name="bench", parts=tuple(parts), offers=(offer,), offcuts=offcuts, workshop=Workshop())


def slowest(what: Callable[[int], object], times: int = 3) -> tuple[float, float]:
    """Processor and wall seconds of the slowest of a few runs."""
    taken = []
    for turn in range(times):
        cpu, wall = time.process_time(), time.perf_counter()
        what(turn)
        taken.append((time.process_time() - cpu, time.perf_counter() - wall))
    return max(taken)


def main() -> int:
    """Measure everything and print a table; the return value is the exit code."""
    from cutplan import actions

    missed = []
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "rack.ledger"
        fill(path)
        with open_ledger(path) as ledger:
            faults = replay.contradictions(ledger)
        if faults:
            print("\n".join(faults))
            return 1

        def opened(what: Callable[[Ledger], Any], *, read_only: bool = False) -> Any:
            with open_ledger(path, read_only=read_only) as ledger:
                return what(ledger)

        plain = a_job(())
        today = holding.day_of(DAY)
        shop = Workshop()
        job = a_job(opened(lambda ledger: offering.offered(ledger, shop, "bench", plain.parts, today)[-40:]))
        plan = actions.plan(job, time_limit=20)

        def record(turn: int) -> None:
            doing = Doing(at=DAY, who="Ines", what="record", job="bench", plan=str(turn))
            opened(lambda ledger: cut_bars.record(ledger, doing, job, plan, {}))
            from cutplan.rack.handling import undo

            if turn < 2:
                opened(lambda ledger: undo(ledger, doing))

        note = job_events.note_of(job, plan, "ticks")

        def tick(turn: int) -> None:
            doing = Doing(at=DAY, who="Ines", what="cut", job="bench", plan="ticks")
            with open_ledger(path) as ledger, entry(ledger, doing) as writing:
                ticks.tick(writing, note, Step.CUT, [ticks.Tick(bar=1, part="P0", copy=turn + 1)])

        tasks: list[tuple[str, float, Callable[[int], object]]] = [
            ("open and show all", 0.5, lambda _: opened(lambda ledger: standing.standing(ledger), read_only=True)),
            (
                "open and show one section",
                0.5,
                lambda _: opened(lambda ledger: standing.standing(ledger, designations=SECTIONS[:1]), read_only=True),
            ),
            (
                "open and read for a plan",
                0.5,
                lambda _: opened(lambda ledger: offering.offered(ledger, shop, "bench", plain.parts, today)),
            ),
            ("open, record a plan (and undo it)", 0.2, record),
            ("open and tick a part", 0.2, tick),
            ("open and tell of all jobs", 0.2, lambda _: opened(lambda ledger: job_events.stories(ledger.db))),
            ("open and back up", 1.0, lambda turn: opened(lambda led: backup.backup(led, path.with_name(f"c{turn}")))),
            ("open and tell where all steel went", 0.5, lambda _: opened(replay.balances, read_only=True)),
            ("replay all and compare", 10.0, lambda _: opened(replay.contradictions)),
        ]
        print(f"{PIECES:,} pieces, {MOVEMENTS:,} movements, {path.stat().st_size / 1e6:.0f} MB; slowest of three, s")
        for title, limit, work in tasks:
            seconds, wall = slowest(work)
            missed += [title] if seconds > limit else []
            over = "  MISSED" if seconds > limit else ""
            print(f"{title:<40} {seconds:>6.2f}  limit {limit:.1f}  wall {wall:.2f}{over}", flush=True)
    print(f"missed: {', '.join(missed)}" if missed else "every limit is kept")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
