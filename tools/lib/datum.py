"""A coefficient of a law: its value, the range that it may lie in, and where it is from. The same in both layouts."""

from dataclasses import dataclass

MEMORY = "from memory"
PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Datum:
    value: float
    low: float
    high: float
    source: str
    meaning: str

    def __post_init__(self):
        if not self.low <= self.value <= self.high:
            raise ValueError(f"{self.meaning}: {self.value} outside of {self.low} to {self.high}")
        if not self.source:
            raise ValueError(f"{self.meaning}: without a source")
