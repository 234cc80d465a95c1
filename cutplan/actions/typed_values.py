"""Texts typed for a piece of the rack, as values; what is refused of them is reported together."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from cutplan.problems import Problem, ProblemsFound, Refused

if TYPE_CHECKING:
    from cutplan.model import Workshop
    from cutplan.sections import Section
    from cutplan.units import Length


def printable(option: str, text: str) -> str:
    """A text on one line, refused where it could not be printed, for it is kept and shown for good."""
    with Typed() as typed:
        words = typed.read(option, printable_words, text)
    return words or ""


def number_typed(text: str) -> str:
    """A number of the workshop's own for an order or a quote, refused where it cannot be part of a file's name."""
    if text and not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9._-]{0,30}", text):
        accepted = "letters, digits, points and dashes, 31 at most, such as Q7 or 2031-014"
        raise ProblemsFound([Problem(where="--number", found=text, accepted=accepted, code="number.own")])
    return text


def kerf_of_saw(shop: Workshop, text: str, option: str) -> tuple[str, str]:
    """The name of a saw and its kerf as typed: ``band saw: 1.2 mm``; where there is one saw, the kerf alone.

    Raises
    ------
    ProblemsFound
        Where there are several saws and the text names none of them.
    """
    named, sign, figure = text.rpartition(":")
    known = {saw.name.casefold(): saw.name for saw in shop.saws}
    if not known or (not sign and len(known) == 1):
        return shop.saw.name, text
    if named.strip().casefold() in known:
        return known[named.strip().casefold()], figure.strip()
    such = f"one of the saws and its kerf, such as {shop.saw.name}: 2 mm"
    hint = f"the saws are {', '.join(known.values())}"
    raise ProblemsFound([Problem(where=option, found=text, accepted=such, hint=hint, code="kerf.saw")])


def check_wall(wall: Length, section: Section) -> None:
    """Refuse a wall that a piece of the section cannot have."""
    from cutplan.reading.reason import wall_fault
    from cutplan.units import mm_text

    accepted = wall_fault(wall, section.thickness)
    if accepted:
        raise Refused(f"{mm_text(wall)} mm", accepted, code="rack.wall")


class Typed:
    """Reads texts as typed and raises all that was refused together, at the end of its block."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def __enter__(self) -> Typed:
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


def section_typed(shop: Workshop, text: str, standard: str) -> Section:
    """The section named, as the workshop's lists would read it."""
    from cutplan.sections import read_section

    return read_section(
        text, standard=standard, standard_of=shop.standard, density=shop.density, notation=shop.notation
    )


def printable_words(text: str) -> str:
    """A text that can be printed and put into a cell."""
    from cutplan.reading.sheets.texts import TEXT_FORMS, seen_text, text_fault

    seen = seen_text(text)
    if text_fault(seen):
        raise Refused(text, TEXT_FORMS, code="cell.text")
    return " ".join(seen.split())


def read_state(shop: Workshop, typed: Typed, texts: dict[str, str | None]) -> dict[str, Any]:
    """Fields of State from texts as typed, those that were given."""
    from cutplan.reading.lists.rack_columns import read_end

    figures = shop.figures
    readers: dict[str, Callable[[str], Any]] = {
        "length": figures.length,
        "wall": figures.length,
        "end_a": read_end,
        "end_b": read_end,
        "angle_a": figures.angle,
        "angle_b": figures.angle,
        "value": figures.money,
        "grade": lambda text: printable_words(text).upper(),
    }
    values = {}
    for name, text in texts.items():
        where = "LENGTH" if name == "length" else f"--{name.replace('_', '-')}"
        value = typed.read(where, readers.get(name, printable_words), text)
        if value is not None:
            values[name] = value
    return values
