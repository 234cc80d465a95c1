"""The rack as a whole: what is old, where all steel went, copies of the ledger, and taking back."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions import rack_found
from cutplan.actions.rack_found import Rack
from cutplan.problems import Refused
from cutplan.rack.pieces import Standing

if TYPE_CHECKING:
    from cutplan.rack.backup import Restored
    from cutplan.rack.handling import Undone
    from cutplan.rack.pieces import Material
    from cutplan.rack.replay import Balance
    from cutplan.sections import Section


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

    stamp = rack_found.now().translate(str.maketrans("", "", "-:TZ"))
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

    since = months_before(rack_found.now(), rack.rules.old_after_months if months is None else months)
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
