"""What every part of a printed document has in common."""

from pydantic import BaseModel, ConfigDict


class DocumentPart(BaseModel):
    """A part of a document: whole, unchanging, and of numbers that JSON can carry."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)
