"""Documents made by code, with one small recipe of our own in them."""

from __future__ import annotations

import io
import zipfile
import zlib
from email.message import EmailMessage
from xml.sax.saxutils import escape

TITLE = "Barley Bake"
GOODS = ["200 g pearl barley", "½ tsp salt", "1 large leek, sliced", "50 g butter"]
STEPS = [
    "Heat the oven to 180°C.",
    "Simmer the barley in salted water for 25 minutes, then drain it well and let it steam dry in the pan.",
    "Stir in the leek and the butter.",
    "Bake for 20–25 minutes until golden.",
]
OTHER = ("Plum Pot", ["6 plums, halved", "2 tbsp honey"], ["Put the plums in a pan.", "Simmer for 10 minutes."])

W = "http://schemas.openxmlformats.org/wordprocessingml/2006/main"
_STYLES = f"""<w:styles xmlns:w="{W}">
<w:style w:type="paragraph" w:styleId="Ueberschrift1"><w:name w:val="heading 1"/></w:style>
<w:style w:type="paragraph" w:styleId="H2"><w:name w:val="heading 2"/></w:style>
<w:style w:type="paragraph" w:styleId="Steps"><w:name w:val="List Number"/></w:style>
<w:style w:type="paragraph" w:styleId="Goods"><w:name w:val="List Bullet"/></w:style></w:styles>"""


def packed(members: dict[str, str | bytes]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as package:
        for name, data in members.items():
            package.writestr(name, data)
    return stream.getvalue()


def run(text: str, *, bold: bool = False) -> str:
    mark = "<w:rPr><w:b/></w:rPr>" if bold else ""
    return f'<w:r>{mark}<w:t xml:space="preserve">{escape(text)}</w:t></w:r>'


def para(text: str, style: str = "", *, bold: bool = False, before: str = "") -> str:
    properties = f'<w:pPr><w:pStyle w:val="{style}"/></w:pPr>' if style else ""
    return f"<w:p>{properties}{before}{run(text, bold=bold)}</w:p>"


def docx(body: str, *, head: str = "", members: dict[str, str | bytes] | None = None) -> bytes:
    main = f'<?xml version="1.0"?>{head}<w:document xmlns:w="{W}"><w:body>{body}</w:body></w:document>'
    return packed({
        "[Content_Types].xml": "<Types/>", "word/document.xml": main, "word/styles.xml": _STYLES, **(members or {}),
    })  # fmt: skip


def docx_recipe(title: str, goods: list[str], steps: list[str], *, before: str = "") -> str:
    return (
        para(title, "Ueberschrift1", before=before)
        + para("Ingredients", "H2")
        + "".join(para(item, "Goods") for item in goods)
        + para("Method", "H2")
        + "".join(para(step, "Steps") for step in steps)
    )


_ODF = (
    'xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
    'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" '
    'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" '
    'xmlns:style="urn:oasis:names:tc:opendocument:xmlns:style:1.0" '
    'xmlns:fo="urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0"'
)


def odt(body: str, *, styles: str = "", head: str = "") -> bytes:
    content = (
        f'<?xml version="1.0"?>{head}<office:document-content {_ODF}><office:automatic-styles>{styles}'
        f"</office:automatic-styles><office:body><office:text>{body}</office:text></office:body>"
        "</office:document-content>"
    )
    return packed({"mimetype": "application/vnd.oasis.opendocument.text", "content.xml": content})


def letter(text: str, *, subject: str = "Fwd: that bake", html: str | None = None, plain: bool = True) -> bytes:
    message = EmailMessage()
    message["From"] = "cook@example.org"
    message["To"] = "kitchen@example.org"
    message["Subject"] = subject
    if plain:
        message.set_content(text)
        if html:
            message.add_alternative(html, subtype="html")
    else:
        message.set_content(html or "", subtype="html")
    return message.as_bytes()


Placed = tuple[float, float, float, str]
"""Left, base line, size [points], words."""


def pdf(pages: list[list[Placed]], *, corner: int = 0, sideways: bool = False) -> bytes:
    """A PDF in a built-in typeface, whose words are drawn in the order given.

    `corner` moves the lower left corner of the page; `sideways` sets the page
    turned a quarter, as a printer does.
    """
    objects: list[bytes] = [b"", b""]
    kids = []
    for page in pages:
        drawn = []
        for left, base, size, words in page:
            raw = words.encode("cp1252").replace(b"\\", b"\\\\").replace(b"(", b"\\(").replace(b")", b"\\)")
            at = (595 - base, left) if sideways else (left, base)
            matrix = b"0 1 -1 0" if sideways else b"1 0 0 1"
            place = (matrix, at[0] + corner, at[1] + corner)
            drawn.append(b"BT /F1 %g Tf %s %g %g Tm (%s) Tj ET" % (size, *place, raw))
        stream = zlib.compress(b"\n".join(drawn))
        objects.append(b"<</Length %d/Filter/FlateDecode>>stream\n%s\nendstream" % (len(stream), stream))
        objects.append(
            b"<</Type/Page/Parent 2 0 R/MediaBox[%d %d %d %d]/Rotate %d/Contents %d 0 R/Resources<</Font<</F1"
            b"<</Type/Font/Subtype/Type1/BaseFont/Helvetica/Encoding/WinAnsiEncoding>>>>>>>>"
            % (corner, corner, 595 + corner, 842 + corner, 90 if sideways else 0, len(objects))
        )
        kids.append(b"%d 0 R" % len(objects))
    objects[0] = b"<</Type/Catalog/Pages 2 0 R>>"
    objects[1] = b"<</Type/Pages/Count %d/Kids[%s]>>" % (len(kids), b" ".join(kids))
    made = bytearray(b"%PDF-1.4\n")
    places = []
    for number, body in enumerate(objects, 1):
        places.append(len(made))
        made += b"%d 0 obj\n%s\nendobj\n" % (number, body)
    start = len(made)
    made += b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
    for place in places:
        made += b"%010d 00000 n \n" % place
    made += b"trailer<</Root 1 0 R/Size %d>>\nstartxref\n%d\n%%%%EOF\n" % (len(objects) + 1, start)
    return bytes(made)


def column(lines: list[str], left: float, top: float, size: float = 10.0) -> list[Placed]:
    return [(left, top - 1.25 * size * at, size, words) for at, words in enumerate(lines) if words]


# ---------------------------------------------------------------- files made to do harm


def hostile() -> dict[str, tuple[bytes, str]]:
    """By name: the bytes of a small file that does harm to a careless reader, and the reason it is refused with."""
    entity = f'<!DOCTYPE w [<!ENTITY a "{"ha" * 500}"><!ENTITY b "{"&a;" * 500}">]>'
    outside = '<!DOCTYPE w [<!ENTITY a SYSTEM "file:///etc/hostname">]>'
    card = docx(docx_recipe(TITLE, GOODS, STEPS))
    bomb = zlib.compress(zlib.compress(b"BT /F1 9 Tf 1 0 0 1 9 9 Tm (x) Tj ET\n" * 3_000_000, 9), 9)
    picture = b"\x89PNG\r\n\x1a\n" + b"".join(
        len(body).to_bytes(4, "big") + kind + body + zlib.crc32(kind + body).to_bytes(4, "big")
        for kind, body in (
            (b"IHDR", (30_000).to_bytes(4, "big") * 2 + b"\x08\0\0\0\0"),
            (b"IDAT", zlib.compress(b"\0" * 9)), (b"IEND", b""),
        )
    )  # fmt: skip
    return {
        "unpacks.docx": (packed({"word/document.xml": "<a>" + " " * 30_000_000}), "bomb"),
        "members.docx": (packed({f"word/{at}": "" for at in range(900)}), "bomb"),
        "entity.docx": (docx(para("&b;"), head=entity), "entities"),
        "outside.docx": (docx(para("&a;"), head=outside), "entities"),
        "entity.odt": (odt("<text:p>&b;</text:p>", head=entity), "entities"),
        "deep.docx": (docx("<w:p>" * 9_000), "too-deep"),
        "cut.docx": (card[: len(card) // 2], "truncated"),
        "cut.pdf": (pdf([column(STEPS, 50, 700)])[:300], "truncated"),
        "bomb.pdf": (twice_packed(bomb), "memory time broken bomb"),
        "deep.html": (b"<p>" + b"<div>" * 40_000, "too-deep"),
        "data.html": (b'<script type="application/ld+json">' + b"[" * 90_000 + b"</script><p>x", "no-recipe"),
        "deep.json": (b'{"a":' * 50_000, "too-deep"),
        "number.json": (b'{"a": ' + b"9" * 90_000 + b"}", "broken"),
        "cut.json": (b'{"@type": "Recipe", "name": "x', "truncated"),
        "deep.rtf": (b"{\\rtf1" + b"{" * 60_000, "too-deep"),
        "length.rtf": (b"{\\rtf1 a {\\*\\b \\bin99999999 x", "broken no-recipe"),
        "nested.eml": (b"From: a\nSubject: x\nMIME-Version: 1.0\nContent-Type: message/rfc822\n\n" * 900, "too-deep"),
        "bytes.txt": (bytes(range(256)) * 90, "unknown-kind"),
        "empty.txt": (b"", "empty"),
        "empty.docx": (b"", "empty"),
        "long.txt": (b"x " * 1_200_000, "too-large"),
        "long.html": (b"<p>" + b"x " * 1_200_000, "too-large"),
        "points.png": (picture, "too-large scan"),
        "slow.md": (b"[" * 60_000 + b"1." * 60_000, "no-recipe"),
        "knitting.txt": (b"Cast on forty stitches, then knit two rows and purl one.\n", "no-recipe"),
    }


def twice_packed(stream: bytes) -> bytes:
    """A PDF whose one page is drawn by a stream that is packed twice."""
    return (
        b"%%PDF-1.4\n1 0 obj\n<</Type/Catalog/Pages 2 0 R>>\nendobj\n2 0 obj\n<</Type/Pages/Count 1"
        b"/Kids[3 0 R]>>\nendobj\n"
        b"3 0 obj\n<</Type/Page/Parent 2 0 R/MediaBox[0 0 595 842]/Contents 4 0 R/Resources<</Font<</F1<</Type/Font"
        b"/Subtype/Type1/BaseFont/Helvetica>>>>>>>>\nendobj\n4 0 obj\n<</Length %d/Filter[/FlateDecode/FlateDecode]>>\n"
        b"stream\n%s\nendstream\nendobj\ntrailer<</Root 1 0 R/Size 5>>\n%%%%EOF\n" % (len(stream), stream)
    )
