"""How a value of a workshop file is read: what each kind accepts, and what it becomes.

A reader takes the value as TOML gives it, and how figures are typed in the workshop. It raises WrongValue or Refused.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any, TypeAlias

from cutplan.drilling import own_drills
from cutplan.model import SQUARE_READS
from cutplan.problems import nearest
from cutplan.reading.lists.material import tidy_finish
from cutplan.reading.sheets.texts import TEXT_FORMS, seen_text, text_fault
from cutplan.sections import GAUGES, LARGEST_SIDE, LONGEST_NAME, read_standard
from cutplan.sections.grades import pairs_of
from cutplan.sections.section import Family
from cutplan.units import (
    ANGLE_FORMS,
    DEGREE,
    KG,
    LENGTH_FORMS,
    LONGEST_NUMBER,
    MM,
    MONEY_FORMS,
    PRINTED_TO,
    Angle,
    Figures,
    Length,
    Money,
    angle_text,
    length_text,
    parse_angle,
    parse_decimal,
    parse_length,
    parse_length_or_zero,
    parse_money,
    with_point,
)

Reader: TypeAlias = Callable[[Any, Figures], Any]
"""From a value as TOML gives it to one as the model holds it."""

MAX_KERF = 20 * MM
"""No saw in a small workshop takes more (common practice, no source: 0.9 to 3.5 mm); more is a slip of the unit."""

MOST_LEGS = 20
"""Flat parts of a folded strip."""


class WrongValue(Exception):
    """A value that is not usable, shown as TOML spells it."""

    def __init__(self, found: str, accepted: str, hint: str = "", *, code: str = "workshop.value") -> None:
        super().__init__(found)
        self.found, self.accepted, self.hint, self.code = found, accepted, hint, code


def shown(value: Any) -> str:
    """A value as messages show it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, dict):
        return "a table"
    return str(value)


def text(value: Any, how: Figures) -> str:
    """A text, its blanks made single."""
    if not isinstance(value, str):
        raise WrongValue(shown(value), 'a text in quotation marks, such as "black"')
    seen = seen_text(value)
    fault = text_fault(seen)
    if fault:
        raise WrongValue(value, TEXT_FORMS, f"it has {fault}", code="cell.text")
    return " ".join(seen.split())


def drills(value: Any, how: Figures) -> str:
    """Drills of the workshop's own, as typed."""
    typed = text(value, how)
    own_drills(typed, how.unit)  # refuses what names none
    return typed


def grades(value: Any, how: Figures) -> str:
    """Grades asked with those that serve them, as typed."""
    typed = text(value, how)
    pairs_of(typed)  # refuses what names none
    return typed


def finish(value: Any, how: Figures) -> str:
    """A finish, spelled as lists spell it."""
    found = tidy_finish(text(value, how))
    if not found:
        raise WrongValue(value, 'a text in quotation marks, such as "black"')
    return found


def _number_text(value: Any, accepted: str, how: Figures) -> str:
    if isinstance(value, str):
        return with_point(value, how.decimal_sign, accepted) if how.decimal_sign else value
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        raise WrongValue(shown(value), accepted)
    if isinstance(value, Decimal):
        exponent = value.as_tuple().exponent
        if isinstance(exponent, int) and abs(exponent) > LONGEST_NUMBER:
            raise WrongValue(str(value), accepted)  # written out it could fill the memory
        return f"{value:f}"
    return str(value)


def _number(value: Any, accepted: str, how: Figures) -> Decimal:
    return parse_decimal(_number_text(value, accepted, how), accepted)


def truth(value: Any, how: Figures) -> bool:
    """True or false."""
    if not isinstance(value, bool):
        raise WrongValue(shown(value), "true or false, without quotation marks")
    return value


def length(value: Any, how: Figures) -> Length:
    """A length, 0 among them. [nm]"""
    return parse_length_or_zero(_number_text(value, LENGTH_FORMS, how), how.unit)


def kerf(value: Any, how: Figures) -> Length:
    """What a saw removes. [nm]"""
    width = length(value, how)
    if width > MAX_KERF:
        raise WrongValue(shown(value), f"a kerf up to {length_text(MAX_KERF)}", "is another unit meant?")
    return width


def side(value: Any, how: Figures) -> Length:
    """A dimension of a section. [nm]"""
    size = parse_length(_number_text(value, LENGTH_FORMS, how), how.unit)
    if size > LARGEST_SIDE:
        raise WrongValue(shown(value), f"a dimension up to {length_text(LARGEST_SIDE)}", "is another unit meant?")
    return size


def legs(value: Any, how: Figures) -> tuple[Length, ...]:
    """The flat parts of a folded strip. [nm]"""
    if not isinstance(value, list) or not 2 <= len(value) <= MOST_LEGS:
        raise WrongValue(shown(value), f"a list of 2 to {MOST_LEGS} lengths in brackets, such as [20, 40, 20]")
    return tuple(side(each, how) for each in value)


def printed_to(value: Any, how: Figures) -> Length:
    """A step that lengths are printed to. [nm]"""
    words = PRINTED_TO[how.unit]
    accepted = " or ".join(f'"{word}"' for word in words)
    step = parse_length_or_zero(_number_text(value, accepted, how), how.unit)
    if step not in words.values():
        raise WrongValue(shown(value), f"{accepted}, in the unit of the workshop")
    return step


def money(value: Any, how: Figures) -> Money:
    """An amount. [millionths of the currency]"""
    return parse_money(_number_text(value, MONEY_FORMS, how))


def value_per_mm(value: Any, how: Figures) -> Money:
    """Money a metre to millionths a millimetre, which holds a tenth of a cent a metre exactly."""
    amount = Fraction(_number(value, MONEY_FORMS, how)) * 1000
    if amount.denominator != 1 or amount > 10**9:
        raise WrongValue(shown(value), "an amount up to 1000000 with at most three decimals, such as 1.25")
    return int(amount)


def whole(least: int, most: int, accepted: str) -> Reader:
    """A whole number from ``least`` to ``most``."""

    def read(value: Any, how: Figures) -> int:
        number = _number(value, accepted, how)
        if number != number.to_integral_value() or not least <= number <= most:
            raise WrongValue(shown(value), accepted)
        return int(number)

    return read


def percent(value: Any, how: Figures) -> int:
    """A rate in percent, as millionths."""
    accepted = "a rate in percent from 0 to 100, such as 20 or 8.875"
    rate = Fraction(_number(value, accepted, how)) * 10_000
    if rate.denominator != 1 or rate > 1_000_000:
        raise WrongValue(shown(value), accepted)
    return int(rate)


def margin(value: Any, how: Figures) -> int:
    """A share of the price in percent, as millionths; of 100 nothing would be left for the cost."""
    accepted = "a share of the price in percent from 0 to 90, such as 20"
    share = Fraction(_number(value, accepted, how)) * 10_000
    if share.denominator != 1 or share > 900_000:
        raise WrongValue(
            shown(value), accepted, "50 % put on the cost are 33.3 % of the price" if share > 900_000 else ""
        )
    return int(share)


def minutes(value: Any, how: Figures) -> int:
    """A time, in thousandths of a minute."""
    accepted = "minutes from 0 to 10000 with at most three decimals, such as 1.5"
    time = Fraction(_number(value, accepted, how)) * 1000
    if time.denominator != 1 or time > 10_000_000:
        raise WrongValue(shown(value), accepted)
    return int(time)


def heavy(value: Any, how: Figures) -> int:
    """A mass above which a bar is flagged. [mg]"""
    accepted = "kilograms above 0 and up to 1000, such as 25"
    limit = Fraction(_number(value, accepted, how)) * KG
    if limit.denominator != 1 or not 0 < limit <= 1000 * KG:
        raise WrongValue(shown(value), accepted)
    return int(limit)


def payload(value: Any, how: Figures) -> int:
    """What may be loaded for one trip; 0 is not said. [mg]"""
    accepted = "kilograms from 0 to 40000, such as 750"
    limit = Fraction(_number(value, accepted, how)) * KG
    if limit.denominator != 1 or not 0 <= limit <= 40_000 * KG:
        raise WrongValue(shown(value), accepted)
    return int(limit)


def square_reads(value: Any, how: Figures) -> int:
    """What a saw's scale reads at a square cut. [millionths of a degree]"""
    accepted = " or ".join(angle_text(angle) for angle in SQUARE_READS)
    reading = Fraction(_number(value, accepted, how)) * DEGREE
    if reading not in SQUARE_READS:
        raise WrongValue(shown(value), accepted)
    return int(reading)


def families(value: Any, how: Figures) -> tuple[Family, ...]:
    """Families of sections, by the words that their designations start with."""
    known = {family.value.casefold(): family for family in Family}
    typed = [each.strip() for each in value.split(",")] if isinstance(value, str) else value
    accepted = f"families with commas between, of {', '.join(family.value for family in Family)}"
    if not isinstance(typed, list) or not all(isinstance(each, str) and each.casefold() in known for each in typed):
        wrong = [each for each in typed if isinstance(each, str)] if isinstance(typed, list) else []
        hint = next(
            (nearest(each, [one.value for one in Family]) for each in wrong if each.casefold() not in known), ""
        )
        raise WrongValue(shown(value), accepted, hint)
    return tuple(dict.fromkeys(known[each.casefold()] for each in typed))


def steepest(value: Any, how: Figures) -> Angle:
    """The steepest angle from square. [millionths of a degree]"""
    return parse_angle(_number_text(value, ANGLE_FORMS, how))


density = whole(1000, 20_000, "whole kilograms per cubic metre from 1000 to 20000, such as 7850")


def amount(accepted: str) -> Reader:
    """A decimal above 0, within what ``accepted`` says, as a whole number of millionths."""
    low, high = (Fraction(word) * 1_000_000 for word in re.findall(r"from (\S+) to (\S+),", accepted)[0])

    def read(value: Any, how: Figures) -> int:
        number = Fraction(_number(value, accepted, how)) * 1_000_000
        if number.denominator != 1 or not low <= number <= high:
            raise WrongValue(shown(value), accepted)
        return int(number)

    return read


def currency(value: Any, how: Figures) -> str:
    """Three letters (ISO 4217)."""
    code = text(value, how)
    if not re.fullmatch("[A-Z]{3}", code):
        hint = f'did you mean "{code.upper()}"?' if re.fullmatch("[A-Za-z]{3}", code) else ""
        raise WrongValue(code, 'the three letters of a currency, such as "EUR"', hint)
    return code


def standard(family: Family) -> Reader:
    """A standard for sections of a family."""
    return lambda value, how: read_standard(text(value, how), family)


def material_name(value: Any, how: Figures) -> str:
    """What a material may be called."""
    name = text(value, how).lower()
    if not re.fullmatch(r"[a-z][a-z0-9 -]{1,30}", name) or name in ("steel", "carbon steel"):
        hint = "the density of carbon steel is the key steel.density" if "steel" in name else ""
        raise WrongValue(
            shown(value), 'a name of letters and digits that starts with a letter, such as "titanium"', hint
        )
    return name


def section_name(value: Any, how: Figures) -> str:
    """What a section of the workshop's own may be called."""
    name = text(value, how)
    if not re.search(r"[A-WYZa-wyz]", name) or len(name) > LONGEST_NAME:
        raise WrongValue(
            shown(value), f"a name with a word in it, up to {LONGEST_NAME} characters, such as Slotted rail 41"
        )
    return name


def gauge(value: Any, how: Figures) -> str:
    """The name of a gauge table, or blank."""
    name = text(value, how)
    tables = {table.casefold(): table for table in ("", *GAUGES)}
    if name.casefold() not in tables:
        raise WrongValue(name, " or ".join(f'"{table}"' for table in GAUGES))
    return tables[name.casefold()]


def one_of(words: Mapping[str, Any]) -> Reader:
    """One of some words, whatever their case, and what each stands for."""
    accepted = " or ".join(f'"{word.lower()}"' for word in words)
    values = {word.lower(): value for word, value in words.items()}

    def read(value: Any, how: Figures) -> Any:
        word = text(value, how).lower()
        if word not in values:
            raise WrongValue(shown(value), accepted, nearest(word, values))
        return values[word]

    return read
