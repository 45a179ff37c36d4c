"""Rows that are no parts: totals, page numbers, section headings, footers, rules."""

from __future__ import annotations

import re
from collections.abc import Callable

from xref.tables.text import fold

_SUM = (
    r"(?:sub ?|grand |page |zwischen ?|gesamt|end)?(?:totals?|summe|summa|sum|gesamt|totaal|totale|"
    r"totaux|totalt|tot)|sous total|i alt|ialt|yhteensa|total general|montant total|importe total|"
    r"razem|suma|lacznie|ogolem|celkem|soucet|mezisoucet|suma czesciowa|total geral|"
    r"totale (?:generale|parziale)|totaal generaal|suma total|sammanlagt"
)
_OF = (
    r"items?|lines?|pcs|pieces|qty|quantity|value|price|stock|this page|page|of page|positionen|"
    r"artikel|teile|ht|ttc|net|gross|parts"
)
_CARRIED = (
    r"carried forward|brought forward|carried over|c f|b f|ubertrag|uebertrag|a reporter|report|"
    r"a riportare|riporto|suma y sigue|transport|at transportere|do przeniesienia|z przeniesienia|"
    r"transporte|a transportar"
)
# `Sub-total oil seals` names its section.
_TOTAL = re.compile(
    rf"(?:{_SUM})(?: (?:{_OF}))*(?: \d+| [^\d]+)?|{_CARRIED}|"
    r"\d+ (?:items?|lines?|parts?|rows?|positionen|artikel)(?: in (?:all|total|stock))?"
)
# `TOTAL 40` may be the number of a part; `Sub-total 40` is none.
_NUMBERED_TOTAL = re.compile(rf"(?:{_SUM}) \d+")
_JOINED = re.compile(r"[^\W\d_]+[-/.]\d+")  # `TOTAL-1`: no sum is written so
_PAGE = re.compile(
    r"(?:page|seite|pagina|blad|side|sida|sivu|strana|strona) ?\d+"
    r"(?: ?(?:of|von|de|di|van|av|af|sur|z|ze)? ?\d+)?"
)
_END = re.compile(
    r"end(?: of (?:list|file|report|page|stock list))?|ende(?: der liste)?|"
    r"fin(?: de (?:la )?liste)?|fin de lista|fine(?: elenco)?|slut|koniec(?: listy)?|konec|fim|"
    r"einde(?: lijst)?|e ?o ?e|errors and omissions excepted|thank you.*|"
    r"continued(?: overleaf| on next page)?|cont d?|fortsetzung|suite"
)
_LABELS = """tel telephone telefon phone fax email mail web website www address date printed page
    contact terms delivery payment bank iban bic issue stand datum seite steuernummer note notes nb
    remark telefoon telefono adresse anschrift"""
_LABEL = frozenset(_LABELS.split()) | {
    "e mail",
    "prepared by",
    "list date",
    "registered office",
    "ust id",
    "valid from",
    "valid until",
    "vat no",
    "vat reg no",
}
_FIGURE = re.compile(r"[-+]?[£€$]?\s?\d[\d.,' ]*\s?[£€$]?")
_PAGE_ALONE = re.compile(r"[-–—] ?\d{1,3} ?[-–—]")  # `- 2 -` at the foot of a page
_RULE = re.compile(r"[\W_]+")
# A number such as `TW 3 118` or `4071`: digits, and no word of four letters or more.
_WORD = re.compile(r"[^\W\d_]{4,}")


def may_be_furniture(text: str) -> bool:
    """Whether a cell's words are those of a total, a page number or the end of a list."""
    if not text or len(text) > 60 or text.isdigit():
        return False
    folded = fold(text)
    return bool(_TOTAL.fullmatch(folded) or _PAGE.fullmatch(folded) or _END.fullmatch(folded))


def without_figures(text: str) -> str:
    """Return a line of a letterhead without what differs from page to page."""
    return re.sub(r"\d+", "#", " ".join(text.split()))


def is_rule(text: str) -> bool:
    """Whether a cell is blank or only a line of dashes, dots and the like."""
    return not text or bool(_RULE.fullmatch(text))


def judge(
    cells: list[str],
    named: int,
    number: int | None,
    letterhead: set[str],
    *,
    after_data: bool,
    adds_up: Callable[[int], bool] | None = None,
) -> str | None:
    """Return what kind of furniture a row is, or None for data.

    `named` is the number of columns with a heading, `number` the column of part numbers: a row
    that names a part is never a total, whatever its description says (`Total seal kit`). One
    numbered like a total, with all its cells filled or the number joined to the word, is a total
    only where a figure of it `adds_up` the column above.
    """
    texts = [cell for cell in cells if cell]
    if all(_RULE.fullmatch(text) for text in texts):
        # Dashes alone may be a row of unknowns, but then it names no part either.
        return "rule"
    folded = [fold(text) for text in texts]
    part = cells[number] if number is not None and number < len(cells) else ""
    if _TOTAL.fullmatch(folded[0]) or (len(texts) <= 3 and _TOTAL.fullmatch(folded[-1])):
        rest = [t for t, f in zip(texts, folded, strict=True) if not _TOTAL.fullmatch(f)]
        if part not in rest and all(not _WORD.search(t) and _value_like(t) for t in rest):
            numbered = part == texts[0] and _NUMBERED_TOTAL.fullmatch(folded[0])
            figures = [index for index, cell in enumerate(cells) if cell and index != number]
            whole = len(texts) >= named or _JOINED.fullmatch(part)
            if not (numbered and figures and adds_up and whole):
                return "total"
            return "total" if any(map(adds_up, figures)) else None
    pages = [text for text, f in zip(texts, folded, strict=True) if _PAGE.fullmatch(f)]
    if pages and len(texts) <= 3 and (part == "" or part in pages):
        others = [text for text in texts if text not in pages]
        if not any(re.search(r"\d", text) for text in others):
            return "page"
    if _END.fullmatch(folded[0]) and len(texts) <= 2:
        return "footer"
    if (
        letterhead
        and (
            all(text in letterhead for text in texts)
            or (len(texts) > 1 and without_figures(" ".join(texts)) in letterhead)
        )
        and any(_WORD.search(text) for text in texts)
    ):
        return "letterhead"
    if named <= 2 and len(texts) >= named:
        return None
    if after_data and all(_FIGURE.fullmatch(text) for text in texts) and cells[0] == "":
        return "total"
    if len(texts) == 1 and not part and not cells[0] and texts[0][0].islower():
        return "continued"  # the rest of a description that went on below, no section
    if len(texts) == 1 and _PAGE_ALONE.fullmatch(texts[0]):
        return "page"
    if len(texts) == 1:
        return _single(texts[0], after_data=after_data)
    label = folded[0].rstrip(" :")
    if len(texts) <= 2 and (label in _LABEL or texts[0].endswith(":")) and cells[0] == texts[0]:
        return "footer"
    return None


def _value_like(text: str) -> bool:
    return bool(re.search(r"\d", text)) or not fold(text)


def _single(text: str, *, after_data: bool) -> str | None:
    """Judge a row with one filled cell: a section heading, a footer, or a part number alone."""
    if not re.search(r"\d", text):
        return "footer" if after_data else "section"
    if not _WORD.search(text) and len(text) <= 30:
        return None
    words = len(re.findall(r"[^\W\d_]{2,}", text))
    if after_data:
        return "footer" if words >= 2 else None
    return "section" if words >= 2 or fold(text).split()[:1] in (["section"], ["group"]) else None
