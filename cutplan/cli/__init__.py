"""The command line: words around :mod:`cutplan.actions`, and nothing else.

Results go to stdout, messages to stderr. Exit codes: 0 done, 1 bad input, 2 wrong usage, 3 no plan possible,
4 the checker refused, 5 stopped with a plan, 70 a fault in the program, 130 stopped without a plan.

Only :func:`main` comes with the package: the commands, and all that they need, are loaded once it has seen to Ctrl-C.
"""

try:
    from cutplan.cli.process import running
except KeyboardInterrupt:  # in the few milliseconds before main sees to it
    import sys

    from cutplan.words.stop_words import NOTHING_WRITTEN

    print(NOTHING_WRITTEN, file=sys.stderr)
    raise SystemExit(130) from None

__all__ = ["main"]


def main() -> None:
    """Entry point of the ``cutplan`` command."""
    with running():
        from cutplan.cli.commands import app

        app()
