"""Reads a PDF with pypdf and says what is on its pages, in millimetres from the upper left corner.

`python read_pdf.py FILE.pdf` writes JSON: for each page its size, its text, and every painted path with its corners, its
line width and whether it was stroked or filled. Curves are not expected and stop the reading.
"""

import json
import sys

import pypdf
from pypdf.generic import ContentStream

MM_PER_POINT = 25.4 / 72.0


def times(m, n):
    """The matrix that applies m first, then n (PDF 32000-1, 8.3.4)."""
    a, b, c, d, e, f = m
    g, h, i, j, k, l = n
    return (a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + l)


def paths(page, reader):
    height = float(page.mediabox.height)
    content = ContentStream(page.get_contents(), reader)
    matrix, width, kept = (1, 0, 0, 1, 0, 0), 1.0, []
    rings, out = [], []

    def mm(x, y):
        a, b, c, d, e, f = matrix
        x, y = float(x), float(y)
        return [(a * x + c * y + e) * MM_PER_POINT, (height - (b * x + d * y + f)) * MM_PER_POINT]

    for operands, operator in content.operations:
        op = operator.decode()
        if op == "q":
            kept.append((matrix, width))
        elif op == "Q":
            matrix, width = kept.pop()
        elif op == "cm":
            matrix = times([float(o) for o in operands], matrix)
        elif op == "w":
            width = float(operands[0])
        elif op == "m":
            rings.append({"points": [mm(*operands)], "closed": False})
        elif op == "l":
            rings[-1]["points"].append(mm(*operands))
        elif op == "h":
            rings[-1]["closed"] = True
        elif op in ("c", "v", "y", "re"):
            sys.exit(f"{op} is not expected")
        elif op in ("S", "s", "f", "f*", "F"):
            scale = abs(matrix[0] * matrix[3] - matrix[1] * matrix[2]) ** 0.5
            for ring in rings:
                how = {"stroked": op in "Ss", "width": width * scale * MM_PER_POINT}
                out.append(ring | how | {"closed": ring["closed"] or op == "s"})
            rings = []
        elif op == "n":
            rings = []
    return out


def main():
    reader = pypdf.PdfReader(sys.argv[1])
    size = lambda page: [float(page.mediabox.width) * MM_PER_POINT, float(page.mediabox.height) * MM_PER_POINT]
    fonts = sorted({str(font["/BaseFont"]) for page in reader.pages for font in
                    (ref.get_object() for ref in page["/Resources"].get("/Font", {}).values())})
    pages = [{"size": size(p), "text": p.extract_text(), "paths": paths(p, reader)} for p in reader.pages]
    images = [len(page.images) for page in reader.pages]
    json.dump({"title": reader.metadata.title, "fonts": fonts, "images": images, "pages": pages}, sys.stdout)


main()
