"""What was assumed, one sentence each, so that nothing is assumed in silence."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from cutplan.model import Assumption, Lean, LengthMeant
from cutplan.model.part import sections_called
from cutplan.model.placing import shares_cuts
from cutplan.reading.grades_serving import serving_told
from cutplan.reading.lists.holes_sheet import HolesRead
from cutplan.reading.lists.parts import PartsRead
from cutplan.reading.lists.prices import PricesRead
from cutplan.reading.lists.rack_list import RackRead
from cutplan.reading.lists.stock import Stock
from cutplan.reading.saws import saws_told
from cutplan.reading.workshop.workshop_file import WorkshopFile
from cutplan.sections import material_in_name
from cutplan.sections.inch_names import inch_family
from cutplan.sections.section import Family
from cutplan.units import Printing, density_text, length_text, mass_text, stock_text

_UNIT_WORDS = {"mm": "millimetres", "cm": "centimetres", "m": "metres", "in": "inches", "ft": "feet"}


BASICS = frozenset({"workshop.unit", "saw.kerf", "saw.end_trim", "saw.end_trim_includes_cut"})
"""Keys that :func:`basics` tells whether they were given or not."""


def basics(shop: WorkshopFile, stock: Sequence[Stock], prices: PricesRead) -> tuple[Assumption, ...]:
    """Unit, kerf, end trim and lengths on sale in four sentences: what the first look at a plan has to know."""
    workshop = shop.workshop
    saw, how = workshop.saw, workshop.printing
    if saw.mill_ends_accepted or not saw.end_trim:
        trim = Assumption("assumed.mill_ends", "Mill ends are used as they come.")
    else:
        cut = "its squaring cut included" if saw.end_trim_includes_cut else "and its squaring cut on top"
        length = length_text(saw.end_trim, how.fine)
        trim = Assumption("assumed.end_trim", f"End trim {length} at each mill end, {cut}.")
    on_sale = []
    if stock:
        texts = [", ".join(stock_text(length, how) for length in entry.lengths) for entry in stock]
        named = [
            f"{entry.designation}: {text}" if entry.designation else text
            for entry, text in zip(stock, texts, strict=True)
        ]
        on_sale.append(Assumption("assumed.on_sale", f"Stock lengths: {'; '.join(named)}."))
    if prices.table:
        on_sale.insert(0, Assumption("assumed.on_sale", f"Stock lengths and prices: {prices.table.sheet.place}."))
    return (
        Assumption("assumed.unit", f"Bare numbers are in {_UNIT_WORDS[workshop.unit]}."),
        *(() if workshop.saws else (Assumption("assumed.kerf", f"Kerf {length_text(saw.kerf, how.fine)}."), trim)),
        *on_sale,
    )


def assumptions(
    shop: WorkshopFile, parts: PartsRead, prices: PricesRead, rack: RackRead, holes: HolesRead
) -> tuple[Assumption, ...]:
    """Sentences on the files used, the defaults left standing, and the cells left blank.

    A setting that the workshop file gives is the workshop's own word and is not reported again.
    """
    return (
        *_files(shop, parts, prices, rack),
        *_saw(shop, parts),
        *saws_told((line.part for line in parts.lines), shop.workshop),
        *_families(shop, parts),
        *_sheets(shop),
        *_blank_cells(shop, parts),
        *_ends(parts, shop.workshop.printing),
        *_holes(holes),
        *_money(shop, prices),
        *_rack(shop, rack),
        *_masses(shop, parts),
    )


def _files(shop: WorkshopFile, parts: PartsRead, prices: PricesRead, rack: RackRead) -> Iterable[Assumption]:
    yield Assumption(
        "assumed.workshop_file",
        f"Workshop file: {shop.name}." if shop.name else "No workshop file: the settings are defaults.",
    )
    if "workshop.unit" not in shop.given:
        yield Assumption("assumed.unit", "Bare numbers are in millimetres.")
    tables = [table for table in (parts.table, prices.table, rack.table) if table]
    for table in tables:
        unit = table.columns["Length"].unit
        if unit and unit != shop.workshop.unit:
            yield Assumption(
                "assumed.heading_unit",
                f"Bare lengths in {table.sheet.file} are in {_UNIT_WORDS[unit]}, as headed.",
            )
    for table in tables:
        if table.repeated:
            count = len(table.repeated)
            cells = "1 cell repeats the one" if count == 1 else f"{count} cells repeat the ones"
            yield Assumption("assumed.ditto", f"In {table.sheet.place}, {cells} above, as the workshop says.")


def _saw(shop: WorkshopFile, parts: PartsRead) -> Iterable[Assumption]:
    workshop, given = shop.workshop, shop.given
    how, saw = workshop.printing, workshop.saw
    if "saw.kerf" not in given:
        yield Assumption("assumed.kerf", f"Kerf {length_text(saw.kerf, how.fine)}.")
    if "saw.end_trim" not in given and not saw.mill_ends_accepted:
        yield Assumption("assumed.end_trim", f"End trim {length_text(saw.end_trim, how.fine)} at each mill end.")
    if "saw.end_trim_includes_cut" not in given and saw.end_trim and not saw.mill_ends_accepted:
        yield Assumption("assumed.end_trim_cut", "The end trim includes its squaring cut.")
    if "saw.mill_ends_accepted" not in given:
        yield Assumption("assumed.mill_ends", "Mill ends are trimmed before use.")
    if "saw.safe_hold" not in given:
        yield Assumption("assumed.safe_hold", f"The vice holds pieces of {length_text(saw.safe_hold, how)} or more.")
    if "saw.clamp" not in given and saw.safe_hold:
        yield Assumption("assumed.clamp", "The vice holds the bar side of a cut.")
    if "saw.square_reads" not in given and any(line.part.mitred for line in parts.lines):
        yield Assumption("assumed.square_reads", "The saw's scale reads 0 at a square cut.")
    if any(shares_cuts(line.part, workshop.at_saw(line.part.saw).saw) for line in parts.lines):
        if "saw.share_mitres" not in given:
            yield Assumption("assumed.share_mitres", "One cut may part the mitres of two neighbours.")
        if "saw.swings" not in given:
            yield Assumption(
                "assumed.swings", "The saw swings one way; for a slant the other way the bar is rolled or turned."
            )


def _families(shop: WorkshopFile, parts: PartsRead) -> Iterable[Assumption]:
    """On settings that are made for each family of sections, of those that are wanted."""
    workshop, given, families = shop.workshop, shop.given, _used(parts)
    how = workshop.printing
    kept = ((family, length_text(workshop.keep_length(family), how)) for family in _open(families, "keep", given))
    keep = _by_value(kept, families, how)
    if keep:
        yield Assumption("assumed.keep", f"Left overs of this length or more are kept: {keep}.")
    full = _open(families, "minus_tolerance", given)
    if full:
        named = _words(full, families, how)
        yield Assumption("assumed.full_length", f"Bars are counted on at their full nominal length: {named}.")
    unvalued = _open(families, "offcut_value_per_m", given)
    if unvalued:
        named = _words(unvalued, families, how)
        yield Assumption("assumed.offcut_value", f"Kept offcuts are worth nothing in the sum: {named}.")


def _sheets(shop: WorkshopFile) -> Iterable[Assumption]:
    """On the way home and on what is printed."""
    workshop, given = shop.workshop, shop.given
    if "carry.longest" not in given:
        yield Assumption("assumed.carry", "Any length can be brought home.")
    if "carry.heavy_kg" not in given:
        heavy = mass_text(workshop.heavy, workshop.printing, 0)
        yield Assumption("assumed.heavy", f"Bars above {heavy} are flagged as heavy.")
    if "workshop.paper" not in given:
        yield Assumption("assumed.paper", f"Sheets are printed on {workshop.paper}.")
    if "workshop.labels" not in given:
        yield Assumption("assumed.labels", f"Labels are printed on sheets of {workshop.labels}.")


def _blank_cells(shop: WorkshopFile, parts: PartsRead) -> Iterable[Assumption]:
    """On cells of the parts list that say nothing."""
    workshop, lines = shop.workshop, parts.lines
    by_default = dict.fromkeys(
        (line.part.section.family, line.part.section.standard) for line in lines if not line.material.standard_stated
    )
    if by_default:
        standards = _by_value(by_default, _used(parts), workshop.printing)
        yield Assumption("assumed.standard", f"Parts with no standard: {standards}.")
    finish = sum(not line.material.finish_stated for line in lines)
    if finish:
        yield Assumption(
            "assumed.finish", f"Parts with no finish are {workshop.default_finish}: {_of(finish, len(lines))}."
        )
    grade = sum(not line.part.grade for line in lines)
    if grade:
        yield Assumption("assumed.grade", f"Parts with no grade may be cut from any grade: {_of(grade, len(lines))}.")
    yield from serving_told(parts)
    unmarked = sum(not line.mark_stated for line in lines)
    if unmarked:
        yield Assumption("assumed.mark", f"Parts with no mark were numbered: {_of(unmarked, len(lines))}.")
    if any(not line.length_is_stated for line in lines):
        across = {LengthMeant.LONG_POINT: "long point", LengthMeant.SHORT_POINT: "short point"}
        meant = across.get(workshop.mitre_length, "centre line")
        yield Assumption("assumed.length_is", f"Mitred parts are measured to {meant} where the list does not say.")


def _ends(parts: PartsRead, how: Printing) -> Iterable[Assumption]:
    both = [line.part for line in parts.lines if line.part.end_a.angle and line.part.end_b.angle]
    if any(part.lean is Lean.OPPOSITE for part in both):
        yield Assumption(
            "assumed.lean",
            "Two mitres on one part lean opposite ways, as in a frame, where the list does not say parallel.",
        )
    if parts.of_list:
        added = ", ".join(f"{length_text(length, how)} for {of.value}" for of, length in parts.of_list.items())
        yield Assumption(
            "assumed.allowance", f"Added to parts whose line says nothing else, from above the headings: {added}."
        )
    if parts.whole > 1:
        yield Assumption("assumed.times", f"The list is made {parts.whole} times; its quantities are for one.")
    if parts.made:
        made = {name.casefold() for name in parts.made}
        once = [p for p in dict.fromkeys(line.part.assembly for line in parts.lines) if p and p.casefold() not in made]
        yield Assumption(
            "assumed.assemblies", f"Quantities are for one assembly, which is made so often: {_made(parts.made)}."
        )
        if once:
            yield Assumption("assumed.made_once", f"Made once, as no line says how often: {', '.join(once)}.")
    if any(line.part.opposite_hand for line in parts.lines):
        yield Assumption(
            "assumed.opposite_hand",
            "Opposite hand is the part as a mirror along its length shows it; end A stays end A.",
        )


def _made(made: dict[str, int]) -> str:
    return ", ".join(f"{name} {count}" for name, count in made.items())


def _holes(holes: HolesRead) -> Iterable[Assumption]:
    if holes.table and holes.table.sheet.name:
        yield Assumption("assumed.holes_sheet", f"Holes were read from sheet {holes.table.sheet.name}.")
    opened = holes.opened
    if opened.lines:
        yield Assumption(
            "assumed.hole_position", "Positions of holes count from end A, of a mitred end from its long point."
        )
    if opened.faces:
        yield Assumption("assumed.hole_face", f"Holes with no face are on face 1: {_of(opened.faces, opened.lines)}.")
    if opened.walls:
        yield Assumption(
            "assumed.hole_walls",
            f"Holes in tube go through both walls where not said: {_of(opened.walls, opened.lines)}.",
        )


def _money(shop: WorkshopFile, prices: PricesRead) -> Iterable[Assumption]:
    workshop, given = shop.workshop, shop.given
    if prices.table is None:
        yield Assumption(
            "assumed.no_prices", "No price list: stock lengths have no price, and the least mass is bought."
        )
        return
    if "workshop.currency" not in given:
        yield Assumption("assumed.currency", f"Prices are in {workshop.currency}.")
    if "tax.percent" not in given:
        yield Assumption("assumed.no_tax", "No tax is added.")
    elif "tax.prices_include_tax" not in given:
        yield Assumption("assumed.tax_on_top", "Prices do not include tax.")
    listed = {merchant.name for merchant in workshop.merchants}
    unknown = list(dict.fromkeys(o.merchant for o in prices.offers if o.merchant and o.merchant not in listed))
    if unknown:
        names = ", ".join(unknown[:5]) + (f" and {len(unknown) - 5} more" if len(unknown) > 5 else "")
        yield Assumption(
            "assumed.merchant_charges",
            f"No delivery charge and no minimum order, as the workshop file does not name them: {names}.",
        )


def _rack(shop: WorkshopFile, rack: RackRead) -> Iterable[Assumption]:
    if rack.ledger:
        unread = f" The list {shop.rack.name} is not read." if shop.rack else ""
        yield Assumption("assumed.ledger", f"The rack is the ledger {rack.ledger}.{unread}")
    if rack.open_ends:
        yield Assumption(
            "assumed.offcut_ends", f"Offcut ends not stated are sawn: {_of(rack.open_ends, len(rack.offcuts))}."
        )
    if rack.open_values and any(offcut.book_value for offcut in rack.offcuts):
        yield Assumption("assumed.book_value", "Offcuts with no book value are taken at the workshop's offcut value.")
    elif rack.open_values:
        yield Assumption(
            "assumed.book_value",
            f"Offcuts with no book value cost nothing: {_of(rack.open_values, len(rack.offcuts))}.",
        )


def _masses(shop: WorkshopFile, parts: PartsRead) -> Iterable[Assumption]:
    workshop, how = shop.workshop, shop.workshop.printing
    used = {line.part.section.designation: line.part.section for line in parts.lines}
    materials = {name: material_in_name(name, workshop.notation) for name in used}
    if "steel.density" not in shop.given and any(
        not material and used[name].density == workshop.density for name, material in materials.items()
    ):
        yield Assumption("assumed.density", f"Steel weighs {density_text(workshop.density, how)}.")
    own = dict(workshop.materials)
    for material, density in dict.fromkeys((material, used[name].density) for name, material in materials.items()):
        if material and material not in own:
            yield Assumption("assumed.density", f"{material.capitalize()} weighs {density_text(density, how)}.")
    called = sections_called([line.part for line in parts.lines], inches=how.unit == "in")
    unlisted = [f"{called[one.key]} to {one.standard}" for one in used.values() if not one.listed]
    if unlisted:
        yield Assumption(
            "assumed.unlisted", f"Not a listed size, so the mass is by formula alone: {', '.join(unlisted)}."
        )


def _used(parts: PartsRead) -> list[Family]:
    return list(dict.fromkeys(line.part.section.family for line in parts.lines))


def _open(families: list[Family], table: str, given: frozenset[str]) -> list[Family]:
    return [family for family in families if f"{table}.{family.value}" not in given]


def _words(meant: Sequence[Family], used: Sequence[Family], how: Printing) -> str:
    """Families as the workshop calls them; one word of the trade for several only where all that are used are meant."""
    names = {family: family.value for family in meant}
    if how.unit == "in":
        words = {family: inch_family(family.value) for family in used}
        names |= {
            family: words[family]
            for family in meant
            if all(other in meant for other in used if words[other] == words[family])
        }
    return ", ".join(dict.fromkeys(names.values()))


def _by_value(pairs: Iterable[tuple[Family, str]], used: Sequence[Family], how: Printing) -> str:
    """``SHS, RHS 300 mm; FL 150 mm``: families with the same value together."""
    values: dict[str, list[Family]] = {}
    for family, value in pairs:
        values.setdefault(value, []).append(family)
    return "; ".join(f"{_words(families, used, how)} {value}" for value, families in values.items())


def _of(count: int, total: int) -> str:
    return "all" if count == total else f"{count} of {total} lines"
