"""The same folder gives the same bytes, wherever and whenever; an edit built into the old site equals a clean build."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.whole.conftest import DEMO, ROOT

pytestmark = [pytest.mark.whole]


def publish(project: Path, target: Path, cache: Path, **env: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "buildlog", "publish", "--project", str(project), "--to", str(target)],
        check=False,
        capture_output=True,
        text=True,
        cwd=env.pop("cwd", str(ROOT)),
        env={**os.environ, "XDG_CACHE_HOME": str(cache), "PYTHONPATH": str(ROOT), **env},
    )


def fingerprint(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_another_folder_time_zone_locale_and_hash_seed(tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere" / "\u00fcber dem Hangar"
    shutil.copytree(DEMO, elsewhere)
    one = publish(DEMO, tmp_path / "one", tmp_path / "cache1", PYTHONHASHSEED="1", TZ="America/Los_Angeles", LC_ALL="C")
    two = publish(
        elsewhere,
        tmp_path / "two",
        tmp_path / "cache2",
        PYTHONHASHSEED="99",
        TZ="Pacific/Kiritimati",
        LC_ALL="C.UTF-8",
        cwd=str(tmp_path),
    )
    assert one.returncode == two.returncode == 0, one.stderr + two.stderr
    assert fingerprint(tmp_path / "one") == fingerprint(tmp_path / "two")


def test_an_edit_built_into_the_old_site_equals_a_clean_build(tmp_path: Path) -> None:
    project = tmp_path / "project"
    shutil.copytree(DEMO, project)
    cache = tmp_path / "cache"
    assert publish(project, tmp_path / "site", cache).returncode == 0
    entry = next((project / "log").rglob("2026-09-12-*.md"))
    entry.write_text(
        entry.read_text("utf-8").replace("title:", "title: Edited,", 1).replace('title: Edited, "', 'title: "Edited, ')
    )
    next((project / "log").rglob("2026-08-15-*.md")).unlink()
    photo = project / "photos" / "04_mouse_nest_in_rib_bay.jpg"
    shutil.copy(project / "photos" / "03_wing_skeleton_on_trestles.jpg", photo)
    again = publish(project, tmp_path / "site", cache)
    assert again.returncode == 0, again.stderr
    assert publish(project, tmp_path / "clean", tmp_path / "cache2").returncode == 0
    assert fingerprint(tmp_path / "site") == fingerprint(tmp_path / "clean")


def test_an_error_leaves_the_site_as_it_was(tmp_path: Path) -> None:
    project = tmp_path / "project"
    shutil.copytree(DEMO, project, ignore=shutil.ignore_patterns("photos", "documents", "log"))
    (project / "decisions").rename(tmp_path / "away")
    for name in ("history.yaml", "components.yaml", "plan.yaml", "checks.yaml", "directives.yaml", "pages", "ledgers"):
        shutil.rmtree(project / name) if (project / name).is_dir() else (project / name).unlink()
    (project / "log").mkdir()
    entry = project / "log" / "2026-01-01-x.md"
    entry.write_text("---\ntitle: x\ndate: 2026-01-01\n---\nWords.\n")
    assert publish(project, tmp_path / "site", tmp_path / "cache").returncode == 0
    before = fingerprint(tmp_path / "site")
    entry.write_text("---\ntitle: x\ndate: 2026-01-1\n---\nOther words.\n")
    broken = publish(project, tmp_path / "site", tmp_path / "cache")
    assert broken.returncode == 1
    assert "log/2026-01-01-x.md:3:7: error broken-date" in broken.stderr
    assert "nothing was published" in broken.stderr
    assert fingerprint(tmp_path / "site") == before


def test_the_builders_folder_is_never_touched(tmp_path: Path) -> None:
    project = tmp_path / "project"
    shutil.copytree(DEMO, project)
    before = fingerprint(project)
    assert publish(project, tmp_path / "site", tmp_path / "cache").returncode == 0
    assert fingerprint(project) == before
