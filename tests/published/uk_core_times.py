"""UK times at the core taken for equal to 70 °C for 2 minutes, beside what the shipped germs of red meat ask."""

from __future__ import annotations

from published._shipped import data
from published._tables import STRICTER, beside

UK = data("uk_core_times.yaml")
SOURCE = "; ".join(UK["sources"].values())
NOTE = (
    f"{str(UK['how_known']).capitalize()}. Nothing was tuned to them. From 70 °C down the model asks less than these "
    "texts. It does not replace them: under the UK code they decide for birds, game, minced and pierced meat."
)


def rows():
    """Give every row of both texts."""
    for text, printed in UK["rows"].items():
        for temp_c, seconds in printed.items():
            less = UK["less_asked"][text].get(temp_c)
            yield beside(
                f"{text.replace('_', ' ')}, {temp_c} °C held",
                seconds,
                float(temp_c),
                "red_meat",
                known="read in part",
                digit_s=60 if seconds >= 300 else 1,
                less=less,
                reason=STRICTER if less is None else str(UK["reason"]),
            )
