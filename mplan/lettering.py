"""Names and other texts of planners, as data in every medium: none of it is obeyed as a command.

HTML has `html.escape`; here is what other media would take for more than letters.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Any

LINE = 80  # characters that a line of a CCSDS message holds of a name
# Control characters, among them the one that begins a terminal's commands, and those that turn
# the direction of writing; line ends and tabs stay.
CONTROLS = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
FIGURE = re.compile(r"[-+]\d[\d .:,]*( d [\d:]+)?")  # a number or a clock time, which is none
OURS = re.compile(r"&lt;(br|extra|/extra)&gt;")  # the tags that drawings use themselves
NOT_DRAWN = ("meta",)  # of a plotly layout: the summary, which no browser reads as markup


def terminal(text: str) -> str:
    """Return a text without what a terminal would obey."""
    return CONTROLS.sub("\ufffd", text)


def spreadsheet(value: Any) -> Any:  # noqa: ANN401 (a cell holds anything)
    """Return a cell; a text that would be worked out as a formula begins with an apostrophe."""
    if not isinstance(value, str):
        return value
    clean = terminal(value)
    formula = clean.startswith(FORMULA) and not FIGURE.fullmatch(clean)
    return f"'{clean}" if formula else clean


def ascii_line(text: str) -> str:
    """Return a text in the ASCII, and of the length, that a line of a CCSDS message may hold."""
    letters = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    return " ".join(CONTROLS.sub(" ", letters).split())[:LINE] or "UNNAMED"


def plotly(node: Any) -> Any:  # noqa: ANN401 (a figure as plain data)
    """Return a figure's traces or layout whose texts neither plotly nor MathJax read as markup."""
    if isinstance(node, dict):
        return {key: x if key in NOT_DRAWN else plotly(x) for key, x in node.items()}
    if isinstance(node, (list, tuple)):
        plain = all(isinstance(x, (int, float)) for x in node)
        return node if plain else [plotly(x) for x in node]
    return _unmarked(node) if isinstance(node, str) else node


def _unmarked(text: str) -> str:
    escaped = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return OURS.sub(r"<\1>", escaped).replace("$", "&#36;")
