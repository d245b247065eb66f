"""What every table of a scenario has in common."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field


class TomlTable(BaseModel):
    """A table of the file: unknown keys are refused, and it never changes once read."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


Name = Annotated[str, Field(min_length=1)]
# Upper bounds from what can be built or is ever done, with room (common practice, no source).
Whole = Annotated[int, Field(strict=True, ge=0, le=1000)]
Count = Annotated[int, Field(strict=True, ge=1, le=1000)]
Ratio = Annotated[float, Field(strict=True, ge=0.01, le=100)]
Flag = Annotated[bool, Field(strict=True)]
Key = Annotated[str, Field(pattern=r"^[A-Za-z][A-Za-z0-9_-]*$", examples=["crew_module"])]
