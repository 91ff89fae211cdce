"""Colours as the web expects them: eight bits, sRGB, on white.

A profile that a picture carries is compiled once and kept; one that would change no colour by more than one
step in 255 (most cameras write such an sRGB profile) is not applied at all.
"""

import io
import itertools
from functools import lru_cache

from PIL import Image, ImageChops, ImageCms

_KEPT = {"L", "LA", "RGB", "RGBA", "CMYK", "LAB"}
_CONVERTED = {"1": "L", "PA": "RGBA", "La": "LA", "RGBa": "RGBA"}
_STEPS = (0, 51, 102, 153, 204, 255)
_UNSEEN = 1


def plain(image: Image.Image) -> Image.Image:
    """The image in a mode that can be resized: no palette, no bits, no 16-bit or floating-point grey."""
    if "transparency" in image.info and image.mode in {"P", "L", "RGB"}:
        return image.convert("RGBA")
    if image.mode.startswith("I") or image.mode == "F":
        return _eight_bits(image)
    return image if image.mode in _KEPT else image.convert(_CONVERTED.get(image.mode, "RGB"))


def _eight_bits(image: Image.Image) -> Image.Image:
    """Deep grey as eight bits; converting directly would clip nearly everything to white."""
    deep = image.convert("F")
    low, high = (0.0, 65535.0) if image.mode.startswith("I;16") else _span(deep)
    scale = 255.0 / (high - low)
    return deep.point(lambda value: value * scale - low * scale).convert("L")


def _span(image: Image.Image) -> tuple[float, float]:
    low, high = (float(end) for end in image.getextrema() if not isinstance(end, tuple))
    if low >= 0 and high > 255:  # noqa: PLR2004 - more than eight bits: sixteen, or as deep as they go
        return 0.0, max(high, 65535.0)
    return min(low, 0.0), max(high, low + 1.0)


def web_colours(image: Image.Image, profile: bytes | None) -> Image.Image:
    """The image in RGB as sRGB, flattened on white where it was transparent."""
    alpha = image.getchannel("A") if image.mode in {"LA", "RGBA"} else None
    base = {"LA": "L", "RGBA": "RGB"}.get(image.mode, image.mode)
    colours = image if base == image.mode else image.convert(base)
    transform = _transform(profile, base) if profile else None
    shown = colours.convert("RGB") if transform is None else transform.apply(colours)
    if alpha is None:
        return shown
    return Image.composite(shown, Image.new("RGB", image.size, "white"), alpha)


@lru_cache(maxsize=16)
def _transform(profile: bytes, mode: str) -> ImageCms.ImageCmsTransform | None:
    """The way from this profile to sRGB; None where there is nothing to do, or the profile does not fit."""
    try:
        made_for = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        transform = ImageCms.buildTransform(made_for, ImageCms.createProfile("sRGB"), mode, "RGB")
    except (ImageCms.PyCMSError, OSError, ValueError):
        return None
    return None if mode == "RGB" and _changes_nothing(transform) else transform


def _changes_nothing(transform: ImageCms.ImageCmsTransform) -> bool:
    colours = [bytes(colour) for colour in itertools.product(_STEPS, repeat=3)]
    probe = Image.frombytes("RGB", (len(colours), 1), b"".join(colours))
    away = ImageChops.difference(probe, transform.apply(probe)).convert("RGB").tobytes()
    return max(away) <= _UNSEEN
