"""Job and Plan as the plain values of plan.json.

The order of keys is the order of writing; nothing here depends on the day, the
machine or how long the search took.
"""

from __future__ import annotations

import json
import platform
from collections.abc import Sequence
from hashlib import sha256
from importlib import metadata
from typing import Any, TypeAlias

from cutplan.model import (
    CutBar,
    EndCut,
    Goal,
    Group,
    GroupPlan,
    Hole,
    Job,
    MerchantCase,
    Offcut,
    OtherLine,
    Part,
    Plan,
    Proof,
    SourceKind,
    StockLength,
    Workshop,
    groups_of,
    serves,
    within_carry,
)
from cutplan.model.runs import runs_of
from cutplan.model.totals import AssemblyTotal, ListTotal, MerchantOrder, MoneySummary, SectionTotal, Totals, totals_of
from cutplan.planfile.decimals import decimal_text
from cutplan.planfile.digest import KEY, digest_of
from cutplan.planfile.integers import divisor, end_trims, part_width, room
from cutplan.planfile.marking import marking
from cutplan.sections.section import Family, Section

SCHEMA_VERSION = "1"

RECORDED = ("ortools", "numpy", "openpyxl", "pandas", "pint", "segno", "typst")
"""Libraries whose release can change a plan or a file."""

Document: TypeAlias = dict[str, Any]
"""Values that JSON can hold, by key."""

_num = decimal_text


def to_document(job: Job, plan: Plan) -> Document:
    """A job and its plan as plain values, ready for JSON.

    Parameters
    ----------
    job, plan
        The plan's groups are those of the job, and every bar comes from a source of its group.

    Raises
    ------
    ValueError
        When the plan does not belong to the job, or two different sections bear one key.
    """
    groups = groups_of(job)
    totals = totals_of(job, plan)
    document = {
        "schema_version": SCHEMA_VERSION,
        "program": _program(),
        "units": {
            "length": "mm",
            "angle": "degrees from square",
            "mass": "kg",
            "money": job.workshop.currency,
            "money_scale": "0.000001",
            "money_rounding": "each bar price is rounded once, half up, to the money scale; "
            "each amount to pay is rounded once, half up, to 0.01, and sums are of these",
        },
        **job_document(job),
        **_plan(job, groups, plan),
        "totals": _totals(totals),
    }
    return {**document, KEY: digest_of(document)}


def _plan(job: Job, groups: Sequence[Group], plan: Plan) -> Document:
    """What a plan says by itself; the one that needs no carry says the same."""
    return {
        "result": {
            "job_name": plan.job_name,
            "status": plan.status.value,
            "cost": _num(plan.cost),
            "bound": _num(plan.bound),
            "possible_saving": _num(plan.possible_saving),
            "stopped_by": plan.stopped_by,
        },
        "groups": [_group(job, group, planned) for group, planned in zip(groups, plan.groups, strict=True)],
        "cases": [_case(case) for case in plan.cases],
        "if_delivered": None if plan.if_delivered is None else _plan(job, groups, plan.if_delivered),
    }


def job_document(job: Job) -> Document:
    """What a plan file says of the job alone, which reading the lists again must give again."""
    return {
        "job": {
            "name": job.name,
            "files": [{"role": f.role, "name": f.name, "sha256": f.sha256} for f in job.files],
            "assumptions": list(job.assumptions),
            "warnings": [
                {
                    "where": w.where,
                    "found": w.found,
                    "accepted": w.accepted,
                    "hint": w.hint,
                    "found_is_text": w.found_is_text,
                }
                for w in job.warnings
            ],
            "silenced": job.silenced,
        },
        "workshop": _workshop(job.workshop),
        "sections": [_section(section) for section in _sections(job)],
        "parts": [_part(part, group) for part, group in _with_groups(job, groups_of(job))],
        "marking": marking(job),
        "offers": [_offer(offer, job.workshop) for offer in job.offers],
        "offcuts": [_offcut(offcut) for offcut in job.offcuts],
        "others": [_other(line) for line in job.others],
    }


def plan_digest(job: Job, plan: Plan) -> str:
    """What tells one plan from another, whichever release wrote it: the job's name, its parts and every bar."""
    parts = [_part(part, group) for part, group in _with_groups(job, groups_of(job))]
    digest = sha256(f"[{json.dumps(job.name)}, {json.dumps(parts, sort_keys=True)}, [".encode())
    for place, group in enumerate(plan.groups):
        digest.update(b", [" if place else b"[")
        for number, bar in enumerate(group.bars):
            digest.update((", " if number else "").encode() + json.dumps(_bar(bar), sort_keys=True).encode())
        digest.update(b"]")
    digest.update(b"]]")
    return digest.hexdigest()


def _program() -> Document:
    versions = {}
    for name in RECORDED:
        try:
            versions[name] = metadata.version(name)
        except metadata.PackageNotFoundError:
            versions[name] = ""
    return {
        "name": "cutplan",
        "version": metadata.version("cutplan"),
        "python": platform.python_version(),
        "libraries": versions,
    }


def _workshop(workshop: Workshop) -> Document:
    saw = workshop.saw
    return {
        "name": workshop.name,
        "unit": workshop.unit,
        "paper": workshop.paper,
        "printed_to": _num(workshop.printed_to),
        "mass_unit": workshop.mass_unit,
        "labels": workshop.labels,
        "decimal_sign": workshop.decimal_sign,
        "currency": workshop.currency,
        "tax_rate": _num(workshop.tax_millionths),
        "prices_include_tax": workshop.prices_include_tax,
        "saw": {
            "kerf": _num(saw.kerf),
            "end_trim": _num(saw.end_trim),
            "end_trim_includes_cut": saw.end_trim_includes_cut,
            "mill_ends_accepted": saw.mill_ends_accepted,
            "safe_hold": _num(saw.safe_hold),
            "clamp": saw.clamp.value,
            "square_reads": _num(saw.square_reads),
        },
        "minus_tolerance": [{"family": f.value, "length": _num(v)} for f, v in workshop.minus_tolerance],
        "keep": [{"family": f.value, "length": _num(v)} for f, v in workshop.keep],
        "offcut_value_per_mm": [{"family": f.value, "money": _num(v)} for f, v in workshop.offcut_value_per_mm],
        "most_kept": workshop.most_kept,
        "work": {
            "per_bar": _num(workshop.work.per_bar),
            "per_cut": _num(workshop.work.per_cut),
            "per_setup": _num(workshop.work.per_setup),
        },
        "longest_carry": _num(workshop.longest_carry),
        "heavy": _num(workshop.heavy),
        "standards": [{"family": f.value, "standard": v} for f, v in workshop.standards],
        "default_finish": workshop.default_finish,
        "mitre_length": workshop.mitre_length.value,
        "gauge": workshop.gauge,
        "materials": [{"name": name, "density": density} for name, density in workshop.materials],
        "own_sections": [
            {
                "name": own.name,
                "height": _num(own.height),
                "width": _num(own.width),
                "thickness": _num(own.thickness),
                "area": _num(own.area_um2),
                "mass_per_metre": _num(own.mass_per_metre),
                "surface_per_metre": _num(own.surface_mm2_per_metre),
                "material": own.material,
                "basis": own.basis,
            }
            for own in workshop.own_sections
        ],
        "density": workshop.density,
        "merchants": [
            {
                "name": m.name,
                "delivers": m.delivers,
                "delivery": _num(m.delivery),
                "minimum_order": _num(m.minimum_order),
                "cuts_to_plan": m.cuts_to_plan,
                "cut_charge": _num(m.cut_charge),
            }
            for m in workshop.merchants
        ],
        "values_used": [
            {
                "family": family.value,
                "minus_tolerance": _num(-workshop.counted_on(family, 0)),
                "keep": _num(workshop.keep_length(family)),
                "offcut_value_per_mm": _num(workshop.offcut_value(family)),
                "standard": workshop.standard(family),
            }
            for family in Family
        ],
    }


def _sections(job: Job) -> list[Section]:
    """Every section once, in the order of first use."""
    found: dict[str, Section] = {}
    for section in (item.section for items in (job.parts, job.offers, job.offcuts) for item in items):
        if found.setdefault(section.key, section) != section:
            raise ValueError(f"two different sections are called {section.key}")
    return list(found.values())


def _section(section: Section) -> Document:
    return {
        "key": section.key,
        "family": section.family.value,
        "designation": section.designation,
        "standard": section.standard,
        "height": _num(section.height),
        "width": _num(section.width),
        "thickness": _num(section.thickness),
        "area": _num(section.area_um2),
        "mass_per_metre": _num(section.mass_per_metre),
        "surface_per_metre": _num(section.surface_mm2_per_metre),
        "density": section.density,
        "source": section.source,
        "listed": section.listed,
    }


def _with_groups(job: Job, groups: tuple[Group, ...]) -> list[tuple[Part, Group]]:
    """Every part in the order of the list, with its group."""
    home = {part.mark: group for group in groups for part in group.parts}
    return [(part, home[part.mark]) for part in job.parts]


def _end(end: EndCut) -> Document:
    return {"angle": _num(end.angle)}


def _part(part: Part, group: Group) -> Document:
    grades = {bar.grade for bars in (group.offers, group.offcuts) for bar in bars}
    return {
        "mark": part.mark,
        "row": part.row,
        "quantity": part.quantity,
        "typed_section": part.typed_section,
        "typed_length": part.typed_length,
        "section": part.section.key,
        "length": _num(part.length),
        "finished": _num(part.finished),
        "allowances": [{"purpose": a.purpose.value, "length": _num(a.length)} for a in part.allowances],
        "length_meant": part.length_meant.value,
        "end_a": _end(part.end_a),
        "end_b": _end(part.end_b),
        "depth": _num(part.depth),
        "lean": part.lean.value,
        "heel": part.heel.value,
        "short_point": _num(part.short_point),
        "grip": _num(part.grip),
        "cope": part.cope,
        "opposite_hand": part.opposite_hand,
        "grade": part.grade,
        "finish": part.finish,
        "assembly": part.assembly,
        "assemblies": part.assemblies,
        "list_name": part.list_name,
        "note": part.note,
        "spares": part.spares,
        "holes": [_hole(hole) for hole in part.holes],
        "spares_bought": part.spares_bought,
        "served_by": sorted(grade for grade in grades if serves(grade, part.grade)),
    }


def _other(line: OtherLine) -> Document:
    return {
        "name": line.name,
        "row": line.row,
        "quantity": line.quantity,
        "mass_each": _num(line.mass_each),
        "price_each": None if line.price_each is None else _num(line.price_each),
        "merchant": line.merchant,
        "assembly": line.assembly,
        "list_name": line.list_name,
        "note": line.note,
    }


def _hole(hole: Hole) -> Document:
    return {
        "position": _num(hole.position),
        "face": hole.face,
        "across": _num(hole.across),
        "diameter": _num(hole.diameter),
        "through": hole.through,
        "name": hole.name,
        "standard": hole.standard,
        "note": hole.note,
        "pattern": hole.pattern,
        "row": hole.row,
    }


def _offer(offer: StockLength, workshop: Workshop) -> Document:
    return {
        "id": offer.id,
        "row": offer.row,
        "merchant": offer.merchant,
        "section": offer.section.key,
        "standard": offer.section.standard,
        "grade": offer.grade,
        "finish": offer.finish,
        "length": _num(offer.length),
        "counted": _num(offer.counted),
        "mass_per_metre": _num(offer.section.mass_per_metre),
        "mass": _num(offer.mass),
        "typed_price": offer.typed_price,
        "basis": offer.basis.value,
        "bar_price": None if offer.bar_price is None else _num(offer.bar_price),
        "available": offer.available,
        "within_carry": within_carry(offer, workshop),
    }


def _offcut(offcut: Offcut) -> Document:
    return {
        "mark": offcut.mark,
        "row": offcut.row,
        "section": offcut.section.key,
        "standard": offcut.section.standard,
        "grade": offcut.grade,
        "finish": offcut.finish,
        "length": _num(offcut.length),
        "end_a": offcut.end_a.value,
        "end_b": offcut.end_b.value,
        "place": offcut.place,
        "heat_number": offcut.heat_number,
        "book_value": _num(offcut.book_value),
        "quantity": offcut.quantity,
    }


def _group(job: Job, group: Group, planned: GroupPlan) -> Document:
    return {
        "title": planned.title,
        "goal": planned.goal.value,
        "cost_unit": job.workshop.currency if planned.goal is Goal.MONEY else "kg",
        "section": group.section.key,
        "grade": group.grade,
        "finish": group.finish,
        "parts": [part.mark for part in group.parts],
        "integers": _integers(job, group, planned.proof),
        "bars": [_bar(first) | {"count": count} for first, count in runs_of(planned.bars)],
        "cost": _num(sum(bar.cost for bar in planned.bars)),
        "proof": _proof(planned.proof),
    }


def _integers(job: Job, group: Group, proof: Proof) -> Document:
    """w and W of a group; ``steps`` are whole working steps, rounded down as the proof is checked."""
    saw = job.workshop.saw
    bars = [(SourceKind.BOUGHT, o.id, o.counted, end_trims(saw, None)) for o in group.offers]
    bars += [(SourceKind.OFFCUT, o.mark, o.length, end_trims(saw, o)) for o in group.offcuts]
    return {
        "divisor": _num(divisor(group, saw)),
        "step": _num(proof.step),
        "parts": [
            {"mark": part.mark, "w": _num(part_width(part, saw)), "steps": part_width(part, saw) // proof.step}
            for part in group.parts
        ],
        "sources": [
            {
                "kind": kind.value,
                "source": name,
                "start_trim": _num(trims[0]),
                "far_trim": _num(trims[1]),
                "room": _num(room(group, length, trims, saw)),
                "steps": room(group, length, trims, saw) // proof.step,
            }
            for kind, name, length, trims in bars
        ],
    }


def _bar(bar: CutBar) -> Document:
    return {
        "number": bar.number,
        "kind": bar.kind.value,
        "source": bar.source,
        "length": _num(bar.length),
        "start_trim": _num(bar.start_trim),
        "far_trim": _num(bar.far_trim),
        "cuts": [
            {
                "mark": cut.mark,
                "copy": cut.copy,
                "start": _num(cut.start),
                "end": _num(cut.end),
                "angle_a": _num(cut.angle_a),
                "angle_b": _num(cut.angle_b),
                "kerf": _num(cut.kerf),
                "held": cut.held.value,
                "turn": cut.turn,
            }
            for cut in bar.cuts
        ],
        "drop": {
            "start": _num(bar.drop.start),
            "end": _num(bar.drop.end),
            "far_end": bar.drop.far_end.value,
            "fate": bar.drop.fate.value,
            "value": _num(bar.drop.value),
            "mark": bar.drop.mark,
        },
        "cost": _num(bar.cost),
        "slack": _num(bar.slack),
    }


def _proof(proof: Proof) -> Document:
    return {
        "sources": list(proof.sources),
        "status": proof.status.value,
        "denominator": proof.denominator,
        "step": _num(proof.step),
        "bound": _num(proof.bound),
        "stopped_by": proof.stopped_by,
        "rounds": proof.rounds,
        "patterns": proof.patterns,
        "nodes": proof.nodes,
        "leaves": [
            {
                "ranges": [list(pair) for pair in leaf.ranges],
                "duals": list(leaf.duals),
                "keep_dual": leaf.keep_dual,
                "splits": [
                    {
                        "share": split.share,
                        "part": split.part,
                        "copies": split.copies,
                        "bars": [split.low, split.high],
                    }
                    for split in leaf.splits
                ],
            }
            for leaf in proof.leaves
        ],
    }


def _case(case: MerchantCase) -> Document:
    return {
        "merchants": list(case.merchants),
        "and_more": case.and_more,
        "multipliers": [
            {"merchant": m.merchant, "numerator": m.numerator, "denominator": m.denominator} for m in case.multipliers
        ],
        "charges": _num(case.charges),
        "bound": _num(case.bound),
        "by_search": case.by_search,
        "stopped_by": case.stopped_by,
        "proofs": [_proof(proof) for proof in case.proofs],
    }


def _totals(totals: Totals) -> Document:
    return {
        "bars_bought": totals.bars_bought,
        "bought_length": _num(totals.bought_length),
        "bought_mass": _num(totals.bought_mass),
        "offcuts_used": totals.offcuts_used,
        "offcuts_kept": totals.offcuts_kept,
        "pieces": totals.pieces,
        "cuts": totals.cuts,
        **_lengths_and_masses(totals),
        "others_mass": _num(totals.others_mass),
        "money": _money(totals.money),
        "sections": [_section_total(total) for total in totals.sections],
        "assemblies": [_assembly_total(total) for total in totals.assemblies],
        "lists": [_list_total(total) for total in totals.lists],
        "orders": [_order(order) for order in totals.orders],
    }


def _lengths_and_masses(total: Totals | SectionTotal) -> Document:
    """``material_used`` is part length over drawn length, rounded down to a millionth."""
    return {
        "drawn_length": _num(total.drawn_length),
        "drawn_mass": _num(total.drawn_mass),
        "part_length": _num(total.part_length),
        "part_mass": _num(total.part_mass),
        "kept_length": _num(total.kept_length),
        "kept_mass": _num(total.kept_mass),
        "scrap_length": _num(total.scrap_length),
        "scrap_mass": _num(total.scrap_mass),
        "kerf_and_trim_length": _num(total.kerf_and_trim_length),
        "kerf_and_trim_mass": _num(total.kerf_and_trim_mass),
        "material_used": _num(int(total.material_used * 1_000_000)),
    }


def _section_total(total: SectionTotal) -> Document:
    return {
        "section": total.section.key,
        "grade": total.grade,
        "finish": total.finish,
        "goal": total.goal.value,
        "bars_bought": total.bars_bought,
        "bought_length": _num(total.bought_length),
        "bought_mass": _num(total.bought_mass),
        "offcuts_used": total.offcuts_used,
        "offcuts_used_length": _num(total.offcuts_used_length),
        "offcuts_kept": total.offcuts_kept,
        "pieces": total.pieces,
        **_lengths_and_masses(total),
        "money": None if total.money is None else _num(total.money),
        "offcuts_used_value": None if total.offcuts_used_value is None else _num(total.offcuts_used_value),
        "offcuts_kept_value": None if total.offcuts_kept_value is None else _num(total.offcuts_kept_value),
    }


def _assembly_total(total: AssemblyTotal) -> Document:
    return {
        "assembly": total.assembly,
        "made": total.made,
        "pieces": total.pieces,
        "part_length": _num(total.part_length),
        "part_mass": _num(total.part_mass),
        "money": _num(total.money),
        "others": total.others,
        "others_mass": _num(total.others_mass),
        "others_money": _num(total.others_money),
    }


def _list_total(total: ListTotal) -> Document:
    return {
        "name": total.name,
        "pieces": total.pieces,
        "part_length": _num(total.part_length),
        "part_mass": _num(total.part_mass),
        "bars": _num(total.bars),
        "charges": _num(total.charges),
        "others_mass": _num(total.others_mass),
        "others_money": _num(total.others_money),
        "money": _num(total.money),
    }


def _order(order: MerchantOrder) -> Document:
    return {
        "merchant": order.merchant,
        "bars": _num(order.bars),
        "delivery": _num(order.delivery),
        "shortfall": _num(order.shortfall),
        "cuts": order.cuts,
        "cut_charges": _num(order.cut_charges),
        "money": _num(order.money),
        "mass": _num(order.mass),
        "lines": [
            {
                "offer": line.offer,
                "section": line.section.key,
                "grade": line.grade,
                "finish": line.finish,
                "length": _num(line.length),
                "count": line.count,
                "price_each": None if line.price_each is None else _num(line.price_each),
                "money": None if line.money is None else _num(line.money),
                "mass": _num(line.mass),
            }
            for line in order.lines
        ],
    }


def _money(money: MoneySummary) -> Document:
    return {
        "bars": _num(money.bars),
        "delivery": _num(money.delivery),
        "shortfall": _num(money.shortfall),
        "cut_charges": _num(money.cut_charges),
        "work": _num(money.work),
        "others": _num(money.others),
        "subtotal": _num(money.subtotal),
        "net": _num(money.net),
        "tax": _num(money.tax),
        "to_pay": _num(money.to_pay),
        "tax_was_included": money.tax_was_included,
        "offcuts_used_value": _num(money.offcuts_used_value),
        "offcuts_kept_value": _num(money.offcuts_kept_value),
        "groups_left_out": list(money.groups_left_out),
    }
