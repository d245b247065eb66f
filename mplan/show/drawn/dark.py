"""Pictures on a dark page: a stylesheet that puts the dark colours in place of the light ones.

A picture is drawn once, in light colours; the page dresses it, and dresses it anew when it turns
dark or light. A picture that is saved or printed is as it was drawn.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields

from mplan.show.drawn.palette import LOOKS

IN_LAB = 'body[data-jp-theme-light="false"]'  # JupyterLab's page, with a dark theme
PROPERTIES = ("fill", "stroke", "background")  # in which plotly writes colours
IN_HATCHES = ("fill", "stroke")  # where they are attributes: a bar and the lines on it


def css(page: str) -> str:
    """Return the rules for pictures of plotly inside `page`, a selector that holds if it is dark.

    A report puts them within `@media screen and (prefers-color-scheme: dark)`, say, for ":root".
    """
    return "\n".join(
        f"{page} .js-plotly-plot {place} {{ {name}: {dark} !important }}"
        for light, dark in colours().items()
        for name, place in _places(_written(light))
    )


def _places(colour: str) -> Iterator[tuple[str, str]]:
    """Yield where a colour stands: in which property, and a selector of what has it."""
    for name in PROPERTIES:
        yield name, f'[style*="{name}: {colour}"]'
    for name in IN_HATCHES:
        yield name, f'pattern [{name}="{colour}"]'


def colours() -> dict[str, str]:
    """Return the dark colour that takes the place of each light one, where they differ."""
    light, dark = LOOKS["light"], LOOKS["dark"]
    names = [each.name for each in fields(light) if each.name != "colorway"]
    pairs = [(getattr(light, name), getattr(dark, name)) for name in names]
    pairs += zip(light.colorway, dark.colorway, strict=True)
    return {one: other for one, other in pairs if one != other}


def _written(colour: str) -> str:
    """Return a colour as browsers write it into a style."""
    parts = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return f"rgb({', '.join(map(str, parts))})"
