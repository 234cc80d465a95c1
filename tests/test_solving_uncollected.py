"""The collector is put off and back on, whatever happens inside."""

import gc

import pytest

from cutplan.solving.uncollected import uncollected


def test_the_collector_rests_and_goes_on() -> None:
    with uncollected():
        assert not gc.isenabled()
    assert gc.isenabled()


def test_the_collector_goes_on_after_an_interruption() -> None:
    with pytest.raises(KeyboardInterrupt), uncollected():
        raise KeyboardInterrupt
    assert gc.isenabled()


def test_a_collector_that_the_caller_stopped_stays_stopped() -> None:
    gc.disable()
    try:
        with uncollected(), uncollected():
            pass
        assert not gc.isenabled()
    finally:
        gc.enable()
