"""What stands in for a panel where no kernel runs: in a workbook that was saved, or sent on."""

from __future__ import annotations

from typing import Any

import ipywidgets as widgets

from mplan.show import notes


class StandIn(widgets.VBox):
    """A panel whose cell keeps what its sliders stand at, as HTML and as text."""

    controls: dict[str, Any]  # by key, each with its knob and its value

    def _repr_mimebundle_(self, *args: Any, **kwargs: Any) -> dict[str, Any]:  # noqa: ANN401
        """Add what stands in for the panel where no kernel runs."""
        bundle = super()._repr_mimebundle_(*args, **kwargs)
        rows = [(each.knob, each.value) for each in self.controls.values()]
        return {**bundle, "text/html": notes.still_panel(rows), "text/plain": notes.PANEL}
