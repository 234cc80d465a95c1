"""Every key of a workshop is in words, under the name it has in a workbook."""

from __future__ import annotations

from cutplan.reading.jobbook import BLOCK_SHEETS, FAMILY_TABLES, words_of
from cutplan.reading.workshop.workshop_keys import KEYS, TRUTHS
from cutplan.writing.setting_words import BLOCKS, FAMILY_MEANINGS, SETTINGS, YES_NO
from cutplan.writing.settingsheets import setting_keys


def test_every_key_is_in_words() -> None:
    plain = {key for key in KEYS if key.split(".")[0] not in (*FAMILY_TABLES, *BLOCK_SHEETS)}
    assert plain == set(SETTINGS) == set(setting_keys())
    assert set(FAMILY_TABLES) == set(FAMILY_MEANINGS)
    assert set(BLOCKS) == {key for key in KEYS if key.split(".")[0] in BLOCK_SHEETS}


def test_columns_of_blocks_are_called_as_in_their_words() -> None:
    assert {key: words.setting for key, words in BLOCKS.items()} == {key: words_of(key) for key in BLOCKS}


def test_what_is_true_or_false_is_answered_by_yes_or_no() -> None:
    assert {key for key, words in {**SETTINGS, **BLOCKS}.items() if words.choices == YES_NO} == TRUTHS


def test_every_key_has_a_meaning() -> None:
    assert all(words.meaning for words in (*SETTINGS.values(), *BLOCKS.values()))
