"""Validates pairs of MusicXML files against the W3C schema: valid.py SCHEMA-FOLDER < list of files, one a line.

Prints for each file the number of errors and the first of them, as JSON lines. The schema's imports are answered
by short schemas of the two attributes sets it takes from elsewhere, since its own addresses are on the network.
"""

import json
import sys
import tempfile
from pathlib import Path

from lxml import etree

XLINK = """<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="http://www.w3.org/1999/xlink">
%s</xs:schema>""" % "".join(
    f'<xs:attribute name="{name}" type="xs:string"/>'
    for name in ("href", "type", "role", "title", "show", "actuate", "arcrole", "label", "from", "to")
)
XML = """<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="http://www.w3.org/XML/1998/namespace">
<xs:attribute name="lang" type="xs:language"/>
<xs:attribute name="space"><xs:simpleType><xs:restriction base="xs:NCName">
<xs:enumeration value="default"/><xs:enumeration value="preserve"/></xs:restriction></xs:simpleType></xs:attribute>
</xs:schema>"""


def schema(folder):
    """The schema with its imports lying beside it."""
    with tempfile.TemporaryDirectory() as scratch:
        beside = Path(scratch)
        text = (folder / "musicxml_4_0.xsd").read_text(encoding="utf-8")
        text = text.replace("http://www.musicxml.org/xsd/", "")
        (beside / "musicxml.xsd").write_text(text, encoding="utf-8")
        (beside / "xml.xsd").write_text(XML, encoding="utf-8")
        (beside / "xlink.xsd").write_text(XLINK, encoding="utf-8")
        return etree.XMLSchema(etree.parse(str(beside / "musicxml.xsd")))


def main():
    judge = schema(Path(sys.argv[1]))
    plain = etree.XMLParser(no_network=True, load_dtd=False, resolve_entities=False)
    for line in sys.stdin:
        path = line.strip()
        tree = etree.parse(path, plain)
        judge.validate(tree)
        errors = [entry.message for entry in judge.error_log]
        print(json.dumps({"file": path, "errors": len(errors), "first": errors[:1]}))


main()
