"""What is kept of a plan at the saw beside its ticks: what is left of each bar as measured, and where it is put.

It stands in a cut record beside the plan, in the form that ``record --actual`` reads: whoever goes on with the command
line finds all of it there.
"""

from __future__ import annotations

import csv
import io
import os
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from cutplan.actions.checked import read_plan
from cutplan.actions.digests import plan_digest
from cutplan.actions.output_folder import fingerprint, reserved
from cutplan.actions.rack_found import Rack
from cutplan.actions.racking import rack_move
from cutplan.actions.recording import record
from cutplan.actions.typed_values import printable
from cutplan.problems import Problem, ProblemsFound
from cutplan.words.recorded import Cut

if TYPE_CHECKING:
    from cutplan.model import CutBar, Job, Plan
    from cutplan.model.cut_facts import BarFact
    from cutplan.rack.ticks import Tick

CUT_RECORD_FILE = "cut-record.csv"

_LEFT, _PLACE = "Left over as measured", "Note"


@dataclass(frozen=True, slots=True, kw_only=True)
class AtTheSaw:
    """How far a plan is cut: its digest, its ticks, and by bar what is put away: as measured, as typed, and where.

    ``left`` is what is left of a bar by what its spoiled parts came to, where that is not as planned. ``recorded`` says
    that the plan is written down, so that nothing of it is ticked any more.
    """

    plan: str
    ticks: tuple[Tick, ...]
    put_away: Mapping[int, tuple[str, str]]
    left: Mapping[int, str] = field(default_factory=dict)
    recorded: bool = False


def digest_of(plan_file: Path) -> str:
    """The digest of a plan."""
    return plan_digest(*read_plan(plan_file))


def at_the_saw(plan_file: Path, rack: Rack) -> AtTheSaw:
    """How far a plan is cut by now."""
    from cutplan.rack.job_events import stage
    from cutplan.rack.stages import Stage
    from cutplan.rack.ticks import ticks_of

    job, plan = read_plan(plan_file)
    digest = plan_digest(job, plan)
    put_away = _put_away(plan_file)
    if not rack.path.exists():
        return AtTheSaw(plan=digest, ticks=(), put_away=put_away)
    with rack.open(read_only=True) as ledger, ledger.reading() as db:
        recorded = stage(db, digest) in (Stage.RECORDED, Stage.CLOSED)
        ticks = ticks_of(db, digest)
    left = _left(job, plan, ticks)
    return AtTheSaw(plan=digest, ticks=ticks, put_away=put_away, left=left, recorded=recorded)


def _left(job: Job, plan: Plan, ticks: Sequence[Tick]) -> dict[int, str]:
    """What is left of the bars on which a spoiled part was measured, as it is printed."""
    from cutplan.model.cut_facts import came_short
    from cutplan.rack.ticks import ticked_facts
    from cutplan.units import length_text

    if not any(one.spoiled for one in ticks):
        return {}
    lengths = {part.mark: part.length for part in job.parts}
    found = {}
    facts = ticked_facts(plan, ticks, gaps=True)
    for bar in plan.bars:
        longer = came_short(lengths, facts[bar.number].spoiled)
        if longer:
            found[bar.number] = length_text(max(0, bar.drop.length + longer), job.workshop.printing)
    return found


def put_away(plan_file: Path, rack: Rack, number: int, *, measured: str = "", place: str = "") -> None:
    """Note what is left of a bar as measured, and where it is put; nothing measured is as planned.

    Raises
    ------
    ProblemsFound
        When there is no such bar, the length is none that it can have come to, or the plan is recorded.
    """
    from cutplan.reading.forms.cut_record import read_cut_record

    job, plan = read_plan(plan_file)
    bars = {bar.number for bar in plan.bars}
    if number not in bars:
        accepted = f"a bar of the plan, {min(bars)} to {max(bars)}"
        raise ProblemsFound([Problem.statement("bar", f"bar {number}", accepted, code="record.bar")])
    where = printable("place", place)
    mark = fingerprint(plan_file)
    with reserved(plan_file.parent, workbook=False):
        now = at_the_saw(plan_file, rack)
        if now.recorded:
            accepted = "a plan that is not: what was kept of it lies on the rack, to be moved or measured there"
            raise ProblemsFound(
                [Problem.statement(job.name, "a plan that is recorded", accepted, code="plan.recorded")]
            )
        noted = {**now.put_away, number: (measured.strip(), where)}
        text = _record_text(job, plan, mark, now.ticks, noted)
        with TemporaryDirectory(dir=plan_file.parent) as aside:
            new = Path(aside) / CUT_RECORD_FILE
            new.write_text(text, encoding="utf-8")
            read_cut_record(new, plan, job.workshop, mark)
            os.replace(new, plan_file.parent / CUT_RECORD_FILE)


def _record_text(job: Job, plan: Plan, mark: str, ticks: Sequence[Tick], noted: Mapping[int, tuple[str, str]]) -> str:
    """A cut record of what is ticked and put away by now."""
    from cutplan.reading.forms.cut_record import CUT_RECORD
    from cutplan.words.naming import bar_source, source_names

    names = [heading.name for heading in CUT_RECORD]
    on_bar: dict[int, list[Tick]] = defaultdict(list)
    for one in ticks:
        on_bar[one.bar].append(one)
    origins = source_names(job)
    out = io.StringIO()
    rows = csv.DictWriter(out, names, restval="", lineterminator="\n")
    rows.writeheader()
    for bar in plan.bars:
        left, where = noted.get(bar.number, ("", ""))
        rows.writerow(
            {
                "Bar": bar.number,
                "Source": bar_source(bar, origins, job.workshop.printing),
                "Cut": _how_far(bar, on_bar[bar.number]),
                _LEFT: left,
                "Spoiled parts": _spoiled(on_bar[bar.number]),
                _PLACE: where,
                "Plan": mark,
            }
        )
    return out.getvalue()


def _how_far(bar: CutBar, ticks: Sequence[Tick]) -> str:
    if len(ticks) == len(bar.cuts):
        return "yes"
    return str(len(ticks)) if ticks else "no"


def _spoiled(ticks: Sequence[Tick]) -> str:
    from cutplan.units import mm_text

    counted = Counter((one.part, one.measured or 0) for one in ticks if one.spoiled)
    return "; ".join(f"{count} x {mark} = {mm_text(length)} mm" for (mark, length), count in counted.items())


def _put_away(plan_file: Path) -> dict[int, tuple[str, str]]:
    """What the cut record beside a plan says of its left overs, where it is one of this plan."""
    path = plan_file.parent / CUT_RECORD_FILE
    if not path.is_file():
        return {}
    return dict(_noted(path, fingerprint(plan_file)))


def _noted(path: Path, mark: str) -> Iterator[tuple[int, tuple[str, str]]]:
    with path.open(encoding="utf-8-sig", errors="replace", newline="") as file:
        for row in csv.DictReader(file):
            number, left, where = (str(row.get(name) or "").strip() for name in ("Bar", _LEFT, _PLACE))
            if number.isdecimal() and str(row.get("Plan") or "").strip() == mark and (left or where):
                yield int(number), (left, where)


def record_put_away(plan_file: Path, rack: Rack, *, all_cut: bool | None = None, place: str = "") -> Cut:
    """Record a plan as it is ticked, with what was measured of its left overs, each where it was put.

    Raises
    ------
    Unsaid
        When some parts are ticked, and not whether the others are cut too.
    ProblemsFound
        When the plan cannot be recorded so.
    """
    noted = _put_away(plan_file)
    measured = {number for number, (left, _) in noted.items() if left}
    left = {number: fact.left for number, fact in _facts(plan_file).items()} if measured else {}
    done = record(
        plan_file,
        rack,
        all_cut=all_cut,
        left={number: length for number, length in left.items() if number in measured and length is not None},
        place=printable("place", place),
    )
    if done.recorded is not None:
        for piece in done.recorded.kept:
            where = noted.get(piece.bar, ("", ""))[1]
            if where and where != place:
                rack_move(rack, [piece.mark], where)
    return done


def _facts(plan_file: Path) -> dict[int, BarFact]:
    from cutplan.reading.forms.cut_record import read_cut_record

    job, plan = read_plan(plan_file)
    return read_cut_record(plan_file.parent / CUT_RECORD_FILE, plan, job.workshop, fingerprint(plan_file))
