"""Parts typed on the spot: a job with no file at all, and a folder made of it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from cutplan.reading.whole_job import JobRead

NAME = "quick"


def read_quick(
    text: str,
    *,
    stock: Sequence[str] = (),
    unit: str = "",
    kerf: str = "",
    workshop: Path | str | None = None,
    prices: Path | str | None = None,
    folder: Path | str = ".",
) -> JobRead:
    """A job of parts typed on the spot; its ``job`` is planned like any other.

    Parameters
    ----------
    text
        Such as ``SHS 40x40x3: 4 @ 1200, 2 @ 850; FL 50x6: 300 x 8``; new lines do for semicolons.
    stock
        Lengths on sale, as for :func:`read_job`; without any, those of the workshop.
    unit, kerf
        Of bare numbers, and of the saw, in place of the workshop's.
    workshop, prices
        As for :func:`read_job`.
    folder
        From where the workshop file is looked for upwards.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with the text and what belongs to it.
    """
    from cutplan.reading.lists.typed_parts import typed_sheet
    from cutplan.reading.whole_job import read_typed

    settings: dict[str, dict[str, str]] = {}
    if unit:
        settings["workshop"] = {"unit": unit}
    if kerf:
        settings["saw"] = {"kerf": kerf}
    return read_typed(
        NAME,
        typed_sheet(text),
        folder=Path(folder),
        settings=settings,
        places={"workshop.unit": "--unit", "saw.kerf": "--kerf"},
        workshop=workshop,
        prices=prices,
        stock=stock,
    )


def save_quick(read: JobRead, folder: Path | str) -> tuple[Path, ...]:
    """Turn parts typed on the spot into a job folder: the list as csv, and a workshop file beside it.

    Parameters
    ----------
    read
        As :func:`quick` gives it.
    folder
        A new one; the list is named like it.

    Returns
    -------
    tuple of Path
        The list and the workshop file.

    Raises
    ------
    ProblemsFound
        When the folder is there already, or cannot be made.
    """
    from cutplan.writing.jobfolder import write_folder

    return write_folder(read, Path(folder))
