"""A small list in a folder with the files its workshop names."""

from __future__ import annotations

from pathlib import Path

from tests.input_files import PARTS, PRICES, write_csv

RACK = (("Mark", "Section", "Length"), ("R1", "SHS 40x40x3", 1500))


def lay_out(folder: Path) -> Path:
    folder.mkdir(parents=True)
    write_csv(folder / "prices.csv", PRICES)
    write_csv(folder / "rack.csv", RACK)
    (folder / "workshop.toml").write_text('[files]\nprices = "prices.csv"\nrack = "rack.csv"\n', encoding="utf-8")
    return write_csv(folder / "gate.csv", PARTS)
