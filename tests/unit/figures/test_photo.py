"""Pictures: upright, silent, bounded, the same bytes every time; and a plain word where one cannot be shown."""

from __future__ import annotations

import hashlib
import io
import struct
import zlib

import pytest
from PIL import ExifTags, Image, ImageCms, ImageDraw

from asfound.figures import photo
from asfound.figures.photo import Derivative, Unshown, derivative, thumbnail


def scene(width: int = 800, height: int = 600) -> Image.Image:
    """Many colours, with a red corner top left to tell which way is up."""
    down, round_ = Image.linear_gradient("L"), Image.radial_gradient("L")
    image = Image.merge("RGB", [c.resize((width, height)) for c in (down, round_, down.rotate(90))])
    ImageDraw.Draw(image).rectangle((0, 0, width // 5, height // 5), fill=(255, 0, 0))
    return image


def encoded(image: Image.Image, kind: str = "JPEG", **more: object) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **more)
    return out.getvalue()


def with_exif(orientation: int = 1, taken: str | None = None, offset: str | None = None, gps: bool = False) -> bytes:
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    exif[ExifTags.Base.Model] = "invented camera"
    if taken is not None:
        exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal] = taken
    if offset is not None:
        exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.OffsetTimeOriginal] = offset
    if gps:
        exif.get_ifd(ExifTags.IFD.GPSInfo)[1] = "N"
    return encoded(scene(), exif=exif, quality=92)


def made(data: bytes, longest: int = 1600) -> Derivative:
    found = derivative(data, longest)
    assert isinstance(found, Derivative), found
    return found


def opened(found: Derivative) -> Image.Image:
    return Image.open(io.BytesIO(found.data))


def is_red(image: Image.Image, x: float, y: float) -> bool:
    pixel = image.convert("RGB").getpixel((int(x * (image.width - 1)), int(y * (image.height - 1))))
    assert isinstance(pixel, tuple)
    return pixel[0] > 200 and pixel[1] < 80 and pixel[2] < 80


def test_size_is_bounded_never_enlarged_and_the_digest_is_of_the_bytes() -> None:
    data = encoded(scene(2400, 1800))
    large, small = made(data), made(encoded(scene(300, 200)))
    assert (large.width, large.height) == (1600, 1200) == opened(large).size
    assert (small.width, small.height) == (300, 200)
    assert large.media_type == "image/jpeg"
    assert large.sha256 == hashlib.sha256(large.data).hexdigest()
    assert max(opened(thumbnail_of(data)).size) == 480


def thumbnail_of(data: bytes) -> Derivative:
    found = thumbnail(data)
    assert isinstance(found, Derivative)
    return found


def test_the_same_bytes_in_give_the_same_bytes_out() -> None:
    data = with_exif(6, "2026:03:09 15:12:04")
    assert made(data).data == made(data).data


@pytest.mark.parametrize(
    ("orientation", "corner"),
    [(1, (0.05, 0.05)), (2, (0.95, 0.05)), (3, (0.95, 0.95)), (4, (0.05, 0.95)),
     (5, (0.05, 0.05)), (6, (0.95, 0.05)), (7, (0.95, 0.95)), (8, (0.05, 0.95))],
)  # fmt: skip
def test_the_camera_s_orientation_is_applied(orientation: int, corner: tuple[float, float]) -> None:
    """Exif 2.32, tag 0x0112: which side of the picture the 0th row and 0th column are (from memory)."""
    image = opened(made(with_exif(orientation)))
    assert image.size == ((800, 600) if orientation < 5 else (600, 800))
    assert is_red(image, *corner)


def test_nothing_the_camera_wrote_is_left() -> None:
    found = made(with_exif(1, "2026:03:09 15:12:04", "-05:00", gps=True))
    image = opened(found)
    assert not image.getexif() and "icc_profile" not in image.info and "exif" not in image.info
    assert b"invented" not in found.data and b"2026" not in found.data
    commented = made(encoded(scene(), comment=b"patient in bed 4"))
    assert b"patient" not in commented.data


def test_text_chunks_of_a_png_are_dropped() -> None:
    from PIL.PngImagePlugin import PngInfo

    info = PngInfo()
    info.add_text("Comment", "patient in bed 4")
    found = made(encoded(scene(), "PNG", pnginfo=info))
    assert b"patient" not in found.data


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WEBP"])
def test_the_four_formats_are_read(kind: str) -> None:
    assert made(encoded(scene(), kind)).width == 800


@pytest.mark.parametrize("mode", ["1", "L", "P", "RGBA", "LA", "CMYK", "I;16", "I", "F"])
def test_every_pixel_kind_comes_out_as_something_a_browser_shows(mode: str) -> None:
    base = scene(200, 100)
    image = base.convert("L").convert(mode) if mode in ("I;16", "I", "F", "LA") else base.convert(mode)
    kind = "TIFF" if mode in ("CMYK", "I;16", "I", "F") else "PNG"
    assert opened(made(encoded(image, kind))).mode in ("L", "RGB", "1", "P")


def test_what_is_clear_becomes_white_and_few_colours_stay_sharp() -> None:
    image = Image.new("RGBA", (60, 40), (0, 0, 0, 0))
    ImageDraw.Draw(image).rectangle((0, 0, 20, 40), fill=(20, 30, 200, 255))
    found = made(encoded(image, "PNG"))
    assert found.media_type == "image/png"
    assert opened(found).convert("RGB").getpixel((50, 20)) == (255, 255, 255)
    assert opened(found).convert("RGB").getpixel((10, 20)) == (20, 30, 200)


def test_a_colour_profile_is_applied_before_it_is_dropped() -> None:
    """Through a profile of the screen's own space nothing visible may change; a broken profile is said to be broken."""
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    same = made(encoded(scene(), "PNG", icc_profile=srgb))
    plain = made(encoded(scene(), "PNG"))
    a, b = opened(same).convert("RGB").resize((8, 6)), opened(plain).convert("RGB").resize((8, 6))
    assert max(abs(x - y) for x, y in zip(a.tobytes(), b.tobytes(), strict=True)) <= 3
    broken = made(encoded(scene(), "PNG", icc_profile=b"not a profile"))
    assert "colour profile could not be read" in broken.note


def test_several_pictures_in_one_file_are_said_to_be_several() -> None:
    data = encoded(scene(), "TIFF", save_all=True, append_images=[scene(), scene()])
    assert made(data).note == "The first of 3 pictures in the file."


def bomb(width: int, height: int) -> bytes:
    """A PNG of a few bytes that claims a size, as the PNG specification's IHDR lays it out."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0")) + chunk(b"IEND", b"")


@pytest.mark.parametrize("size", [(10_000, 7_000), (20_000, 10_000), (60_000, 60_000)])
def test_a_pixel_bomb_is_not_opened(size: tuple[int, int]) -> None:
    found = derivative(bomb(*size))
    assert isinstance(found, Unshown) and "60 million" in found.reason


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"%PDF-1.7",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"GIF89a" + b"\0" * 40,
        b"<html>",
        b"BM" + b"\0" * 60,
    ],
)
def test_other_files_are_not_pictures(data: bytes) -> None:
    found = derivative(data)
    assert isinstance(found, Unshown) and "only those are shown" in found.reason


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF"])
def test_a_damaged_picture_is_said_to_be_damaged(kind: str) -> None:
    whole = encoded(scene(), kind)
    for cut in (len(whole) // 3, len(whole) // 2):
        found = derivative(whole[:cut])
        assert isinstance(found, Unshown) and found.reason.endswith(".")


def test_a_size_below_one_pixel_is_a_mistake_of_the_caller() -> None:
    with pytest.raises(ValueError, match="at least one pixel"):
        derivative(encoded(scene()), 0)


def test_garbage_in_the_exif_block_is_no_traceback() -> None:
    data = encoded(scene(), exif=b"Exif\0\0MM\0*\0\0\0\x08\xff\xff" + b"\xff" * 40)
    assert made(data).width == 800


def test_the_library_s_own_limit_is_left_alone() -> None:
    before = Image.MAX_IMAGE_PIXELS
    derivative(bomb(60_000, 60_000))
    after = Image.MAX_IMAGE_PIXELS
    assert after == before
    assert before is not None and before > photo.MOST_PIXELS


def test_sixteen_bits_keep_their_exposure_and_a_stretched_range_is_said() -> None:
    image = Image.new("I;16", (20, 10), 32768)
    shown = opened(made(encoded(image, "TIFF"))).convert("L").getpixel((5, 5))
    assert shown == pytest.approx(128, abs=1)
    wide = Image.linear_gradient("L").convert("F").point(lambda v: v * 100.0 + 7)
    assert "stretched" in made(encoded(wide, "TIFF")).note


def test_a_grey_photograph_is_a_photograph() -> None:
    assert made(encoded(scene().convert("L"), "PNG")).media_type == "image/jpeg"
    assert made(encoded(scene().convert("1"), "PNG")).media_type == "image/png"
