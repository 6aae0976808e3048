"""XML of strangers as a tree: no entities, no links to other files, any name space."""

from __future__ import annotations

from typing import TYPE_CHECKING

from windowcast.settings.spelling import printable
from windowcast.sources.waypoints.words import problem

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element


def read_tree(body: bytes, file: str) -> Element:
    """The root element; ConfigProblem for what is not XML, or wants to be more than XML."""
    from xml.etree.ElementTree import ParseError

    from defusedxml.common import DefusedXmlException
    from defusedxml.ElementTree import fromstring

    try:
        root: Element = fromstring(body)
    except DefusedXmlException as error:
        found = "defines entities of its own or points at other files, which is not read"
        raise problem(file, found, "export it again from the program that made it") from error
    except ParseError as error:
        line, _ = error.position
        found = f"is not whole XML (line {line}: {printable(str(error.msg).partition(':')[0])})"
        raise problem(file, found, "export it again, or check that it is the right file") from error
    except (ValueError, LookupError, RecursionError) as error:
        found = f"is XML that cannot be read ({printable(str(error))})"
        raise problem(file, found, "export it again as UTF-8") from error
    return root


def local_name(element: Element) -> str:
    """The name of an element without its name space; "" for comments."""
    return element.tag.rpartition("}")[2] if isinstance(element.tag, str) else ""


def child(element: Element, name: str) -> Element | None:
    """The first child of that name, in any name space or none."""
    return next((c for c in element if local_name(c) == name), None)


def words_of(element: Element, *names: str) -> str:
    """The text of the first child of these names that holds any."""
    for name in names:
        found = child(element, name)
        text = "" if found is None else "".join(found.itertext()).strip()
        if text:
            return text
    return ""
