"""What a copy of the process does beside it is what one process would have done."""

from __future__ import annotations

import os
import sys
import threading

import pytest

from buildlog.basics.beside import both, can_be, shared_out

needs_copies = pytest.mark.skipif(sys.platform != "linux", reason="copies are made on Linux only")


def squared(number: int) -> int:
    return number * number


@pytest.mark.parametrize("beside", [False, pytest.param(True, marks=needs_copies)])
@pytest.mark.parametrize("count", [0, 1, 2, 255])
def test_every_job_is_done_and_told_in_order(count: int, beside: bool) -> None:
    met: list[str] = []
    found = shared_out(list(range(count)), squared, beside=beside, meanwhile=lambda: met.append("met"))
    assert found == [squared(number) for number in range(count)]
    assert met == ["met"]


@needs_copies
def test_two_processes_share_the_jobs() -> None:
    """Each has one job, and does not end it before the other has begun."""
    here, (begun, begin), (ended, end) = os.getpid(), os.pipe(), os.pipe()

    def where(_: int) -> int:
        if os.getpid() == here:
            os.write(end, b"x")
        else:
            os.write(begin, b"x")
            os.read(ended, 1)
        return os.getpid()

    found = shared_out(range(2), where, beside=True, meanwhile=lambda: os.read(begun, 1))
    assert found[1] == here != found[0]


@needs_copies
def test_what_a_copy_leaves_undone_is_done_here() -> None:
    here = os.getpid()

    def dies(number: int) -> int:
        if os.getpid() != here:
            os._exit(3)
        return number

    def cannot_be_sent(number: int) -> object:
        return number if os.getpid() == here else lambda: number

    assert shared_out(range(9), dies, beside=True) == list(range(9))
    assert shared_out(range(9), cannot_be_sent, beside=True) == list(range(9))
    assert both(lambda: dies(4), lambda: 5, beside=True) == (4, 5)


@pytest.mark.parametrize("beside", [False, pytest.param(True, marks=needs_copies)])
def test_what_a_job_raises_is_raised_here(beside: bool) -> None:
    def fails(number: int) -> int:
        if number == 7:
            raise ZeroDivisionError
        return number

    with pytest.raises(ZeroDivisionError):
        shared_out(range(9), fails, beside=beside)
    with pytest.raises(ZeroDivisionError):
        both(lambda: fails(7), lambda: 5, beside=beside)
    with pytest.raises(ZeroDivisionError):
        both(lambda: 5, lambda: fails(7), beside=beside)


def test_more_jobs_than_can_be_drawn_are_refused() -> None:
    if sys.platform == "linux":
        with pytest.raises(ValueError, match="255"):
            shared_out(range(256), squared, beside=True)


def test_a_process_with_threads_is_not_copied() -> None:
    end = threading.Event()
    other = threading.Thread(target=end.wait)
    other.start()
    assert not can_be()
    end.set()
    other.join()
