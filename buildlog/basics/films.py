"""Which files are films: by their names, and by the first bytes in them."""

FILMS = (".mp4", ".m4v", ".mov", ".3gp", ".webm")
"""Endings of films that can be shown. All but the last are made of boxes, as ISO/IEC 14496-12 has them."""
HEAD = 12
"""So many bytes tell a film."""
_FIRST_BOXES = {b"ftyp", b"moov", b"mdat", b"wide", b"free", b"skip"}
_WEBM = b"\x1a\x45\xdf\xa3"


def is_film(file: str) -> bool:
    """Whether a file is shown as a film, by its ending."""
    return file.lower().endswith(FILMS)


def begins_film(head: bytes) -> bool:
    """Whether a file that begins so can be a film."""
    return in_boxes(head) or head.startswith(_WEBM)


def in_boxes(head: bytes) -> bool:
    """Whether a film that begins so is made of boxes; else it is a WebM."""
    return head[4:8] in _FIRST_BOXES
