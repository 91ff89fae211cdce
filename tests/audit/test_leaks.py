"""What may not be seen is found in every piece of text, on its line, and nowhere else."""

from __future__ import annotations

import re
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from buildlog.audit.leaks import whole_words
from buildlog.audit.run import audit
from buildlog.figures.figures import figures
from tests.making import entry, read

WORDS = st.lists(st.text("aB.é_ -(", min_size=1, max_size=4).filter(str.strip), min_size=1, max_size=4)


@given(words=WORDS, text=st.text("aB.é_ -(\n", max_size=30))
def test_whole_words_are_found_as_by_looking_round_each(words: list[str], text: str) -> None:
    plainly = re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, words))})(?!\w)")
    assert [found.span() for found in re.finditer(whole_words(words), text)] == [
        found.span() for found in plainly.finditer(text)
    ]


TEXT = """\
title: Example came
date: 2026-07-04
system: electrical
summary: with nobody
measured: [{what: Play by Example, value: 2 mm}]
"""
PROSE = """
Nobody yet.
Example said no, and Example meant it; Examples are no Example_s.

![box](photos/a.jpg "as Example saw it")

```
Example
```
"""


def test_each_place_is_told(tmp_path: Path) -> None:
    made = read(tmp_path, {"log/2026-07-04-x.md": entry(TEXT, PROSE), "photos/a.jpg": "x"})
    worked, _ = figures(made.logbook)
    found = [problem for problem in audit(worked) if problem.name == "secret-in-words"]
    lines = (tmp_path / "log/2026-07-04-x.md").read_text("utf-8").splitlines()
    assert all(problem.message.startswith("'Example' is a name") for problem in found)
    told = sorted(lines[problem.place.line - 1] for problem in found if problem.place.line > 8)
    said = "Example said no, and Example meant it; Examples are no Example_s."
    box = '![box](photos/a.jpg "as Example saw it")'  # its words, and its title once more
    assert told == [box, box, said, said, "```"]
    assert len(found) == 7, [str(problem) for problem in found]
