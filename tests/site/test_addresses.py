"""Names of files in a site: the short way says what the long way says."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.site import addresses
from buildlog.site.addresses import folded, problem_of

PARTS = st.sampled_from(
    ["con", "aux", "com1", "com12", "nul.x", "a", "a.html", "x-1", "A", "", ".", "..", "b.", "c d", "\u00e9", "a:b"]
)


@given(parts=st.lists(PARTS, min_size=1, max_size=4), odd=st.text(alphabet="a1/._-cnou ", max_size=6))
def test_a_plain_name_has_no_problem(parts: list[str], odd: str) -> None:
    for name in ("/".join(parts), odd, "/".join([*parts, odd])):
        with pytest.MonkeyPatch.context() as patch:
            short = problem_of(name)
            patch.setattr(addresses, "_PLAIN", re.compile(r"(?!)"))
            assert short == problem_of(name)


def test_most_names_are_plain() -> None:
    for name in ("index.html", "log/2026-01-01-x.html", "photos/0123456789abcdef-1600.jpg", "look/hangar.css"):
        assert addresses._PLAIN.fullmatch(name)


@given(st.text(max_size=8))
def test_a_name_is_folded_once(name: str) -> None:
    assert folded(folded(name)) == folded(name)
    assert folded(name.swapcase()) == folded(name) or not name.isascii()
