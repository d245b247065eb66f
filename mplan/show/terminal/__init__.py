"""What commands print: rich text on a terminal, plain text in a pipe, never over 100 columns."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from mplan.show.terminal.brief import print_brief
    from mplan.show.terminal.catalogue import print_catalogue
    from mplan.show.terminal.comparison import print_comparison
    from mplan.show.terminal.engines import print_trades
    from mplan.show.terminal.odds import print_odds
    from mplan.show.terminal.page import progress
    from mplan.show.terminal.programme import print_programme
    from mplan.show.terminal.sensitivities import print_sensitivities
    from mplan.show.terminal.sizing import print_sizing
    from mplan.show.terminal.trades import print_study
    from mplan.show.terminal.ways_out import print_ways, print_ways_at
    from mplan.show.terminal.windows import print_windows

__all__ = [
    "print_brief",
    "print_catalogue",
    "print_comparison",
    "print_odds",
    "print_programme",
    "print_sensitivities",
    "print_sizing",
    "print_study",
    "print_trades",
    "print_ways",
    "print_ways_at",
    "print_windows",
    "progress",
]

_HOMES = {
    "print_brief": "brief",
    "print_catalogue": "catalogue",
    "print_comparison": "comparison",
    "print_odds": "odds",
    "print_programme": "programme",
    "print_sensitivities": "sensitivities",
    "print_sizing": "sizing",
    "print_study": "trades",
    "print_trades": "engines",
    "print_ways": "ways_out",
    "print_ways_at": "ways_out",
    "print_windows": "windows",
    "progress": "page",
}


def __getattr__(name: str) -> object:
    """Bring in what a command prints with when it is asked for: pandas and widgets wait for it."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
