"""The command line: words around :mod:`cutplan.actions`, and nothing else.

Results go to stdout, messages to stderr. Exit codes: 0 done, 1 bad input, 2 wrong usage, 3 no plan possible,
4 the checker refused, 5 stopped with a plan, 70 a fault in the program, 130 stopped without a plan.
"""

from __future__ import annotations

import io
import json
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from cutplan import actions
from cutplan.problems import LONGEST_STATEMENT, NoPlan, Problem, ProblemsFound, Refused, shown

if TYPE_CHECKING:
    from cutplan.model import Job
    from cutplan.sections.section import Section

DONE = 0
BAD_INPUT = 1
NO_PLAN = 3
CHECK_REFUSED = 4
STOPPED_WITH_PLAN = 5
PROGRAM_FAULT = 70
STOPPED = 130
NOTHING_WRITTEN = "Stopped before there was a plan; nothing was written."

app = typer.Typer(
    name="cutplan",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="Plan what steel to buy and where to cut it, for the least money, and say how cheapest is known.",
    epilog="It plans cuts. It does not check strength: sizes, welds and holes are for whoever designs the thing.",
)

PartsList = Annotated[
    Path, typer.Argument(metavar="PARTS", help="Parts list, csv or xlsx.", show_default=False, readable=False)
]
WorkshopFile = Annotated[
    Path | None,
    typer.Option(
        "--workshop", metavar="FILE", readable=False, help="Workshop file; else the nearest one from the list upwards."
    ),
]
PriceList = Annotated[
    Path | None,
    typer.Option(
        "--prices",
        metavar="FILE",
        readable=False,
        help="Price list, csv or xlsx; else the one the workshop file names.",
    ),
]
RackFile = Annotated[
    Path | None,
    typer.Option(
        "--rack", metavar="FILE", readable=False, help="Offcuts on hand, csv or xlsx; else the file the workshop names."
    ),
]
Stock = Annotated[
    list[str] | None,
    typer.Option(
        "--stock",
        metavar="TEXT",
        help='Lengths on sale, no prices known: "6 m", or "SHS 40x40x3: 6 m, 7.5 m"; repeatable.',
    ),
]
TimeLimit = Annotated[
    float,
    typer.Option("--time-limit", metavar="SECONDS", min=1.0, help="Seconds after which the best plan so far is taken."),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print the result, or what is wrong, as JSON on stdout.")]
Debug = Annotated[bool, typer.Option("--debug", help="Show the full trace of a fault in the program.")]


def main() -> None:
    """Entry point of the ``cutplan`` command."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # a mark may hold letters that the terminal lacks
    try:
        app()
    except KeyboardInterrupt:
        _say(NOTHING_WRITTEN)
        sys.exit(STOPPED)
    finally:
        # All is said and done; while the interpreter ends, Ctrl-C would only change the exit code.
        signal.signal(signal.SIGINT, signal.SIG_IGN)


def _version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        typer.echo(f"cutplan {version('cutplan')}")
        raise typer.Exit(DONE)


@app.callback()
def _all_commands(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version and stop.")
    ] = False,
) -> None:
    pass


@app.command()
def plan(
    parts: PartsList,
    workshop: WorkshopFile = None,
    prices: PriceList = None,
    rack: RackFile = None,
    stock: Stock = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out", metavar="FOLDER", readable=False, help="Where the plan goes; else reports/<name of the list>/."
        ),
    ] = None,
    time_limit: TimeLimit = actions.TIME_LIMIT,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Plan what to buy and where to cut.

    Writes plan.xlsx and plan.json, and prints what to buy, what is left over, weight and cost.
    """
    with _answering(as_json, debug):
        job = actions.read_job(parts, workshop=workshop, prices=prices, rack=rack, stock=stock or ())
        folder = out or actions.output_folder(parts)
        answer, files = actions.plan_into(job, folder, time_limit=time_limit, progress=_progress())
        try:
            if as_json:
                _print_json(actions.document(job, answer))
            else:
                _print(actions.summary(job, answer, width=_width()))
        except KeyboardInterrupt:
            raise typer.Exit(STOPPED_WITH_PLAN) from None
        finally:
            _say("Written: " + ", ".join(str(file) for file in files))
        if answer.stopped_by:
            raise typer.Exit(STOPPED_WITH_PLAN)


@app.command()
def check(
    parts: PartsList,
    workshop: WorkshopFile = None,
    prices: PriceList = None,
    rack: RackFile = None,
    stock: Stock = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Read and report only.

    Reads a parts list and all that belongs to it, prints what was understood, and plans nothing.
    """
    with _answering(as_json, debug):
        job = actions.read_job(parts, workshop=workshop, prices=prices, rack=rack, stock=stock or ())
        found = actions.check(job)
        if as_json:
            _print_json(_check_document(job, found))
        else:
            _print(_check_text(job, found))


@app.command()
def compare(
    parts: PartsList,
    workshop: WorkshopFile = None,
    prices: PriceList = None,
    rack: RackFile = None,
    stock: Stock = None,
    kerf: Annotated[str | None, typer.Option("--kerf", metavar="LENGTH", help="Plan with another kerf.")] = None,
    keep: Annotated[
        str | None, typer.Option("--keep", metavar="LENGTH", help="Plan with left overs kept from this length on.")
    ] = None,
    without: Annotated[
        list[str] | None,
        typer.Option("--without", metavar="MERCHANT", help="Plan without one merchant; repeatable."),
    ] = None,
    no_rack: Annotated[bool, typer.Option("--no-rack", help="Plan with the rack ignored.")] = False,
    also: Annotated[
        Path | None,
        typer.Option(
            "--also", metavar="FILE", readable=False, help="Plan with a further price list: another stock length."
        ),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="FOLDER", readable=False, help="Write every row's plan, each into its folder."),
    ] = None,
    time_limit: TimeLimit = actions.TIME_LIMIT,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Show what a change would cost or save.

    Plans the list as it is and once more under each change: each row is a plan of its own. With no change
    named: the rack ignored, and each merchant left out in turn.
    """
    with _answering(as_json, debug):
        job = actions.read_job(parts, workshop=workshop, prices=prices, rack=rack, stock=stock or ())
        rows = actions.compare(
            job,
            kerf=kerf,
            keep=keep,
            without=without or (),
            no_rack=no_rack,
            also=also,
            folder=out,
            time_limit=time_limit,
            progress=_progress(),
        )
        if as_json:
            _print_json(actions.comparison_values(job, rows))
        else:
            _print(actions.comparison(job, rows, width=_width()))
        if any(row.stopped_by for row in rows):
            raise typer.Exit(STOPPED_WITH_PLAN)


@app.command()
def section(
    designation: Annotated[
        str, typer.Argument(metavar="SECTION", help='As the trade writes it, e.g. "SHS 40x40x3".', show_default=False)
    ],
    standard: Annotated[
        str | None, typer.Option("--standard", metavar="TEXT", help="Standard; else the usual one of the family.")
    ] = None,
    length: Annotated[
        str | None, typer.Option("--length", metavar="TEXT", help='Also the mass of this length, e.g. "6.5 m".')
    ] = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Show a section and its weight.

    Prints its spelling, standard, area, mass and surface per metre, and where they come from.
    """
    with _answering(as_json, debug):
        found = actions.section(designation, standard=standard)
        piece = _typed_length(length) if length is not None else None
        if as_json:
            _print_json(_section_document(found, piece))
        else:
            _print(_section_text(found, piece))


@app.command()
def verify(
    plan_file: Annotated[Path, typer.Argument(metavar="PLAN", help="A plan.json.", show_default=False, readable=False)],
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Check a plan made earlier.

    The independent checker goes over every bar, every sum and the proof in a plan.json.
    """
    with _answering(as_json, debug):
        judged = actions.review(plan_file)
        if as_json:
            _print_json(
                {
                    "holds": judged.holds,
                    "failures": list(judged.failures),
                    "findings": list(judged.findings),
                    "rechecked": judged.summary,
                }
            )
        else:
            verdict = "holds" if judged.holds else "does not hold"
            found = judged.findings if judged.holds else judged.failures
            _print(
                "\n".join(
                    [
                        f"{plan_file}: {verdict}",
                        *(f"  {shown(text, LONGEST_STATEMENT)}" for text in found),
                        judged.summary,
                    ]
                )
            )
        if not judged.holds:
            raise typer.Exit(CHECK_REFUSED)


@contextmanager
def _answering(as_json: bool, debug: bool) -> Iterator[None]:
    """Turn what went wrong into words (or JSON) and an exit code; a trace only where one was asked for."""
    try:
        yield
    except ProblemsFound as found:
        _tell(found.problems, as_json)
        raise typer.Exit(BAD_INPUT) from None
    except NoPlan as none:
        _tell((Problem(where="plan", found=str(none), accepted="", found_is_text=False),), as_json)
        raise typer.Exit(NO_PLAN) from None
    except actions.CheckFailed as failed:
        _tell((Problem(where="check", found=str(failed), accepted="", found_is_text=False),), as_json)
        raise typer.Exit(CHECK_REFUSED) from None
    except KeyboardInterrupt:
        _say(NOTHING_WRITTEN)
        raise typer.Exit(STOPPED) from None
    except (typer.Exit, BrokenPipeError):
        raise
    except _NotPrinted as failed:
        _say(f"The result could not be printed ({failed}).")
        raise typer.Exit(PROGRAM_FAULT) from None
    except Exception as fault:
        if debug:
            raise
        _say(f"A fault in cutplan, not in the input: {type(fault).__name__}: {fault}")
        _say("Run it again with --debug to see where; nothing half written is left behind.")
        raise typer.Exit(PROGRAM_FAULT) from None


def _tell(problems: tuple[Problem, ...], as_json: bool) -> None:
    if as_json:
        _print_json({"problems": [_problem_document(problem) for problem in problems]})
        return
    from cutplan.problems import problems_text

    plain = [problem for problem in problems if not problem.accepted]
    _say("\n".join(problem.found for problem in plain) if plain else problems_text(problems))


def _problem_document(problem: Problem) -> dict[str, str]:
    return {
        "where": problem.where,
        "found": problem.found,
        "accepted": problem.accepted,
        "hint": problem.hint,
    }


def _progress() -> Callable[[str], None] | None:
    """Where progress is told: on a terminal only."""
    return _say if sys.stderr and sys.stderr.isatty() else None


def _say(message: str) -> None:
    typer.echo(message, err=True)


class _NotPrinted(Exception):
    """The result could not be put out, such as into a file on a full disk."""


def _print(text: str) -> None:
    try:
        typer.echo(text)
    except BrokenPipeError:
        raise
    except OSError as error:
        raise _NotPrinted(error.strerror or str(error)) from error


def _print_json(document: dict[str, Any]) -> None:
    # Letters that the encoding of stdout lacks are escaped as JSON has it.
    encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
    _print(json.dumps(document, indent=2, ensure_ascii=not encoding.lower().startswith("utf")))


def _width() -> int:
    from shutil import get_terminal_size

    return min(get_terminal_size((100, 24)).columns, 120)


def _typed_length(text: str) -> int:
    from cutplan.units import parse_length

    try:
        return parse_length(text)
    except Refused as refused:
        raise ProblemsFound([Problem.at("--length", refused)]) from None


def _check_document(job: Job, found: tuple[actions.GroupFound, ...]) -> dict[str, Any]:
    from cutplan.units import kg_text, mm_text

    return {
        "job": job.name,
        "files": [{"role": file.role, "name": file.name, "sha256": file.sha256} for file in job.files],
        "assumptions": list(job.assumptions),
        "warnings": [_problem_document(problem) for problem in job.warnings],
        "groups": [
            {
                "group": group.title,
                "lines": group.parts,
                "pieces": group.pieces,
                "length_mm": mm_text(group.length),
                "mass_kg": kg_text(group.mass, 3),
                "offers": group.offers,
                "offers_too_long_to_carry": group.too_long,
                "offcuts": group.offcuts,
                "priced": group.priced,
            }
            for group in found
        ],
    }


def _check_text(job: Job, found: tuple[actions.GroupFound, ...]) -> str:
    from cutplan.units import kg_text, length_text

    unit = "m" if job.workshop.unit == "mm" else "ft"
    pieces = sum(group.pieces for group in found)
    lines = [f"{job.name}: {_count(len(job.parts), 'line')}, {_count(pieces, 'part')}, {_count(len(found), 'group')}"]
    lines += [f"  {file.role}: {file.name}" for file in job.files]
    if job.assumptions:
        lines += ["Taken for granted:", *(f"  {text}" for text in job.assumptions)]
    if job.warnings:
        lines += ["To look at:", *(f"  {line}" for problem in job.warnings for line in str(problem).split("\n"))]
    for group in found:
        weight = kg_text(group.mass)
        lines.append(f"{group.title}: {_count(group.pieces, 'part')}, {length_text(group.length, unit)}, {weight} kg")
        sources = [_count(group.offers, "stock length"), _count(group.offcuts, "offcut")]
        if group.too_long:
            sources.insert(1, f"{group.too_long} too long to carry")
        if not group.priced:
            sources.append("a price is missing, so it is planned for the least bought mass")
        lines.append("  to cut it from: " + ", ".join(sources))
    weight = kg_text(sum(group.mass for group in found))
    lines.append(f"All parts together: {weight} kg. Nothing was planned or written.")
    return "\n".join(lines)


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


def _section_values(section: Section) -> dict[str, str]:
    from fractions import Fraction

    from cutplan.units import round_half_up

    def decimal(value: Fraction, places: int) -> str:
        scaled = round_half_up(value * 10**places)
        return f"{scaled // 10**places}.{scaled % 10**places:0{places}d}"

    return {
        "area_mm2": decimal(Fraction(section.area_um2, 10**6), 1),
        "mass_kg_per_m": decimal(Fraction(section.mass_per_metre, 10**6), 3),
        "surface_m2_per_m": decimal(Fraction(section.surface_mm2_per_metre, 10**6), 4),
    }


def _section_document(section: Section, length: int | None) -> dict[str, Any]:
    from cutplan.units import kg_text, mm_text

    document: dict[str, Any] = {
        "section": section.designation,
        "family": section.family.title,
        "standard": section.standard,
        **_section_values(section),
        "density_kg_per_m3": section.density,
        "source": section.source,
        "listed": section.listed,
    }
    if length is not None:
        document |= {"length_mm": mm_text(length), "mass_kg": kg_text(section.mass_of(length), 3)}
    return document


def _section_text(section: Section, length: int | None) -> str:
    from cutplan.units import kg_text, length_text

    values = _section_values(section)
    lines = [
        f"{section.designation} ({section.family.title}) to {section.standard}",
        f"  area      {values['area_mm2']} mm2",
        f"  mass      {values['mass_kg_per_m']} kg/m at {section.density} kg/m3",
        f"  surface   {values['surface_m2_per_m']} m2/m",
        f"  source    {section.source}",
    ]
    if not section.listed:
        lines.append("  remark    not in the size lists here for this standard: the formula alone gives these figures")
    if length is not None:
        mass = kg_text(section.mass_of(length), 2)
        lines.append(f"  {length_text(length)} ({length_text(length, 'ft')}) weighs {mass} kg")
    return "\n".join(lines)
