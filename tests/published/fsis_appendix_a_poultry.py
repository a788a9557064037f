"""Times for chicken and turkey of the US plant guideline, by fat, beside what the shipped germs ask."""

from __future__ import annotations

from published._shipped import celsius, data
from published._tables import STRICTER, beside

TABLE = data("fsis_appendix_a_poultry.yaml")
SOURCE = str(TABLE["source"])
NOTE = (
    "The shipped germs of poultry (D and z from memory) know no fat. They ask more than the table at the ends and up "
    "to 7 % (chicken) or 13 % (turkey) less around 145 °F in the fattest columns. A plan is held to the table as "
    "well: the longer time decides."
)


def rows():
    """Give every row of both birds at every fat."""
    for bird in ("chicken", "turkey"):
        for fahrenheit, printed in TABLE[bird].items():
            from_fat = TABLE["less_asked_from_fat"][bird].get(fahrenheit, 99)
            for fat, seconds in zip(TABLE["fat_percent"], printed, strict=True):
                less = TABLE["less_asked_share"][bird] if fat >= from_fat else None
                yield beside(
                    f"{bird}, {fat} % fat, {fahrenheit} °F held",
                    seconds,
                    celsius(fahrenheit),
                    "poultry",
                    known="read",
                    digit_s=6 if seconds >= 60 else 0.1,
                    less=less,
                    reason=STRICTER if less is None else "our germs know no fat; the table leads there and holds too",
                )
