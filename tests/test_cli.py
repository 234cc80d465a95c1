"""The entry point of the command: what is loaded before Ctrl-C is seen to, and a stop in those milliseconds."""

from __future__ import annotations

from tests.test_cli_process import STOPPED, ended


def test_the_entry_loads_next_to_nothing() -> None:
    """Until Ctrl-C is seen to, it would end in a trace."""
    script = "import sys\nimport cutplan.cli\nprint(*sorted(name for name in sys.modules if 'cutplan' in name))"
    _, out, _ = ended(script)
    own = [name for name in out.split() if not name.startswith("__editable__")]
    words = ["cutplan.words", "cutplan.words.stop_words"]  # two sentences and no import
    assert own == ["cutplan", "cutplan.cli", "cutplan.cli.process", *words]


def test_what_is_loaded_before_ctrl_c_is_seen_to_is_little() -> None:
    """What the package itself adds to a bare interpreter: no typing, no regular expressions."""
    script = "import sys\nbefore = set(sys.modules)\nimport cutplan\nprint(*sorted(set(sys.modules) - before))"
    assert set(ended(script)[1].split()) - {"__future__"} == {"cutplan"}, "an installed package may have loaded that"


def test_a_stop_while_the_first_module_loads() -> None:
    script = (
        "import sys\n"
        "def stop(event, args):\n"
        "    if event == 'import' and args[0] == 'cutplan.cli.process':\n"
        "        raise KeyboardInterrupt\n"
        "sys.addaudithook(stop)\n"
        "from cutplan.cli import main\n"
        "main()\n"
    )
    assert ended(script) == STOPPED
