"""The bytes of a logger's file as lines of text, whatever program wrote them."""

import codecs

MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


def text_of(content: bytes) -> str:
    """The text, its lines ended alike and without signs that no file of readings has."""
    text = _decoded(content).lstrip("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    return text.replace("\x00", "")


def lines_of(content: bytes) -> list[str]:
    """Its lines; the first of some files only names the separator, and is emptied."""
    lines = text_of(content).split("\n")
    if lines[0].lower().startswith("sep="):
        lines[0] = ""
    return lines


def _decoded(content: bytes) -> str:
    for mark, name in MARKS:
        if content.startswith(mark):
            return content.decode(name, "replace")
    if content[:200].count(b"\x00") * 3 > len(content[:200]):
        return content.decode("utf-16-le" if content[1:2] == b"\x00" else "utf-16-be", "replace")
    try:
        return content.decode()
    except UnicodeDecodeError:
        return content.decode("cp1252", "replace")
