"""The price list of the workshop as a grid: which file it is, what its reader says of cells, and a new one begun."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from cutplan.actions.grid_columns import shown_names
from cutplan.actions.list_grid import TEXT, Answered, Grid, answered_by, put, taken
from cutplan.actions.workshop_form import workshop_save
from cutplan.problems import Problem, ProblemsFound

BEGUN = "prices.csv"


def price_list() -> Path | None:
    """The price list that the workshop names, as seen from the folder that is worked in; None where it names none.

    Raises
    ------
    ProblemsFound
        When the workshop file is not sound.
    """
    from cutplan import reading

    named = reading.workshop_of(Path("any"), None).prices
    if named is None:
        return None
    try:
        return named.resolve().relative_to(Path().resolve())
    except ValueError:
        return named


def prices_answered(path: Path, rows: Sequence[Sequence[str]], of: Grid = TEXT) -> tuple[Answered, ...]:
    """What the reader says of cells that are to be those of the price list; nothing where it would be sound."""
    return answered_by(_warnings, path, rows, of)


def _warnings(path: Path) -> Sequence[Problem]:
    from cutplan import reading

    return reading.warnings_of_prices(path, reading.workshop_of(Path("any"), None))


def begin_prices() -> Path:
    """Begin a price list with its headings, and let the workshop file name it.

    Raises
    ------
    ProblemsFound
        When there is one, or the name is taken.
    """
    there = price_list()
    if there is not None:
        raise ProblemsFound([Problem.statement(there.name, "a price list already", "one of them", code="bench.there")])
    path = Path(BEGUN)
    if path.exists():
        raise taken(path)
    put(path, f"{','.join(shown_names('prices'))}\n".encode())
    workshop_save({"files.prices": path.name})
    return path


def other_price_lists() -> tuple[Path, ...]:
    """The price lists of the folder that is worked in besides the workshop's own, such as forms that were sent back."""
    from cutplan import reading

    own = price_list()
    return tuple(path for path in reading.price_lists_in(Path()) if path != own)


def merchants_named() -> tuple[str, ...]:
    """The merchants of the price list in the order of their names; none where it cannot be read."""
    from cutplan import reading

    try:
        named = price_list()
        shop = reading.workshop_of(Path("any"), None).workshop
        offers = reading.read_offers(named, shop) if named is not None else ()
    except ProblemsFound:
        return ()
    return tuple(sorted({offer.merchant for offer in offers if offer.merchant}))
