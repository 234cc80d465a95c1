"""The rack: where its ledger lies, and what is done to pieces on it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cutplan.actions.gone_wrong import Unsaid
from cutplan.problems import Problem, ProblemsFound, Refused, plain
from cutplan.rack.pieces import Standing

if TYPE_CHECKING:
    from cutplan.costing.cost_figures import CostFigures
    from cutplan.model import Workshop
    from cutplan.rack.backup import Restored
    from cutplan.rack.handling import Undone
    from cutplan.rack.pieces import Doing, Life, Material
    from cutplan.rack.replay import Balance
    from cutplan.rack.store import Ledger
    from cutplan.reading.workshop.rack_rules import RackRules
    from cutplan.sections import Section
    from cutplan.units import Length

WHOLE = "whole"
"""What is said of a piece that comes back as it was."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rack:
    """A workshop and the place of its ledger, which may not be there yet. ``who`` does what is done.

    ``costs`` are its figures for costs and quotes.
    """

    path: Path
    workshop: Workshop
    rules: RackRules
    costs: CostFigures
    who: str

    def open(self, *, create: bool = False, read_only: bool = False) -> Ledger:
        """The ledger, opened; see :func:`cutplan.rack.store.open_ledger`."""
        from cutplan.rack import store

        return store.open_ledger(self.path, create=create, read_only=read_only)

    def doing(self, what: str, *, job: str = "", plan: str = "", reason: str = "") -> Doing:
        """An action of now.

        Raises
        ------
        ProblemsFound
            When the reason cannot be printed.
        """
        from cutplan.rack.pieces import Doing

        why = printable("--reason", reason)
        return Doing(at=now(), who=self.who, what=what, job=job, plan=plan, reason=why)

    def hold_until(self, at: str) -> str:
        """The last day of a hold that begins now."""
        from datetime import date, timedelta

        return (date.fromisoformat(at[:10]) + timedelta(days=self.rules.hold_days)).isoformat()


def ledger_written() -> int:
    """How many actions this process has written into a ledger."""
    import sys

    store = sys.modules.get("cutplan.rack.store")
    return 0 if store is None else int(store.Ledger.written)


def now() -> str:
    """The time in UTC, to the second, as the ledger writes it."""
    from datetime import UTC, datetime

    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def find_rack(
    *,
    near: Path | str | None = None,
    workshop: Path | str | None = None,
    ledger: Path | str | None = None,
    who: str | None = None,
) -> Rack:
    """The rack of a workshop.

    Parameters
    ----------
    near
        A file from whose folder upwards the workshop file is looked for; the current folder when not said.
    workshop
        The workshop file.
    ledger
        The ledger, in place of the one the workshop file names.
    who
        Who does what is done; the name one is logged in by when not said.

    Raises
    ------
    ProblemsFound
        When the workshop file is not sound, or a name cannot be printed.
    """
    from cutplan import reading

    beside = Path(near) if near is not None else Path("any")  # the file itself need not be there
    shop = reading.workshop_of(beside, Path(workshop) if workshop else None)
    return Rack(
        path=Path(ledger) if ledger is not None else shop.ledger,
        workshop=shop.workshop,
        rules=shop.rules,
        costs=shop.costs,
        who=plain(_login()) if who is None else printable("--who", who),
    )


def printable(option: str, text: str) -> str:
    """A text on one line, refused where it could not be printed, for it is kept and shown for good."""
    with _Typed() as typed:
        words = typed.read(option, _words, text)
    return words or ""


def _login() -> str:
    from getpass import getuser

    try:
        return getuser()
    except (OSError, KeyError, ImportError):  # no such name on this computer
        return ""


def rack_show(
    rack: Rack, *, section: str | None = None, at_least: str | None = None, place: str | None = None
) -> tuple[Standing, ...]:
    """What lies on the rack: all of it, of one section, from a length on, or in one place."""
    from cutplan.rack.standing import standing

    with _Typed() as typed:
        named = typed.read("--section", lambda text: _section(rack, text, "").designation, section)
        least = typed.read("--at-least", rack.workshop.figures.length_or_zero, at_least)
    with rack.open(read_only=True) as ledger:
        return standing(ledger, designations=None if named is None else [named], at_least=least or 0, place=place)


def rack_add(
    rack: Rack,
    section: str,
    length: str,
    *,
    quantity: int = 1,
    mark: str = "",
    standard: str = "",
    finish: str = "",
    reason: str = "",
    found: bool = False,
    **state: str | None,
) -> tuple[str, ...]:
    """Put pieces on the rack and return their marks.

    Parameters
    ----------
    quantity
        So many alike. Full lengths (two mill ends) share one mark, offcuts get one each.
    mark
        Painted on the piece already; blank is given a new one.
    found
        They lay there unknown, rather than being put there.
    state
        Grade, heat number, certificate, place, photo, ends, wall and value, as typed; see :data:`STATE_READERS`.
    """
    from cutplan.model import EndState
    from cutplan.rack.handling import NewPiece, add
    from cutplan.rack.pieces import Kind, Material, State
    from cutplan.reading.lists.material import tidy_finish
    from cutplan.sections import finish_in_name

    with _Typed() as typed:
        known = typed.read("SECTION", lambda text: _section(rack, text, standard), section)
        notation = rack.workshop.notation
        named = typed.read("SECTION", lambda text: finish_in_name(text, notation), section) if known else ""
        values = _read_state(rack, typed, {"length": length, **state})
        if known is not None and "wall" in values:
            typed.read("--wall", lambda _: _check_wall(values["wall"], known), "")
    assert known is not None
    material = Material(
        designation=known.designation,
        standard=known.standard,
        finish=tidy_finish(finish) or named or rack.workshop.default_finish,
    )
    full = State(**values)
    one_lot = quantity == 1 or (full.end_a is EndState.MILL and full.end_b is EndState.MILL)
    if mark and not one_lot:
        raise ProblemsFound([_several_marks(quantity)])
    piece = NewPiece(material=material, state=full, quantity=quantity if one_lot else 1, mark=mark, where="--mark")
    with rack.open(create=True) as ledger:
        pieces = [piece] * (1 if one_lot else quantity)
        return add(ledger, rack.doing("add", reason=reason), pieces, Kind.FOUND if found else Kind.PUT)


def rack_read(rack: Rack, path: Path | str, *, reason: str = "") -> tuple[str, ...]:
    """Put the pieces of a rack file on the rack under the marks they have, all or none; returns the marks.

    A book value that is the workshop's own for the length is left open, so that it follows the workshop file.
    """
    from cutplan.rack.handling import NewPiece, add
    from cutplan.rack.pieces import Material, State
    from cutplan.reading.lists.rack_list import read_rack_file

    pieces = []
    for offcut in read_rack_file(Path(path), rack.workshop):
        usual = rack.workshop.book_value(offcut.section.family, offcut.length)
        state = State(
            length=offcut.length, end_a=offcut.end_a, end_b=offcut.end_b, grade=offcut.grade, place=offcut.place,
            heat_number=offcut.heat_number, value=None if offcut.book_value == usual else offcut.book_value,
        )  # fmt: skip
        section = offcut.section
        material = Material(designation=section.designation, standard=section.standard, finish=offcut.finish)
        where = f"{Path(path).name}, row {offcut.row}"
        pieces.append(NewPiece(material=material, state=state, quantity=offcut.quantity, mark=offcut.mark, where=where))
    with rack.open(create=True) as ledger:
        return add(ledger, rack.doing("read", reason=reason), pieces)


def _several_marks(quantity: int) -> Problem:
    return Problem(
        where="--mark",
        found=f"one mark for {quantity} offcuts",
        accepted="a mark of its own for every offcut; full lengths, which have two mill ends, share one",
        hint="leave --mark out to be given new ones, or add them one by one",
        found_is_text=False,
        code="rack.several_marks",
    )


def rack_scrap(
    rack: Rack, marks: Sequence[str], *, quantity: int | None = None, reason: str = ""
) -> tuple[Standing, ...]:
    """Take pieces off the rack for scrap; returns how they were.

    Raises
    ------
    Unsaid
        When several bear a mark, and not how many of them.
    """
    from cutplan.rack.handling import scrap

    with rack.open() as ledger:
        return scrap(ledger, rack.doing("scrap", reason=reason), marks, quantity, judge=_said(quantity))


def _said(quantity: int | None) -> Callable[[Sequence[Standing]], None]:
    """What is asked of the pieces meant before anything is done to them."""
    return _ask_how_many if quantity is None else lambda _: None


def _ask_how_many(pieces: Sequence[Standing]) -> None:
    """Ask how many are meant where several pieces bear a mark.

    Raises
    ------
    Unsaid
        When it is the only mark.
    ProblemsFound
        Every one of several marks.
    """
    problems = []
    for piece in pieces:
        if piece.quantity > 1:
            accepted = f"also --quantity, such as --quantity {piece.quantity} for all"
            if len(pieces) > 1:
                accepted = f"{piece.mark} by itself, with --quantity"
            found = f"{piece.mark}, of which {piece.quantity} lie there"
            problems.append(Problem.statement("mark", found, accepted, code="rack.quantity"))
    if problems and len(pieces) == 1:
        raise Unsaid(problems[0], "quantity", (), f"How many, 1 to {pieces[0].quantity}")
    if problems:
        raise ProblemsFound(problems)


def rack_move(rack: Rack, marks: Sequence[str], place: str) -> tuple[Standing, ...]:
    """Note where pieces lie from now on; returns how they are now."""
    from cutplan.rack.handling import move

    with _Typed() as typed:
        known = typed.read("PLACE", _words, place)
    with rack.open() as ledger:
        return move(ledger, rack.doing("move"), marks, known or "")


def rack_correct(
    rack: Rack, mark: str, *, quantity: int | None = None, reason: str = "", **state: str | None
) -> tuple[Standing, Standing]:
    """Put right what is known of a piece; returns it before and after.

    Raises
    ------
    Unsaid
        When several bear the mark, and not how many of them.
    """
    from cutplan.rack.handling import correct

    with _Typed() as typed:
        values = _read_state(rack, typed, state)

    def judge(pieces: Sequence[Standing]) -> None:
        _check_correction(rack, pieces[0], values, with_reason=bool(reason))
        _said(quantity)(pieces)

    with rack.open() as ledger:
        return correct(ledger, rack.doing("correct", reason=reason), mark, quantity, judge=judge, **values)


def _check_correction(rack: Rack, piece: Standing, values: dict[str, Any], *, with_reason: bool) -> None:
    """Refuse figures that make another piece of the one on the rack."""
    from cutplan.reading.reason import check_correction

    before, how = piece.state.length, rack.workshop.printing
    with _Typed() as typed:
        if "length" in values and not with_reason:
            typed.read("--length", lambda _: check_correction(values["length"], before, how), "")
        if "wall" in values:
            section = _section(rack, piece.material.designation, piece.material.standard)
            typed.read("--wall", lambda _: _check_wall(values["wall"], section), "")


def _check_wall(wall: Length, section: Section) -> None:
    from cutplan.reading.reason import wall_fault
    from cutplan.units import mm_text

    accepted = wall_fault(wall, section.thickness)
    if accepted:
        raise Refused(f"{mm_text(wall)} mm", accepted, code="rack.wall")


def rack_take(rack: Rack, mark: str, *, quantity: int | None = None, reason: str = "") -> Standing:
    """Take a piece for work that no plan knows of; returns what was taken.

    Raises
    ------
    Unsaid
        When several bear the mark, and not how many of them.
    """
    from cutplan.rack.handling import take

    with rack.open() as ledger:
        return take(ledger, rack.doing("take", reason=reason), mark, quantity or 1, judge=_said(quantity))


def rack_return(rack: Rack, mark: str, *, length: str | None = None, place: str = "", reason: str = "") -> Standing:
    """Bring back what is left of a piece that was taken.

    Parameters
    ----------
    length
        What is left of it, as typed, or ``whole`` where it is as it was.

    Raises
    ------
    Unsaid
        When it is out, and not what is left of it.
    """
    from cutplan.rack.handling import bring_back, still_out
    from cutplan.units import length_text

    whole = " ".join((length or "").split()).casefold() == WHOLE
    with _Typed() as typed:
        left = None if whole else typed.read("LENGTH", rack.workshop.figures.length, length or None)
        where = typed.read("--place", _words, place)
    with rack.open() as ledger:
        if not length:
            with ledger.reading() as db:
                taken = still_out(db, mark)
            long = length_text(taken.state.length, rack.workshop.printing)
            found = f"{taken.mark}, {long} when it was taken, and not what is left of it"
            accepted = f"also its length, or {WHOLE}: cutplan rack return {taken.mark} {WHOLE}"
            problem = Problem.statement("LENGTH", found, accepted, code="rack.left_of")
            raise Unsaid(problem, "length", (), f"What length of it is left, or {WHOLE}")
        return bring_back(ledger, rack.doing("return", reason=reason), mark, left, where or "")


def rack_history(rack: Rack, mark: str) -> Life:
    """Where a piece came from and where it went."""
    from cutplan.rack.history import life

    with rack.open(read_only=True) as ledger:
        return life(ledger, mark)


def rack_verify(rack: Rack, *, rebuild: bool = False) -> tuple[tuple[str, ...], int]:
    """What in the ledger does not agree with its movements, and how many pieces ``rebuild`` put right."""
    from cutplan.rack import replay

    with rack.open(read_only=not rebuild) as ledger:
        repaired = replay.rebuild(ledger) if rebuild else 0
        return replay.contradictions(ledger), repaired


def _known_section(rack: Rack, material: Material) -> Section:
    """The section of pieces of the rack."""
    from cutplan.sections import read_section

    shop = rack.workshop
    return read_section(
        material.designation, standard=material.standard, standard_of=shop.standard, density=shop.density
    )


def rack_balances(rack: Rack) -> tuple[tuple[Material, Balance, Section | None], ...]:
    """Where all steel went, section by section and finish by finish, from the movements alone.

    Mass is length at what a metre of the section weighs; no Section, where cutplan knows none of that name.
    """
    from cutplan.rack.replay import balances

    with rack.open(read_only=True) as ledger:
        each = balances(ledger)
    found: list[tuple[Material, Balance, Section | None]] = []
    for material, balance in each.items():
        try:
            section = _known_section(rack, material)
        except Refused:
            section = None
        found.append((material, balance, section))
    return tuple(found)


def rack_backup(rack: Rack, target: Path | str | None = None) -> Path:
    """Copy the ledger to a file; beside it, named after the day and hour, when none is said. Returns where it went."""
    from cutplan.rack.backup import backup

    stamp = now().translate(str.maketrans("", "", "-:TZ"))
    path = Path(target) if target is not None else rack.path.with_name(f"{rack.path.name}.{stamp}")
    with rack.open(read_only=True) as ledger:
        backup(ledger, path)
    return path


def rack_restore(rack: Rack, copy: Path | str) -> Restored:
    """Put a copy in the place of the ledger; returns where the one that was there is kept, and what is lost."""
    from cutplan.rack.backup import restore

    return restore(rack.path, Path(copy))


def rack_release(rack: Rack, *, job: str = "", marks: Sequence[str] = (), reason: str = "") -> tuple[Standing, ...]:
    """Give back what is held for a job, or whatever is held of some pieces; returns how they were."""
    from cutplan.rack.holding import release

    with rack.open() as ledger:
        return release(ledger, rack.doing("release", reason=reason), job=job, marks=marks)


def rack_old(rack: Rack, *, months: int | None = None) -> tuple[tuple[Standing, int, int], ...]:
    """Pieces that have lain longer than so many months, oldest first, each with its mass and what scrap pays for it.

    ``months`` is the workshop's when not said; a month ends on the day it began, or on its own last day. Mass in mg,
    money in millionths of the currency.
    """
    from fractions import Fraction

    from cutplan.rack.offering import offcut_of
    from cutplan.rack.standing import standing
    from cutplan.units import KG, round_half_up

    since = months_before(now(), rack.rules.old_after_months if months is None else months)
    with rack.open(read_only=True) as ledger:
        pieces = sorted(standing(ledger, since_before=since), key=lambda piece: (piece.since, piece.order))
    found = []
    for piece in pieces:
        section = offcut_of(piece, rack.workshop, piece.quantity).section
        mass = section.mass_of(piece.state.length * piece.quantity)
        found.append((piece, mass, round_half_up(Fraction(mass * rack.rules.scrap_price_per_kg, KG))))
    return tuple(found)


def months_before(at: str, months: int) -> str:
    """The time so many months before: ``2031-05-31T...`` less three is the last of February."""
    from calendar import monthrange

    year, month = divmod(int(at[:4]) * 12 + int(at[5:7]) - 1 - months, 12)
    day = min(int(at[8:10]), monthrange(max(year, 1), month + 1)[1])
    return f"{year:04d}-{month + 1:02d}-{day:02d}{at[10:]}"


def undo(rack: Rack, *, reason: str = "") -> Undone:
    """Take back the last thing done to the rack."""
    from cutplan.rack import handling

    with rack.open() as ledger:
        return handling.undo(ledger, rack.doing("undo", reason=reason))


class _Typed:
    """Reads texts as typed and raises all that was refused together, at the end of its block."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def __enter__(self) -> _Typed:
        return self

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        if kind is None and self.problems:
            raise ProblemsFound(self.problems)

    def read(self, where: str, parse: Callable[[str], Any], text: str | None) -> Any:
        """The value of a text, None where there is none or it was refused."""
        if text is None:
            return None
        try:
            return parse(text)
        except Refused as refused:
            self.problems.append(Problem.at(where, refused))
            return None


def _section(rack: Rack, text: str, standard: str) -> Any:
    from cutplan.sections import read_section

    shop = rack.workshop
    return read_section(
        text, standard=standard, standard_of=shop.standard, density=shop.density, notation=shop.notation
    )


def _words(text: str) -> str:
    """A text that can be printed and put into a cell."""
    from cutplan.reading.sheets.texts import TEXT_FORMS, seen_text, text_fault

    seen = seen_text(text)
    if text_fault(seen):
        raise Refused(text, TEXT_FORMS, code="cell.text")
    return " ".join(seen.split())


def _read_state(rack: Rack, typed: _Typed, texts: dict[str, str | None]) -> dict[str, Any]:
    """Fields of State from texts as typed, those that were given."""
    from cutplan.reading.lists.rack_columns import read_end

    figures = rack.workshop.figures
    readers: dict[str, Callable[[str], Any]] = {
        "length": figures.length,
        "wall": figures.length,
        "end_a": read_end,
        "end_b": read_end,
        "angle_a": figures.angle,
        "angle_b": figures.angle,
        "value": figures.money,
        "grade": lambda text: _words(text).upper(),
    }
    values = {}
    for name, text in texts.items():
        where = "LENGTH" if name == "length" else f"--{name.replace('_', '-')}"
        value = typed.read(where, readers.get(name, _words), text)
        if value is not None:
            values[name] = value
    return values
