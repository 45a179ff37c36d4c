"""Whether words beside a price say that tax is in it; nothing is added or taken off."""

from __future__ import annotations

import re

_TAX = (
    r"(?:v\.?a\.?t\.?|g\.?s\.?t\.?|sales tax|tax(?:es)?|mwst\.?|mehrwertsteuer|ust\.?|"
    r"umsatzsteuer|t\.?v\.?a\.?|i\.?v\.?a\.?|btw|moms|mva|alv)"
)
_WITH = (
    r"(?:inc(?:l(?:\.|uding|uded|usive(?: of)?)?)?\.?|with|inkl\.?|einschl\.?|mit|compris[e]?|"
    r"incl[uo]s[oa]?|incluid[oa]|compres[ao]|med|sis\.?)"
)
_WITHOUT = (
    r"(?:ex(?:cl(?:\.|uding|uded|usive(?: of)?)?)?\.?|\+|plus|net of|without|no|exkl\.?|zzgl\.?|"
    r"zuzügl\.?|ohne|o\.|hors|escluso|esclusa|excluido|más|mas|sin|uden|utan|eks\.?|ekskl\.?|"
    r"uten|ilman)"
)

_INCLUDED = re.compile(
    rf"{_WITH}\s*{_TAX}|{_TAX}\s*{_WITH}"
    r"|(?<!\w)(?:ttc|t\.t\.c\.|brutto(?:preis)?|gross price)(?!\w)",
    re.I,
)
_EXCLUDED = re.compile(
    rf"{_WITHOUT}\s*{_TAX}|{_TAX}\s*(?:extra|excl\.?|excluded|escl\.?|esclusa|exkl\.?|not included)"
    r"|(?<!\w)(?:h\.?t\.?|hors taxes?|netto(?:preis)?|net(?:t)?(?: price)?)(?!\w)",
    re.I,
)


def find(text: str) -> tuple[str | None, str]:
    """Return ("included" | "excluded" | None, the text without those words)."""
    for pattern, meaning in ((_EXCLUDED, "excluded"), (_INCLUDED, "included")):
        if match := pattern.search(text):
            return meaning, (text[: match.start()] + " " + text[match.end() :]).strip(" ,;()[]")
    return None, text


def read_tax(text: str) -> tuple[str | None, str | None]:
    """Return (basis, warning) of a cell in a tax column: `incl`, `ex VAT`, `yes`, `19 %`."""
    if not text:
        return None, None
    found, _ = find(text)
    if found:
        return found, None
    word = re.sub(r"[^a-zäöü]", "", text.casefold())
    if word in {"incl", "inc", "included", "including", "inkl", "gross", "compris", "incluso"}:
        return "included", None
    if word in {"excl", "ex", "excluded", "excluding", "exkl", "net", "extra", "zzgl"}:
        return "excluded", None
    return None, f"tax {text[:30]!r} does not say whether the price includes it"
