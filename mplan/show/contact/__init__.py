"""Contact with Earth as people read it: tables, pictures, sentences."""

from importlib import import_module
from typing import TYPE_CHECKING

from mplan.show.contact.rows import (
    LINKS,
    NO_LINKS,
    PASSES,
    SEEN,
    SILENCES,
    link_sentence,
    sentence,
)

if TYPE_CHECKING:
    from mplan.show.contact.margin_curves import margins
    from mplan.show.contact.station_bars import drawing

__all__ = [
    "LINKS",
    "NO_LINKS",
    "PASSES",
    "SEEN",
    "SILENCES",
    "drawing",
    "link_sentence",
    "margins",
    "sentence",
]

_HOMES = {"drawing": "station_bars", "margins": "margin_curves"}


def __getattr__(name: str) -> object:
    """Bring in the pictures when one is asked for: a page of text does without plotly."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
