"""A plan too long to be typeset at once is divided into pieces, each a document that begins on a new page."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

Sheet = dict[str, Any]

_ONE_PIECE = 150
"""How heavy a plan may be that is set at once; see :func:`_weight`. It takes about half a GB."""
_PIECE = 30
"""How heavy a piece is: the typesetter keeps what it worked out for the last ten, 0.8 GB of such pieces."""
_ROWS = 12
"""Rows of a table that weigh as much as a bar with its drawing."""


def divided(data: Mapping[str, Any]) -> list[dict[str, Any]]:
    """What the template of the plan is filled with, once for each piece; a plan of a usual size is one piece.

    A sheet that is divided has its title on every piece of it, and each page says which piece it belongs to, because
    pages are counted within one.
    """
    if sum(map(_weight, data["sheets"])) <= _ONE_PIECE:
        return [dict(data)]
    pieces: list[list[Sheet]] = []
    room = 0
    for sheet in data["sheets"]:
        for part in _parts(sheet):
            weight = _weight(part)
            if not pieces or weight > room:
                pieces.append([])
                room = _PIECE
            pieces[-1].append(part)
            room -= weight
    _index(pieces)
    return [
        dict(data) | {"sheets": sheets, "whose": sheets[0].get("of", ""), "piece": f"part {number} of {len(pieces)}, "}
        for number, sheets in enumerate(pieces, 1)
    ]


def _index(pieces: Sequence[Sequence[Sheet]]) -> None:
    """Name the piece of each sheet beyond the first one, where the index stands: pages are counted within a piece."""
    begins = {sheet["anchor"]: number for number, sheets in enumerate(pieces, 1) for sheet in sheets}
    for sheet in pieces[0]:
        if sheet["kind"] == "front":
            sheet["index"] = [
                entry | {"piece": f"part {begins[entry['anchor']]}" if begins[entry["anchor"]] > 1 else ""}
                for entry in sheet["index"]
            ]


def _weight(sheet: Sheet) -> int:
    """How much a sheet takes to typeset, in bars with their drawing."""
    match sheet["kind"]:
        case "front":
            return 1
        case "cut":
            recut = _rows(sheet["recut"]) // _ROWS if sheet["recut"] else 0
            return recut + sum(len(group["blocks"]) for group in sheet["groups"])
        case "marking":
            return len(sheet["cards"])
    return sum(map(_rows, sheet["parts"])) // _ROWS


def _rows(part: Mapping[str, Any]) -> int:
    """Rows of a table and its lines; each table adds a little of its own."""
    return 2 + len(part["rows"]) + len(part["before"]) + len(part["after"])


def _parts(sheet: Sheet) -> list[Sheet]:
    """The sheet itself, or what it is divided into, each with the title of the whole."""
    if _weight(sheet) <= _PIECE:
        return [sheet]
    held: list[Sheet]
    match sheet["kind"]:
        case "cut":
            blocks = [(group["title"], block) for group in sheet["groups"] for block in group["blocks"]]
            held = [{"groups": _grouped(some), "recut": None} for some in _slices(blocks, _PIECE)]
            held += [{"groups": [], "recut": some} for some in _pieces_of(sheet["recut"], _PIECE * _ROWS)]
        case "marking":
            held = [{"cards": some} for some in _slices(sheet["cards"], _PIECE)]
        case _:
            held = [{"parts": some} for some in _tables(sheet["parts"])]
    parts = [sheet | some | {"title": f"{sheet['title']}, {n} of {len(held)}"} for n, some in enumerate(held, 1)]
    for part in parts[1:]:
        part |= {"anchor": "", "fresh": False}
        if part["kind"] == "marking":
            part |= {"safety": [], "lines": [], "cautions": [], "pictures": [], "drills": None}
    return parts


def _slices(items: Sequence[Any], size: int) -> Iterator[Sequence[Any]]:
    return (items[at : at + size] for at in range(0, len(items), size))


def _grouped(blocks: Sequence[tuple[str, Any]]) -> list[dict[str, Any]]:
    """Blocks under the titles of their groups again."""
    groups: list[dict[str, Any]] = []
    for title, block in blocks:
        if not groups or groups[-1]["title"] != title:
            groups.append({"title": title, "blocks": []})
        groups[-1]["blocks"].append(block)
    return groups


def _tables(parts: Sequence[Mapping[str, Any]]) -> list[list[Mapping[str, Any]]]:
    """Tables with what belongs to them, as many together as a piece holds; a longer one goes on under its title."""
    most = _PIECE * _ROWS
    together: list[list[Mapping[str, Any]]] = [[]]
    room = most
    for whole in parts:
        for part in _pieces_of(whole, most):
            if _rows(part) > room and together[-1]:
                together.append([])
                room = most
            together[-1].append(part)
            room -= _rows(part)
    return together


def _pieces_of(part: Mapping[str, Any], most: int) -> list[Mapping[str, Any]]:
    """The sentences before a table with its first rows, and so on to those after it."""
    if _rows(part) <= most:
        return [part]
    pieces = [{"before": some, "rows": [], "after": []} for some in _slices(part["before"], most)]
    pieces += [{"before": [], "rows": some, "after": []} for some in _slices(part["rows"], most)]
    pieces += [{"before": [], "rows": [], "after": some} for some in _slices(part["after"], most)]
    title = part["title"]
    return [
        {**part, **piece, "title": title if not number or not title else f"{title}, continued"}
        for number, piece in enumerate(pieces)
    ]
