"""What every table of a scenario has in common."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import BaseModel, ConfigDict, Field

if TYPE_CHECKING:
    from typing_extensions import Self


class TomlTable(BaseModel):
    """A table of the file: unknown keys are refused, and it never changes once read."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)

    def model_copy(self, *, update: Mapping[str, Any] | None = None, deep: bool = False) -> Self:
        """Return a copy with other values; what was worked out of the old ones stays behind."""
        made = super().model_copy(update=update, deep=deep)
        for name in made.__dict__.keys() - type(self).model_fields.keys() if update else ():
            del made.__dict__[name]
        return made


# One line that fits under a picture: control characters steer terminals, and names break no line.
Name = Annotated[str, Field(min_length=1, max_length=160, pattern=r"^[^\x00-\x1f\x7f-\x9f]+$")]
# Upper bounds from what can be built or is ever done, with room (common practice, no source).
Whole = Annotated[int, Field(strict=True, ge=0, le=1000)]
Count = Annotated[int, Field(strict=True, ge=1, le=1000)]
Ratio = Annotated[float, Field(strict=True, ge=0.01, le=100)]
Flag = Annotated[bool, Field(strict=True)]
Key = Annotated[str, Field(pattern=r"^[A-Za-z][A-Za-z0-9_-]*$", examples=["crew_module"])]
