"""What every table of a scenario has in common."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field


class TomlTable(BaseModel):
    """A table of the file: unknown keys are refused, and it never changes once read."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


Name = Annotated[str, Field(min_length=1)]
Whole = Annotated[int, Field(strict=True, ge=0)]
Count = Annotated[int, Field(strict=True, ge=1)]
Ratio = Annotated[float, Field(strict=True, gt=0)]
Flag = Annotated[bool, Field(strict=True)]
Key = Annotated[str, Field(pattern=r"^[A-Za-z][A-Za-z0-9_-]*$", examples=["crew_module"])]
