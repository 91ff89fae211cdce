"""Fingerprints by a published value, and what they do and do not mind."""

from __future__ import annotations

import hashlib
import io

from hypothesis import given
from hypothesis import strategies as st

from buildlog.basics.fingerprints import fingerprint, text_fingerprint

# FIPS 180-4, as `printf 'hello\n' | sha256sum` gives it.
HELLO = "5891b5b522d5df086d0ff0b110fbd9d21bb4fc7163af34d08286a2e846f6be03"


def test_it_is_what_sha256sum_gives() -> None:
    assert fingerprint(io.BytesIO(b"hello\n")) == text_fingerprint(b"hello\n") == HELLO


def test_line_ends_and_the_mark_are_no_change_of_a_text() -> None:
    assert text_fingerprint(b"\xef\xbb\xbfhello\r\n") == HELLO
    assert text_fingerprint(b"hello\n\n") != HELLO
    assert text_fingerprint(b"hello\r") != HELLO
    assert fingerprint(io.BytesIO(b"hello\r\n")) != HELLO


@given(st.text(st.characters(blacklist_characters="\r\ufeff", blacklist_categories=("Cs",))))
def test_a_text_has_one_fingerprint_on_every_system(text: str) -> None:
    plain = hashlib.sha256(text.encode()).hexdigest()
    assert text_fingerprint(text.encode()) == plain
    assert text_fingerprint(text.replace("\n", "\r\n").encode("utf-8-sig")) == plain
