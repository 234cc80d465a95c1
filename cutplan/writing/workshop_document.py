"""The keys of a workshop as they stand in another place than where they were written."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from cutplan.reading.workshop.workshop_file import WorkshopFile


def document_for(
    shop: WorkshopFile, folder: Path, files: Mapping[str, Path | str], stock: Sequence[str] = ()
) -> dict[str, Any]:
    """The keys of a workshop as typed, for a file in another folder.

    Parameters
    ----------
    files
        Price list and rack file by role: a path to be named from ``folder``, or a name in it. The rack's ledger is
        added where the workshop has one of its own: it is one, wherever a job lies.
    stock
        The stock lengths in use, when they are others than the workshop's.
    """
    document = {table: keys for table, keys in shop.document.items() if table not in ("files", "stock")}
    lengths = "; ".join(stock or shop.stock)
    if lengths:
        document["stock"] = {"lengths": lengths}
    named: dict[str, Path | str] = dict(files)
    if shop.from_file or "files.ledger" in shop.given:
        named["ledger"] = shop.ledger
    if named:
        document["files"] = {role: _relative(path, folder) for role, path in named.items()}
    return document


def _relative(path: Path | str, folder: Path) -> str:
    return path if isinstance(path, str) else Path(os.path.relpath(path.resolve(), folder.resolve())).as_posix()
