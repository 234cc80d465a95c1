"""plan.html: the printed plan as one file that any browser shows and prints; it asks nothing of a network.

The sheets are those of plan.pdf, word for word, and the drawings are the same SVG.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from html import escape
from pathlib import Path
from typing import Any

from cutplan.model import Job, Plan
from cutplan.reports.paper.plan_pdf import plan_data
from cutplan.reports.rows import rows_of

_LOOK = """
body { font: 15px/1.35 "DejaVu Sans Condensed", "DejaVu Sans", Verdana, sans-serif; color: #000; background: #fff;
  max-width: 60em; margin: 1em auto; padding: 0 1em; }
header { border-bottom: 2px solid; display: flex; gap: 2em; font-size: 18px; } header b { flex: 1; }
h1 { font-size: 30px; margin: 1.2em 0 .3em; } h2 { font-size: 19px; border-bottom: 2px solid; margin: 1.2em 0 .4em; }
h3 { font-size: 18px; display: inline-block; margin: .8em .6em .3em 0; }
.tab, h3 { background: #000; color: #fff; padding: .1em .5em; }
table { border-collapse: collapse; width: 100%; margin: .4em 0; }
th { font-size: 11px; text-align: left; vertical-align: bottom; border-bottom: 2px solid; }
th, td { padding: .25em .5em .25em .2em; } td { border-bottom: 1px solid; vertical-align: middle; }
.right { text-align: right; } .length { font-size: 28px; font-weight: bold; } .running { font-size: 18px; }
.mark { font-size: 18px; font-weight: bold; } small { font-size: 11px; } td.turn { background: #000; color: #fff; }
.box { display: inline-block; min-width: 1.3em; height: 1.3em; border: 1.5px solid;
  margin-right: .3em; font-size: 12px; }
.write { display: inline-block; min-width: 6em; border-bottom: 1px solid; }
.cautions { border: 2px solid; padding: .5em; }
svg { width: 100%; height: auto; } section.bar { break-inside: avoid; margin-bottom: 1.2em; }
@media print { body { max-width: none; margin: 0; } section.new { break-before: page; } }
"""


def write_plan_html(job: Job, plan: Plan, path: Path, fingerprint: str) -> None:
    """Write the page; raises OSError when the file cannot be written."""
    path.write_bytes(plan_html(job, plan, fingerprint).encode("utf-8", "replace"))


def plan_html(job: Job, plan: Plan, fingerprint: str) -> str:
    """The page; ``fingerprint`` as for the printed plan."""
    data = plan_data(rows_of(job, plan), fingerprint, keep_widths=True)
    head = f"<header><b>{escape(data['job'])}</b><span>plan <b>{escape(fingerprint)}</b></span></header>"
    return "\n".join(
        [
            '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{escape(data['title'])}</title><style>{_LOOK}</style></head><body>",
            head,
            *(line for sheet in data["sheets"] for line in _sheet(sheet)),
            "</body></html>",
            "",
        ]
    )


def _sheet(sheet: Mapping[str, Any]) -> Iterable[str]:
    new = ' class="new"' if sheet["new-page"] else ""
    yield f'<section{new}><h1><span class="tab">{sheet["step"]}</span> {escape(sheet["title"])}</h1>'
    yield from _paragraphs(sheet["lines"])
    yield from _KINDS[sheet["kind"]](sheet)
    yield "</section>"


def _paragraphs(lines: Iterable[str]) -> list[str]:
    return [f"<p>{escape(line)}</p>" for line in lines]


def _listing(sheet: Mapping[str, Any]) -> Iterable[str]:
    for part in sheet["parts"]:
        if part["title"]:
            yield f"<h2>{escape(part['title'])}</h2>"
        yield from _paragraphs(part["before"])
        if part["rows"]:
            yield "<table><tr>"
            heads = zip(part["heads"], part["sides"], strict=True)
            yield "".join(f'<th class="{side}">{escape(head)}</th>' for head, side in heads)
            yield "</tr>"
            for row in part["rows"]:
                cells = zip(row, part["sides"], strict=True)
                yield "<tr>" + "".join(f'<td class="{side}">{_cell(cell)}</td>' for cell, side in cells) + "</tr>"
            yield "</table>"
        yield from _paragraphs(part["after"])


def _cell(cell: str | Mapping[str, Any]) -> str:
    if isinstance(cell, str):
        return escape(cell)
    match cell["kind"]:
        case "tick":
            return _box()
        case "ticks":
            return _box() * int(cell["count"])
        case "tally":
            return f'<span class="write"><small>tally of {cell["count"]}</small></span>'
        case "blank":
            return '<span class="write">&nbsp;</span>'
    return f"<b>{escape(cell['text'])}</b>"


def _box(words: str = "") -> str:
    return f'<span class="box">{escape(words)}</span>'


def _cut(sheet: Mapping[str, Any]) -> Iterable[str]:
    yield '<div class="cautions">'
    yield from (f"<p><b>{escape(line)}</b></p>" for line in sheet["cautions"])
    yield f"<small>{escape(' '.join(sheet['general']))}</small></div>"
    for group in sheet["groups"]:
        yield f"<h2>{escape(group['title'])}</h2>"
        for block in group["blocks"]:
            yield '<section class="bar">'
            yield from _bar(block)
            yield "</section>"


def _marking(sheet: Mapping[str, Any]) -> Iterable[str]:
    yield f'<div class="cautions">{escape(sheet["caution"])}</div>'
    for card in sheet["cards"]:
        yield '<section class="bar">'
        yield f"<h3>{escape(card['mark'])}</h3><b>{escape(card['pieces'])}</b> "
        yield f"{escape(card['what'])} {escape(card['length'])}"
        yield from _paragraphs(card["looks"])
        yield card["svg"]
        marks = ("face", "count", "places", "across", "hole", "note")
        yield from _table(("side", "", "from end A", "across", "hole", "note"), marks, card["marks"])
        if card["drills"]:
            heads = (
                "drill",
                "each",
                "in all",
                "nearest metric drill",
                "nearest inch drill",
                "size after",
                "pilot first",
            )
            drills = ("hole", "each", "all", "metric", "inch", "standard", "pilot")
            yield from _table(heads, drills, card["drills"])
        yield from _paragraphs((*card["jigs"], *card["cautions"]))
        yield "</section>"


def _table(heads: Iterable[str], names: Sequence[str], rows: Iterable[Mapping[str, str]]) -> Iterable[str]:
    yield "<table><tr>" + "".join(f"<th>{escape(head)}</th>" for head in heads) + "</tr>"
    for row in rows:
        yield "<tr>" + "".join(f"<td>{escape(row[name])}</td>" for name in names) + "</tr>"
    yield "</table>"


_KINDS = {"listing": _listing, "cut": _cut, "marking": _marking}


def _bar(block: Mapping[str, Any]) -> Iterable[str]:
    one = len(block["bars"]) == 1
    yield f"<h3>{escape(block['title'])}</h3>{escape(block['source'])}, {escape(block['weight'])}"
    yield f"<div>{escape(block['trim'])}</div>"
    yield block["svg"]
    yield '<table><tr><th>No.</th><th>part</th><th class="right">PIECE LENGTH</th><th class="right">from START</th>'
    yield f"<th>saw angle</th><th>clamp</th><th>spoiled? recut from</th>{'<th>cut</th>' if one else ''}</tr>"
    for cut in block["cuts"]:
        if cut["turn"]:
            yield '<tr><td colspan="8" class="turn"><b>TURN BAR end for end, clamp the part for this cut</b></td></tr>'
        assembly = f" <small>{escape(cut['assembly'])}</small>" if cut["assembly"] else ""
        twin = f"<br><small><b>{escape(cut['twin'])}</b></small>" if cut["twin"] else ""
        ends = "".join(f"<br><small>{escape(line)}</small>" for line in cut["end-lines"])
        angle = f"<b>{escape(cut['ends'])}</b>" if cut["set"] else escape(cut["ends"])
        yield (
            f'<tr><td class="right">{cut["number"]}</td>'
            f'<td><span class="mark">{escape(cut["mark"])}</span>{assembly}{twin}</td>'
            f'<td class="right length">{escape(cut["length"])}</td>'
            f'<td class="right running">{escape(cut["running"])}</td>'
            f"<td>{angle}{ends}</td><td>{escape(cut['held'])}</td><td>{escape(cut['spoiled'])}</td>"
            f"{f'<td>{_box()}</td>' if one else ''}</tr>"
        )
        if cut["remark"]:
            yield f'<tr><td></td><td colspan="7"><b>{escape(cut["remark"])}</b></td></tr>'
    yield "</table>"
    if not one:
        for number in block["bars"]:
            yield f"<div><b>bar {number}</b> {''.join(_box(cut['number']) for cut in block['cuts'])}</div>"
        if block["more-bars"]:
            yield f'<div class="write">a stroke for each of {block["more-bars"]} more bars</div>'
    yield f"<p><b>{escape(block['left-over'])}</b> <small>{escape(block['play'])}</small></p>"
    if block["keep"]:
        for number, mark in zip(block["bars"], block["reserved"], strict=True):
            named = f"<b>{escape(mark)}</b>" if mark else '<span class="write">&nbsp;</span>'
            yield f'<div>bar {number}: mark {named} measured <span class="write">&nbsp;</span></div>'
