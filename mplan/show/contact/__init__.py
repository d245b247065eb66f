"""Contact with Earth as people read it: tables, pictures, sentences."""

from mplan.show.contact.margin_curves import margins
from mplan.show.contact.rows import (
    LINKS,
    NO_LINKS,
    PASSES,
    SEEN,
    SILENCES,
    link_sentence,
    sentence,
)
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
