"""The workshop file (TOML): finding it, and every key of it to a typed value or a Problem."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import Any

from cutplan.model import LABELS, PAPERS, SQUARE_READS, Clamp, LengthMeant, Merchant, Saw, Work, Workshop
from cutplan.problems import Problem, Refused, nearest
from cutplan.reading.ditto import Repeat
from cutplan.reading.material import tidy_finish
from cutplan.reading.own_sections import own_section
from cutplan.reading.sheets import TEXT_FORMS, RawFile, load_file, refuse, text_fault
from cutplan.sections import GAUGES, LARGEST_SIDE, LONGEST_NAME, Notation, OwnSection, read_standard
from cutplan.sections.section import Family
from cutplan.units import (
    DECIMAL_SIGNS,
    DEGREE,
    KG,
    LENGTH_FORMS,
    LONGEST_NUMBER,
    MASS_UNITS,
    MM,
    MONEY_FORMS,
    PRINTED_TO,
    USUAL,
    Money,
    angle_text,
    length_text,
    parse_decimal,
    parse_length,
    parse_length_or_zero,
    parse_money,
    with_point,
)

PATTERN = "workshop*.toml"
LEDGER = "rack.ledger"
"""The rack's ledger, beside the workshop file unless that says where."""
TOML_FORMS = "a text of keys and values in TOML, UTF-8"

MAX_KERF = 20 * MM
"""No saw in a small workshop takes more (common practice, no source: 0.9 to 3.5 mm); more is a slip of the unit."""

MOST_LEGS = 20
"""Flat parts of a folded strip."""

FAMILY_KEYS: dict[str, Family] = {family.value: family for family in Family}
"""How a key names a family: the word its designations start with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RackRules:
    """How the workshop keeps its rack; no plan depends on it.

    ``hold_days`` is how long a hold lasts; a piece is old after ``old_after_months``; ``scrap_price_per_kg`` is what
    scrap pays, in millionths of the currency.
    """

    hold_days: int = 14
    old_after_months: int = 12
    scrap_price_per_kg: Money = 0


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
    from_file: bool = False
    repeat: Repeat = Repeat.NO

    def key(self, key: str) -> str:
        """Where a key stands, for messages."""
        return _place(self.name, key, self.places)


def _place(name: str, key: str, places: Mapping[str, str]) -> str:
    return places.get(key) or f'{name}, key "{key}"'


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
            )
        if found:
            return found[0]
    return None


class _Wrong(Exception):
    """A value that is not usable, shown as TOML spells it."""

    def __init__(self, found: str, accepted: str, hint: str = "") -> None:
        super().__init__(found)
        self.found, self.accepted, self.hint = found, accepted, hint


def _shown(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, dict):
        return "a table"
    return str(value)


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise _Wrong(_shown(value), 'a text in quotation marks, such as "black"')
    fault = text_fault(value)
    if fault:
        raise _Wrong(value, TEXT_FORMS, f"it has {fault}")
    return " ".join(value.split())


def _finish(value: Any) -> str:
    finish = tidy_finish(_text(value))
    if not finish:
        raise _Wrong(value, 'a text in quotation marks, such as "black"')
    return finish


def _number_text(value: Any, accepted: str, sign: str) -> str:
    if isinstance(value, str):
        return with_point(value, sign, accepted) if sign else value
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        raise _Wrong(_shown(value), accepted)
    if isinstance(value, Decimal):
        exponent = value.as_tuple().exponent
        if isinstance(exponent, int) and abs(exponent) > LONGEST_NUMBER:
            raise _Wrong(str(value), accepted)  # written out it could fill the memory
        return f"{value:f}"
    return str(value)


def _truth(value: Any) -> bool:
    if not isinstance(value, bool):
        raise _Wrong(_shown(value), "true or false, without quotation marks")
    return value


def _money(sign: str, value: Any) -> int:
    return parse_money(_number_text(value, MONEY_FORMS, sign))


def _value_per_mm(sign: str, value: Any) -> int:
    """Money a metre to millionths a millimetre, which holds a tenth of a cent a metre exactly."""
    amount = Fraction(parse_decimal(_number_text(value, MONEY_FORMS, sign), MONEY_FORMS)) * 1000
    if amount.denominator != 1 or amount > 10**9:
        raise _Wrong(_shown(value), "an amount up to 1000000 with at most three decimals, such as 1.25")
    return int(amount)


def _count(sign: str, value: Any) -> int:
    accepted = "a whole number from 0 to 1000"
    count = parse_decimal(_number_text(value, accepted, sign), accepted)
    if count != count.to_integral_value() or not 0 <= count <= 1000:
        raise _Wrong(_shown(value), accepted)
    return int(count)


def _percent(sign: str, value: Any) -> int:
    accepted = "a rate in percent from 0 to 100, such as 20 or 8.875"
    rate = Fraction(parse_decimal(_number_text(value, accepted, sign), accepted)) * 10_000
    if rate.denominator != 1 or rate > 1_000_000:
        raise _Wrong(_shown(value), accepted)
    return int(rate)


def _heavy(sign: str, value: Any) -> int:
    accepted = "kilograms above 0 and up to 1000, such as 25"
    limit = Fraction(parse_decimal(_number_text(value, accepted, sign), accepted)) * KG
    if limit.denominator != 1 or not 0 < limit <= 1000 * KG:
        raise _Wrong(_shown(value), accepted)
    return int(limit)


def _square_reads(sign: str, value: Any) -> int:
    words = {angle_text(angle): angle for angle in SQUARE_READS}
    accepted = " or ".join(words)
    reading = Fraction(parse_decimal(_number_text(value, accepted, sign), accepted)) * DEGREE
    if reading not in SQUARE_READS:
        raise _Wrong(_shown(value), accepted)
    return int(reading)


def _density(sign: str, value: Any) -> int:
    accepted = "whole kilograms per cubic metre from 1000 to 20000, such as 7850"
    density = parse_decimal(_number_text(value, accepted, sign), accepted)
    if density != density.to_integral_value() or not 1000 <= density <= 20_000:
        raise _Wrong(_shown(value), accepted)
    return int(density)


def _whole(of: str, such: int, sign: str, value: Any) -> int:
    accepted = f"whole {of} from 1 to 1000, such as {such}"
    count = parse_decimal(_number_text(value, accepted, sign), accepted)
    if count != count.to_integral_value() or not 1 <= count <= 1000:
        raise _Wrong(_shown(value), accepted)
    return int(count)


def _currency(value: Any) -> str:
    code = _text(value)
    if not re.fullmatch("[A-Z]{3}", code):
        hint = f'did you mean "{code.upper()}"?' if re.fullmatch("[A-Za-z]{3}", code) else ""
        raise _Wrong(code, 'the three letters of a currency, such as "EUR"', hint)
    return code


def _standard(family: Family, value: Any) -> str:
    return read_standard(_text(value), family)


def _amount(sign: str, accepted: str, scale: int, value: Any) -> int:
    """A decimal above 0 as a whole number of its ``scale``-th part."""
    amount = Fraction(parse_decimal(_number_text(value, accepted, sign), accepted)) * scale
    low, high = (Fraction(word) * scale for word in re.findall(r"from (\S+) to (\S+),", accepted)[0])
    if amount.denominator != 1 or not low <= amount <= high:
        raise _Wrong(_shown(value), accepted)
    return int(amount)


def _material_name(value: Any) -> str:
    name = _text(value).lower()
    if not re.fullmatch(r"[a-z][a-z0-9 -]{1,30}", name) or name in ("steel", "carbon steel"):
        hint = "the density of carbon steel is the key steel.density" if "steel" in name else ""
        raise _Wrong(_shown(value), 'a name of letters and digits that starts with a letter, such as "titanium"', hint)
    return name


def _section_name(value: Any) -> str:
    name = _text(value)
    if not re.search(r"[A-WYZa-wyz]", name) or len(name) > LONGEST_NAME:
        raise _Wrong(
            _shown(value), f"a name with a word in it, up to {LONGEST_NAME} characters, such as Slotted rail 41"
        )
    return name


def _gauge(value: Any) -> str:
    text = _text(value)
    tables = {table.casefold(): table for table in ("", *GAUGES)}
    if text.casefold() not in tables:
        raise _Wrong(text, " or ".join(f'"{table}"' for table in GAUGES))
    return tables[text.casefold()]


def _printed_to(unit: str, sign: str, value: Any) -> int:
    words = PRINTED_TO[unit]
    accepted = " or ".join(f'"{word}"' for word in words)
    step = parse_length_or_zero(_number_text(value, accepted, sign), unit)
    if step not in words.values():
        raise _Wrong(_shown(value), f"{accepted}, in the unit of the workshop")
    return step


def _one_of(words: Mapping[str, Any]) -> Callable[[Any], Any]:
    accepted = " or ".join(f'"{word}"' for word in words)

    def read(value: Any) -> Any:
        text = _text(value).lower()
        if text not in words:
            raise _Wrong(_shown(value), accepted, nearest(text, words))
        return words[text]

    return read


UNITS = {"mm": "mm", "in": "in"}
LABEL_WORDS = {label.lower(): label for label in LABELS}
PAPER_WORDS = {paper.lower(): paper for paper in PAPERS}
REPEATS = {repeat.value: repeat for repeat in Repeat}
CLAMPS = {clamp.value: clamp for clamp in Clamp}
LENGTHS_MEANT = {meant.value: meant for meant in LengthMeant if meant is not LengthMeant.ONE_SIDE}


def _readers(unit: str, sign: str) -> dict[str, Callable[[Any], Any]]:
    """Every key outside [[merchant]] and how its value is read; ``unit`` is that of bare lengths."""

    def length(value: Any) -> int:
        return parse_length_or_zero(_number_text(value, LENGTH_FORMS, sign), unit)

    def kerf(value: Any) -> int:
        width = length(value)
        if width > MAX_KERF:
            raise _Wrong(_shown(value), f"a kerf up to {length_text(MAX_KERF)}", "is another unit meant?")
        return width

    readers: dict[str, Callable[[Any], Any]] = {
        "workshop.name": _text,
        "workshop.unit": _one_of(UNITS),
        "workshop.paper": _one_of(PAPER_WORDS),
        "workshop.print_lengths_to": partial(_printed_to, unit, sign),
        "workshop.mass_unit": _one_of({word: word for word in MASS_UNITS}),
        "workshop.labels": _one_of(LABEL_WORDS),
        "workshop.decimal_sign": _one_of({sign: sign for sign in DECIMAL_SIGNS}),
        "workshop.currency": _currency,
        "tax.percent": partial(_percent, sign),
        "tax.prices_include_tax": _truth,
        "saw.kerf": kerf,
        "saw.end_trim": length,
        "saw.end_trim_includes_cut": _truth,
        "saw.mill_ends_accepted": _truth,
        "saw.safe_hold": length,
        "saw.clamp": _one_of(CLAMPS),
        "saw.square_reads": partial(_square_reads, sign),
        "offcuts.keep_at_most": partial(_count, sign),
        "work.per_bar": partial(_money, sign),
        "work.per_cut": partial(_money, sign),
        "work.per_setup": partial(_money, sign),
        "carry.longest": length,
        "carry.heavy_kg": partial(_heavy, sign),
        "defaults.finish": _finish,
        "defaults.mitre_length": _one_of(LENGTHS_MEANT),
        "defaults.gauge": _gauge,
        "steel.density": partial(_density, sign),
        "stock.lengths": _text,
        "lists.repeat_above": _one_of(REPEATS),
        "files.prices": _text,
        "files.rack": _text,
        "files.ledger": _text,
        "rack.hold_days": partial(_whole, "days", 14, sign),
        "rack.old_after_months": partial(_whole, "months", 12, sign),
        "rack.scrap_price_per_kg": partial(_money, sign),
    }
    for word, family in FAMILY_KEYS.items():
        readers[f"minus_tolerance.{word}"] = length
        readers[f"keep.{word}"] = length
        readers[f"offcut_value_per_m.{word}"] = partial(_value_per_mm, sign)
        readers[f"standards.{word}"] = partial(_standard, family)
    return readers


def _block_readers(unit: str, sign: str) -> dict[str, dict[str, Callable[[Any], Any]]]:
    """The tables that may be repeated, their keys and how a value is read; bare lengths are in ``unit``."""

    def length(value: Any) -> int:
        size = parse_length(_number_text(value, LENGTH_FORMS, sign), unit)
        if size > LARGEST_SIDE:
            raise _Wrong(_shown(value), f"a dimension up to {length_text(LARGEST_SIDE)}", "is another unit meant?")
        return size

    def lengths(value: Any) -> tuple[int, ...]:
        if not isinstance(value, list) or not 2 <= len(value) <= MOST_LEGS:
            raise _Wrong(_shown(value), f"a list of 2 to {MOST_LEGS} lengths in brackets, such as [20, 40, 20]")
        return tuple(length(each) for each in value)

    return {
        "merchant": {
            "name": _text,
            "delivers": _truth,
            "delivery": partial(_money, sign),
            "minimum_order": partial(_money, sign),
            "cuts_to_plan": _truth,
            "cut_charge": partial(_money, sign),
        },
        "material": {"name": _material_name, "density": partial(_density, sign)},
        "section": {
            "name": _section_name,
            "height": length,
            "width": length,
            "thickness": length,
            "mass_per_m": partial(_amount, sign, "kilograms a metre from 0.001 to 10000, such as 2.55", 1_000_000),
            "area": partial(_amount, sign, "square millimetres from 0.001 to 10000000, such as 325", 1_000_000),
            "surface_per_m": partial(_amount, sign, "square metres a metre from 0.001 to 100, such as 0.25", 1_000_000),
            "legs": lengths,
            "bend_radius": length,
            "material": _text,
        },
    }


_BLOCKS = _block_readers("mm", "")
KEYS: tuple[str, ...] = (*_readers("mm", ""), *(f"{table}.{key}" for table, keys in _BLOCKS.items() for key in keys))
"""Every key a workshop file may have."""
TRUTHS = frozenset(
    key
    for key, read in (
        *_readers("mm", "").items(),
        *((f"{table}.{key}", read) for table, keys in _BLOCKS.items() for key, read in keys.items()),
    )
    if read is _truth
)
"""Keys whose value is true or false."""


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
    values = _values(name, document, problems, known)
    unit, sign = values.get("workshop.unit", "mm"), values.get("workshop.decimal_sign", "")
    blocks = {table: _blocks(name, table, document.get(table, []), problems, known, unit, sign) for table in _BLOCKS}
    merchants = tuple(Merchant(**terms) for _, terms in blocks["merchant"])
    materials = _materials(blocks["material"], problems)
    own = _own_sections(blocks["section"], Notation(materials=materials), problems)
    files = {key: folder / values[f"files.{key}"] for key in ("prices", "rack") if values.get(f"files.{key}")}
    return WorkshopFile(
        name=name,
        workshop=replace(_assemble(name, values, merchants, problems, known), materials=materials, own_sections=own),
        given=frozenset(values),
        prices=files.get("prices"),
        rack=files.get("rack"),
        ledger=folder / (values.get("files.ledger") or LEDGER),
        stock=tuple(text for text in (part.strip() for part in values.get("stock.lengths", "").split(";")) if text),
        document=document,
        places=known,
        rules=RackRules(**{key.split(".")[1]: value for key, value in values.items() if key.startswith("rack.")}),
        from_file=from_file,
        repeat=values.get("lists.repeat_above", Repeat.NO),
    )


def read_document(raw: RawFile) -> dict[str, Any]:
    """The tables and keys of a workshop file; raises ProblemsFound when it is no TOML."""
    try:
        text = raw.data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.data.count(b"\n", 0, error.start) + 1
        raise refuse(f"{raw.name}, line {line}", "letters that are not UTF-8", TOML_FORMS) from None
    try:
        return tomllib.loads(text, parse_float=Decimal)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError, ArithmeticError) as error:
        reason, _, place = str(error).partition(" (at ")
        where = f"{raw.name}, {place.removesuffix(')')}" if place else raw.name
        hint = 'a text such as 6.5 m stands in quotation marks: "6.5 m"'
        raise refuse(where, f"what TOML does not allow ({reason})", TOML_FORMS, hint) from None


def _unknown(where: str, accepted: Iterable[str], hint: str, what: str = "key") -> Problem:
    return Problem(
        where=where, found=f"an unknown {what}", accepted=", ".join(accepted), hint=hint, found_is_text=False
    )


def _sign(name: str, document: Mapping[str, Any]) -> str:
    """The decimal sign that a workshop says, blank when it says none that is known."""
    read = _one_of({sign: sign for sign in DECIMAL_SIGNS})
    sign: str = _read_key(name, "workshop.decimal_sign", read, document.get("workshop"), []) or ""
    return sign


def _values(
    name: str, document: Mapping[str, Any], problems: list[Problem], places: Mapping[str, str]
) -> dict[str, Any]:
    """The values of all keys outside [[merchant]] that could be read."""
    first: list[Problem] = []
    unit = _read_key(name, "workshop.unit", _one_of(UNITS), document.get("workshop"), first) or "mm"
    readers = _readers(unit, _sign(name, document))
    tables = list(dict.fromkeys(key.split(".")[0] for key in readers))
    values: dict[str, Any] = {}
    for table, keys in document.items():
        if table in _BLOCKS:
            continue
        known = [key for key in readers if key.startswith(f"{table}.")]
        if not known:
            homes = [key for key in KEYS if key.split(".")[1].lower() == table.lower()]
            hint = f"{table} belongs in the table [{homes[0].split('.')[0]}]" if homes else nearest(table, tables)
            problems.append(
                _unknown(
                    _place(name, table, places),
                    (_tables_known(tables),),
                    hint,
                    "table" if isinstance(keys, dict) else "key",
                )
            )
            continue
        if not isinstance(keys, dict):
            problems.append(
                Problem(where=_place(name, table, places), found=_shown(keys), accepted=f"a table headed [{table}]")
            )
            continue
        for key in keys:
            full = f"{table}.{key}"
            if full not in readers:
                words = [word.split(".")[1] for word in known]
                problems.append(_unknown(_place(name, full, places), words, _key_hint(key, words)))
                continue
            value = _read_key(name, full, readers[full], keys, problems, _place(name, full, places))
            if value is not None:
                values[full] = value
    return values


def _tables_known(tables: list[str]) -> str:
    *first, last = (f"[[{table}]]" for table in _BLOCKS)
    return f"the tables {', '.join([*(f'[{word}]' for word in tables), *first])} and {last}"


def _key_hint(key: str, words: list[str]) -> str:
    near = nearest(key, words)
    if near:
        return near
    homes = [full for full in KEYS if full.split(".")[1] == key]
    return f'did you mean "{homes[0]}"?' if homes else ""


def _read_key(
    name: str, full: str, read: Callable[[Any], Any], keys: Any, problems: list[Problem], where: str = ""
) -> Any:
    """The value of one key; None, with a problem noted, when it cannot be used."""
    key = full.split(".")[-1]
    if not isinstance(keys, dict) or key not in keys:
        return None
    place = where or f'{name}, key "{full}"'
    try:
        return read(keys[key])
    except Refused as refused:
        found = keys[key] if isinstance(keys[key], str) else refused.found
        problems.append(Problem(where=place, found=found, accepted=refused.accepted, hint=refused.hint))
    except _Wrong as wrong:
        problems.append(Problem(where=place, found=wrong.found, accepted=wrong.accepted, hint=wrong.hint))
    return None


def _blocks(
    name: str, table: str, blocks: Any, problems: list[Problem], places: Mapping[str, str], unit: str, sign: str
) -> list[tuple[str, dict[str, Any]]]:
    """The blocks of a table that may be repeated: each one's place and values, where it has a name of its own."""
    if not isinstance(blocks, list) or not all(isinstance(block, dict) for block in blocks):
        problems.append(
            Problem(where=f'{name}, key "{table}"', found=_shown(blocks), accepted=f"blocks headed [[{table}]]")
        )
        return []
    readers = _block_readers(unit, sign)[table]
    found: dict[str, tuple[str, dict[str, Any]]] = {}
    for number, block in enumerate(blocks, start=1):
        where = places.get(f"{table}.{number}") or f"{name}, {table} {number}"
        before = len(problems)
        for key in block:
            if key not in readers:
                problems.append(_unknown(f'{where}, key "{key}"', readers, nearest(key, readers)))
        values = {
            key: value
            for key, read in readers.items()
            if (
                value := _read_key(
                    name, key, read, block, problems, places.get(f"{table}.{number}.{key}") or f'{where}, key "{key}"'
                )
            )
            is not None
        }
        if not values.get("name"):
            if len(problems) == before:
                problems.append(
                    Problem(where=where, found="no name", accepted='a key name = "..."', found_is_text=False)
                )
            continue
        if values["name"].casefold() in found:
            place = places.get(f"{table}.{number}.name") or f'{where}, key "name"'
            problems.append(Problem(where=place, found=values["name"], accepted=f"each {table} in one block"))
            continue
        if len(problems) == before or table == "merchant":
            found[values["name"].casefold()] = where, values
    return list(found.values())


def _materials(blocks: list[tuple[str, dict[str, Any]]], problems: list[Problem]) -> tuple[tuple[str, int], ...]:
    found = []
    for where, values in blocks:
        if "density" in values:
            found.append((values["name"], values["density"]))
        else:
            problems.append(
                Problem(
                    where=where, found=values["name"], accepted="a key density beside the name, such as density = 8470"
                )
            )
    return tuple(found)


def _own_sections(
    blocks: list[tuple[str, dict[str, Any]]], notation: Notation, problems: list[Problem]
) -> tuple[OwnSection, ...]:
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
    problems: list[Problem],
    places: Mapping[str, str],
) -> Workshop:
    settings = {
        field_name: values[key]
        for key, field_name in {
            "workshop.name": "name",
            "workshop.unit": "unit",
            "workshop.paper": "paper",
            "workshop.print_lengths_to": "printed_to",
            "workshop.mass_unit": "mass_unit",
            "workshop.labels": "labels",
            "workshop.decimal_sign": "decimal_sign",
            "workshop.currency": "currency",
            "tax.percent": "tax_millionths",
            "tax.prices_include_tax": "prices_include_tax",
            "offcuts.keep_at_most": "most_kept",
            "carry.longest": "longest_carry",
            "carry.heavy_kg": "heavy",
            "defaults.finish": "default_finish",
            "defaults.mitre_length": "mitre_length",
            "defaults.gauge": "gauge",
            "steel.density": "density",
        }.items()
        if key in values
    }
    settings.setdefault("paper", "Letter" if settings.get("unit") == "in" else "A4")
    settings.setdefault("labels", "2 5/8 x 1 in" if settings["paper"] == "Letter" else Workshop().labels)
    saw = {key.removeprefix("saw."): value for key, value in values.items() if key.startswith("saw.")}
    standing = Saw()
    kerf = saw.get("kerf", standing.kerf)
    trim = saw.get("end_trim", standing.end_trim)
    if saw.get("end_trim_includes_cut", standing.end_trim_includes_cut) and 0 < trim < kerf:
        how = USUAL[settings.get("unit", "mm")]
        key = "saw.end_trim" if "saw.end_trim" in values else "saw.kerf"
        problems.append(
            Problem(
                where=_place(name, key, places),
                found=f"an end trim of {length_text(trim, how)} with a kerf of {length_text(kerf, how)}",
                accepted="an end trim of 0, or of at least one kerf, as it includes the squaring cut",
                hint="set end_trim_includes_cut = false when the kerf comes on top",
                found_is_text=False,
            )
        )
        saw = {}
    return Workshop(
        **settings,
        saw=Saw(**saw),
        work=Work(**{key.removeprefix("work."): value for key, value in values.items() if key.startswith("work.")}),
        minus_tolerance=_by_family(values, "minus_tolerance"),
        keep=_by_family(values, "keep"),
        offcut_value_per_mm=_by_family(values, "offcut_value_per_m"),
        standards=_by_family(values, "standards"),
        merchants=merchants,
    )
