"""Pictures made fit to be shown: turned upright, stripped of what the camera wrote into them, of a bounded
size.

The original stays untouched in the case with its digest; what is made here is a derivative for looking at.
The same bytes in give the same bytes out for the same version of the imaging library.
"""

from __future__ import annotations

import hashlib
import io
import math
import warnings

from msgspec import Struct
from PIL import Image, ImageOps, UnidentifiedImageError

FORMATS = ("JPEG", "PNG", "TIFF", "WEBP")
"""The picture formats that are read. Drawings with script in them, pages and documents are not pictures."""

MOST_PIXELS = 60_000_000
"""Pictures beyond this many pixels are not opened: a small file can claim a size that fills the memory."""

QUALITY = 82
"""JPEG quality of a derivative."""

FEW_COLOURS = 256
"""Up to this many colours a picture is a drawing or a screen, and stays sharp as PNG."""

FEW_GREYS = 32
"""The same for grey pictures."""

_MILLIONS = MOST_PIXELS // 1_000_000
_BROKEN = "The picture is damaged or cut short and cannot be decoded; the file is kept as it is."
_DAMAGE = (
    OSError,
    ValueError,
    SyntaxError,
    EOFError,
    Image.DecompressionBombError,
    Image.DecompressionBombWarning,
)


class Derivative(Struct, frozen=True):
    """A re-encoded picture; ``sha256`` is of ``data``; ``note`` says what the reader should know, if
    anything."""

    data: bytes
    width: int
    height: int
    media_type: str
    sha256: str
    note: str = ""


class Unshown(Struct, frozen=True):
    """Why a file cannot be shown as a picture; the file itself stays evidence."""

    reason: str


def derivative(data: bytes, longest: int = 1600) -> Derivative | Unshown:
    """A copy for looking at, its longer side at most ``longest`` pixels; never larger than the original."""
    if longest < 1:
        raise ValueError(f"longest side {longest!r}: at least one pixel")
    opened = _open(data)
    if isinstance(opened, Unshown):
        return opened
    try:
        with warnings.catch_warnings(), opened:
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            warnings.filterwarnings("ignore", category=UserWarning)
            return _encode(opened, longest)
    except _DAMAGE:
        return Unshown(_BROKEN)


def thumbnail(data: bytes) -> Derivative | Unshown:
    """A small copy for a grid of pictures, at most 480 pixels on its longer side."""
    return derivative(data, 480)


def _open(data: bytes) -> Image.Image | Unshown:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            warnings.filterwarnings("ignore", category=UserWarning)
            image = Image.open(io.BytesIO(data), formats=FORMATS)
            width, height = image.size
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        return Unshown(f"The picture claims far more than {_MILLIONS} million pixels and is not opened.")
    except UnidentifiedImageError:
        return Unshown("The file is not a JPEG, PNG, TIFF or WebP picture, and only those are shown.")
    except _DAMAGE:
        return Unshown(_BROKEN)
    if width * height > MOST_PIXELS:
        return Unshown(f"The picture has {width} by {height} pixels, more than {_MILLIONS} million, and is not opened.")
    return image


def _encode(image: Image.Image, longest: int) -> Derivative:
    frames = getattr(image, "n_frames", 1)
    notes = [f"The first of {frames} pictures in the file."] if frames > 1 else []
    if image.format == "JPEG":
        # The decoder may halve a large photograph while reading it, which saves most of the time.
        image.draft("RGB", (longest, longest))
    profile = image.info.get("icc_profile")
    # In place: one that stands upright already is not copied.
    ImageOps.exif_transpose(image, in_place=True)
    image.load()
    flat, stretched = _flat(image)
    notes += stretched
    # Every grey picture has at most 256 greys, so a drawing in grey is told by having far fewer.
    few = flat.getcolors(FEW_GREYS if flat.mode == "L" else FEW_COLOURS) is not None
    if profile:
        flat, said = _to_srgb(flat, image.mode, profile)
        notes += said
    if max(flat.size) > longest:
        flat.thumbnail((longest, longest), Image.Resampling.LANCZOS)
    # A fresh picture carries nothing of the old one but its pixels, so none is filled beforehand.
    clean = Image.new(flat.mode, flat.size, None)
    clean.paste(flat)
    out = io.BytesIO()
    if few:
        clean.save(out, "PNG", optimize=True)
    else:
        clean.save(out, "JPEG", quality=QUALITY, optimize=True, progressive=False)
    made = out.getvalue()
    kind = "image/png" if few else "image/jpeg"
    return Derivative(made, *clean.size, kind, hashlib.sha256(made).hexdigest(), " ".join(notes))


def _flat(image: Image.Image) -> tuple[Image.Image, list[str]]:
    """Eight bits a channel, no transparency: what was clear becomes white."""
    if image.mode.startswith("I;16"):
        return image.convert("I").convert("F").point(lambda v: v * (255.0 / 65535.0) + 0.5).convert("L"), []
    if image.mode in ("I", "F"):
        low, high = image.getextrema()
        if not isinstance(low, int | float) or not isinstance(high, int | float) or not math.isfinite(high - low):
            raise ValueError("a single channel of finite numbers was expected")
        span = (high - low) or 1
        grey = image.convert("F").point(lambda v: v * (255.0 / span) - low * 255.0 / span).convert("L")
        return grey, ["Its range of grey was stretched to what a screen can show."]
    if image.mode in ("RGBA", "LA", "PA", "La", "RGBa") or "transparency" in image.info:
        clear = image.convert("RGBA")
        white = Image.new("RGBA", clear.size, "white")
        return Image.alpha_composite(white, clear).convert("RGB"), []
    return image if image.mode in ("L", "RGB") else image.convert("RGB"), []


def _to_srgb(flat: Image.Image, mode: str, profile: bytes) -> tuple[Image.Image, list[str]]:
    """Colours brought from the camera's space to that of screens, so that dropping the profile changes
    nothing seen."""
    if flat.mode != "RGB" or mode not in ("RGB", "RGBA"):
        return flat, []
    from PIL import ImageCms  # a tenth of a second to load, and few pictures need it

    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        changed = ImageCms.profileToProfile(flat, source, ImageCms.createProfile("sRGB"), outputMode="RGB")
    except (ImageCms.PyCMSError, OSError, ValueError):
        return flat, ["Its colour profile could not be read; colours are shown as stored."]
    return (changed if changed is not None else flat), []
