"""Whether words beside a price say that tax is in it; nothing is added or taken off."""

from __future__ import annotations

import re

_TAX = (
    r"(?:v\.?a\.?t\.?|g\.?s\.?t\.?|sales tax|tax(?:es)?|mwst\.?|mehrwertsteuer|ust\.?|"
    r"umsatzsteuer|t\.?v\.?a\.?|i\.?v\.?a\.?|btw|moms|mva|alv|dph)"
)
_WITH = (
    r"(?:inc(?:l(?:\.|uding|uded|usive(?: of)?)?)?\.?|with|inkl\.?|einschl\.?|mit|compris[e]?|"
    r"incl[uo]s[oa]?|incluid[oa]|compres[ao]|med|con|com|c/|sis\.?|včetně|vč\.?|(?<!\w)[sz](?=\s))"
)
_WITHOUT = (
    r"(?:ex(?:cl(?:\.|uding|uded|usive(?: of)?)?)?\.?|\+|plus|net of|without|no|exkl\.?|zzgl\.?|"
    r"zuzügl\.?|ohne|o\.|hors|escluso|esclusa|excluido|más|mas|sin|uden|utan|eks\.?|ekskl\.?|"
    r"uten|ilman|bez|sem|s/)"
)

_RATE = (
    r"(?:\s*(?:\d+(?:[.,]\d+)?\s?%|(?:the )?(?:applicable|statutory|legal|current)|"
    r"(?:die |der )?gesetzl(?:\.|ich\w*)|d(?:e|er|ie) (?:la )?|la |l['’]|any ))*\s*"
)
_NOT = (
    r"(?:not? (?:including|inclusive of|incl\.?)|not? includ(?:e|ing)|excludes?|nicht enthalten|"
    r"nicht inkl\.?|no incluyen?|non compris[e]?|non compres[ao]|non inclus[oae]?|ej inkl\.?|"
    r"niet inbegrepen|subject to|bez)"
)

_INCLUDED = re.compile(
    rf"{_WITH}{_RATE}{_TAX}|{_TAX}{_RATE}(?:is |are |ist |est |sono )?{_WITH}"
    rf"|includes?{_RATE}{_TAX}|enthalten{_RATE}{_TAX}"
    r"|(?<!\w)(?:ttc|t\.t\.c\.|brutto(?:preis)?|gross price)(?!\w)",
    re.I,
)
_EXCLUDED = re.compile(
    rf"(?:{_WITHOUT}|{_NOT}){_RATE}{_TAX}|{_TAX}{_RATE}(?:is |are |ist |est |to be |will be )?"
    r"(?:extra|excl\.?|excluded|escl\.?|esclus[ao]|exkl\.?|not included|added|en sus|"
    r"non compris[e]?|no incluid[oa]|nicht enthalten|non inclus[ae]?|niet inbegrepen|"
    r"kommt hinzu|tillkommer|(?:at \d+ ?% )?extra)"
    r"|(?<!\w)(?:h\.?t\.?|hors taxes?|netto(?:preis)?|net(?:t)?(?: price)?)(?!\w)",
    re.I,
)


def find(text: str) -> tuple[str | None, str]:
    """Return ("included" | "excluded" | None, the text without those words)."""
    for pattern, meaning in ((_EXCLUDED, "excluded"), (_INCLUDED, "included")):
        if match := pattern.search(text):
            return meaning, (text[: match.start()] + " " + text[match.end() :]).strip(" ,;()[]")
    return None, text


# In running text `net 30 days` and `net weight` say nothing of tax.
_PROSE_EXCLUDED = re.compile(
    r"\b(?:prix|tarifs?)\b.*\bh\.?t\b|\bhors taxes?\b|\bnettopreise?\b|\bpreise?\b.*\bnetto\b|"
    r"\bceny netto\b|\bprices?\b.*\bnet of\b|\bprezzi netti\b",
    re.I,
)
_PROSE_INCLUDED = re.compile(
    r"\b(?:prix|tarifs?)\b.*\bt\.?t\.?c\b|\btoutes taxes comprises\b|\bbruttopreise?\b|"
    r"\bpreise?\b.*\bbrutto\b|\bceny brutto\b",
    re.I,
)
_BARE_NET = re.compile(
    r"(?<!\w)(?:h\.?t\.?|netto(?:preis)?|net(?:t)?(?: price)?|ttc|t\.t\.c\.|brutto(?:preis)?|"
    r"gross price)(?!\w)",
    re.I,
)


def in_prose(text: str) -> str | None:
    """Return "included" | "excluded" | None: what a sentence around a list says of tax."""
    for pattern, meaning in ((_PROSE_EXCLUDED, "excluded"), (_PROSE_INCLUDED, "included")):
        if pattern.search(text):
            return meaning
    return find(_BARE_NET.sub(" ", text))[0]


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
