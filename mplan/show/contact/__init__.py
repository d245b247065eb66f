"""Contact with Earth as people read it: tables, a picture, a sentence."""

from mplan.show.contact.rows import PASSES, SEEN, SILENCES, sentence
from mplan.show.contact.station_bars import drawing

__all__ = ["PASSES", "SEEN", "SILENCES", "drawing", "sentence"]
