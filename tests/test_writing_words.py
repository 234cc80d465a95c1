"""Every setting of a workshop is in words on its sheet, with the meaning and the default that the manual gives it."""

from __future__ import annotations

import re

from cutplan.reading.jobbook import BLOCK_SHEETS, FAMILY_TABLES
from cutplan.reading.workshop_keys import KEYS
from cutplan.writing.settingsheets import setting_keys
from cutplan.writing.words import FAMILY_MEANINGS, SETTINGS
from tests.manual_pages import table_below


def test_every_key_is_in_words() -> None:
    plain = {key for key in KEYS if key.split(".")[0] not in (*FAMILY_TABLES, *BLOCK_SHEETS)}
    assert plain == set(SETTINGS) == set(setting_keys())
    assert set(FAMILY_TABLES) == set(FAMILY_MEANINGS)


def test_defaults_are_those_of_the_manual() -> None:
    truths = {"true": "yes", "false": "no"}
    for row in table_below("workshop", "# The workshop file"):
        key, told = row[0].strip("`"), row[1]
        if key in SETTINGS:
            first = re.match('`"?([^`"]*)"?`', told)
            default = first[1] if first else told
            assert SETTINGS[key].default == truths.get(default, default), key


def test_meanings_of_families_are_those_of_the_manual() -> None:
    told = {row[0].strip("`"): row[2] for row in table_below("workshop", "# The workshop file")}
    for table, meaning in FAMILY_MEANINGS.items():
        assert meaning == told[f"{table}.<family>"]
