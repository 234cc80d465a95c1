"""The commands of ``rack``, and ``undo``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.options import AsJson, Debug, FirstFree, LabelSize, LedgerFile, Reason, ShopFile, Who
from cutplan.cli.output import answering, print_json, print_text
from cutplan.cli.paths import as_path
from cutplan.cli.process import CHECK_REFUSED
from cutplan.cli.questions import asking
from cutplan.problems import Problem, ProblemsFound, Refused
from cutplan.units import counted, parse_quantity
from cutplan.words.count_words import count_text, count_values
from cutplan.words.rack_values import balance_values, life_values, old_values, restored_values, standing_values
from cutplan.words.rack_words import balance_text, old_text, rack_life, rack_line, rack_list, restored_text

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
Grade = Annotated[str | None, typer.Option("--grade", metavar="TEXT", help="Steel grade; unknown unless said.")]
Heat = Annotated[str | None, typer.Option("--heat-number", metavar="TEXT", help="The mill's melt number.")]
Certificate = Annotated[
    str | None, typer.Option("--certificate", metavar="TEXT", help="The mill certificate: its number or file.")
]
Photo = Annotated[str | None, typer.Option("--photo", metavar="TEXT", help="A picture of the piece: its file.")]
EndA = Annotated[str | None, typer.Option("--end-a", metavar="TEXT", help="How one end is: sawn (default) or mill.")]
EndB = Annotated[str | None, typer.Option("--end-b", metavar="TEXT", help="How the other end is.")]
AngleA = Annotated[
    str | None, typer.Option("--angle-a", metavar="DEGREES", help="Slant of a sawn end from square; 0 unless said.")
]
AngleB = Annotated[str | None, typer.Option("--angle-b", metavar="DEGREES", help="Slant of the other end.")]
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
def show(
    section: Annotated[str | None, typer.Option("--section", metavar="SECTION", help="Only this section.")] = None,
    at_least: Annotated[
        str | None, typer.Option("--at-least", metavar="LENGTH", help="Only this length and longer.")
    ] = None,
    place: Annotated[str | None, typer.Option("--place", metavar="TEXT", help="Only what lies here.")] = None,
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """List what lies on the rack."""
    with answering(as_json, debug):
        rack = actions.find_rack(workshop=workshop, ledger=ledger)
        found = actions.rack_show(rack, section=section, at_least=at_least, place=place)
        if as_json:
            print_json({"ledger": str(rack.path), "pieces": [standing_values(piece) for piece in found]})
        else:
            print_text(rack_list(found, rack.workshop.printing))


@rack_app.command("add")
def add(
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
    wall: Wall = None,
    value: Value = None,
    photo: Photo = None,
    found: Annotated[bool, typer.Option("--found", help="It lay there unknown, rather than being put there.")] = False,
    reason: Reason = None,
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Put a piece on the rack.

    Prints the mark to paint on it. Several alike get a mark each, full lengths (two mill ends) one together.
    """
    with answering(as_json, debug):
        rack = actions.find_rack(workshop=workshop, ledger=ledger, who=who)
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
            wall=wall,
            value=value,
            photo=photo,
        )
        if as_json:
            print_json({"marks": list(marks)})
        else:
            print_text(f"{'Mark' if len(marks) == 1 else 'Marks'} to paint: {', '.join(marks)}")


@rack_app.command("read")
def read(
    rack_file: Annotated[
        Path, typer.Argument(metavar="FILE", help="A rack file, csv or xlsx.", show_default=False, parser=as_path)
    ],
    reason: Reason = None,
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Bring a list of pieces onto the rack.

    The marks in the list stay; all its pieces are put on the rack, or none.
    """
    with answering(as_json, debug):
        rack = actions.find_rack(workshop=workshop, ledger=ledger, who=who)
        marks = actions.rack_read(rack, rack_file, reason=reason or "")
        if as_json:
            print_json({"marks": list(marks)})
        else:
            print_text(f"Put on the rack: {', '.join(marks)}")


@rack_app.command("write")
def write(
    target: Annotated[
        Path, typer.Argument(metavar="FILE", help="A workbook, xlsx.", show_default=False, parser=as_path)
    ],
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Write what lies on the rack as a list.

    It has the columns of a rack file, and can be read as one.
    """
    with answering(as_json, debug):
        count = actions.rack_write(actions.find_rack(workshop=workshop, ledger=ledger), target)
        if as_json:
            print_json({"file": str(target), "rows": count})
        else:
            print_text(f"Written: {target}, {counted(count, 'row')}")


@rack_app.command("labels")
def rack_labels(
    marks: Annotated[
        list[str] | None, typer.Argument(metavar="[MARK]...", help="Marks of the pieces; else all.", show_default=False)
    ] = None,
    size: LabelSize = "",
    start: FirstFree = 1,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="FILE", parser=as_path, help="The file; else rack-labels.pdf beside the ledger."),
    ] = None,
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Print labels of what lies on the rack.

    One for each piece, with its mark and a code that names it.
    """
    with answering(as_json, debug):
        rack = actions.find_rack(workshop=workshop, ledger=ledger)
        made = actions.print_rack_labels(rack, marks or (), size=size, start=start, out=out)
        if as_json:
            print_json({"file": str(made.path), "labels": made.count})
        else:
            print_text(f"{counted(made.count, 'label')}: {made.path}. Print at full size, not fitted to the page.")


@rack_app.command("count")
def count(
    place: Annotated[str, typer.Argument(metavar="PLACE", help="The place that is counted.", show_default=False)],
    sheet: Annotated[
        Path | None,
        typer.Option("--sheet", metavar="FILE", parser=as_path, help="Write the sheet to fill in (xlsx) here."),
    ] = None,
    read_back: Annotated[
        Path | None, typer.Option("--read", metavar="FILE", parser=as_path, help="The sheet, filled in.")
    ] = None,
    reason: Reason = None,
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Take stock of one place.

    First --sheet writes what should lie there, to be filled in there; then --read puts the differences right.
    """
    if (sheet is None) == (read_back is None):
        raise typer.BadParameter("give either --sheet, to write the sheet, or --read, to read it back")
    with answering(as_json, debug):
        rack = actions.find_rack(workshop=workshop, ledger=ledger, who=who)
        if sheet is not None:
            rows = actions.count_sheet(rack, place, sheet)
            if as_json:
                print_json({"sheet": str(sheet), "rows": rows})
            else:
                print_text(f"Written: {sheet}, {counted(rows, 'row')}. Fill it in and give it with --read.")
        elif read_back is not None:
            found = actions.rack_count(rack, place, read_back, reason=reason or "")
            if as_json:
                print_json(count_values(found))
            else:
                print_text(count_text(place, found, rack.workshop.printing))


@rack_app.command("scrap")
def scrap(
    marks: Marks,
    quantity: HowMany = None,
    reason: Reason = None,
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Take pieces off the rack for scrap."""
    with answering(as_json, debug):
        rack = actions.find_rack(workshop=workshop, ledger=ledger, who=who)
        scrapped = asking(
            lambda many: actions.rack_scrap(rack, marks, quantity=many, reason=reason or ""),
            quantity,
            _how_many,
            as_json=as_json,
        )
        _told("Scrapped", scrapped, rack, as_json)


@rack_app.command("move")
def move(
    marks: Marks,
    place: Annotated[str, typer.Option("--place", metavar="TEXT", help="Where they lie from now on.")],
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Note where pieces lie from now on."""
    with answering(as_json, debug):
        rack = actions.find_rack(workshop=workshop, ledger=ledger, who=who)
        _told(f"Moved to {place}", actions.rack_move(rack, marks, place), rack, as_json)


@rack_app.command("correct")
def correct(
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
    wall: Wall = None,
    value: Value = None,
    photo: Photo = None,
    reason: Reason = None,
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Correct what is known of a piece.

    What was noted before stays in its history; this is a movement of its own. Some of several that bear one mark are
    given another.
    """
    with answering(as_json, debug):
        rack = actions.find_rack(workshop=workshop, ledger=ledger, who=who)
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
            lambda many: actions.rack_correct(rack, mark, quantity=many, reason=reason or "", **state),
            quantity,
            _how_many,
            as_json=as_json,
        )
        if as_json:
            print_json({"before": standing_values(before), "after": standing_values(after)})
        else:
            how = rack.workshop.printing
            was, now = (rack_line(piece, how) for piece in (before, after))
            print_text(f"Was: {was}\nNow: {now}")


@rack_app.command("take")
def take(
    mark: Mark,
    quantity: HowMany = None,
    reason: Reason = None,
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Take a piece for work that no plan knows of."""
    with answering(as_json, debug):
        rack = actions.find_rack(workshop=workshop, ledger=ledger, who=who)
        taken = asking(
            lambda many: actions.rack_take(rack, mark, quantity=many, reason=reason or ""),
            quantity,
            _how_many,
            as_json=as_json,
        )
        _told("Taken", (taken,), rack, as_json)


@rack_app.command("return")
def bring_back(
    mark: Mark,
    length: Annotated[
        str | None, typer.Argument(metavar="LENGTH", help="What is left of it, or whole where it is as it was.")
    ] = None,
    place: Place = None,
    reason: Reason = None,
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Bring back what is left of a piece that was taken."""
    with answering(as_json, debug):
        rack = actions.find_rack(workshop=workshop, ledger=ledger, who=who)
        back = asking(
            lambda left: actions.rack_return(rack, mark, length=left, place=place or "", reason=reason or ""),
            length,
            lambda _said, _field, answer: answer,
            as_json=as_json,
        )
        _told("Back on the rack", (back,), rack, as_json)


@rack_app.command("history")
def history(
    mark: Mark, ledger: LedgerFile = None, workshop: ShopFile = None, as_json: AsJson = False, debug: Debug = False
) -> None:
    """Show where a piece came from and where it went."""
    with answering(as_json, debug):
        rack = actions.find_rack(workshop=workshop, ledger=ledger)
        found = actions.rack_history(rack, mark)
        if as_json:
            print_json(life_values(found))
        else:
            print_text(rack_life(found, rack.workshop.printing))


@rack_app.command("release")
def release(
    marks: Annotated[
        list[str] | None, typer.Argument(metavar="MARK", help="Marks of the pieces; else all of the job.")
    ] = None,
    job: Annotated[str | None, typer.Option("--job", metavar="NAME", help="The job whose holds end.")] = None,
    reason: Reason = None,
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Give back what is held for a job."""
    if not marks and not job:
        raise typer.BadParameter("name a job with --job, or marks")
    with answering(as_json, debug):
        rack = actions.find_rack(workshop=workshop, ledger=ledger, who=who)
        pieces = actions.rack_release(rack, job=job or "", marks=tuple(marks or ()), reason=reason or "")
        _told("Free again", pieces, rack, as_json)


@rack_app.command("old")
def old(
    months: Annotated[
        int | None,
        typer.Option("--months", metavar="NUMBER", min=0, max=1000, help="Months; else the workshop's."),
    ] = None,
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """List what has lain long, and what scrap pays for it."""
    with answering(as_json, debug):
        rack = actions.find_rack(workshop=workshop, ledger=ledger)
        found = actions.rack_old(rack, months=months)
        if as_json:
            print_json(old_values(found))
        else:
            print_text(old_text(found, rack.workshop.printing, rack.workshop.currency))


@rack_app.command("backup")
def backup(
    target: Annotated[
        Path | None,
        typer.Argument(metavar="[FILE]", help="The copy; else beside the ledger.", parser=as_path),
    ] = None,
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Copy the ledger."""
    with answering(as_json, debug):
        path = actions.rack_backup(actions.find_rack(workshop=workshop, ledger=ledger), target)
        if as_json:
            print_json({"copy": str(path)})
        else:
            print_text(f"Copied to {path}")


@rack_app.command("restore")
def restore(
    copy: Annotated[Path, typer.Argument(metavar="FILE", help="The copy.", show_default=False, parser=as_path)],
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Put a copy in the place of the ledger.

    The ledger that was there, damaged or not, is kept beside it; what was done since the copy is listed.
    """
    with answering(as_json, debug):
        done = actions.rack_restore(actions.find_rack(workshop=workshop, ledger=ledger), copy)
        if as_json:
            print_json({"restored": str(copy), **restored_values(done)})
        else:
            print_text(f"Put back from {copy}.\n{restored_text(done)}".strip())


@rack_app.command("verify")
def verify(
    rebuild: Annotated[
        bool, typer.Option("--rebuild", help="Make the table of what is on hand anew from the movements.")
    ] = False,
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Check the ledger against its own movements.

    Where it holds, it tells of every section what came in and where it went, in length and mass.
    """
    with answering(as_json, debug):
        rack = actions.find_rack(workshop=workshop, ledger=ledger)
        faults, repaired = actions.rack_verify(rack, rebuild=rebuild)
        if as_json:
            sections = [] if faults else [balance_values(*each) for each in actions.rack_balances(rack)]
            verdict = {"ledger": str(rack.path), "holds": not faults, "faults": list(faults), "repaired": repaired}
            print_json({**verdict, "sections": sections})
        else:
            how = rack.workshop.printing
            told = [f"{repaired} put right from the movements"] if repaired else []
            told += faults or [balance_text(*each, how) for each in actions.rack_balances(rack)]
            verdict_text = f"{rack.path}: {'does not hold' if faults else 'holds'}"
            print_text("\n".join([verdict_text, *(f"  {text}" for text in told)]))
        if faults:
            raise typer.Exit(CHECK_REFUSED)


@app.command()
def undo(
    reason: Reason = None,
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Take back the last thing done to the rack.

    Nothing is wiped out: the movements are answered by counter-movements. Said again, it takes back the one before.
    """
    with answering(as_json, debug):
        rack = actions.find_rack(workshop=workshop, ledger=ledger, who=who)
        undone = actions.undo(rack, reason=reason or "")
        if as_json:
            print_json({"undone": undone.doing.what, "at": undone.doing.at, "marks": list(undone.marks)})
        else:
            job = f" for {undone.doing.job}" if undone.doing.job else ""
            print_text(", ".join([f"Taken back: {undone.doing.what}{job} of {undone.doing.at}", *undone.marks]))


def _how_many(_said: int | None, _field: str, answer: str) -> int:
    try:
        return parse_quantity(answer)
    except Refused as refused:
        raise ProblemsFound([Problem.at("--quantity", refused)]) from None


def _told(what: str, pieces: tuple[actions.Standing, ...], rack: actions.Rack, as_json: bool) -> None:
    if as_json:
        print_json({"pieces": [standing_values(piece) for piece in pieces]})
    else:
        print_text("\n".join(f"{what}: {rack_line(piece, rack.workshop.printing)}" for piece in pieces))
