"""What commands print: rich text on a terminal, plain text in a pipe, never over 100 columns."""

from mplan.show.terminal.brief import print_brief
from mplan.show.terminal.catalogue import print_catalogue
from mplan.show.terminal.comparison import print_comparison
from mplan.show.terminal.engines import print_trades
from mplan.show.terminal.page import progress
from mplan.show.terminal.programme import print_programme
from mplan.show.terminal.sensitivities import print_sensitivities
from mplan.show.terminal.sizing import print_sizing
from mplan.show.terminal.trades import print_study
from mplan.show.terminal.windows import print_windows

__all__ = [
    "print_brief",
    "print_catalogue",
    "print_comparison",
    "print_programme",
    "print_sensitivities",
    "print_sizing",
    "print_study",
    "print_trades",
    "print_windows",
    "progress",
]
