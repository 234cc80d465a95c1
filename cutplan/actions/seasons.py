"""A year of the rack: the same jobs in the same order under other keys of the workshop file, from a rack of its own."""

from __future__ import annotations

import random
import re
import tomllib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from functools import partial
from math import inf
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from cutplan.actions.lists import read_job
from cutplan.actions.own_rack import Turn, in_turn
from cutplan.actions.planning import TIME_LIMIT
from cutplan.actions.table_files import with_ending, write_as
from cutplan.problems import NoPlan, Problem, ProblemsFound

if TYPE_CHECKING:
    from cutplan.model import Job, Offcut, Workshop
    from cutplan.reading.workshop.workshop_file import WorkshopFile
    from cutplan.solving import Clock
    from cutplan.words.season_words import Draw, Season

_DAY = re.compile(r"\d{4}-\d{2}-\d{2}(?!\d)", re.ASCII)


def season_file_named(out: Path) -> Path:
    """The file, when its ending is one that :func:`write_season` knows.

    Raises
    ------
    ProblemsFound
        When it has another: said before many jobs are planned.
    """
    with_ending(out, (".csv", ".svg", ".html", ".pdf"))
    return out


def write_season(season: Season, out: Path) -> Path:
    """Write a season as a table, .csv, as a picture, .svg, or with all its tables and pictures, .html or .pdf.

    Raises
    ------
    ProblemsFound
        When its name has another ending, or it cannot be written.
    """
    from cutplan.reports.season_sheets import season_html, season_pdf
    from cutplan.reports.season_table import season_csv, season_picture

    forms = {".csv": season_csv, ".svg": season_picture, ".html": season_html, ".pdf": season_pdf}
    return write_as(out, {ending: partial(form, season) for ending, form in forms.items()})


def season(
    lists: Sequence[Path | str],
    tries: Sequence[str] = (),
    *,
    workshop: Path | str | None = None,
    prices: Path | str | None = None,
    rack: Path | str | None = None,
    jobs: int = 0,
    draws: int = 1,
    seed: int = 1,
    processes: int | None = None,
    cluster: str = "",
    time_limit: float = TIME_LIMIT,
    progress: Callable[[str], None] | None = None,
) -> Season:
    """Plan and cut jobs one after another, as the workshop is and once more under each set of other keys.

    Each time the rack begins as it is now; what a job leaves lies there for those after it. Nothing of the workshop's
    own is written.

    Parameters
    ----------
    lists
        The jobs, in the order in which they were built; where their names begin with a day, in that of their days.
    tries
        Keys of the workshop file with other values, ``KEY=VALUE``, several in one parted by semicolons. Of a table
        with a key for every family its name stands for those of the lists, ``keep=600 mm``, but for such as have a
        value of their own beside it, ``keep.FL=200 mm``.
    workshop, prices, rack
        As for :func:`read_job`.
    jobs, draws, seed
        With ``jobs`` above 0, so many are drawn from the lists, each as often as it comes, ``draws`` times over; the
        same for every set of keys. Else the lists are taken once, in order.
    processes
        Helper processes at once, each with a draw of a set of keys: 0 for none, None for as many as there are
        processors. What comes out is the same.
    cluster
        The address of the scheduler of a dask cluster, whose workers then take the draws instead.
    time_limit
        Seconds for one job.

    Returns
    -------
    Season
        Of whose tries the first is the workshop as it is.

    Raises
    ------
    ProblemsFound
        When a list or a key cannot be read, only some lists have a day, the cluster cannot be reached, or its workers
        have other releases.
    NoPlan
        When no plan can answer one of the jobs.
    CheckFailed
        When the checker does not confirm a plan.
    KeyboardInterrupt
        When interrupted before all was cut.
    """
    from cutplan import reading
    from cutplan.words.season_words import Season, Tried

    lists, days = _in_order(lists)
    shop = reading.workshop_of(Path(lists[0]), Path(workshop) if workshop else None)
    as_it_is = [read_job(each, workshop=workshop, prices=prices, rack=rack) for each in lists]
    begin = tuple({piece.mark: piece for job in as_it_is for piece in job.offcuts}.values())
    families = tuple(dict.fromkeys(part.section.family.value for job in as_it_is for part in job.parts))
    settings: list[tuple[str, str, list[Job]]] = [("as it is", "", as_it_is)]
    for text in tries:
        # Apart from one another, so that lines are broken between keys.
        words = "; ".join(filter(None, (each.strip() for each in text.split(";"))))
        settings.append((words, *_otherwise(text, shop, lists, prices, families)))
    orders = _orders(len(lists), jobs, draws, seed)
    tasks = [
        DrawTask(
            words=f"{words}, draw {number} of {len(orders)}",
            jobs=tuple(read[place] for place in order),
            begin=begin,
            read_with=as_it_is[0].workshop,
            days=() if jobs else days,
            time_limit=time_limit,
        )
        for words, _, read in settings
        for number, order in enumerate(orders, 1)
    ]
    say = progress or (lambda text: None)
    draws_of = iter(_drawn_there(tasks, cluster, say) if cluster else _all_drawn(tasks, processes, say))
    tried = tuple(
        Tried(words=words, lines=lines, draws=tuple(next(draws_of) for _ in orders)) for words, lines, _ in settings
    )
    return Season(workshop=as_it_is[0].workshop, jobs=len(orders[0]), drawn=jobs > 0, tried=tried)


def _all_drawn(tasks: Sequence[DrawTask], processes: int | None, say: Callable[[str], None]) -> list[Draw]:
    """What each comes to, side by side; what a lost helper process leaves undone is done in this one."""
    from cutplan.planning.workers import processes_allowed, side_by_side

    helpers = min(processes_allowed(processes), len(tasks))
    if helpers < 2:
        return [task.drawn(say, processes=processes) for task in tasks]
    answers, stopped_by = side_by_side(tasks, helpers, inf, say)
    if stopped_by == "user":
        raise KeyboardInterrupt
    done = []
    for task, answer in zip(tasks, answers, strict=True):
        if isinstance(answer, NoPlan):
            raise answer
        done.append(task.drawn(say, processes=0) if answer is None else answer)
    return done


def _drawn_there(tasks: Sequence[DrawTask], address: str, say: Callable[[str], None]) -> list[Draw]:
    """What each comes to on the workers of a cluster; what is lost there is done in this process."""
    from cutplan.planning.cluster import Lost, on_cluster

    answers: list[Draw | Exception | None] = [None] * len(tasks)

    def answered(place: int, answer: Draw | Exception) -> None:
        answers[place] = answer
        say(f"{sum(each is not None for each in answers)} of {len(tasks)}: {tasks[place].words}")

    if on_cluster(tasks, address, say, answered) == "user":
        raise KeyboardInterrupt
    done = []
    for task, answer in zip(tasks, answers, strict=True):
        if isinstance(answer, Exception) and not isinstance(answer, Lost):
            raise answer
        done.append(task.drawn(say, processes=0) if answer is None or isinstance(answer, Exception) else answer)
    return done


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawTask:
    """Jobs to be planned and cut one after another from a rack that begins as it is given."""

    words: str
    jobs: tuple[Job, ...]
    begin: tuple[Offcut, ...]
    read_with: Workshop
    days: tuple[date, ...]
    time_limit: float

    @property
    def size(self) -> int:
        """Different parts of all jobs."""
        return sum(len(job.parts) for job in self.jobs)

    def run(self, clock: Clock, say: Callable[[str], None]) -> Draw | NoPlan:
        """In this process, with no helpers of its own."""
        try:
            return self.drawn(say, processes=0)
        except NoPlan as none:
            return none

    def drawn(self, say: Callable[[str], None], *, processes: int | None) -> Draw:
        """What they come to."""
        turns = in_turn(
            self.jobs, self.begin, read_with=self.read_with, time_limit=self.time_limit, processes=processes
        )
        drawn = _draw(turns, lambda number: say(f"{self.words}: {number} of {len(self.jobs)} jobs"))
        return replace(drawn, days=self.days)


def _in_order(lists: Sequence[Path | str]) -> tuple[list[Path], tuple[date, ...]]:
    """Lists whose names begin with a day, ``2031-05-05 gate.csv``, by these days; others as they are given, with none.

    Raises
    ------
    ProblemsFound
        When only some have a day, or one that no calendar has.
    """
    days: dict[Path, date] = {}
    problems = []
    for path in map(Path, lists):
        if found := _DAY.match(path.name):
            try:
                days[path] = date.fromisoformat(found[0])
            except ValueError:
                problems.append(_no_day(path, found[0]))
    if days:
        dated = next(iter(days)).name
        said = {problem.where for problem in problems}
        undated = [path for path in map(Path, lists) if path not in days and str(path) not in said]
        problems += [_no_day(path, f'no day at the beginning of its name, where "{dated}" has one') for path in undated]
    if problems:
        raise ProblemsFound(problems)
    if not days:
        return [Path(each) for each in lists], ()
    ordered = sorted(map(Path, lists), key=days.__getitem__)
    return ordered, tuple(days[path] for path in ordered)


def _no_day(path: Path, found: str) -> Problem:
    accepted = "names that all begin with their day, such as 2031-05-05 gate.csv, or none"
    return Problem.statement(str(path), found, accepted, code="season.day")


def _orders(lists: int, jobs: int, draws: int, seed: int) -> list[list[int]]:
    if not jobs:
        return [list(range(lists))]
    return [random.Random(f"{seed} {number}").choices(range(lists), k=jobs) for number in range(draws)]


def _otherwise(
    text: str, shop: WorkshopFile, lists: Sequence[Path | str], prices: Path | str | None, families: Sequence[str]
) -> tuple[str, list[Job]]:
    """The lines of a set of other keys, and the lists read with them, by the reader that reads the workshop file."""
    from cutplan.reading.whole_job import read_files
    from cutplan.writing.toml import toml_text
    from cutplan.writing.workshop_document import document_for

    keys = _keys(text, families)
    with TemporaryDirectory() as place:
        folder = Path(place)
        named: dict[str, Path | str] = {"prices": shop.prices} if shop.prices and prices is None else {}
        document = {
            table: dict(values) if isinstance(values, Mapping) else values
            for table, values in document_for(shop, folder, named).items()
        }
        for table, values in keys.items():
            document[table] = {**document.get(table, {}), **values}
        file = folder / "workshop.toml"
        file.write_text(toml_text(document), encoding="utf-8")
        try:
            jobs = [
                read_files(
                    Path(each), workshop=file, prices=Path(prices) if prices else None, rack=None, holes=None, stock=()
                ).job
                for each in lists
            ]
        except ProblemsFound as found:
            raise ProblemsFound(
                [replace(problem, where=f'--try "{text}": {problem.where}') for problem in found.problems]
            ) from None
    return toml_text(keys).split("\n", 1)[1].strip(), jobs


def _keys(text: str, families: Sequence[str]) -> dict[str, dict[str, Any]]:
    """``keep=600 mm; offcuts.keep_at_most=4`` as the tables of a workshop file.

    Parameters
    ----------
    families
        For which the name of a table of families stands, where they are not named as well.

    Raises
    ------
    ProblemsFound
        When a part of it has no value, its key stands there twice, or is none that a file has once.
    """
    from cutplan.reading.workshop.workshop_keys import FAMILY_TABLES, OF_FAMILIES, SETTINGS

    tables: dict[str, dict[str, Any]] = {}
    of_all: dict[str, Any] = {}
    # Files are named from the folder of the workshop file, which is another here.
    once = {name for name in {*SETTINGS, *OF_FAMILIES, *FAMILY_TABLES} if not name.startswith("files.")}
    for part in filter(None, (each.strip() for each in text.split(";"))):
        name, sign, value = (each.strip() for each in part.partition("="))
        if not sign or not value or name not in once:
            raise ProblemsFound([_unknown(text, part)])
        table, _, key = name.partition(".")
        if key in tables.get(table, {}) or (not key and table in of_all):
            raise ProblemsFound([_unknown(text, part)])
        if key:
            tables.setdefault(table, {})[key] = _typed(value)
        else:
            of_all[table] = _typed(value)
    # A family that is named has its own value beside that of the others.
    for table, value in of_all.items():
        tables[table] = dict.fromkeys(families, value) | tables.get(table, {})
    if not tables:
        raise ProblemsFound([_unknown(text, text)])
    return tables


def _typed(value: str) -> Any:
    """A value as TOML reads it, quotation marks left away: ``4`` is a number, ``600 mm`` a text."""
    try:
        return tomllib.loads(f"value = {value}", parse_float=Decimal)["value"]
    except tomllib.TOMLDecodeError:
        return value


def _unknown(text: str, found: str) -> Problem:
    accepted = "keys of the workshop file, each once with a value, such as keep=600 mm or offcuts.keep_at_most=4"
    hint = "cutplan help workshop lists them; none of a block such as [[merchant]], of which a file may have several"
    return Problem(where=f'--try "{text}"', found=found, accepted=accepted, hint=hint, code="season.key")


def _draw(one_by_one: Iterable[Turn], done: Callable[[int], None]) -> Draw:
    from cutplan.model import Fate, SourceKind, Status
    from cutplan.model.totals import totals_of
    from cutplan.words.season_words import Draw, LeftOver

    turns: list[Turn] = []
    for number, turn in enumerate(one_by_one, 1):
        if turn.plan.stopped_by == "user":
            raise KeyboardInterrupt
        turns.append(turn)
        done(number)
    totals = [totals_of(turn.job, turn.plan) for turn in turns]
    used = {mark: number for number, turn in enumerate(turns, 1) for mark in turn.used}
    last = turns[-1].on_rack.values()
    priced = not any(each.money.groups_left_out for each in totals)
    counts = tuple(sum(piece.quantity for piece in turn.on_rack.values()) for turn in turns)
    return Draw(
        paid=tuple(each.money.to_pay for each in totals) if priced else None,
        bought=tuple(each.bought_mass for each in totals),
        scrapped=tuple(each.scrap_mass for each in totals),
        left_overs=tuple(
            LeftOver(
                section=turn.on_rack[mark].material.designation,
                length=turn.on_rack[mark].state.length,
                came=number,
                used=used.get(mark),
            )
            for number, turn in enumerate(turns, 1)
            for mark in turn.kept
        ),
        length=sum(piece.state.length * piece.quantity for piece in last),
        over_time=counts,
        first_kept=sum(
            bar.drop.length
            for turn in turns
            for bar in turn.plan.bars
            if bar.kind is SourceKind.BOUGHT and bar.drop.fate is Fate.KEEP
        ),
        unproven=sum(turn.plan.status is Status.NOT_PROVEN for turn in turns),
        stopped_by=next((turn.plan.stopped_by for turn in turns if turn.plan.stopped_by), ""),
    )
