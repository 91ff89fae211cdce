"""Web copies as WebP or AVIF: silent too, the same bytes each time, and JPEG for print and share cards."""

import io
import os
from pathlib import Path

import pytest
from PIL import Image, features

from buildlog.site import darkroom
from buildlog.site.pictures import Picture, Wanted, develop
from buildlog.site.prints import cards, prints
from tests.site.test_pictures import (
    BLUE,
    GREEN,
    RED,
    SECRETS,
    YELLOW,
    corners,
    display_p3,
    encoded,
    near,
    pixel,
    stored,
    tagged,
    telling_jpeg,
)

KINDS = ("jpeg", "webp", "avif")
SEED = 1_600_000_000_000_000_000


def made(folder: Path, content: bytes, kind: str, cache: Path | None = None) -> tuple[Picture, Path]:
    source, out = folder / "picture.jpg", cache or folder / f"out-{kind}"
    source.write_bytes(content)
    os.utime(source, ns=(SEED, SEED))
    pictures, faults = develop([Wanted(source, "photos/picture.jpg")], out, cache, kind=kind)
    assert faults == []
    return pictures["photos/picture.jpg"], out


@pytest.mark.parametrize("kind", KINDS)
def test_each_format_is_upright_small_and_what_its_name_says(tmp_path: Path, kind: str) -> None:
    picture, out = made(tmp_path, encoded(stored(6), "JPEG", exif=tagged(6)), kind)
    assert [(size.width, size.height) for size in picture.sizes] == [(900, 600), (480, 320)]
    for size in picture.sizes:
        assert size.name.endswith({"jpeg": ".jpg", "webp": ".webp", "avif": ".avif"}[kind])
        with Image.open(out / size.name) as image:
            assert (image.format, image.size) == (kind.upper(), (size.width, size.height))
            upright = image.convert("RGB")
        for (across, down), colour in zip(
            ((0.1, 0.1), (0.9, 0.1), (0.1, 0.9), (0.9, 0.9)), (RED, GREEN, BLUE, YELLOW), strict=True
        ):
            assert near(pixel(upright, across, down), colour, 14)


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_of_camera_place_or_person_is_in_any_format(tmp_path: Path, kind: str) -> None:
    content, thumbnail = telling_jpeg()
    with_profile = io.BytesIO()
    with Image.open(io.BytesIO(content)) as image:
        image.save(
            with_profile, "JPEG", exif=image.info["exif"], xmp=image.info["xmp"], icc_profile=display_p3(), quality=90
        )
    for each in (content, with_profile.getvalue()):
        picture, out = made(tmp_path, each, kind)
        for size in picture.sizes:
            published = (out / size.name).read_bytes()
            assert not [secret for secret in SECRETS if secret in published]
            assert thumbnail not in published
            assert not [
                mark
                for mark in (b"Exif", b"EXIF", b"XMP ", b"xmp", b"ICCP", b"ICC_PROFILE", b"prof")
                if mark in published
            ]
            with Image.open(io.BytesIO(published)) as image:
                assert dict(image.getexif()) == {}
                assert not {"exif", "xmp", "icc_profile", "comment"} & set(image.info)


@pytest.mark.parametrize("kind", KINDS)
def test_a_wide_profile_is_followed_in_every_format(tmp_path: Path, kind: str) -> None:
    """The sRGB primaries as Display P3 writes them: published values."""
    for in_p3, in_srgb in (((234, 51, 35), (255, 0, 0)), ((117, 251, 76), (0, 255, 0)), ((0, 0, 245), (0, 0, 255))):
        content = encoded(Image.new("RGB", (640, 400), in_p3), "PNG", icc_profile=display_p3())
        picture, out = made(tmp_path, content, kind)
        with Image.open(out / picture.sizes[0].name) as image:
            assert near(pixel(image.convert("RGB"), 0.5, 0.5), in_srgb, 8)


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_bytes_whatever_threads_there_are(tmp_path: Path, kind: str) -> None:
    folder = tmp_path / "photos"
    folder.mkdir()
    for number in range(4):
        Image.effect_noise((1700, 1300), 40 + number).convert("RGB").save(folder / f"{number}.png", compress_level=1)
    wanted = [Wanted(path, f"photos/{path.name}") for path in sorted(folder.iterdir())]
    for name, threads in (("one", 1), ("two", 2), ("four", 4)):
        assert develop(wanted, tmp_path / name, None, kind=kind, threads=threads)[1] == []
    one, two, four = (
        {path.name: path.read_bytes() for path in (tmp_path / name / "photos").iterdir()}
        for name in ("one", "two", "four")
    )
    assert len(one) == 8
    assert one == two == four


def test_avif_is_written_by_one_thread(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its bytes depend on how many there are, and machines differ in that."""
    asked: list[object] = []
    save = Image.Image.save

    def watched(self: Image.Image, *arguments: object, **options: object) -> None:
        asked.append(options.get("max_threads"))
        save(self, *arguments, **options)  # type: ignore[arg-type]

    content = encoded(corners((900, 600), (RED, GREEN, BLUE, YELLOW)), "JPEG")
    monkeypatch.setattr(Image.Image, "save", watched)
    made(tmp_path, content, "avif")
    assert asked == [1, 1]


def test_changing_the_format_and_back_costs_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    content, cache = encoded(corners((900, 600), (RED, GREEN, BLUE, YELLOW)), "JPEG"), tmp_path / "cache"
    first = {kind: made(tmp_path, content, kind, cache)[0] for kind in KINDS}
    names = sorted(size.name for picture in first.values() for size in picture.sizes)
    assert sorted(f"photos/{path.name}" for path in (cache / "photos").iterdir()) == names
    monkeypatch.setattr(darkroom, "_printed", None)  # a picture opened now would fail
    assert {kind: made(tmp_path, content, kind, cache)[0] for kind in KINDS} == first


def test_a_format_that_cannot_be_written_here_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(features, "check", lambda _: False)
    pictures, faults = develop([Wanted(tmp_path / "a.jpg", "a.jpg")], tmp_path / "out", None, kind="avif")
    assert pictures == {}
    assert [(fault.shown, fault.words) for fault in faults] == [
        ("project.yaml", "this computer's Pillow cannot write avif")
    ]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("size", [(2000, 1500), (700, 500)], ids=["large", "small"])
def test_print_copies_are_jpeg(tmp_path: Path, kind: str, size: tuple[int, int]) -> None:
    content = encoded(corners(size, (RED, GREEN, BLUE, YELLOW)), "JPEG")
    picture, cache = made(tmp_path, content, kind, tmp_path / "cache")
    copy = prints({"photos/picture.jpg": picture}, cache)["photos/picture.jpg"]
    assert max(copy.width, copy.height) == min(800, max(size))
    with Image.open(copy.path) as image:
        assert (image.format, image.mode, image.size) == ("JPEG", "RGB", (copy.width, copy.height))
        assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
        assert near(pixel(image, 0.9, 0.9), YELLOW, 14)


def test_a_print_copy_does_not_depend_on_what_the_cache_held(tmp_path: Path) -> None:
    content = encoded(Image.effect_noise((2000, 1500), 50).convert("RGB"), "JPEG")

    def printed(cache: Path, *kinds: str) -> bytes:
        for kind in kinds:
            picture, _ = made(tmp_path, content, kind, cache)
            path = prints({"a": picture}, cache)["a"].path
        return path.read_bytes()

    assert printed(tmp_path / "both", "jpeg", "avif") == printed(tmp_path / "one", "avif")


def test_share_cards_are_jpeg(tmp_path: Path) -> None:
    content, cache = encoded(corners((2000, 1500), (RED, GREEN, BLUE, YELLOW)), "JPEG"), tmp_path / "cache"
    for kind in KINDS:
        picture, _ = made(tmp_path, content, kind, cache)
        found = cards({"a": picture}, ["a", "", "gone", "a"], cache)
        assert list(found) == ["a"]
        with Image.open(cache / found["a"].name) as image:
            assert image.format == "JPEG"
            assert image.size == (found["a"].width, found["a"].height)
        assert (found["a"] == picture.sizes[0]) is (kind == "jpeg")
