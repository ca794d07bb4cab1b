"""A print read back by libraries that had no part in making it: words of a PDF, codes of its raster."""

from __future__ import annotations

import io
from typing import Any

import numpy as np
from PIL import Image, ImageFilter

Grey = np.ndarray[Any, np.dtype[np.uint8]]


def words_of(pdf: bytes) -> str:
    """All words of a PDF as pypdf reads them, every run of blanks as one, breaks nobody sees left out."""
    from pypdf import PdfReader

    pages = (page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)
    return " ".join("\n".join(pages).replace("\u200b", "").split())


def grey_of(png: bytes) -> Grey:
    """The page as grey values from 0, black, to 255."""
    return np.asarray(Image.open(io.BytesIO(png)).convert("L"))


def one_bit(grey: Grey) -> Grey:
    """As a label printer has it: black or nothing."""
    return np.where(grey > 127, 255, 0).astype(np.uint8)


def worn(grey: Grey, blur_dots: float, ink: int = 90, paper: int = 200) -> Grey:
    """Faded and out of focus: grey on grey, blurred by so many dots of the printer."""
    faded = np.asarray(Image.fromarray(grey).filter(ImageFilter.GaussianBlur(blur_dots)), dtype=float)
    return (ink + faded / 255 * (paper - ink)).astype(np.uint8)


def codes_in(grey: Grey) -> set[tuple[str, str]]:
    """What ZXing reads there: (kind, text)."""
    import zxingcpp

    return {(str(one.format).replace(" ", ""), one.text) for one in zxingcpp.read_barcodes(grey)}


def edge_is_blank(grey: Grey, share: float = 0.012) -> bool:
    """Whether nothing stands on the outermost part of the page: what runs off the paper would."""
    down, across = (max(1, round(share * size)) for size in grey.shape)
    edges = (grey[:down], grey[-down:], grey[:, :across], grey[:, -across:])
    return all(int(edge.min()) == 255 for edge in edges)
