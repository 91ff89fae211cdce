"""The garbage collector at rest, and looking only at what is new."""

from __future__ import annotations

import gc
import weakref

import pytest

from buildlog.basics.collecting import collected_anew, uncollected


class Circle:
    """Holds itself."""

    def __init__(self) -> None:
        self.me = self


def test_nothing_is_looked_through_and_then_again_as_before() -> None:
    assert gc.isenabled()
    with uncollected():
        assert not gc.isenabled()
        lost = weakref.ref(Circle())
        _ = [[] for _ in range(100_000)]
        assert lost() is not None
    assert gc.isenabled()


def test_what_is_new_is_looked_through_and_what_was_there_is_not() -> None:
    with uncollected():
        old = weakref.ref(Circle())
        with collected_anew():
            assert gc.isenabled() and gc.get_freeze_count() > 0
            new = weakref.ref(Circle())
            _ = [[] for _ in range(100_000)]
            gc.collect()
            assert new() is None and old() is not None
        assert not gc.isenabled() and gc.get_freeze_count() == 0
    gc.collect()
    assert old() is None


def test_it_is_as_it_was_after_trouble() -> None:
    with pytest.raises(ZeroDivisionError), uncollected(), collected_anew():
        raise ZeroDivisionError
    assert gc.isenabled() and gc.get_freeze_count() == 0
