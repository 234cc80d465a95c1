"""The workshop file as a form."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.problems import ProblemsFound
from tests.source_code import ROOT

pytestmark = pytest.mark.usefixtures("parts")
FILE = Path("workshop.toml")


def typed() -> dict[str, str]:
    return {key.name: key.typed for key in actions.workshop_keys()[1]}


def test_what_is_typed_is_what_the_file_says() -> None:
    assert typed()["files.prices"] == "prices.csv"
    actions.workshop_save({**typed(), "saw.kerf": "3 mm", "tax.percent": "21", "saw.share_mitres": "no"})
    shop = actions.find_rack(workshop=FILE).workshop
    assert (shop.saw.kerf, shop.saw.share_mitres) == (3_000_000, False)
    assert typed()["tax.percent"] == "21"
    actions.workshop_save({**typed(), "saw.kerf": ""})
    assert "kerf" not in FILE.read_text()


def test_the_sample_stays_as_it_is_where_nothing_is_changed() -> None:
    text = (ROOT / "inputs/workshop.toml").read_text(encoding="utf-8")
    FILE.write_text(text)
    actions.workshop_save(typed())
    assert FILE.read_text() == text
    actions.workshop_save({**typed(), "saw.end_trim": "12 mm"})
    assert FILE.read_text() == text.replace('end_trim = "10 mm" ', 'end_trim = "12 mm" ')


def test_what_would_be_wrong_is_refused_and_not_written() -> None:
    before = FILE.read_bytes()
    with pytest.raises(ProblemsFound):
        actions.workshop_save({"saw.kerf": "thick"})
    assert FILE.read_bytes() == before
    assert list(Path().glob(".*")) == []


@pytest.mark.parametrize("key", ["files.prices", "files.rack", "files.ledger"])
@pytest.mark.parametrize("outside", ["../other.csv", "{folder}/other.csv", "link/other.csv"])
def test_a_file_outside_the_folder_is_not_named_by_a_page(
    key: str, outside: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """A phone is let into the folder, and the workshop file says what else is read and written."""
    before = FILE.read_bytes()
    away = tmp_path_factory.mktemp("away")
    Path("link").symlink_to(away)
    said = outside.format(folder=away)
    with pytest.raises(ProblemsFound) as refused:
        actions.workshop_save({**typed(), key: said})
    (problem,) = refused.value.problems
    assert (problem.where, problem.found, problem.code) == (f'workshop.toml, key "{key}"', said, "bench.outside")
    assert FILE.read_bytes() == before


def test_a_file_outside_that_the_workshop_file_names_already_stays() -> None:
    FILE.write_text('[files]\nprices = "../prices.csv"\n')
    actions.workshop_save({**typed(), "workshop.name": "12", "files.rack": "inner/rack.csv"})
    assert (typed()["files.prices"], typed()["files.rack"]) == ("../prices.csv", "inner/rack.csv")


def test_of_two_workshop_files_none_is_taken() -> None:
    Path("workshop-2.toml").write_text("")
    with pytest.raises(ProblemsFound, match="workshop files"):
        actions.workshop_keys()


def test_where_there_is_none_it_is_begun() -> None:
    FILE.unlink()
    assert actions.workshop_save({"workshop.name": "12"}) == "workshop.toml"
    assert FILE.read_text() == '[workshop]\nname = "12"\n'


def test_the_one_of_a_folder_further_up_is_left_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    before = FILE.read_bytes()
    Path("inner").mkdir()
    monkeypatch.chdir("inner")
    with pytest.raises(ProblemsFound, match="the one of a folder further up"):
        actions.workshop_save({"workshop.name": "12"})
    assert (Path("..") / FILE).read_bytes() == before
    assert list(Path().iterdir()) == []


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_line_ends_permissions_and_a_link_stay(mark: bytes) -> None:
    before = mark + b'# ours\r\n[saw]\r\nkerf = "2.5 mm" # thin\r\n'
    real = Path("kept.toml")
    real.write_bytes(before)
    real.chmod(0o640)
    FILE.unlink()
    FILE.symlink_to(real)
    actions.workshop_save({**typed(), "saw.kerf": "3 mm", "saw.end_trim": "12 mm"})
    lines = [b"# ours", b"[saw]", b'kerf = "3 mm" # thin', b'end_trim = "12 mm"', b""]
    assert real.read_bytes() == mark + b"\r\n".join(lines)
    assert real.stat().st_mode & 0o777 == 0o640
    assert FILE.is_symlink()
