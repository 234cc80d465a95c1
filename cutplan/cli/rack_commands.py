"""The commands of ``rack``, and ``undo``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from cutplan import actions
from cutplan.cli.face import TakesLength, app
from cutplan.cli.on_rack import Answer, changing, looking
from cutplan.cli.options import FirstFree, LabelSize, Reason, ServerAddress
from cutplan.cli.paths import as_path
from cutplan.cli.process import CHECK_REFUSED, DONE
from cutplan.cli.questions import asking
from cutplan.problems import Problem, ProblemsFound, Refused
from cutplan.units import counted, parse_quantity

rack_app = typer.Typer(no_args_is_help=True, rich_markup_mode=None)
app.add_typer(
    rack_app,
    name="rack",
    help="Keep the rack: what lies there, where it came from and where it went.",
)

Section = Annotated[
    str, typer.Argument(metavar="SECTION", help='As the trade writes it, e.g. "SHS 40x40x3".', show_default=False)
]
Mark = Annotated[str, typer.Argument(metavar="MARK", help="The mark painted on the piece.", show_default=False)]
Marks = Annotated[list[str], typer.Argument(metavar="MARK", help="Marks of the pieces.", show_default=False)]
Place = Annotated[str | None, typer.Option("--place", metavar="TEXT", help="Where it lies, e.g. B2.")]
Grade = Annotated[str | None, typer.Option("--grade", metavar="TEXT", help="Steel grade; unknown unless given.")]
Heat = Annotated[str | None, typer.Option("--heat-number", metavar="TEXT", help="The mill's melt number.")]
Certificate = Annotated[
    str | None, typer.Option("--certificate", metavar="TEXT", help="The mill certificate: its number or file.")
]
Photo = Annotated[str | None, typer.Option("--photo", metavar="TEXT", help="A picture of the piece: its file.")]
EndA = Annotated[str | None, typer.Option("--end-a", metavar="TEXT", help="How one end is: sawn (default) or mill.")]
EndB = Annotated[str | None, typer.Option("--end-b", metavar="TEXT", help="How the other end is.")]
AngleA = Annotated[
    str | None, typer.Option("--angle-a", metavar="DEGREES", help="Slant of a sawn end from square; 0 unless given.")
]
AngleB = Annotated[str | None, typer.Option("--angle-b", metavar="DEGREES", help="Slant of the other end.")]
Across = Annotated[
    str | None,
    typer.Option("--across", metavar="LENGTH", help="The side of the section that a slant runs across, if two differ."),
]
Wall = Annotated[str | None, typer.Option("--wall", metavar="LENGTH", help="Wall thickness as measured.")]
Value = Annotated[
    str | None, typer.Option("--value", metavar="AMOUNT", help="What using it up costs; else the workshop's value.")
]
HowMany = Annotated[
    int | None,
    typer.Option("--quantity", metavar="NUMBER", min=1, max=100_000, help="How many, where several bear the mark."),
]
Quantity = Annotated[int, typer.Option("--quantity", metavar="NUMBER", min=1, max=100_000, help="How many alike.")]


@rack_app.command("show")
@looking
def show(
    rack: actions.Rack,
    section: Annotated[str | None, typer.Option("--section", metavar="SECTION", help="Only this section.")] = None,
    at_least: Annotated[
        str | None, typer.Option("--at-least", metavar="LENGTH", help="Only this length and longer.")
    ] = None,
    place: Annotated[str | None, typer.Option("--place", metavar="TEXT", help="Only what lies here.")] = None,
) -> Answer:
    """List what lies on the rack."""

    from cutplan.words.rack_values import standing_values
    from cutplan.words.rack_words import rack_list

    found = actions.rack_show(rack, section=section, at_least=at_least, place=place)
    return Answer(
        lambda: {"ledger": str(rack.path), "pieces": [standing_values(piece) for piece in found]},
        lambda: rack_list(found, rack.workshop.printing),
    )


@rack_app.command("add", cls=TakesLength)
@changing
def add(
    rack: actions.Rack,
    section: Section,
    length: Annotated[str, typer.Argument(metavar="LENGTH", help='As measured, e.g. "1240" or 47 1/4".')],
    quantity: Quantity = 1,
    mark: Annotated[
        str | None, typer.Option("--mark", metavar="MARK", help="Painted on it already; else a new one is given.")
    ] = None,
    place: Place = None,
    grade: Grade = None,
    standard: Annotated[
        str | None, typer.Option("--standard", metavar="TEXT", help="Standard; else the workshop's for its family.")
    ] = None,
    finish: Annotated[
        str | None, typer.Option("--finish", metavar="TEXT", help="Such as galvanised; else the workshop's.")
    ] = None,
    heat_number: Heat = None,
    certificate: Certificate = None,
    end_a: EndA = None,
    end_b: EndB = None,
    angle_a: AngleA = None,
    angle_b: AngleB = None,
    across: Across = None,
    wall: Wall = None,
    value: Value = None,
    photo: Photo = None,
    found: Annotated[bool, typer.Option("--found", help="It lay there unknown, rather than being put there.")] = False,
    reason: Reason = None,
) -> Answer:
    """Put a piece on the rack.

    Prints the mark to paint on it. Several alike get a mark each, full lengths (two mill ends) one together.
    """
    begun = not rack.path.exists()
    marks = actions.rack_add(
        rack,
        section,
        length,
        quantity=quantity,
        mark=mark or "",
        standard=standard or "",
        finish=finish or "",
        reason=reason or "",
        found=found,
        place=place,
        grade=grade,
        heat_number=heat_number,
        certificate=certificate,
        end_a=end_a,
        end_b=end_b,
        angle_a=angle_a,
        angle_b=angle_b,
        across=across,
        wall=wall,
        value=value,
        photo=photo,
    )
    told = f"{'Mark' if len(marks) == 1 else 'Marks'} to paint: {', '.join(marks)}"
    return Answer(lambda: {"marks": list(marks)}, lambda: _with_begun(told, rack, begun=begun))


def _with_begun(told: str, rack: actions.Rack, *, begun: bool) -> str:
    """What was done, and that it began a ledger: in another folder than meant nobody would look for it there."""
    from cutplan.words.rack_words import ledger_begun

    return "\n".join([told, ledger_begun(rack.path)]) if begun else told


@rack_app.command("read")
@changing
def read(
    rack: actions.Rack,
    rack_file: Annotated[
        Path, typer.Argument(metavar="FILE", help="A rack file, csv or xlsx.", show_default=False, parser=as_path)
    ],
    reason: Reason = None,
) -> Answer:
    """Bring a list of pieces onto the rack.

    The marks in the list stay; all its pieces are put on the rack, or none.
    """
    begun = not rack.path.exists()
    marks = actions.rack_read(rack, rack_file, reason=reason or "")
    told = f"Put on the rack: {', '.join(marks)}"
    return Answer(lambda: {"marks": list(marks)}, lambda: _with_begun(told, rack, begun=begun))


@rack_app.command("write")
@looking
def write(
    rack: actions.Rack,
    target: Annotated[
        Path, typer.Argument(metavar="FILE", help="A workbook, xlsx.", show_default=False, parser=as_path)
    ],
) -> Answer:
    """Write what lies on the rack as a list.

    It has the columns of a rack file, and can be read as one.
    """
    from cutplan.words.rack_words import listed_square

    written = actions.rack_write(rack, target)
    return Answer(
        lambda: {"file": str(target), "rows": len(written)},
        lambda: "\n".join([f"Written: {target}, {counted(len(written), 'row')}", *listed_square(written)]),
    )


@rack_app.command("labels")
@looking
def rack_labels(
    rack: actions.Rack,
    marks: Annotated[
        list[str] | None, typer.Argument(metavar="[MARK]...", help="Marks of the pieces; else all.", show_default=False)
    ] = None,
    size: LabelSize = "",
    start: FirstFree = 1,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="FILE", parser=as_path, help="The file; else rack-labels.pdf beside the ledger."),
    ] = None,
    address: ServerAddress = "",
) -> Answer:
    """Print labels of what lies on the rack.

    One for each piece, with its mark and a code that names it.
    """
    made = actions.print_rack_labels(rack, marks or (), size=size, start=start, out=out, address=address)
    return Answer(
        lambda: {"file": str(made.path), "labels": made.count},
        lambda: f"{counted(made.count, 'label')}: {made.path}. Print at full size, not fitted to the page.",
    )


@rack_app.command("count")
@changing
def count(
    rack: actions.Rack,
    place: Annotated[str, typer.Argument(metavar="PLACE", help="The place that is counted.", show_default=False)],
    sheet: Annotated[
        Path | None,
        typer.Option("--sheet", metavar="FILE", parser=as_path, help="Write the sheet to fill in (xlsx) here."),
    ] = None,
    read_back: Annotated[
        Path | None, typer.Option("--read", metavar="FILE", parser=as_path, help="The sheet, filled in.")
    ] = None,
    reason: Reason = None,
) -> Answer:
    """Take stock of one place.

    First --sheet writes what should lie there, to be filled in there; then --read puts the differences right.
    """

    from cutplan.words.count_words import count_text, count_values

    if (sheet is None) == (read_back is None):
        raise typer.BadParameter("give either --sheet, to write the sheet, or --read, to read it back")
    if sheet is not None:
        rows = actions.count_sheet(rack, place, sheet)
        return Answer(
            lambda: {"sheet": str(sheet), "rows": rows},
            lambda: f"Written: {sheet}, {counted(rows, 'row')}. Fill it in and give it with --read.",
        )
    assert read_back is not None
    found = actions.rack_count(rack, place, read_back, reason=reason or "")
    return Answer(lambda: count_values(found), lambda: count_text(place, found, rack.workshop.printing))


@rack_app.command("scrap")
@changing
def scrap(
    rack: actions.Rack,
    marks: Marks,
    quantity: HowMany = None,
    reason: Reason = None,
    as_json: bool = False,
) -> Answer:
    """Take pieces off the rack for scrap."""
    scrapped = asking(
        lambda many: actions.rack_scrap(rack, marks, quantity=many, reason=reason or ""),
        quantity,
        _how_many,
        as_json=as_json,
    )
    return _told("Scrapped", scrapped, rack)


@rack_app.command("move")
@changing
def move(
    rack: actions.Rack,
    marks: Marks,
    place: Annotated[str, typer.Option("--place", metavar="TEXT", help="Where they lie from now on.")],
) -> Answer:
    """Note where pieces lie from now on."""
    return _told(f"Moved to {place}", actions.rack_move(rack, marks, place), rack)


@rack_app.command("correct")
@changing
def correct(
    rack: actions.Rack,
    mark: Mark,
    length: Annotated[str | None, typer.Option("--length", metavar="LENGTH", help="As measured again.")] = None,
    quantity: HowMany = None,
    place: Place = None,
    grade: Grade = None,
    heat_number: Heat = None,
    certificate: Certificate = None,
    end_a: EndA = None,
    end_b: EndB = None,
    angle_a: AngleA = None,
    angle_b: AngleB = None,
    across: Across = None,
    wall: Wall = None,
    value: Value = None,
    photo: Photo = None,
    reason: Reason = None,
    as_json: bool = False,
) -> Answer:
    """Correct what is known of a piece.

    What was noted before stays in its history; this is a movement of its own. Some of several that bear one mark are
    given another.
    """

    from cutplan.words.rack_values import standing_values
    from cutplan.words.rack_words import corrected_text

    state = {
        "length": length,
        "place": place,
        "grade": grade,
        "heat_number": heat_number,
        "certificate": certificate,
        "end_a": end_a,
        "end_b": end_b,
        "angle_a": angle_a,
        "angle_b": angle_b,
        "wall": wall,
        "value": value,
        "photo": photo,
    }
    before, after = asking(
        lambda many: actions.rack_correct(rack, mark, quantity=many, reason=reason or "", across=across, **state),
        quantity,
        _how_many,
        as_json=as_json,
    )
    how = rack.workshop.printing
    return Answer(
        lambda: {"before": standing_values(before), "after": standing_values(after)},
        lambda: corrected_text(before, after, how),
    )


@rack_app.command("take")
@changing
def take(
    rack: actions.Rack,
    mark: Mark,
    quantity: HowMany = None,
    reason: Reason = None,
    as_json: bool = False,
) -> Answer:
    """Take a piece for work that no plan knows of."""
    taken = asking(
        lambda many: actions.rack_take(rack, mark, quantity=many, reason=reason or ""),
        quantity,
        _how_many,
        as_json=as_json,
    )
    return _told("Taken", (taken,), rack)


@rack_app.command("return", cls=TakesLength)
@changing
def bring_back(
    rack: actions.Rack,
    mark: Mark,
    length: Annotated[
        str | None, typer.Argument(metavar="LENGTH", help="What is left of it, or whole where it is as it was.")
    ] = None,
    place: Place = None,
    reason: Reason = None,
    as_json: bool = False,
) -> Answer:
    """Bring back what is left of a piece that was taken."""
    back = asking(
        lambda left: actions.rack_return(rack, mark, length=left, place=place or "", reason=reason or ""),
        length,
        lambda _said, _field, answer: answer,
        as_json=as_json,
    )
    return _told("Back on the rack", (back,), rack)


@rack_app.command("history")
@looking
def history(rack: actions.Rack, mark: Mark) -> Answer:
    """Show where a piece came from and where it went."""

    from cutplan.words.rack_values import life_values
    from cutplan.words.rack_words import rack_life

    found = actions.rack_history(rack, mark)
    return Answer(lambda: life_values(found), lambda: rack_life(found, rack.workshop.printing))


@rack_app.command("release")
@changing
def release(
    rack: actions.Rack,
    marks: Annotated[
        list[str] | None, typer.Argument(metavar="MARK", help="Marks of the pieces; else all of the job.")
    ] = None,
    job: Annotated[str | None, typer.Option("--job", metavar="NAME", help="The job whose holds end.")] = None,
    reason: Reason = None,
) -> Answer:
    """Give back what is held for a job."""
    if not marks and not job:
        raise typer.BadParameter("name a job with --job, or marks")
    pieces = actions.rack_release(rack, job=job or "", marks=tuple(marks or ()), reason=reason or "")
    return _told("Free again", pieces, rack)


@rack_app.command("old")
@looking
def old(
    rack: actions.Rack,
    months: Annotated[
        int | None,
        typer.Option("--months", metavar="NUMBER", min=0, max=1000, help="Months; else the workshop's."),
    ] = None,
) -> Answer:
    """List what has lain long, and what scrap pays for it."""

    from cutplan.words.rack_values import old_values
    from cutplan.words.rack_words import old_text

    found = actions.rack_old(rack, months=months)
    return Answer(lambda: old_values(found), lambda: old_text(found, rack.workshop.printing, rack.workshop.currency))


@rack_app.command("backup")
@looking
def backup(
    rack: actions.Rack,
    target: Annotated[
        Path | None,
        typer.Argument(metavar="[FILE]", help="The copy; else beside the ledger.", parser=as_path),
    ] = None,
) -> Answer:
    """Copy the ledger."""
    path = actions.rack_backup(rack, target)
    return Answer(lambda: {"copy": str(path)}, lambda: f"Copied to {path}")


@rack_app.command("restore")
@looking
def restore(
    rack: actions.Rack,
    copy: Annotated[Path, typer.Argument(metavar="FILE", help="The copy.", show_default=False, parser=as_path)],
) -> Answer:
    """Put a copy in the place of the ledger.

    The ledger that was there, damaged or not, is kept beside it; what was done since the copy is listed.
    """

    from cutplan.words.rack_values import restored_values
    from cutplan.words.rack_words import restored_text

    done = actions.rack_restore(rack, copy)
    return Answer(
        lambda: {"restored": str(copy), **restored_values(done)},
        lambda: f"Put back from {copy}.\n{restored_text(done)}".strip(),
    )


@rack_app.command("verify")
@looking
def verify(
    rack: actions.Rack,
    rebuild: Annotated[
        bool, typer.Option("--rebuild", help="Make the table of what is on hand anew from the movements.")
    ] = False,
) -> Answer:
    """Check the ledger against its own movements.

    Where it holds, it tells of every section what came in and where it went, in length and mass.
    """

    from cutplan.words.rack_values import balance_values
    from cutplan.words.rack_words import balance_text

    faults, repaired = actions.rack_verify(rack, rebuild=rebuild)
    balances = [] if faults else actions.rack_balances(rack)

    def values() -> dict[str, Any]:
        verdict = {"ledger": str(rack.path), "holds": not faults, "faults": list(faults), "repaired": repaired}
        return {**verdict, "sections": [balance_values(*each) for each in balances]}

    def text() -> str:
        told = [f"{repaired} put right from the movements"] if repaired else []
        told += faults or [balance_text(*each, rack.workshop.printing) for each in balances]
        verdict = f"{rack.path}: {'does not hold' if faults else 'holds'}"
        return "\n".join([verdict, *(f"  {line}" for line in told)])

    return Answer(values, text, CHECK_REFUSED if faults else DONE)


@app.command()
@changing
def undo(
    rack: actions.Rack,
    reason: Reason = None,
) -> Answer:
    """Take back the last thing done to the rack.

    Nothing is wiped out: the movements are answered by counter-movements. Said again, it takes back the one before.
    """

    from cutplan.words.rack_words import undone_text

    undone = actions.undo(rack, reason=reason or "")
    return Answer(
        lambda: {"undone": undone.doing.what, "at": undone.doing.at, "marks": list(undone.marks)},
        lambda: undone_text(undone),
    )


def _how_many(_said: int | None, _field: str, answer: str) -> int:
    try:
        return parse_quantity(answer)
    except Refused as refused:
        raise ProblemsFound([Problem.at("--quantity", refused)]) from None


def _told(what: str, pieces: tuple[actions.Standing, ...], rack: actions.Rack) -> Answer:
    from cutplan.words.rack_values import standing_values
    from cutplan.words.rack_words import done_text

    return Answer(
        lambda: {"pieces": [standing_values(piece) for piece in pieces]},
        lambda: "\n".join(done_text(what, piece, rack.workshop.printing) for piece in pieces),
    )
