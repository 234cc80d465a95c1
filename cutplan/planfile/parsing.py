"""The plain values of plan.json back into the same Job and Plan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from cutplan.model import (
    Allowance,
    Basis,
    Clamp,
    Cut,
    CutBar,
    Drop,
    EndCut,
    EndState,
    Fate,
    Goal,
    GroupPlan,
    Heel,
    Held,
    Hole,
    InputFile,
    Job,
    Leaf,
    Lean,
    LengthMeant,
    Merchant,
    MerchantCase,
    Multiplier,
    Offcut,
    OtherLine,
    Part,
    Plan,
    Proof,
    Purpose,
    Saw,
    SourceKind,
    Split,
    Status,
    StockLength,
    Work,
    Workshop,
)
from cutplan.model.runs import bars_of
from cutplan.planfile.decimals import millionths
from cutplan.problems import Problem, ProblemsFound
from cutplan.sections.own import OwnSection
from cutplan.sections.section import Family, Section

Values = Mapping[str, Any]

MOST_PIECES = 5_000_000
"""Parts of a group that are read. A line of the file can stand for any number, and each takes memory."""


def from_document(document: Values, where: str = "plan file") -> tuple[Job, Plan]:
    """A job and its plan from the plain values :func:`~cutplan.planfile.to_document` gave.

    Parameters
    ----------
    document
        Satisfies the schema; what follows from other values is not looked at.
    where
        How a problem names the document.

    Raises
    ------
    ProblemsFound
        When a value cannot belong to any job or plan.
    """
    try:
        job = _job(document)
        return job, _plan(document)
    except (ValueError, KeyError, TypeError, ArithmeticError) as error:
        told = f"nothing is called {error}" if isinstance(error, KeyError) else str(error)
        raise ProblemsFound(
            [
                Problem(
                    where=where,
                    found=f"values that cannot be a plan ({told})",
                    found_is_text=False,
                    accepted="a plan file as cutplan wrote it",
                )
            ]
        ) from error


def _job(document: Values) -> Job:
    sections = {values["key"]: _section(values) for values in document["sections"]}
    about = document["job"]
    return Job(
        name=about["name"],
        parts=tuple(_part(values, sections) for values in document["parts"]),
        offers=tuple(_offer(values, sections) for values in document["offers"]),
        offcuts=tuple(_offcut(values, sections) for values in document["offcuts"]),
        others=tuple(_other(values) for values in document["others"]),
        workshop=_workshop(document["workshop"]),
        files=tuple(InputFile(role=f["role"], name=f["name"], sha256=f["sha256"]) for f in about["files"]),
        assumptions=tuple(about["assumptions"]),
        warnings=tuple(
            Problem(
                where=w["where"],
                found=w["found"],
                accepted=w["accepted"],
                hint=w["hint"],
                found_is_text=w["found_is_text"],
            )
            for w in about["warnings"]
        ),
        silenced=about["silenced"],
    )


def _section(values: Values) -> Section:
    section = Section(
        family=Family(values["family"]),
        designation=values["designation"],
        standard=values["standard"],
        height=millionths(values["height"]),
        width=millionths(values["width"]),
        thickness=millionths(values["thickness"]),
        area_um2=millionths(values["area"]),
        mass_per_metre=millionths(values["mass_per_metre"]),
        surface_mm2_per_metre=millionths(values["surface_per_metre"]),
        density=values["density"],
        source=values["source"],
        listed=values["listed"],
    )
    if section.key != values["key"]:
        raise ValueError(f"section {values['key']!r} should be called {section.key!r}")
    return section


def _workshop(values: Values) -> Workshop:
    saw = values["saw"]
    return Workshop(
        name=values["name"],
        unit=values["unit"],
        paper=values["paper"],
        printed_to=millionths(values["printed_to"]),
        mass_unit=values["mass_unit"],
        labels=values["labels"],
        decimal_sign=values["decimal_sign"],
        currency=values["currency"],
        tax_millionths=millionths(values["tax_rate"]),
        prices_include_tax=values["prices_include_tax"],
        saw=Saw(
            kerf=millionths(saw["kerf"]),
            end_trim=millionths(saw["end_trim"]),
            end_trim_includes_cut=saw["end_trim_includes_cut"],
            mill_ends_accepted=saw["mill_ends_accepted"],
            safe_hold=millionths(saw["safe_hold"]),
            clamp=Clamp(saw["clamp"]),
            square_reads=millionths(saw["square_reads"]),
        ),
        minus_tolerance=tuple((Family(v["family"]), millionths(v["length"])) for v in values["minus_tolerance"]),
        keep=tuple((Family(v["family"]), millionths(v["length"])) for v in values["keep"]),
        offcut_value_per_mm=tuple((Family(v["family"]), millionths(v["money"])) for v in values["offcut_value_per_mm"]),
        most_kept=values["most_kept"],
        work=Work(**{key: millionths(money) for key, money in values["work"].items()}),
        longest_carry=millionths(values["longest_carry"]),
        heavy=millionths(values["heavy"]),
        standards=tuple((Family(v["family"]), v["standard"]) for v in values["standards"]),
        default_finish=values["default_finish"],
        mitre_length=LengthMeant(values["mitre_length"]),
        gauge=values["gauge"],
        materials=tuple((v["name"], v["density"]) for v in values["materials"]),
        own_sections=tuple(
            OwnSection(
                name=v["name"],
                height=millionths(v["height"]),
                width=millionths(v["width"]),
                thickness=millionths(v["thickness"]),
                area_um2=millionths(v["area"]),
                mass_per_metre=millionths(v["mass_per_metre"]),
                surface_mm2_per_metre=millionths(v["surface_per_metre"]),
                material=v["material"],
                basis=v["basis"],
            )
            for v in values["own_sections"]
        ),
        density=values["density"],
        merchants=tuple(
            Merchant(
                name=m["name"],
                delivers=m["delivers"],
                delivery=millionths(m["delivery"]),
                minimum_order=millionths(m["minimum_order"]),
                cuts_to_plan=m["cuts_to_plan"],
                cut_charge=millionths(m["cut_charge"]),
            )
            for m in values["merchants"]
        ),
    )


def _part(values: Values, sections: Mapping[str, Section]) -> Part:
    return Part(
        mark=values["mark"],
        quantity=values["quantity"],
        section=sections[values["section"]],
        length=millionths(values["length"]),
        grade=values["grade"],
        finish=values["finish"],
        end_a=EndCut(angle=millionths(values["end_a"]["angle"])),
        end_b=EndCut(angle=millionths(values["end_b"]["angle"])),
        depth=millionths(values["depth"]),
        lean=Lean(values["lean"]),
        heel=Heel(values["heel"]),
        allowances=tuple(
            Allowance(purpose=Purpose(each["purpose"]), length=millionths(each["length"]))
            for each in values["allowances"]
        ),
        cope=values["cope"],
        opposite_hand=values["opposite_hand"],
        length_meant=LengthMeant(values["length_meant"]),
        assembly=values["assembly"],
        assemblies=values["assemblies"],
        list_name=values["list_name"],
        note=values["note"],
        spares=values["spares"],
        spares_bought=values["spares_bought"],
        typed_section=values["typed_section"],
        typed_length=values["typed_length"],
        row=values["row"],
        holes=tuple(_hole(hole) for hole in values["holes"]),
    )


def _hole(values: Values) -> Hole:
    return Hole(
        position=millionths(values["position"]),
        face=values["face"],
        across=millionths(values["across"]),
        diameter=millionths(values["diameter"]),
        through=values["through"],
        name=values["name"],
        standard=values["standard"],
        note=values["note"],
        pattern=values["pattern"],
        row=values["row"],
    )


def _other(values: Values) -> OtherLine:
    return OtherLine(
        name=values["name"],
        quantity=values["quantity"],
        mass_each=millionths(values["mass_each"]),
        price_each=None if values["price_each"] is None else millionths(values["price_each"]),
        merchant=values["merchant"],
        assembly=values["assembly"],
        list_name=values["list_name"],
        note=values["note"],
        row=values["row"],
    )


def _offer(values: Values, sections: Mapping[str, Section]) -> StockLength:
    return StockLength(
        id=values["id"],
        merchant=values["merchant"],
        section=sections[values["section"]],
        grade=values["grade"],
        finish=values["finish"],
        length=millionths(values["length"]),
        counted=millionths(values["counted"]),
        typed_price=values["typed_price"],
        basis=Basis(values["basis"]),
        bar_price=None if values["bar_price"] is None else millionths(values["bar_price"]),
        available=values["available"],
        row=values["row"],
    )


def _offcut(values: Values, sections: Mapping[str, Section]) -> Offcut:
    return Offcut(
        mark=values["mark"],
        section=sections[values["section"]],
        grade=values["grade"],
        finish=values["finish"],
        length=millionths(values["length"]),
        end_a=EndState(values["end_a"]),
        end_b=EndState(values["end_b"]),
        place=values["place"],
        heat_number=values["heat_number"],
        book_value=millionths(values["book_value"]),
        quantity=values["quantity"],
        row=values["row"],
    )


def _plan(document: Values) -> Plan:
    result = document["result"]
    return Plan(
        job_name=result["job_name"],
        groups=tuple(
            GroupPlan(
                title=values["title"],
                goal=Goal(values["goal"]),
                bars=_bars(values["bars"]),
                proof=_proof(values["proof"]),
            )
            for values in document["groups"]
        ),
        cases=tuple(_case(values) for values in document["cases"]),
        status=Status(result["status"]),
        bound=millionths(result["bound"]),
        cost=millionths(result["cost"]),
        if_delivered=None if document["if_delivered"] is None else _plan(document["if_delivered"]),
        stopped_by=result["stopped_by"],
    )


def _bars(runs: Sequence[Values]) -> tuple[CutBar, ...]:
    pieces = sum(run["count"] * len(run["cuts"]) for run in runs)
    if pieces > MOST_PIECES:
        raise ValueError(f"{pieces:,} parts in one group, at most {MOST_PIECES:,} can be read")
    return tuple(bar for run in runs for bar in bars_of(_bar(run), run["count"]))


def _bar(values: Values) -> CutBar:
    drop = values["drop"]
    return CutBar(
        number=values["number"],
        kind=SourceKind(values["kind"]),
        source=values["source"],
        length=millionths(values["length"]),
        start_trim=millionths(values["start_trim"]),
        far_trim=millionths(values["far_trim"]),
        cuts=tuple(
            Cut(
                mark=cut["mark"],
                copy=cut["copy"],
                start=millionths(cut["start"]),
                end=millionths(cut["end"]),
                angle_a=millionths(cut["angle_a"]),
                angle_b=millionths(cut["angle_b"]),
                kerf=millionths(cut["kerf"]),
                held=Held(cut["held"]),
                turn=cut["turn"],
            )
            for cut in values["cuts"]
        ),
        drop=Drop(
            start=millionths(drop["start"]),
            end=millionths(drop["end"]),
            far_end=EndState(drop["far_end"]),
            fate=Fate(drop["fate"]),
            value=millionths(drop["value"]),
            mark=drop["mark"],
        ),
        cost=millionths(values["cost"]),
        slack=millionths(values["slack"]),
    )


def _split(values: Values) -> Split:
    low, high = values["bars"]
    return Split(share=values["share"], part=values["part"], copies=values["copies"], low=low, high=high)


def _proof(values: Values) -> Proof:
    return Proof(
        sources=tuple(values["sources"]),
        status=Status(values["status"]),
        denominator=values["denominator"],
        step=millionths(values["step"]),
        leaves=tuple(
            Leaf(
                ranges=tuple((low, high) for low, high in leaf["ranges"]),
                duals=tuple(leaf["duals"]),
                keep_dual=leaf["keep_dual"],
                splits=tuple(_split(split) for split in leaf["splits"]),
            )
            for leaf in values["leaves"]
        ),
        bound=millionths(values["bound"]),
        stopped_by=values["stopped_by"],
        rounds=values["rounds"],
        patterns=values["patterns"],
        nodes=values["nodes"],
    )


def _case(values: Values) -> MerchantCase:
    return MerchantCase(
        merchants=tuple(values["merchants"]),
        and_more=values["and_more"],
        multipliers=tuple(
            Multiplier(merchant=m["merchant"], numerator=m["numerator"], denominator=m["denominator"])
            for m in values["multipliers"]
        ),
        proofs=tuple(_proof(proof) for proof in values["proofs"]),
        charges=millionths(values["charges"]),
        bound=millionths(values["bound"]),
        by_search=values["by_search"],
        stopped_by=values["stopped_by"],
    )
