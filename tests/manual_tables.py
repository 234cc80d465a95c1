"""The tables of the manual that follow from declarations in the code: ``python -m tests.manual_tables`` renews them.

A page keeps a place for each, between ``<!-- table NAME -->`` and ``<!-- end -->``; ``tests/test_readme.py`` tells
when one is stale.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from enum import EnumType
from typing import Any, get_args

import typer

from cutplan.cli.commands import app
from cutplan.model import Basis, Workshop
from cutplan.model.stock_length import POUNDS_IN
from cutplan.problem_codes import CODES
from cutplan.problems import Refused
from cutplan.reading import reason
from cutplan.reading.forms import cut_record, stocktake
from cutplan.reading.lists import material, merchant_charges, part_columns, price_columns, rack_columns
from cutplan.reading.sheets import findings, headings, raw_cells, texts, xlsx_scan
from cutplan.reading.workshop import workshop_keys, workshop_values
from cutplan.sections.materials import MATERIALS
from cutplan.sections.section import Family
from cutplan.units import KG, POUND_IN_KG, Figures, mm_text
from tests.accepted_spellings import ACCEPTED_SPELLINGS
from tests.manual_pages import MANUAL, PAGES

Row = Sequence[str]

PLACE = re.compile(r"(?<=<!-- table )(?P<name>[a-z ]+) -->\n(?P<table>.*?)(?=<!-- end -->)", re.DOTALL)


def table(*rows: Row) -> str:
    """Rows as Markdown; the first is the head."""
    head, *body = rows
    lines = [head, ["---"] * len(head), *body]
    return "".join("| " + " | ".join(cell.replace("|", "\\|") for cell in row) + " |\n" for row in lines)


def code(*words: str, between: str = ", ") -> str:
    return between.join(f"`{word}`" for word in words)


def columns(known: Sequence[headings.Heading]) -> str:
    """The columns of a list or a form."""
    rows = [
        (heading.name, "yes" if heading.needed else "", ", ".join(heading.variants), heading.about) for heading in known
    ]
    return table(("column", "needed", "also read as", "what it holds"), *rows)


def spellings() -> str:
    """One row for each kind of section and each spelling it is read as."""
    rows = []
    for kind, pairs in ACCEPTED_SPELLINGS.items():
        typed: dict[str, list[str]] = {}
        for name, spelling in pairs:
            typed.setdefault(spelling, []).append(" ".join(name.split()))
        rows += [(kind, code(*names), spelling) for spelling, names in typed.items()]
    return table(("section", "typed", "read as"), *rows)


def families() -> str:
    return table(("family", "word in the workshop file"), *((family.title, code(family.value)) for family in Family))


def materials() -> str:
    rows = [("carbon steel", f"{Workshop().density}"), *((name, f"{density}") for name, density in MATERIALS.items())]
    return table(("material", "kg/m3"), *rows)


def price_bases() -> str:
    """What a price may be per, the words it is read from, and what that weighs or measures."""
    weighs = {
        Basis.EACH: "one stock length",
        Basis.PER_M: "metre of nominal length",
        Basis.PER_FT: "0.3048 m of nominal length",
        Basis.PER_KG: "kilogram, at the mass of the section",
        Basis.PER_TONNE: "1000 kg",
    }
    rows = []
    for basis in Basis:
        words = [word for word, read in headings.BASIS_WORDS.items() if read is basis and word != basis.value]
        pounds = POUNDS_IN.get(basis)
        per = weighs[basis] if pounds is None else f"{decimal(pounds * POUND_IN_KG)} kg"
        rows.append((basis.value, code(*words), per))
    return table(("price per", "also read as", "is per"), *rows)


def decimal(value: Any) -> str:
    """A fraction that ends, in decimals."""
    return f"{float(value):.10f}".rstrip("0").rstrip(".")


def within_reason() -> str:
    """Figures that are refused or warned about, with the limit each is held to."""
    low, high = (f"{float(share):g}" for share in reason.WALL_SHARE)
    over = f"{float(reason.OVER_SOLID * 100 - 100):g} %"
    return table(
        ("figure", "limit", "beyond it"),
        ("allowances of a part together", "less than the part itself", "refused"),
        ("diameter of a hole", f"{mm_text(reason.SMALLEST_HOLE)} mm", "a smaller one is refused"),
        (
            "mass of a section of the workshop's own",
            f"{reason.HEAVIEST_METRE // KG} kg a metre, and {over} above solid material of its outside dimensions",
            "refused",
        ),
        ("wall as measured", f"{low} to {high} times the nominal one", "refused"),
        (
            "bar that was not cut, as measured in the cut record",
            f"{float(reason.UNCUT_SHARE * 100):g} % of the length counted on",
            "a shorter one is refused",
        ),
        (
            "length of a piece put right with `rack correct`, or measured in a stock-take",
            f"1/{reason.CORRECTED_SHARE} of what it was to {reason.CORRECTED_SHARE} times that",
            "refused without `--reason`",
        ),
        (
            "length as delivered",
            "{} of what was ordered to {} times that".format(*reason.DELIVERED_SHARE),
            "refused",
        ),
        (
            "pieces put on the rack at once",
            f"{reason.MOST_MARKS} offcuts, or {reason.MOST_ALIKE} full lengths, which share a mark",
            "refused",
        ),
        (
            f"price, or book value of an offcut, where the currency is {', '.join(reason.UNITS_OF_NOTE[:-1])} "
            f"or {reason.UNITS_OF_NOTE[-1]}",
            f"{reason.DEAREST_KG} a kg",
            "warned about, once a list",
        ),
    )


def limits() -> str:
    """What a file may hold at most."""
    beyond = {
        "a file": "refused before it is read",
        "rows of a list": "refused; split the list into several jobs",
        "columns": "the cell that stands further right is named",
        "cells of a sheet, from A1 to its last row and column": "refused, with the cell that stands furthest right",
        "characters of a cell": "the cell is refused",
        "different sections in a list": "refused at the row of the next",
        "problems named in a file": "the rest is not looked at, and it says how many rows those are",
        "warnings named in a file": "the others are counted",
        "XML of a workbook, unpacked": "refused before it is unpacked",
        "elements of XML in a sheet": "refused; this bounds the time",
        "files in the archive of a workbook": "refused before it is opened",
    }
    unpacked, always = xlsx_scan.MAX_UNPACKED_BYTES // 10**6, xlsx_scan.RATIO_FROM_BYTES // 10**6
    most = {
        "a file": f"{raw_cells.MAX_FILE_BYTES // 10**6} MB",
        "rows of a list": f"{raw_cells.MAX_ROWS}",
        "columns": f"{xlsx_scan.MAX_COLUMNS}, to {raw_cells.column_letter(xlsx_scan.MAX_COLUMNS - 1)}",
        "cells of a sheet, from A1 to its last row and column": f"{xlsx_scan.MAX_CELLS}",
        "characters of a cell": f"{texts.LONGEST_TEXT}",
        "different sections in a list": f"{material.MOST_NAMES}",
        "problems named in a file": f"{findings.MOST_TOLD}",
        "warnings named in a file": f"{findings.MOST_TOLD}",
        "XML of a workbook, unpacked": (
            f"{unpacked} MB, and {xlsx_scan.MAX_RATIO} times its packed size where it is more than {always} MB"
        ),
        "elements of XML in a sheet": f"{xlsx_scan.MAX_ELEMENTS}",
        "files in the archive of a workbook": f"{xlsx_scan.MAX_PARTS}",
    }
    return table(("what", "at most", "beyond it"), *((what, most[what], beyond[what]) for what in beyond))


def workshop() -> str:
    """Every key of the workshop file, those of a family once for all families."""
    rows: dict[str, Row] = {}
    for name, key in workshop_keys.KEYS.items():
        if key.table == workshop_keys.SAWS:
            default = toml_default(key)
            if f"saw.{key.word}" not in workshop_keys.SETTINGS:
                named, shown = code(f"saw.{key.word}"), code(default) if default else key.default
                rows[name] = (named, shown, f"in a block `[[saw]]`: {meaning(key)}")
        elif key.table in workshop_keys.FAMILY_TABLES:
            of_all = f"{key.table}.<family>"
            rows[of_all] = (code(of_all), family_defaults(key.table), key.meaning)
        else:
            default = toml_default(key)
            rows[name] = (code(name), code(default) if default else key.default, meaning(key))
    return table(("key", "default", "meaning"), *rows.values())


def meaning(key: workshop_keys.Key) -> str:
    if not key.choices or key.choices == workshop_keys.YES_NO:
        return key.meaning
    return f"{key.meaning}: {code(*(quoted(choice) for choice in key.choices))}"


def quoted(text: str) -> str:
    return f'"{text}"'


def toml_default(key: workshop_keys.Key) -> str:
    """The default as the file has it; blank where it is no value of its own."""
    if key.choices == workshop_keys.YES_NO:
        return "true" if key.default == "yes" else "false"
    if not key.default or re.fullmatch(r"[\d.]+", key.default):
        return key.default
    if key.table in workshop_keys.BLOCKS:
        return ""
    try:
        key.read(key.default, Figures())
    except (workshop_values.WrongValue, Refused):
        return ""
    return quoted(key.default)


def family_defaults(group: str) -> str:
    """Each default with the families it is of."""
    of: dict[str, list[str]] = {}
    for key in workshop_keys.OF_FAMILIES.values():
        if key.table == group:
            of.setdefault(toml_default(key), []).append(key.word)
    if len(of) == 1:
        return code(*of)
    return "; ".join(f"{code(value)} {', '.join(words)}" for value, words in of.items())


def walk(name: str, command: Any) -> Iterator[tuple[str, Any]]:
    """Every command that does something, by its whole name, in the order of ``--help``."""
    inner = getattr(command, "commands", None)
    if inner is None:
        yield name, command
        return
    for word in command.list_commands(None):
        yield from walk(f"{name} {word}".strip(), inner[word])


def all_commands() -> list[tuple[str, Any]]:
    return list(walk("", typer.main.get_command(app)))


def commands(of_rack: bool) -> str:
    """Commands with their arguments and what they do."""
    rows = []
    for name, command in all_commands():
        if name.startswith("rack ") is of_rack:
            arguments = [each.metavar for each in command.params if each.param_type_name == "argument"]
            rows.append((code(" ".join([name, *arguments])), " ".join(command.help.split())))
    return table(("command", "what it does"), *rows)


def options() -> str:
    """Options by name, each with its commands; one that says something else elsewhere has a row for each."""
    known = all_commands()
    found: dict[tuple[str, str], list[str]] = {}
    for name, command in known:
        for each in command.params:
            if each.param_type_name == "option":
                word = next(opt for opt in each.opts if opt.startswith("--"))
                about = ": ".join(filter(None, (each.help.rstrip("."), ", ".join(choices(each)))))
                if isinstance(each.default, int | float) and not each.is_flag:
                    about += f"; {each.default:g} unless given"
                option = word if each.is_flag else f"{word} {each.metavar or 'WORD'}"
                found.setdefault((option, about), []).append(name)
    whole: Any = typer.main.get_command(app)
    for each in whole.params:
        found[(next(opt for opt in each.opts if opt.startswith("--")), each.help.rstrip("."))] = ["cutplan"]
    found["--help", "Show what there is, and stop"] = [name for name, _ in known]
    rows = [
        (code(option), together(names, [name for name, _ in known]), about) for (option, about), names in found.items()
    ]
    return table(("option", "of", "meaning"), *sorted(rows, key=lambda row: row[0].split(" ")[0].strip("`")))


def choices(option: Any) -> list[str]:
    """All that an option takes, where that is a closed choice."""
    kind = option.type_descriptor.annotation
    kinds: list[Any] = [one for one in (kind, *get_args(kind)) if isinstance(one, EnumType)]
    return [each.value for one in kinds for each in one]


def together(names: Iterable[str], known: Sequence[str]) -> str:
    """Names of commands; those of a whole group as one, and of nearly all those that are left out."""
    names = list(names)
    others = [name for name in known if name not in names]
    if len(others) <= 2:
        return " but ".join(["all", *([" and ".join(others)] if others else [])])
    rack = [name for name in known if name.startswith("rack ")]
    if set(rack) <= set(names):
        names = [*(name for name in names if name not in rack), "rack"]
    return ", ".join(names)


def codes() -> str:
    """Every code of a refusal or a warning."""
    rows = ((code(name), about.when, about.accepted) for name, about in CODES.items())
    return table(("code", "when", "accepted"), *rows)


TABLES: dict[str, Callable[[], str]] = {
    "parts": lambda: columns(part_columns.PARTS),
    "assemblies": lambda: columns(headings.ASSEMBLIES),
    "holes": lambda: columns(headings.HOLES),
    "prices": lambda: columns(price_columns.PRICES),
    "charges": lambda: columns(merchant_charges.CHARGES),
    "rack file": lambda: columns(rack_columns.RACK),
    "cut record": lambda: columns(cut_record.CUT_RECORD),
    "delivery": lambda: columns(stocktake.DELIVERY),
    "count": lambda: columns(stocktake.COUNT),
    "spellings": spellings,
    "families": families,
    "materials": materials,
    "price bases": price_bases,
    "workshop": workshop,
    "commands": lambda: commands(of_rack=False),
    "commands of the rack": lambda: commands(of_rack=True),
    "options": options,
    "reason": within_reason,
    "limits": limits,
    "codes": codes,
}


def renewed(text: str) -> str:
    """A page with its tables as they follow from the code today."""
    return PLACE.sub(lambda found: f"{found['name']} -->\n{TABLES[found['name']]()}", text)


def places() -> list[str]:
    """The tables that the pages keep a place for."""
    return [found["name"] for text in PAGES.values() for found in PLACE.finditer(text)]


if __name__ == "__main__":
    for topic, text in PAGES.items():
        (MANUAL / f"{topic}.md").write_text(renewed(text), encoding="utf-8")
