"""What is known of one section, and which sizes there are to choose from."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.problems import Problem, ProblemsFound, Refused

if TYPE_CHECKING:
    from cutplan.model import Workshop
    from cutplan.sections import Detail, Section


def section_workshop(workshop: Path | str | None = None, near: Path | str | None = None) -> tuple[str, Workshop]:
    """The workshop that sections are looked up for, and the name of its file.

    Parameters
    ----------
    workshop
        The workshop file; without it, the one found from the folder of ``near`` upwards.
    near
        A list it is looked up for, which may be a workbook that holds its own; without it, the search begins in the
        current folder.

    Returns
    -------
    tuple
        The file's name, blank where there is none and the defaults hold, and what it says.

    Raises
    ------
    ProblemsFound
        When the file is not sound.
    """
    from cutplan.model import Workshop

    start = Path(near or "any").absolute()
    alone = near is None or not Path(near).is_file()
    if workshop is None and alone and not any(any(place.glob("workshop*.toml")) for place in start.parents):
        return "", Workshop()
    # Reading files takes longer than all the rest, so it is loaded only where there is one.
    from cutplan import reading

    shop = reading.workshop_of(start, Path(workshop) if workshop else None)
    return shop.name, shop.workshop


def section(text: str, *, standard: str | None = None, workshop: Workshop | None = None) -> Section:
    """A section by its designation, to ``standard`` or to the usual standard of its family.

    Raises
    ------
    ProblemsFound
        When the designation or the standard cannot be understood.
    """
    from cutplan import sections
    from cutplan.model import Workshop

    shop = workshop or Workshop()
    try:
        return sections.read_section(
            text, standard=standard, standard_of=shop.standard, density=shop.density, notation=shop.notation
        )
    except Refused as refused:
        raise ProblemsFound([Problem.at("section", refused)]) from None


def section_details(section: Section, *, workshop: Workshop | None = None) -> tuple[Detail, ...]:
    """Every number of a section with its source."""
    from cutplan import sections
    from cutplan.model import Workshop

    return sections.details_of(section, (workshop or Workshop()).notation)


def section_sizes(
    family: str, *, standard: str | None = None, up_to: str | None = None, workshop: Workshop | None = None
) -> tuple[Section, ...]:
    """The listed sizes of a family or a series, smallest first.

    Parameters
    ----------
    family
        Such as SHS, angle, IPE or HSS.
    standard
        Only those to this standard.
    up_to
        Only those with no outside dimension above this, such as ``50`` or ``2 in``.

    Raises
    ------
    ProblemsFound
        When family, standard or dimension cannot be understood.
    """
    from cutplan import sections
    from cutplan.model import Workshop

    shop = workshop or Workshop()
    problems: list[Problem] = []
    largest = None
    if up_to is not None:
        try:
            largest = shop.figures.length(up_to)
        except Refused as refused:
            problems.append(Problem.at("--up-to", refused))
    found: tuple[Section, ...] = ()
    try:
        found = sections.sizes(
            family,
            standard=standard,
            standard_of=shop.standard,
            up_to=largest,
            density=shop.density,
            notation=shop.notation,
        )
    except Refused as refused:
        problems.append(Problem.at("--standard" if refused.found == standard else "--family", refused))
    if problems:
        raise ProblemsFound(problems)
    return found
