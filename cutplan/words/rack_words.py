"""The rack in words: lists, lines and histories."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from cutplan.units import Length, Printing, angle_text, length_text, mass_text, mm_text, money_text, stock_text
from cutplan.words.naming import material_name, time_text

if TYPE_CHECKING:
    from pathlib import Path

    from cutplan.rack.backup import Lost, Restored
    from cutplan.rack.handling import Undone
    from cutplan.rack.pieces import Hold, Life, Material, Movement, Standing, State
    from cutplan.rack.replay import Balance
    from cutplan.sections import Section


def rack_list(pieces: Sequence[Standing], how: Printing) -> str:
    """Pieces as a table, one line each, below a line per section."""
    if not pieces:
        return "Nothing like that is on the rack."
    lines: list[str] = []
    section = ""
    for piece in pieces:
        if material_name(piece.material, how) != section:
            section = material_name(piece.material, how)
            lines.append(section)
        lines.append(f"  {_columns(piece, how)}")
    count = sum(piece.quantity for piece in pieces)
    length = sum(piece.quantity * piece.state.length for piece in pieces)
    together = stock_text(length, how)
    return "\n".join([*lines, f"{count} {'piece' if count == 1 else 'pieces'}, {together} in total."])


def _columns(piece: Standing, how: Printing) -> str:
    state = piece.state
    count = f"{piece.quantity} x " if piece.quantity != 1 else ""
    rest = [
        f"place {state.place}" if state.place else "no place",
        state.grade or "grade unknown",
        *_extras(state, how),
        *_holds(piece),
    ]
    return f"{piece.mark:<6}{count + length_text(state.length, how):>14}  {', '.join(rest)}"


def rack_line(piece: Standing, how: Printing) -> str:
    """A piece in one line."""
    state = piece.state
    count = f"{piece.quantity} x " if piece.quantity != 1 else ""
    parts = [piece.mark, material_name(piece.material, how), f"{count}{length_text(state.length, how)}"]
    return ", ".join([*parts, state.grade or "grade unknown", *_extras(state, how), *_place(state), *_holds(piece)])


def _place(state: State) -> list[str]:
    return [f"place {state.place}"] if state.place else []


def ends_text(state: State) -> str:
    """Which ends a piece has; blank where both are sawn square."""
    ends = [
        f"{end.value}{f' {angle_text(angle)} deg' if angle else ''}"
        for end, angle in ((state.end_a, state.angle_a), (state.end_b, state.angle_b))
    ]
    return "" if ends == ["sawn", "sawn"] else f"ends {' and '.join(ends)}"


def long_point_text(state: State, how: Printing) -> str:
    """How long a piece with a slanted end is to its long point; blank where that is not known, or its end is square."""
    return f"{length_text(state.longest, how)} to its long point" if state.longest != state.length else ""


def _extras(state: State, how: Printing) -> list[str]:
    """What is not as usual: ends, heat number, certificate, wall."""
    told = [text for text in (ends_text(state), long_point_text(state, how)) if text]
    told += [f"heat {state.heat_number}"] if state.heat_number else []
    told += [f"certificate {state.certificate}"] if state.certificate else []
    told += [f"wall {mm_text(state.wall)} mm"] if state.wall is not None else []
    told += [f"photo {state.photo}"] if state.photo else []
    return told


def _holds(piece: Standing) -> list[str]:
    return [
        f"{f'{hold.quantity} ' if piece.quantity > 1 else ''}held for {hold.job} up to {hold.until}"
        for hold in piece.holds
    ]


def ledger_begun(path: Path) -> str:
    """That there was no ledger, and where one now is."""
    return f"A new ledger is begun: {path}"


def listed_square(pieces: Sequence[Standing]) -> list[str]:
    """What a rack file has no column for: that an end is slanted. A sentence, or none."""
    marks = _slanted(pieces)
    return [f"Slanted, and as long as listed once that end is sawn square: {marks}."] if marks else []


def measured_short(pieces: Sequence[Standing]) -> list[str]:
    """Which pieces are not measured from end to end when stock is taken. A sentence, or none."""
    marks = _slanted(pieces)
    return [f"Slanted, and measured to the short point: {marks}."] if marks else []


def _slanted(pieces: Sequence[Standing]) -> str:
    return ", ".join(piece.mark for piece in pieces if piece.state.angle_a or piece.state.angle_b)


def ended_holds(what: str, holds: Sequence[Hold]) -> list[str]:
    """What is promised to a job no longer, because it is not there; a line each."""
    return [f"{what}: {hold.quantity} held for {hold.job} no longer; plan {hold.job} again" for hold in holds]


def counted_on(what: str, holds: Sequence[Hold], before: Length, how: Printing) -> list[str]:
    """The jobs that a piece is held for, which was as long as ``before`` when they were planned; a line each."""
    length = length_text(before, how)
    return [f"{what}: held for {hold.job}, whose plan counts on {length}; plan it again" for hold in holds]


def done_text(what: str, piece: Standing, how: Printing) -> str:
    """What was done to a piece, and the holds that ended with it."""
    return "\n".join([f"{what}: {rack_line(replace(piece, holds=()), how)}", *ended_holds(piece.mark, piece.holds)])


def corrected_text(before: Standing, after: Standing, how: Printing) -> str:
    """A piece before and after it was put right, and the jobs whose plans that touches."""
    lines = [f"Was: {rack_line(before, how)}", f"Now: {rack_line(replace(after, holds=()), how)}"]
    if after.mark != before.mark:
        return "\n".join([*lines, *ended_holds(before.mark, after.holds)])
    return "\n".join([*lines, *counted_on(after.mark, after.holds, before.state.longest, how)])


def rack_life(life: Life, how: Printing) -> str:
    """A piece from its coming to its going, a movement a line."""
    lines = [f"{life.mark}: {material_name(life.material, how)}"]
    if life.parent:
        lines.append(f"  cut from {life.parent}")
    lines += [f"  {_movement(movement, how)}" for movement in life.movements]
    if life.children:
        lines.append(f"  cut into {', '.join(life.children)}")
    where = life.movements[-1].state.place
    at = f" at {where}" if where else ""
    lines.append(f"  now: {f'{life.on_hand} on the rack{at}' if life.on_hand else 'not on the rack'}")
    return "\n".join(lines)


def _movement(movement: Movement, how: Printing) -> str:
    doing, state, split = movement.doing, movement.state, movement.split
    told = [f"{movement.kind.value}{f' {movement.quantity:+d}' if movement.quantity else ''}"]
    told.append(length_text(state.length, how))
    if doing.job:
        told.append(f"job {doing.job}{f', bar {movement.bar}' if movement.bar else ''}")
    for word, length in (("parts", split.parts), ("kerf and trim", split.kerf_and_trim), ("scrap", split.scrap)):
        if length:
            told.append(f"{word} {length_text(length, how)}")
    told += [f"place {state.place}"] if state.place else []
    told += [text for text in (movement.note, f"reason: {doing.reason}" if doing.reason else "") if text]
    who = f", {doing.who}" if doing.who else ""
    return f"{time_text(doing.at)}{who}: {', '.join(told)}{' (taken back)' if movement.undone else ''}"


def old_text(found: Sequence[tuple[Standing, int, int]], how: Printing, currency: str) -> str:
    """What has lain long: a piece a line, with the day it came, its mass and what scrap pays for it."""
    if not found:
        return "Nothing has been on the rack that long."
    lines = []
    for piece, mass, money in found:
        weight, paid = mass_text(mass, how), f"{money_text(money)} {currency}"
        lines.append(f"{piece.since[:10]}  {rack_line(piece, how)}: {weight}, scrap pays {paid}")
    together = mass_text(sum(mass for _, mass, _ in found), how)
    paid = f"{money_text(sum(money for _, _, money in found))} {currency}"
    return "\n".join([*lines, f"Total {together}, scrap pays {paid}."])


def balance_text(material: Material, balance: Balance, section: Section | None, how: Printing) -> str:
    """Where the steel of a section went, in length and mass."""
    went = (
        ("came", balance.came_in),
        ("on the rack", balance.on_hand),
        ("parts", balance.parts),
        ("kerf and trim", balance.kerf_and_trim),
        ("scrap", balance.scrap),
    )
    told = [
        f"{what} {length_text(length, how)}{f', {mass_text(section.mass_of(length), how)}' if section else ''}"
        for what, length in went
        if length or what == "came"
    ]
    unknown = () if section else ("its mass is not known, because cutplan knows no such section",)
    return f"{material_name(material, how)}: {'; '.join((*told, *unknown))}"


def undone_text(undone: Undone) -> str:
    """What was taken back, and the marks it moved."""
    job = f" for {undone.doing.job}" if undone.doing.job else ""
    return ", ".join([f"Taken back: {undone.doing.what}{job} of {time_text(undone.doing.at)}", *undone.marks])


def restored_text(done: Restored) -> str:
    """What putting a copy back came to: where the other is, and what has to be done again."""
    lines = [f"What was there is kept as {done.kept}."] if done.kept else []
    if not done.readable:
        why = "It could not be read" if done.kept else "There was no ledger"
        lines.append(
            f"{why}, so that what was done since the copy is not known. New marks begin far beyond those of the copy; "
            "pieces that came since are added again under the mark painted on them."
        )
    if done.lost:
        lines.append("Done since the copy and not in it. Do again what is still true:")
        lines += [f"  {_deed(each)}" for each in done.lost]
    return "\n".join(lines)


def _deed(lost: Lost) -> str:
    doing = lost.doing
    words = (" ".join((doing.what, *lost.marks)), doing.job and f"job {doing.job}", doing.reason, doing.who)
    return f"{time_text(doing.at)}: {', '.join(word for word in words if word)}"
