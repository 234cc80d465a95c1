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


def test_what_was_made_counts_as_old_at_once() -> None:
    """So that no collection of young objects goes through it: the oldest of the three generations is index 2."""
    with uncollected():
        made = [[number] for number in range(1000)]
    young = {id(one) for generation in (0, 1) for one in gc.get_objects(generation)}
    assert not any(id(one) in young for one in made)


def test_what_the_caller_froze_stays_frozen() -> None:
    """What is frozen is in no generation, and so not among the objects that the collector lists."""
    kept: list[list[int]] = [[]]
    gc.freeze()
    try:
        with uncollected():
            pass
        assert gc.get_freeze_count() > 0
        assert not any(one is kept for one in gc.get_objects())
    finally:
        gc.unfreeze()
