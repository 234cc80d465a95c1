"""Every key of the workshop file: what it accepts, and the typed value it becomes."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from decimal import Decimal
from fractions import Fraction
from functools import partial
from typing import Any, TypeAlias

from cutplan.model import LABELS, PAPERS, SQUARE_READS, Clamp, LengthMeant
from cutplan.problems import nearest
from cutplan.reading.lists.ditto import Repeat
from cutplan.reading.lists.material import tidy_finish
from cutplan.reading.sheets.texts import TEXT_FORMS, seen_text, text_fault
from cutplan.sections import GAUGES, LARGEST_SIDE, LONGEST_NAME, read_standard
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
    angle_text,
    length_text,
    parse_decimal,
    parse_length,
    parse_length_or_zero,
    parse_money,
    with_point,
)

Reader: TypeAlias = Callable[[Any], Any]
"""From a value as TOML gives it to one as the model holds it; raises WrongValue or Refused."""

MAX_KERF = 20 * MM
"""No saw in a small workshop takes more (common practice, no source: 0.9 to 3.5 mm); more is a slip of the unit."""

MOST_LEGS = 20
"""Flat parts of a folded strip."""

FAMILY_KEYS: dict[str, Family] = {family.value: family for family in Family}
"""How a key names a family: the word its designations start with."""


class WrongValue(Exception):
    """A value that is not usable, shown as TOML spells it."""

    def __init__(self, found: str, accepted: str, hint: str = "") -> None:
        super().__init__(found)
        self.found, self.accepted, self.hint = found, accepted, hint


def shown(value: Any) -> str:
    """A value as messages show it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, dict):
        return "a table"
    return str(value)


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise WrongValue(shown(value), 'a text in quotation marks, such as "black"')
    text = seen_text(value)
    fault = text_fault(text)
    if fault:
        raise WrongValue(value, TEXT_FORMS, f"it has {fault}")
    return " ".join(text.split())


def _finish(value: Any) -> str:
    finish = tidy_finish(_text(value))
    if not finish:
        raise WrongValue(value, 'a text in quotation marks, such as "black"')
    return finish


def _number_text(value: Any, accepted: str, sign: str) -> str:
    if isinstance(value, str):
        return with_point(value, sign, accepted) if sign else value
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        raise WrongValue(shown(value), accepted)
    if isinstance(value, Decimal):
        exponent = value.as_tuple().exponent
        if isinstance(exponent, int) and abs(exponent) > LONGEST_NUMBER:
            raise WrongValue(str(value), accepted)  # written out it could fill the memory
        return f"{value:f}"
    return str(value)


def _truth(value: Any) -> bool:
    if not isinstance(value, bool):
        raise WrongValue(shown(value), "true or false, without quotation marks")
    return value


def _money(sign: str, value: Any) -> int:
    return parse_money(_number_text(value, MONEY_FORMS, sign))


def _value_per_mm(sign: str, value: Any) -> int:
    """Money a metre to millionths a millimetre, which holds a tenth of a cent a metre exactly."""
    amount = Fraction(parse_decimal(_number_text(value, MONEY_FORMS, sign), MONEY_FORMS)) * 1000
    if amount.denominator != 1 or amount > 10**9:
        raise WrongValue(shown(value), "an amount up to 1000000 with at most three decimals, such as 1.25")
    return int(amount)


def _count(sign: str, value: Any) -> int:
    accepted = "a whole number from 0 to 1000"
    count = parse_decimal(_number_text(value, accepted, sign), accepted)
    if count != count.to_integral_value() or not 0 <= count <= 1000:
        raise WrongValue(shown(value), accepted)
    return int(count)


def _percent(sign: str, value: Any) -> int:
    accepted = "a rate in percent from 0 to 100, such as 20 or 8.875"
    rate = Fraction(parse_decimal(_number_text(value, accepted, sign), accepted)) * 10_000
    if rate.denominator != 1 or rate > 1_000_000:
        raise WrongValue(shown(value), accepted)
    return int(rate)


def _heavy(sign: str, value: Any) -> int:
    accepted = "kilograms above 0 and up to 1000, such as 25"
    limit = Fraction(parse_decimal(_number_text(value, accepted, sign), accepted)) * KG
    if limit.denominator != 1 or not 0 < limit <= 1000 * KG:
        raise WrongValue(shown(value), accepted)
    return int(limit)


def _square_reads(sign: str, value: Any) -> int:
    words = {angle_text(angle): angle for angle in SQUARE_READS}
    accepted = " or ".join(words)
    reading = Fraction(parse_decimal(_number_text(value, accepted, sign), accepted)) * DEGREE
    if reading not in SQUARE_READS:
        raise WrongValue(shown(value), accepted)
    return int(reading)


def _density(sign: str, value: Any) -> int:
    accepted = "whole kilograms per cubic metre from 1000 to 20000, such as 7850"
    density = parse_decimal(_number_text(value, accepted, sign), accepted)
    if density != density.to_integral_value() or not 1000 <= density <= 20_000:
        raise WrongValue(shown(value), accepted)
    return int(density)


def _whole(of: str, such: int, sign: str, value: Any) -> int:
    accepted = f"whole {of} from 1 to 1000, such as {such}"
    count = parse_decimal(_number_text(value, accepted, sign), accepted)
    if count != count.to_integral_value() or not 1 <= count <= 1000:
        raise WrongValue(shown(value), accepted)
    return int(count)


def _currency(value: Any) -> str:
    code = _text(value)
    if not re.fullmatch("[A-Z]{3}", code):
        hint = f'did you mean "{code.upper()}"?' if re.fullmatch("[A-Za-z]{3}", code) else ""
        raise WrongValue(code, 'the three letters of a currency, such as "EUR"', hint)
    return code


def _standard(family: Family, value: Any) -> str:
    return read_standard(_text(value), family)


def _amount(sign: str, accepted: str, scale: int, value: Any) -> int:
    """A decimal above 0 as a whole number of its ``scale``-th part."""
    amount = Fraction(parse_decimal(_number_text(value, accepted, sign), accepted)) * scale
    low, high = (Fraction(word) * scale for word in re.findall(r"from (\S+) to (\S+),", accepted)[0])
    if amount.denominator != 1 or not low <= amount <= high:
        raise WrongValue(shown(value), accepted)
    return int(amount)


def _material_name(value: Any) -> str:
    name = _text(value).lower()
    if not re.fullmatch(r"[a-z][a-z0-9 -]{1,30}", name) or name in ("steel", "carbon steel"):
        hint = "the density of carbon steel is the key steel.density" if "steel" in name else ""
        raise WrongValue(
            shown(value), 'a name of letters and digits that starts with a letter, such as "titanium"', hint
        )
    return name


def _section_name(value: Any) -> str:
    name = _text(value)
    if not re.search(r"[A-WYZa-wyz]", name) or len(name) > LONGEST_NAME:
        raise WrongValue(
            shown(value), f"a name with a word in it, up to {LONGEST_NAME} characters, such as Slotted rail 41"
        )
    return name


def _gauge(value: Any) -> str:
    text = _text(value)
    tables = {table.casefold(): table for table in ("", *GAUGES)}
    if text.casefold() not in tables:
        raise WrongValue(text, " or ".join(f'"{table}"' for table in GAUGES))
    return tables[text.casefold()]


def _printed_to(unit: str, sign: str, value: Any) -> int:
    words = PRINTED_TO[unit]
    accepted = " or ".join(f'"{word}"' for word in words)
    step = parse_length_or_zero(_number_text(value, accepted, sign), unit)
    if step not in words.values():
        raise WrongValue(shown(value), f"{accepted}, in the unit of the workshop")
    return step


def _one_of(words: Mapping[str, Any]) -> Reader:
    accepted = " or ".join(f'"{word}"' for word in words)

    def read(value: Any) -> Any:
        text = _text(value).lower()
        if text not in words:
            raise WrongValue(shown(value), accepted, nearest(text, words))
        return words[text]

    return read


UNITS = {"mm": "mm", "in": "in"}
LABEL_WORDS = {label.lower(): label for label in LABELS}
PAPER_WORDS = {paper.lower(): paper for paper in PAPERS}
REPEATS = {repeat.value: repeat for repeat in Repeat}
CLAMPS = {clamp.value: clamp for clamp in Clamp}
LENGTHS_MEANT = {meant.value: meant for meant in LengthMeant if meant is not LengthMeant.ONE_SIDE}


def readers_of(unit: str, sign: str) -> dict[str, Reader]:
    """Every key outside the tables that may be repeated, and how its value is read.

    Parameters
    ----------
    unit
        Unit of bare lengths: ``mm`` or ``in``.
    sign
        The decimal sign that numbers in quotation marks are typed with; blank where none is said.
    """

    def length(value: Any) -> int:
        return parse_length_or_zero(_number_text(value, LENGTH_FORMS, sign), unit)

    def kerf(value: Any) -> int:
        width = length(value)
        if width > MAX_KERF:
            raise WrongValue(shown(value), f"a kerf up to {length_text(MAX_KERF)}", "is another unit meant?")
        return width

    readers: dict[str, Reader] = {
        "workshop.name": _text,
        "workshop.address": _text,
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
        "replan.stay": partial(_percent, sign),
    }
    for word, family in FAMILY_KEYS.items():
        readers[f"minus_tolerance.{word}"] = length
        readers[f"keep.{word}"] = length
        readers[f"offcut_value_per_m.{word}"] = partial(_value_per_mm, sign)
        readers[f"standards.{word}"] = partial(_standard, family)
    return readers


def block_readers(unit: str, sign: str) -> dict[str, dict[str, Reader]]:
    """The tables that may be repeated, their keys and how a value is read, given as in :func:`readers_of`."""

    def length(value: Any) -> int:
        size = parse_length(_number_text(value, LENGTH_FORMS, sign), unit)
        if size > LARGEST_SIDE:
            raise WrongValue(shown(value), f"a dimension up to {length_text(LARGEST_SIDE)}", "is another unit meant?")
        return size

    def lengths(value: Any) -> tuple[int, ...]:
        if not isinstance(value, list) or not 2 <= len(value) <= MOST_LEGS:
            raise WrongValue(shown(value), f"a list of 2 to {MOST_LEGS} lengths in brackets, such as [20, 40, 20]")
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


_BLOCKS = block_readers("mm", "")
REPEATED: tuple[str, ...] = tuple(_BLOCKS)
"""The tables that may be repeated."""

_ALL_READERS = readers_of("mm", "") | {
    f"{table}.{key}": read for table, keys in _BLOCKS.items() for key, read in keys.items()
}
KEYS: tuple[str, ...] = tuple(_ALL_READERS)
"""Every key a workshop file may have."""
TRUTHS = frozenset(key for key, read in _ALL_READERS.items() if read is _truth)
"""Keys whose value is true or false."""
