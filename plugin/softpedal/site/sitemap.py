"""The list of all pages for programs that look for pages: the sitemaps.org protocol 0.9.

MkDocs writes its own; this one is for the plain pages.
"""

from __future__ import annotations

from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

from softpedal.site.published import absolute_address

if TYPE_CHECKING:
    from collections.abc import Iterable

    from softpedal.site.published import Link, Page

SITEMAP = "sitemap.xml"
NAMESPACE = "http://www.sitemaps.org/schemas/sitemap/0.9"


def sitemap_xml(pages: Iterable[Page], link: Link) -> bytes:
    """Return the sitemap, nothing where the site's address is not known.

    A route's page was last changed on the day of its last ride, as far as its notes say; of other
    pages nothing is said. The protocol allows 50,000 addresses in one file.
    """
    urls = ET.Element("urlset", {"xmlns": NAMESPACE})
    for page in sorted(pages, key=lambda page: page.path):
        address = absolute_address(link, page.path)
        if not address:
            return b""
        url = ET.SubElement(urls, "url")
        ET.SubElement(url, "loc").text = address
        if page.changed:
            ET.SubElement(url, "lastmod").text = page.changed
    ET.indent(urls)
    text: bytes = ET.tostring(urls, encoding="utf-8", xml_declaration=True)
    return text + b"\n"
