"""A worked scenario holds its plan, or a cook's words, among what must come out; here it is taken out of it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from advisor.knowledge.yamltext import YamlProblemError, line_of, read_plain

_WRAPPED: Final = re.compile(r"(?m)^(?:plan|words)\s*:\s*[|>]")


def unwrapped(text: str) -> str:
    r"""Plan, or words, of a worked scenario, on the lines they have in the file; any other text as it is.

    Examples
    --------
    >>> unwrapped("tells: Rare.\nplan: |\n  piece: {cut: flank steak}\nmust: {verdict: go}\n")
    '\n\npiece: {cut: flank steak}\n'
    >>> unwrapped("piece: {cut: flank steak}")
    'piece: {cut: flank steak}'
    """
    if _WRAPPED.search(text) is None:
        return text
    try:
        data = read_plain(text)
    except YamlProblemError:
        return text
    if not isinstance(data, Mapping) or "must" not in data:
        return text
    for key in ("plan", "words"):
        inside = data.get(key)
        if isinstance(inside, str):
            return "\n" * line_of(text, (key,)) + inside
    return text
