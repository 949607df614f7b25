"""What PDF/A-3a and PDF/UA-1 ask of a file's structure, as far as it can be seen from outside.

A validator of these standards (veraPDF) is in no package registry that the tests may use, so the
rules are asked one by one with pikepdf; each names its clause.
"""

import io

import pikepdf

PAINTING = {
    "f", "F", "f*", "B", "B*", "b", "b*", "S", "s", "sh", "Do", "EI", "Tj", "TJ", "'", '"',
}  # fmt: skip
FORBIDDEN = {"/Launch", "/Sound", "/Movie", "/ResetForm", "/ImportData", "/JavaScript"}


def faults(data: bytes, *, invoice: bool = False) -> list[str]:
    """Return what is wrong with a paper."""
    with pikepdf.open(io.BytesIO(data)) as pdf, pdf.open_metadata() as told:
        return [
            *metadata_faults(pdf, told),
            *catalogue_faults(pdf),
            *font_faults(pdf),
            *tag_faults(pdf),
            *content_faults(pdf),
            *(invoice_faults(pdf, told) if invoice else no_file_faults(pdf)),
        ]


def metadata_faults(pdf, told):
    if (told.get("pdfaid:part"), told.get("pdfaid:conformance")) != ("3", "A"):
        yield "ISO 19005-3, 6.6.4: it does not say that it is PDF/A-3a"
    if told.get("{http://www.aiim.org/pdfua/ns/id/}part") != "1":
        yield "ISO 14289-1, 5: it does not say that it is PDF/UA-1"
    if not str(told.get("dc:title", "")).strip():
        yield "ISO 14289-1, 7.1: no title in the metadata"
    if "/Filter" in pdf.Root.Metadata.stream_dict:
        yield "the metadata cannot be read by a plain search"


def catalogue_faults(pdf):
    root = pdf.Root
    if not root.get("/MarkInfo", {}).get("/Marked"):
        yield "ISO 14289-1, 7.1: not marked"
    if not root.get("/ViewerPreferences", {}).get("/DisplayDocTitle"):
        yield "ISO 14289-1, 7.1: the window does not show the title"
    if not str(root.get("/Lang", "")):
        yield "ISO 14289-1, 7.2: no language"
    if not any(each.S == "/GTS_PDFA1" for each in root.get("/OutputIntents", [])):
        yield "ISO 19005-3, 6.2.3: no output intent"
    if pdf.is_encrypted or "/ID" not in pdf.trailer:
        yield "ISO 19005-3, 6.1.3: encrypted, or without an identity"
    actions = {str(each.S) for each in dictionaries(pdf) if str(each.get("/Type")) == "/Action"}
    if FORBIDDEN & actions:
        yield f"ISO 19005-3, 6.5.1: {actions}"
    for number, page in enumerate(pdf.pages, start=1):
        if page.get("/Annots") and page.get("/Tabs") != "/S":
            yield f"ISO 14289-1, 7.18.3: page {number} does not follow the structure"


def dictionaries(pdf):
    return (each for each in pdf.objects if isinstance(each, pikepdf.Dictionary))


def font_faults(pdf):
    for font in dictionaries(pdf):
        if font.get("/Type") != "/Font" or font.get("/Subtype") == "/Type0":
            continue
        descriptor = font.get("/FontDescriptor", {})
        if not {"/FontFile", "/FontFile2", "/FontFile3"} & set(descriptor.keys()):
            yield f"ISO 19005-3, 6.2.11.4: {font.get('/BaseFont')} is not embedded"
    for font in dictionaries(pdf):
        if font.get("/Subtype") == "/Type0" and "/ToUnicode" not in font:
            yield f"ISO 19005-3, 6.2.11.7: {font.BaseFont} has no letters"


def elements(node):
    """Every structure element below a node."""
    kids = node.get("/K", [])
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            yield kid
            yield from elements(kid)


def kind_of(element, roles) -> str:
    kind = str(element.S)
    return str(roles.get(kind, kind))


def tag_faults(pdf):
    tree = pdf.Root.get("/StructTreeRoot")
    if tree is None:
        yield "ISO 14289-1, 7.1: no structure"
        return
    roles = tree.get("/RoleMap", {})
    found = list(elements(tree))
    kinds = [kind_of(each, roles) for each in found]
    if kinds[0] != "/Document":
        yield f"ISO 32000-1, 14.8.4.2: the structure begins with {kinds[0]}"
    if "/ParentTree" not in tree:
        yield "ISO 32000-1, 14.7.4.4: no way from the content to its tags"
    for element, kind in zip(found, kinds, strict=True):
        if kind in ("/Figure", "/Formula") and not str(element.get("/Alt", "")).strip():
            yield f"ISO 14289-1, 7.3: a {kind} says nothing"
        if kind == "/TH" and "/Scope" not in attributes(element):
            yield "ISO 14289-1, 7.5: a table's heading does not say for what it is one"
    yield from heading_faults([int(kind[2:]) for kind in kinds if kind[1:2] == "H" and kind[2:]])


def attributes(element):
    held = element.get("/A", pikepdf.Dictionary())
    rows = held if isinstance(held, pikepdf.Array) else [held]
    return {key for each in rows if isinstance(each, pikepdf.Dictionary) for key in map(str, each)}


def heading_faults(levels):
    for before, level in zip([0, *levels], levels, strict=False):
        if level > before + 1:
            yield f"ISO 14289-1, 7.4.2: a heading of level {level} after one of {before}"


def content_faults(pdf):
    """ISO 14289-1, 7.1: what is painted is tagged, or said to be an ornament."""
    for number, page in enumerate(pdf.pages, start=1):
        depth = 0
        for operands, operator in pikepdf.parse_content_stream(page):
            name = str(operator)
            depth += (name in ("BDC", "BMC")) - (name == "EMC")
            if depth == 0 and name in PAINTING:
                yield f"ISO 14289-1, 7.1: page {number} paints {name} {operands} outside any tag"
                return


def no_file_faults(pdf):
    if "/AF" in pdf.Root:
        yield "a file lies in a paper that has none"


def invoice_faults(pdf, told):
    """ISO 19005-3, 6.8 and Factur-X 1.0, 6.2 and 6.3: the file inside, and what the XMP says."""
    namespace = "{urn:factur-x:pdfa:CrossIndustryDocument:invoice:1p0#}"
    wanted = {
        "DocumentFileName": "factur-x.xml", "DocumentType": "INVOICE", "Version": "1.0",
        "ConformanceLevel": "EN 16931",
    }  # fmt: skip
    for name, value in wanted.items():
        if told.get(namespace + name) != value:
            yield f"Factur-X, 6.3: {name} is {told.get(namespace + name)}"
    if "pdfaExtension" not in str(told) or namespace[1:-1] not in str(told):
        yield "ISO 19005-3, 6.6.2.3: the schema of Factur-X is not described"
    files = list(pdf.Root.get("/AF", []))
    if len(files) != 1 or str(files[0].UF) != "factur-x.xml":
        yield "Factur-X, 6.2: the file is not there"
        return
    if files[0].get("/AFRelationship") != "/Alternative" or "/Desc" not in files[0]:
        yield "ISO 19005-3, 6.8: the file does not say what it is to the paper"
    held = files[0].EF.F
    if held.get("/Subtype") != "/text/xml" or "/ModDate" not in held.get("/Params", {}):
        yield "ISO 19005-3, 6.8: the file has no kind or no date"
    if "factur-x.xml" not in [str(each) for each in pdf.Root.Names.EmbeddedFiles.Names[::2]]:
        yield "ISO 19005-3, 6.8: the file is not on the list of files"
