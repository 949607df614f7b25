"""The marks in a PDF's metadata which say that it carries an invoice's data (Factur-X 1.0, XMP).

Typst embeds the file; what it cannot write is this schema. The metadata stream is replaced where it
stands and the addresses behind it are moved, so that the document keeps one revision and its tags.
"""

import re

NAME = "factur-x.xml"
LEVEL = "EN 16931"
NAMESPACE = "urn:factur-x:pdfa:CrossIndustryDocument:invoice:1p0#"
PROPERTIES = {
    "DocumentFileName": (NAME, "The name of the embedded XML document"),
    "DocumentType": ("INVOICE", "The type of the hybrid document in capital letters"),
    "Version": ("1.0", "The version of the standard that the embedded XML document follows"),
    "ConformanceLevel": (LEVEL, "The conformance level of the embedded XML document"),
}
SCHEMAS_END = b"</rdf:Bag></pdfaExtension:schemas>"
DESCRIPTION_END = b"</rdf:Description></rdf:RDF>"
METADATA = re.compile(
    rb"\d+ 0 obj\s*<<(?:(?!>>).)*?/Subtype\s*/XML.*?stream\r?\n(.*?)\r?\nendstream", re.DOTALL
)
LENGTH = re.compile(rb"/Length (\d+)")
ENTRY = re.compile(rb"^(\d{10}) (\d{5}) n", re.MULTILINE)
START = re.compile(rb"startxref\s+(\d+)\s+%%EOF\s*\Z")


def with_marks(pdf: bytes) -> bytes:
    """Return a PDF of Typst's with the marks of Factur-X in its metadata.

    Raises
    ------
    ValueError : it is not written as Typst writes; then this module must be looked at
    """
    found, end = METADATA.search(pdf), START.search(pdf)
    if found is None or end is None:
        raise ValueError("the PDF has no plain metadata or no table of addresses")
    marked = marked_metadata(found[1])
    grown = len(marked) - len(found[1])
    head = pdf[found.start() : found.start(1)]
    new_head = LENGTH.sub(b"/Length %d" % len(marked), head, count=1)
    grown += len(new_head) - len(head)
    table = int(end[1])
    entries = ENTRY.sub(
        lambda entry: b"%010d %s n" % (moved(int(entry[1]), found.start(), grown), entry[2]),
        pdf[table : end.start()],
    )
    return b"".join((
        pdf[: found.start()], new_head, marked, pdf[found.end(1) : table], entries,
        b"startxref\n%d\n%%%%EOF" % moved(table, found.start(), grown),
    ))  # fmt: skip


def moved(address: int, after: int, by: int) -> int:
    """Return where something lies after what stands at `after` has grown."""
    return address + by if address > after else address


def marked_metadata(xmp: bytes) -> bytes:
    """Return metadata with the schema of Factur-X and its four values."""
    if SCHEMAS_END not in xmp or DESCRIPTION_END not in xmp:
        raise ValueError("the PDF's metadata has no place for another schema")
    described = xmp.replace(SCHEMAS_END, schema().encode() + SCHEMAS_END, 1)
    return described.replace(DESCRIPTION_END, b"</rdf:Description>" + values().encode(), 1)


def schema() -> str:
    """Return the description of the schema that PDF/A asks for (ISO 19005-3, 6.6.2.3)."""
    rows = "".join(
        '<rdf:li rdf:parseType="Resource">'
        f"<pdfaProperty:name>{name}</pdfaProperty:name>"
        "<pdfaProperty:valueType>Text</pdfaProperty:valueType>"
        "<pdfaProperty:category>external</pdfaProperty:category>"
        f"<pdfaProperty:description>{words}</pdfaProperty:description></rdf:li>"
        for name, (_value, words) in PROPERTIES.items()
    )
    return (
        '<rdf:li rdf:parseType="Resource">'
        "<pdfaSchema:schema>Factur-X PDFA Extension Schema</pdfaSchema:schema>"
        f"<pdfaSchema:namespaceURI>{NAMESPACE}</pdfaSchema:namespaceURI>"
        "<pdfaSchema:prefix>fx</pdfaSchema:prefix>"
        f"<pdfaSchema:property><rdf:Seq>{rows}</rdf:Seq></pdfaSchema:property></rdf:li>"
    )


def values() -> str:
    """Return the four values."""
    said = "".join(
        f"<fx:{name}>{value}</fx:{name}>" for name, (value, _words) in PROPERTIES.items()
    )
    return (
        f'<rdf:Description rdf:about="" xmlns:fx="{NAMESPACE}">{said}</rdf:Description></rdf:RDF>'
    )
