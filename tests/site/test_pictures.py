"""Web pictures: each hazard of a photo folder, and that nothing of camera, place or person gets out."""

import io
import struct
import zlib
from pathlib import Path

import pytest
from PIL import ExifTags, Image, ImageCms, ImageDraw
from PIL.PngImagePlugin import PngInfo

from buildlog.site import colour, darkroom
from buildlog.site.pictures import Fault, Picture, Wanted, develop

RED, GREEN, BLUE, YELLOW = (200, 30, 30), (30, 160, 30), (30, 30, 200), (220, 210, 30)
SECRETS = (
    b"N. Nowhere",
    b"SN-778899",
    b"Paint Shed",
    b"XMP-SECRET",
    b"IPTC-SECRET",
    b"COMMENT-SECRET",
    b"TRAILER",
)


def corners(size: tuple[int, int], colours: tuple[tuple[int, int, int], ...]) -> Image.Image:
    """An image in four quarters: top left, top right, bottom left, bottom right."""
    image = Image.new("RGB", size)
    draw = ImageDraw.Draw(image)
    width, height = size
    for number, filling in enumerate(colours):
        left, top = number % 2 * width // 2, number // 2 * height // 2
        draw.rectangle((left, top, left + width // 2, top + height // 2), fill=filling)
    return image


def encoded(image: Image.Image, kind: str, **options: object) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def one(folder: Path, content: bytes, name: str = "picture.jpg") -> tuple[Picture | None, list[Fault], Path]:
    """What becomes of one file."""
    source, out = folder / name, folder / "out"
    source.write_bytes(content)
    pictures, faults = develop([Wanted(source, f"photos/{name}")], out, None)
    return pictures.get(f"photos/{name}"), faults, out


def opened(folder: Path, content: bytes, name: str = "picture.jpg") -> list[Image.Image]:
    """The web copies of one file, decoded."""
    picture, faults, out = one(folder, content, name)
    assert faults == []
    assert picture is not None
    images: list[Image.Image] = []
    for size in picture.sizes:
        image = Image.open(out / size.name)
        image.load()
        assert (image.format, image.mode, image.size) == ("JPEG", "RGB", (size.width, size.height))
        images.append(image)
    return images


def pixel(image: Image.Image, across: float, down: float) -> tuple[int, ...]:
    value = image.getpixel((int(image.width * across), int(image.height * down)))
    assert isinstance(value, tuple)
    return tuple(int(part) for part in value)


def near(found: tuple[int, ...], wanted: tuple[int, ...], by: int = 6) -> bool:
    return all(abs(left - right) <= by for left, right in zip(found, wanted, strict=True))


def fault(folder: Path, content: bytes, name: str = "picture.jpg") -> Fault:
    """The one fault of a file that gives no picture."""
    picture, faults, out = one(folder, content, name)
    assert picture is None
    assert list((out / "photos").iterdir()) == []
    assert len(faults) == 1
    assert faults[0].shown == f"photos/{name}"
    assert faults[0].remedy
    return faults[0]


# Sizes and names


@pytest.mark.parametrize(
    ("size", "expected"),
    [
        ((4000, 3000), [(1600, 1200, "-1600"), (480, 360, "-480")]),
        ((3000, 4000), [(1200, 1600, "-1600"), (360, 480, "-480")]),
        ((1601, 1000), [(1600, 999, "-1600"), (480, 300, "-480")]),
        ((900, 600), [(900, 600, "-1600"), (480, 320, "-480")]),
        ((481, 10), [(481, 10, "-1600"), (480, 10, "-480")]),
        ((480, 320), [(480, 320, "-480")]),
        ((1, 1), [(1, 1, "-480")]),
        ((5000, 2), [(1600, 1, "-1600"), (480, 1, "-480")]),
    ],
)
def test_sizes_are_bounded_and_never_enlarged(
    tmp_path: Path, size: tuple[int, int], expected: list[tuple[int, int, str]]
) -> None:
    picture, faults, _ = one(tmp_path, encoded(Image.new("RGB", size, GREEN), "JPEG"))
    assert not faults
    assert picture is not None
    assert (picture.width, picture.height) == size
    assert [(each.width, each.height) for each in picture.sizes] == [each[:2] for each in expected]
    for each, (_, _, end) in zip(picture.sizes, expected, strict=True):
        assert each.name.endswith(f"{end}.jpg")


def test_names_come_from_the_content_alone(tmp_path: Path) -> None:
    content = encoded(Image.new("RGB", (600, 400), BLUE), "JPEG")
    first, _, out = one(tmp_path, content, "owner_at_home.jpg")
    second, _, _ = one(tmp_path, content, "other.jpg")
    assert first is not None
    assert second is not None
    assert first.sizes == second.sizes
    assert first.sizes[0].name == f"photos/{first.digest[:16]}-1600.jpg"
    written = sorted(f"photos/{path.name}" for path in (out / "photos").iterdir())
    assert written == sorted(size.name for size in first.sizes)


# Orientation: the sides that EXIF gives for the first stored row and the first stored column

SIDES = {
    1: ("top", "left"),
    2: ("top", "right"),
    3: ("bottom", "right"),
    4: ("bottom", "left"),
    5: ("left", "top"),
    6: ("right", "top"),
    7: ("right", "bottom"),
    8: ("left", "bottom"),
}
OPPOSITE = {"top": "bottom", "bottom": "top", "left": "right", "right": "left"}
UPRIGHT = {
    ("top", "left"): RED,
    ("top", "right"): GREEN,
    ("bottom", "left"): BLUE,
    ("bottom", "right"): YELLOW,
}


def stored(turn: int) -> Image.Image:
    """The upright picture of four quarters, 900 x 600, as a camera held in this way stores it."""
    row, column = SIDES[turn]
    colours = []
    for rows in (row, OPPOSITE[row]):
        for columns in (column, OPPOSITE[column]):
            down, across = (rows, columns) if row in {"top", "bottom"} else (columns, rows)
            colours.append(UPRIGHT[down, across])
    return corners((900, 600) if row in {"top", "bottom"} else (600, 900), tuple(colours))


def tagged(turn: int) -> Image.Exif:
    exif = Image.Exif()
    exif[0x0112] = turn
    return exif


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF", "AVIF"])
@pytest.mark.parametrize("turn", range(1, 9))
def test_every_orientation_comes_out_upright(tmp_path: Path, turn: int, kind: str) -> None:
    content = encoded(stored(turn), kind, exif=tagged(turn))
    picture, _, _ = one(tmp_path, content)
    assert picture is not None
    assert (picture.width, picture.height) == (900, 600)
    for image, size in zip(opened(tmp_path, content), [(900, 600), (480, 320)], strict=True):
        assert image.size == size
        assert near(pixel(image, 0.1, 0.1), RED, 14)
        assert near(pixel(image, 0.9, 0.1), GREEN, 14)
        assert near(pixel(image, 0.1, 0.9), BLUE, 14)
        assert near(pixel(image, 0.9, 0.9), YELLOW, 14)


def test_a_large_photo_decoded_at_a_half_is_upright_too(tmp_path: Path) -> None:
    content = encoded(stored(6).resize((2400, 3600)), "JPEG", exif=tagged(6))
    large, small = opened(tmp_path, content)
    assert (large.size, small.size) == ((1600, 1067), (480, 320))
    assert near(pixel(large, 0.02, 0.02), RED)
    assert near(pixel(small, 0.98, 0.02), GREEN)


@pytest.mark.parametrize("turn", [0, 9, 77])
def test_an_impossible_orientation_counts_as_upright(tmp_path: Path, turn: int) -> None:
    large = opened(tmp_path, encoded(stored(1), "JPEG", exif=tagged(turn)))[0]
    assert near(pixel(large, 0.1, 0.1), RED)


def test_a_damaged_tag_block_does_not_cost_the_picture(tmp_path: Path) -> None:
    exif = b"Exif\x00\x00II*\x00\x08\x00\x00\x00\xff\xff" + b"\xee" * 40
    large = opened(tmp_path, encoded(stored(1), "JPEG", exif=exif))[0]
    assert near(pixel(large, 0.1, 0.1), RED)


# What the file says about camera, place and person


def telling_exif(thumbnail: bytes) -> bytes:
    """A tag block with place, owner, serial number and, in the second directory, a thumbnail."""
    exif = tagged(1)
    exif[0x013B] = "N. Nowhere"
    exif.get_ifd(0x8769)[0xA430] = "N. Nowhere"
    exif.get_ifd(0x8769)[0xA431] = "SN-778899"
    place = {1: "N", 2: (10.0, 20.0, 30.0), 3: "E", 4: (40.0, 50.0, 6.0), 27: b"Paint Shed"}
    exif.get_ifd(0x8825).update(place)
    block = bytearray(exif.tobytes().removeprefix(b"Exif\x00\x00"))
    order = "<" if block[:2] == b"II" else ">"
    first = struct.unpack_from(order + "I", block, 4)[0]
    tail = first + 2 + 12 * struct.unpack_from(order + "H", block, first)[0]
    struct.pack_into(order + "I", block, tail, len(block))
    start = len(block) + 2 + 12 * 2 + 4
    block += struct.pack(order + "HHHIIHHIII", 2, 0x0201, 4, 1, start, 0x0202, 4, 1, len(thumbnail), 0)
    return b"Exif\x00\x00" + bytes(block) + thumbnail


def telling_jpeg(size: tuple[int, int] = (2000, 1500)) -> tuple[bytes, bytes]:
    """A photo that tells everything a camera can, and its thumbnail."""
    thumbnail = encoded(Image.new("RGB", (160, 120), BLUE), "JPEG", comment=b"COMMENT-SECRET thumbnail")
    image = corners(size, (RED, GREEN, BLUE, YELLOW))
    xmp = b"<x:xmpmeta>XMP-SECRET</x:xmpmeta>"
    photo = encoded(image, "JPEG", exif=telling_exif(thumbnail), comment=b"COMMENT-SECRET", xmp=xmp)
    record = b"\x1c\x02\x50" + struct.pack(">H", 11) + b"IPTC-SECRET"
    block = b"Photoshop 3.0\x00" + b"8BIM\x04\x04\x00\x00" + struct.pack(">I", len(record)) + record
    app13 = b"\xff\xed" + struct.pack(">H", len(block) + 2) + block
    return photo[:2] + app13 + photo[2:] + b"TRAILER of a moving photo", thumbnail


def segments(jpeg: bytes) -> list[tuple[int, bytes]]:
    """The marker segments before the picture data."""
    found, at = [], 2
    while jpeg[at + 1] != 0xDA:
        assert jpeg[at] == 0xFF
        length = struct.unpack_from(">H", jpeg, at + 2)[0]
        found.append((jpeg[at + 1], jpeg[at + 4 : at + 2 + length]))
        at += 2 + length
    return found


def test_the_specimen_does_tell_everything() -> None:
    content, thumbnail = telling_jpeg()
    assert all(secret in content for secret in SECRETS)
    assert thumbnail in content
    image = Image.open(io.BytesIO(content))
    assert image.getexif().get_ifd(0x8825)[2] == (10.0, 20.0, 30.0)
    assert image.getexif().get_ifd(ExifTags.IFD.IFD1)[0x0202] == len(thumbnail)
    assert {"exif", "comment", "xmp", "photoshop"} <= set(image.info)


def test_nothing_of_it_is_published(tmp_path: Path) -> None:
    content, _ = telling_jpeg()
    picture, _, out = one(tmp_path, content, "N_Nowhere.jpg")
    assert picture is not None
    for size in picture.sizes:
        published = (out / size.name).read_bytes()
        assert not [secret for secret in SECRETS if secret in published]
        kinds = [kind for kind, _ in segments(published)]
        assert set(kinds) <= {
            0xE0,
            0xDB,
            0xC0,
            0xC4,
        }  # JFIF header, tables, frame: no tags, profile or comment
        assert [body[:5] for kind, body in segments(published) if kind == 0xE0] == [b"JFIF\x00"]
        assert published.endswith(b"\xff\xd9")
        assert published.count(b"\xff\xd8\xff") == 1
        image = Image.open(io.BytesIO(published))
        assert dict(image.getexif()) == {}
        assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


@pytest.mark.parametrize("kind", ["PNG", "WEBP", "TIFF", "AVIF"])
def test_other_formats_keep_nothing_either(tmp_path: Path, kind: str) -> None:
    exif = telling_exif(b"")
    words = PngInfo()
    words.add_text("Author", "N. Nowhere")
    words.add_itxt("XML:com.adobe.xmp", "XMP-SECRET")
    options: dict[str, object] = {"pnginfo": words} if kind == "PNG" else {"xmp": b"XMP-SECRET"}
    content = encoded(corners((900, 600), (RED, GREEN, BLUE, YELLOW)), kind, exif=exif, **options)
    assert b"N. Nowhere" in content
    picture, _, out = one(tmp_path, content)
    assert picture is not None
    for size in picture.sizes:
        published = (out / size.name).read_bytes()
        assert not [secret for secret in SECRETS if secret in published]
        assert {kind for kind, _ in segments(published)} <= {0xE0, 0xDB, 0xC0, 0xC4}


# Colours


def display_p3() -> bytes:
    """A Display P3 profile: its D50 colorants and the sRGB curve, as published."""

    def xyz(*values: float) -> bytes:
        return b"XYZ \x00\x00\x00\x00" + struct.pack(">3i", *(round(value * 65536) for value in values))

    curve = (2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
    para = b"para\x00\x00\x00\x00\x00\x03\x00\x00" + struct.pack(">5i", *(round(each * 65536) for each in curve))
    text = "P3 test".encode("utf-16-be")
    mluc = b"mluc\x00\x00\x00\x00" + struct.pack(">II2s2sII", 1, 12, b"en", b"US", len(text), 28) + text
    bodies = {
        b"desc": mluc,
        b"cprt": mluc,
        b"wtpt": xyz(0.9642, 1.0, 0.8249),
        b"rXYZ": xyz(0.51512, 0.24120, -0.00105),
        b"gXYZ": xyz(0.29198, 0.69225, 0.04189),
        b"bXYZ": xyz(0.15710, 0.06657, 0.78407),
        b"rTRC": para,
        b"gTRC": para,
        b"bTRC": para,
    }
    table, data, at = b"", b"", 128 + 4 + 12 * len(bodies)
    for tag, body in bodies.items():
        table += struct.pack(">4sII", tag, at + len(data), len(body))
        data += body + b"\x00" * (-len(body) % 4)
    size = at + len(data)
    head = struct.pack(">I4sI4s4s4s", size, b"\x00\x00\x00\x00", 0x04000000, b"mntr", b"RGB ", b"XYZ ")
    head += b"\x00" * 12 + b"acsp" + b"\x00" * 28 + struct.pack(">3i", 63190, 65536, 54061)
    return head.ljust(128, b"\x00") + struct.pack(">I", len(bodies)) + table + data


@pytest.mark.parametrize(
    ("in_p3", "in_srgb"),
    [
        ((234, 51, 35), (255, 0, 0)),  # the sRGB primaries as Display P3 writes them: published values
        ((117, 251, 76), (0, 255, 0)),
        ((0, 0, 245), (0, 0, 255)),
        ((128, 128, 128), (128, 128, 128)),
    ],
)
@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_wide_profile_is_followed(
    tmp_path: Path, in_p3: tuple[int, int, int], in_srgb: tuple[int, int, int], kind: str
) -> None:
    content = encoded(Image.new("RGB", (640, 400), in_p3), kind, icc_profile=display_p3())
    for image in opened(tmp_path, content):
        assert near(pixel(image, 0.5, 0.5), in_srgb, 8)
    unmarked = opened(tmp_path, encoded(Image.new("RGB", (640, 400), in_p3), kind))[0]
    assert near(pixel(unmarked, 0.5, 0.5), in_p3, 3)


def test_an_srgb_profile_changes_no_byte(tmp_path: Path) -> None:
    image = corners((700, 500), (RED, GREEN, BLUE, YELLOW))
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    assert colour._transform(profile, "RGB") is None
    assert colour._transform(display_p3(), "RGB") is not None
    marked = opened(tmp_path, encoded(image, "JPEG", icc_profile=profile))[0]
    assert marked.tobytes() == opened(tmp_path, encoded(image, "JPEG"))[0].tobytes()


def test_a_profile_that_does_not_fit_is_passed_over(tmp_path: Path) -> None:
    for profile in (b"no profile at all", display_p3()):
        content = encoded(Image.new("L", (640, 400), 90), "JPEG", icc_profile=profile)
        assert near(pixel(opened(tmp_path, content)[0], 0.5, 0.5), (90, 90, 90), 3)


def test_cmyk_is_converted(tmp_path: Path) -> None:
    content = encoded(Image.new("CMYK", (640, 400), (0, 255, 255, 0)), "JPEG")
    red, green, blue = pixel(opened(tmp_path, content)[0], 0.5, 0.5)
    assert red > 200
    assert max(green, blue) < 60


@pytest.mark.parametrize(("deep", "shown"), [(0, 0), (32768, 128), (20000, 78), (65535, 255)])
@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
def test_sixteen_bit_grey_is_scaled_and_not_clipped(tmp_path: Path, deep: int, shown: int, kind: str) -> None:
    content = encoded(Image.new("I;16", (640, 400), deep), kind)
    assert near(pixel(opened(tmp_path, content)[0], 0.5, 0.5), (shown,) * 3, 2)


def test_floating_point_grey_is_shown_between_its_ends(tmp_path: Path) -> None:
    image = Image.new("F", (640, 400), 0.0)
    image.paste(2.0, (320, 0, 640, 400))
    large = opened(tmp_path, encoded(image, "TIFF"))[0]
    assert near(pixel(large, 0.1, 0.5), (0, 0, 0), 2)
    assert near(pixel(large, 0.9, 0.5), (255, 255, 255), 2)


def half_clear(mode: str) -> Image.Image:
    image = Image.new("RGBA", (640, 400), (*RED, 255))
    image.paste((0, 0, 0, 0), (0, 0, 320, 400))
    return image if mode == "RGBA" else image.convert(mode)


@pytest.mark.parametrize(("mode", "kind"), [("RGBA", "PNG"), ("LA", "PNG"), ("RGBA", "WEBP"), ("RGBA", "GIF")])
def test_the_transparent_stands_on_white(tmp_path: Path, mode: str, kind: str) -> None:
    for image in opened(tmp_path, encoded(half_clear(mode), kind)):
        assert near(pixel(image, 0.1, 0.5), (255, 255, 255), 3)
        wanted = RED if mode == "RGBA" else (round(0.299 * 200 + 0.587 * 30 + 0.114 * 30),) * 3
        assert near(pixel(image, 0.9, 0.5), wanted, 6)


def test_half_transparent_is_mixed_with_white(tmp_path: Path) -> None:
    large = opened(tmp_path, encoded(Image.new("RGBA", (640, 400), (0, 0, 0, 128)), "PNG"))[0]
    assert near(pixel(large, 0.5, 0.5), (127, 127, 127), 2)


def test_palettes_bits_and_a_transparent_colour(tmp_path: Path) -> None:
    palette = corners((640, 400), (RED, GREEN, BLUE, YELLOW)).quantize(16)
    assert near(pixel(opened(tmp_path, encoded(palette, "PNG"))[0], 0.9, 0.9), YELLOW)
    bits = Image.new("1", (640, 400), 1)
    assert near(pixel(opened(tmp_path, encoded(bits, "PNG"))[0], 0.5, 0.5), (255, 255, 255))
    keyed = encoded(Image.new("RGB", (640, 400), BLUE), "PNG", transparency=BLUE)
    assert near(pixel(opened(tmp_path, keyed)[0], 0.5, 0.5), (255, 255, 255))


def test_thin_coloured_lines_of_a_drawing_keep_their_colour(tmp_path: Path) -> None:
    drawing = Image.new("RGB", (400, 300), "white")
    ImageDraw.Draw(drawing).line((200, 0, 200, 300), fill=(230, 0, 0))
    red, green, blue = pixel(opened(tmp_path, encoded(drawing, "PNG"))[0], 0.5, 0.5)
    assert red > 200
    assert max(green, blue) < 90


@pytest.mark.parametrize("kind", ["GIF", "WEBP", "PNG", "AVIF"])
def test_a_moving_picture_gives_its_first_frame(tmp_path: Path, kind: str) -> None:
    frames = [Image.new("RGB", (640, 400), shade) for shade in (RED, GREEN, BLUE)]
    content = encoded(frames[0], kind, save_all=True, append_images=frames[1:], duration=100)
    assert near(pixel(opened(tmp_path, content)[0], 0.5, 0.5), RED, 12)


# Files that cannot be used


def test_a_truncated_photo_is_found(tmp_path: Path) -> None:
    content = encoded(corners((2400, 1800), (RED, GREEN, BLUE, YELLOW)), "JPEG")
    assert "breaks off" in fault(tmp_path, content[: len(content) * 6 // 10]).words
    assert "breaks off" in fault(tmp_path, content[:-200]).words


@pytest.mark.parametrize("kind", ["PNG", "WEBP", "GIF", "TIFF", "AVIF"])
def test_other_formats_broken_off_are_found(tmp_path: Path, kind: str) -> None:
    noise = Image.effect_noise((640, 480), 60).convert("RGB")
    content = encoded(noise, kind)
    assert fault(tmp_path, content[: len(content) // 2])


def test_a_photo_damaged_in_the_middle_is_found(tmp_path: Path) -> None:
    content = bytearray(encoded(Image.effect_noise((1800, 1200), 60), "JPEG"))
    content[len(content) // 2 : len(content) // 2 + 64] = b"\xff\xc0\x00\x11" * 16
    assert "damaged" in fault(tmp_path, bytes(content)).words


def test_an_empty_file_and_a_text_file(tmp_path: Path) -> None:
    assert fault(tmp_path, b"").words == "this file is empty"
    assert "not a picture" in fault(tmp_path, b"This is only a note about the rib.\n").words


def png_header(width: int, height: int) -> bytes:
    head = b"IHDR" + struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + head + struct.pack(">I", zlib.crc32(head))


def test_a_bomb_is_refused_with_its_size(tmp_path: Path) -> None:
    data = b"IDAT" + zlib.compress(b"\0" * 1000)
    chunk = struct.pack(">I", len(data) - 4) + data + struct.pack(">I", zlib.crc32(data))
    bomb = png_header(20_000, 20_000) + chunk
    assert fault(tmp_path, bomb).words == "20000 x 20000 pixels are more than the 200 million that are opened"


def bomb() -> bytes:
    """A whole PNG of 400 million pixels in some 50 KB."""
    packer = zlib.compressobj(9)
    row = b"\0" * (20_000 // 8 + 1)
    data = b"IDAT" + b"".join(packer.compress(row) for _ in range(20_000)) + packer.flush()
    head = b"IHDR" + struct.pack(">IIBBBBB", 20_000, 20_000, 1, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(chunk) - 4) + chunk + struct.pack(">I", zlib.crc32(chunk))
        for chunk in (head, data, b"IEND")
    )


def test_a_whole_bomb_of_a_few_kilobytes_is_refused(tmp_path: Path) -> None:
    assert len(bomb()) < 60_000
    found = fault(tmp_path, bomb(), "bomb.png")
    assert found.words == "20000 x 20000 pixels are more than the 200 million that are opened"
    assert found.remedy == "save a smaller copy of the picture and name that file instead"


@pytest.mark.parametrize("options", [{}, {"progressive": True}], ids=["baseline", "progressive"])
def test_48_megapixels_are_a_picture_like_any_other(tmp_path: Path, options: dict[str, object]) -> None:
    content = encoded(corners((8000, 6000), (RED, GREEN, BLUE, YELLOW)), "JPEG", **options)
    large, small = opened(tmp_path, content)
    assert (large.size, small.size) == ((1600, 1200), (480, 360))
    assert near(pixel(large, 0.9, 0.9), YELLOW)


def test_what_takes_much_memory_is_opened_alone(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A progressive JPEG keeps the coefficients of all its pixels, however small it is decoded."""
    taken: list[str] = []

    class Watched:
        def __enter__(self) -> None:
            taken.append("big")

        def __exit__(self, *_: object) -> None:
            """Nothing to let go."""

    monkeypatch.setattr(darkroom, "_BIG_ONES", Watched())
    image = Image.new("RGB", (8000, 6000), GREEN)
    for kind, options, alone in (
        ("JPEG", {}, False),
        ("JPEG", {"progressive": True}, True),
        ("PNG", {"compress_level": 1}, True),
    ):
        taken.clear()
        one(tmp_path, encoded(image, kind, **options))
        assert bool(taken) is alone, (kind, options)


def test_more_pixels_than_pillow_likes_but_fewer_than_the_limit_are_opened(tmp_path: Path) -> None:
    limit = Image.MAX_IMAGE_PIXELS
    large, small = opened(tmp_path, encoded(Image.new("1", (12_000, 10_000), 1), "PNG"))
    assert (large.size, small.size) == ((1600, 1333), (480, 400))
    assert limit == Image.MAX_IMAGE_PIXELS


HEIC = b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic" + b"\x00" * 200


def test_heic_without_its_reader_names_the_extra(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(darkroom, "_formats", lambda: ("JPEG", "PNG"))
    found = fault(tmp_path, HEIC, "IMG_1.HEIC")
    assert found.words == "this is a HEIC picture, and the reader for these is not installed"
    assert 'pip install "buildlog[heic]"' in found.remedy


def test_heic_with_its_reader(tmp_path: Path) -> None:
    heif = pytest.importorskip("pillow_heif")
    content = io.BytesIO()
    heif.from_pillow(stored(6)).save(content, exif=tagged(6).tobytes(), quality=90)
    large, small = opened(tmp_path, content.getvalue(), "IMG_1.HEIC")
    assert (large.size, small.size) == ((900, 600), (480, 320))
    assert near(pixel(large, 0.1, 0.1), RED, 14)
    assert near(pixel(small, 0.9, 0.9), YELLOW, 14)


def test_a_film_and_a_raw_file_are_named(tmp_path: Path) -> None:
    assert "film" in fault(tmp_path, b"\x00\x00\x00\x18ftypqt  " + b"\x00" * 200, "IMG_2.MOV").words
    raw = encoded(Image.new("RGB", (256, 171), RED), "TIFF")  # a raw file's first picture is a tiny preview
    assert "raw" in fault(tmp_path, raw, "IMG_3.DNG").words


def test_a_missing_file_and_a_folder(tmp_path: Path) -> None:
    (tmp_path / "folder.jpg").mkdir()
    wanted = [Wanted(tmp_path / name, f"photos/{name}") for name in ("gone.jpg", "folder.jpg")]
    pictures, faults = develop(wanted, tmp_path / "out", None)
    assert pictures == {}
    assert [each.shown for each in faults] == ["photos/gone.jpg", "photos/folder.jpg"]
    assert faults[0].words == "there is no such file"
    assert faults[1].words == "this is not a file"


def test_one_bad_file_does_not_cost_the_others(tmp_path: Path) -> None:
    good = encoded(Image.new("RGB", (600, 400), RED), "JPEG")
    names = ("c.jpg", "a.jpg", "bad.jpg", "b.jpg")
    for number, name in enumerate(names):
        (tmp_path / name).write_bytes(b"" if name == "bad.jpg" else good + bytes([number]))
    pictures, faults = develop([Wanted(tmp_path / name, name) for name in names], tmp_path / "out", None)
    assert list(pictures) == ["c.jpg", "a.jpg", "b.jpg"]
    assert [each.shown for each in faults] == ["bad.jpg"]


def test_no_fault_speaks_of_this_machine(tmp_path: Path) -> None:
    found = [fault(tmp_path, content) for content in (b"", b"text", encoded(stored(1), "JPEG")[:3000], HEIC)]
    assert not [each for each in found if str(tmp_path) in each.words + each.remedy]
