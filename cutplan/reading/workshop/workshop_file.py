"""The workshop file (TOML): finding it, and all that it says put together."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from pathlib import Path
from typing import Any

from cutplan.costing.cost_figures import Coat, CostFigures, HourFigures
from cutplan.model import Brought, Merchant, Saw, Work, Workshop
from cutplan.problems import Problem, Refused
from cutplan.reading.lists.ditto import Repeat
from cutplan.reading.sheets.raw_cells import RawFile, load_file, refuse
from cutplan.reading.workshop.own_sections import own_section
from cutplan.reading.workshop.rack_rules import LEDGER, RackRules
from cutplan.reading.workshop.toml_faults import toml_fault
from cutplan.reading.workshop.workshop_keys import FAMILY_KEYS, SAWS, SETTINGS
from cutplan.reading.workshop.workshop_tables import Block, place_of, read_blocks, read_tables
from cutplan.sections import Notation, OwnSection
from cutplan.sections.section import Family
from cutplan.units import USUAL, Printing, length_text

PATTERN = "workshop*.toml"
SAW_FORMS = "[[saw]] blocks that each say it for their saw, or one table [saw] and no blocks"
TOML_FORMS = "a text of keys and values in TOML, UTF-8"


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkshopFile:
    """What a workshop file says.

    ``given`` holds the keys that were set, e.g. ``saw.kerf``, so that the others can be told as assumptions.
    ``prices`` and ``rack`` are the files it names; ``ledger`` is where the rack's ledger lies, or would lie; ``stock``
    are the stock lengths, as typed. ``document`` holds all as typed, table by table, so that it can be written in
    another form; ``places`` where a key stands, when it is not by its name in ``name``; ``from_file`` is true of a
    file of its own.
    """

    name: str = ""
    workshop: Workshop = field(default_factory=Workshop)
    given: frozenset[str] = frozenset()
    prices: Path | None = None
    rack: Path | None = None
    ledger: Path = Path(LEDGER)
    stock: tuple[str, ...] = ()
    document: Mapping[str, Any] = field(default_factory=dict)
    places: Mapping[str, str] = field(default_factory=dict)
    rules: RackRules = field(default_factory=RackRules)
    costs: CostFigures = field(default_factory=CostFigures)
    from_file: bool = False
    repeat: Repeat = Repeat.NO

    def key(self, key: str) -> str:
        """Where a key stands, for messages."""
        return place_of(self.name, key, self.places)


def find_workshop(parts: Path, given: Path | None) -> Path | None:
    """The workshop file of a parts list.

    Parameters
    ----------
    parts
        The parts list.
    given
        A file named by the user, which is then the one.

    Returns
    -------
    Path or None
        The file ``workshop*.toml`` in the nearest folder, from the list's own upwards, that holds one; None when
        no folder does.

    Raises
    ------
    ProblemsFound
        When that folder holds two.
    """
    if given is not None:
        return given
    try:
        folder = parts.resolve().parent
    except (OSError, RuntimeError, ValueError):
        return None
    for place in (folder, *folder.parents):
        try:
            found = sorted(path for path in place.glob(PATTERN) if not path.is_dir())
        except OSError:
            continue
        if len(found) > 1:
            names = " and ".join(f'"{path.name}"' for path in found)
            raise refuse(
                f'folder "{place.name}"',
                f"{len(found)} workshop files, {names}",
                "one of them",
                "name the one meant with --workshop",
                code="workshop.several",
            )
        if found:
            return found[0]
    return None


def load_workshop(path: Path) -> RawFile:
    """The bytes of a workshop file; raises ProblemsFound when it cannot be read."""
    return load_file(path, TOML_FORMS)


def settings(
    name: str,
    document: Mapping[str, Any],
    problems: list[Problem],
    *,
    folder: Path,
    places: Mapping[str, str] | None = None,
    from_file: bool = True,
) -> WorkshopFile:
    """What a workshop says, from its keys by table, however they were written down.

    Parameters
    ----------
    name
        The file, or the sheet of a workbook, for messages.
    document
        Tables of keys as TOML gives them; ``merchant`` is a list of tables.
    problems
        Gains one Problem per key that is unknown or has a wrong value; that key then keeps its default.
    folder
        What the files it names are relative to.
    from_file
        Is there a file of that name, rather than a sheet of a workbook, or nothing?
    places
        Where keys stand, such as ``saw.kerf`` or ``merchant.1.name``, when not by their name in ``name``.
    """
    known = places or {}
    values = read_tables(name, document, problems, known)
    blocks = read_blocks(name, document, problems, known)
    merchants = _merchants(blocks["merchant"], problems)
    materials = _materials(blocks["material"], problems)
    saws = _saws(name, blocks[SAWS], values, problems, known)
    own = _own_sections(blocks["section"], Notation(materials=materials), problems)
    files = {key: folder / values[f"files.{key}"] for key in ("prices", "rack") if values.get(f"files.{key}")}
    return WorkshopFile(
        name=name,
        workshop=replace(
            _assemble(name, values, merchants, saws, problems, known), materials=materials, own_sections=own
        ),
        given=frozenset(values) | frozenset(each.name for each in SETTINGS.values() if saws and each.table == "saw"),
        prices=files.get("prices"),
        rack=files.get("rack"),
        ledger=folder / (values.get("files.ledger") or LEDGER),
        stock=tuple(text for text in (part.strip() for part in values.get("stock.lengths", "").split(";")) if text),
        document=document,
        places=known,
        rules=RackRules(
            **{key.split(".")[1]: value for key, value in values.items() if key.startswith(("rack.", "replan."))}
        ),
        costs=_costs(values, blocks["coat"], problems),
        from_file=from_file,
        repeat=values.get("lists.repeat_above", Repeat.NO),
    )


def read_document(raw: RawFile) -> dict[str, Any]:
    """The tables and keys of a workshop file; raises ProblemsFound when it is no TOML."""
    try:
        text = raw.data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.data.count(b"\n", 0, error.start) + 1
        raise refuse(
            f"{raw.name}, line {line}", "letters that are not UTF-8", TOML_FORMS, code="file.encoding"
        ) from None
    try:
        document = tomllib.loads(text, parse_float=Decimal)
        _refuse_large_numbers(document)
        if isinstance(document.get("saw"), list) and SAWS not in document:
            document = {SAWS if table == "saw" else table: keys for table, keys in document.items()}
        return document
    except (tomllib.TOMLDecodeError, RecursionError, ValueError, ArithmeticError) as error:
        reason, _, place = str(error).partition(" (at ")
        if "integer string conversion" in reason:  # what Python says is for programmers
            reason = "a whole number of thousands of digits, where 64 bits are the most"
        if {"[saw]", "[[saw]]"} <= {"".join(line.partition("#")[0].split()) for line in text.splitlines()}:
            found = "a table [saw] beside blocks [[saw]]"
            raise refuse(raw.name, found, SAW_FORMS, code="workshop.saws") from None
        fault = toml_fault(text, reason, place.removesuffix(")"))
        where = f"{raw.name}, {fault.where}" if fault.where else raw.name
        raise refuse(where, fault.found, TOML_FORMS, fault.hint, code="workshop.toml") from None


def _refuse_large_numbers(value: Any) -> None:
    """A whole number has at most 64 bits (TOML 1.0.0, "Integer"); Python's reader takes any, in hexadecimal too.

    Raises
    ------
    ValueError
        Which says how long the number is, because one of 30,000 digits cannot even be printed.
    """
    if isinstance(value, int) and not -(2**63) <= value < 2**63:
        raise ValueError(f"a whole number of {value.bit_length()} bits, where 64 are the most")
    if isinstance(value, dict | list):
        for inner in value.values() if isinstance(value, dict) else value:
            _refuse_large_numbers(inner)


def _costs(values: Mapping[str, Any], coats: list[Block], problems: list[Problem]) -> CostFigures:
    """What the workshop says of hours, rates and coats."""
    of_table = {
        table: {key.partition(".")[2]: value for key, value in values.items() if key.startswith(f"{table}.")}
        for table in ("hours", "cost")
    }
    found = []
    for where, given in coats:
        coat = Coat(**given)
        if bool(coat.litre) != bool(coat.litre_covers):
            has, lacks = ("litre", "litre_covers") if coat.litre else ("litre_covers", "litre")
            problems.append(
                Problem(
                    where=where,
                    found=f"{has} without {lacks}",
                    accepted="both, such as litre = 18 and litre_covers = 9, or neither",
                    found_is_text=False,
                    code="workshop.coat",
                )
            )
        else:
            found.append(coat)
    return CostFigures(
        hours=HourFigures(**of_table["hours"]),
        **of_table["cost"],
        coats=tuple(found),
        measured=frozenset(of_table["hours"]),
    )


def _merchants(blocks: list[Block], problems: list[Problem]) -> tuple[Merchant, ...]:
    """Their terms; refused where an order is to be delivered by who does not deliver."""
    found = []
    for where, values in blocks:
        terms = Merchant(**values)
        if terms.brought is Brought.DELIVERED and not terms.delivers:
            problems.append(
                Problem(
                    where=f'{where}, key "brought"',
                    found=f"an order delivered by {terms.name}, who is not said to deliver",
                    accepted="delivers = true beside it, or another word than delivered",
                    found_is_text=False,
                    code="merchant.brought",
                )
            )
        found.append(terms)
    return tuple(found)


def _saws(
    name: str, blocks: list[Block], values: Mapping[str, Any], problems: list[Problem], places: Mapping[str, str]
) -> tuple[Saw, ...]:
    """Several saws; refused beside the table of one saw."""
    alone = next((key for key in values if key.startswith("saw.")), "")
    if blocks and alone:
        problems.append(
            Problem(
                where=place_of(name, alone, places),
                found="a key of one saw, where several have a block each",
                accepted=SAW_FORMS,
                found_is_text=False,
                code="workshop.saws",
            )
        )
    how = USUAL[values.get("workshop.unit", "mm")]
    return tuple(_saw(said, where, how, problems) for where, said in blocks)


def _saw(values: Mapping[str, Any], where: str, how: Printing, problems: list[Problem]) -> Saw:
    """A saw, all defaults where its end trim is less than the kerf that it includes; ``where`` that is reported."""
    usual = Saw()
    kerf, trim = values.get("kerf", usual.kerf), values.get("end_trim", usual.end_trim)
    if values.get("end_trim_includes_cut", usual.end_trim_includes_cut) and 0 < trim < kerf:
        problems.append(
            Problem(
                where=where,
                found=f"an end trim of {length_text(trim, how)} with a kerf of {length_text(kerf, how)}",
                accepted="an end trim of 0, or of at least one kerf, as it includes the squaring cut",
                hint="set end_trim_includes_cut = false when the kerf comes on top",
                found_is_text=False,
                code="workshop.end_trim",
            )
        )
        return Saw(name=values.get("name", ""))
    return Saw(**values)


def _materials(blocks: list[Block], problems: list[Problem]) -> tuple[tuple[str, int], ...]:
    found = []
    for where, values in blocks:
        if "density" in values:
            found.append((values["name"], values["density"]))
        else:
            problems.append(
                Problem(
                    where=where,
                    found=values["name"],
                    accepted="a key density beside the name, such as density = 8470",
                    code="workshop.density",
                )
            )
    return tuple(found)


def _own_sections(blocks: list[Block], notation: Notation, problems: list[Problem]) -> tuple[OwnSection, ...]:
    found: tuple[OwnSection, ...] = ()
    for where, values in blocks:
        try:
            found = (*found, own_section(values, found, notation))
        except Refused as refused:
            problems.append(Problem.at(where, refused))
    return found


def _by_family(values: dict[str, Any], table: str) -> tuple[tuple[Family, Any], ...]:
    return tuple(
        (family, values[f"{table}.{word}"]) for word, family in FAMILY_KEYS.items() if f"{table}.{word}" in values
    )


def _assemble(
    name: str,
    values: dict[str, Any],
    merchants: tuple[Merchant, ...],
    saws: tuple[Saw, ...],
    problems: list[Problem],
    places: Mapping[str, str],
) -> Workshop:
    settings = {
        key.field or key.word: values[name]
        for name, key in SETTINGS.items()
        if name in values and (key.field or key.table == "workshop")
    }
    settings.setdefault("paper", "Letter" if settings.get("unit") == "in" else "A4")
    settings.setdefault("labels", "2 5/8 x 1 in" if settings["paper"] == "Letter" else Workshop().labels)
    saw = {key.removeprefix("saw."): value for key, value in values.items() if key.startswith("saw.")}
    how = USUAL[settings.get("unit", "mm")]
    key = "saw.end_trim" if "saw.end_trim" in values else "saw.kerf"
    one = _saw(saw, place_of(name, key, places), how, problems)
    return Workshop(
        **settings,
        saw=saws[0] if saws else one,
        saws=saws,
        work=Work(**{key.removeprefix("work."): value for key, value in values.items() if key.startswith("work.")}),
        minus_tolerance=_by_family(values, "minus_tolerance"),
        keep=_by_family(values, "keep"),
        offcut_value_per_mm=_by_family(values, "offcut_value_per_m"),
        standards=_by_family(values, "standards"),
        merchants=merchants,
    )
